//! Pages that are written from the program, so that they cannot say anything else.

use crate::{Outcome, checkout, not_validated};

/// A page's place in the checkout, and how its text is made.
type Page = (&'static str, fn() -> String);

/// Every generated page. They end lines with LF and depend on the sources alone.
const PAGES: &[Page] = &[
    ("docs/generated/validation.md", validation),
    ("docs/generated/rules.md", crate::rules::page),
    ("docs/generated/demos.md", crate::demos::page),
    ("docs/generated/space.md", crate::demos::space),
    ("docs/generated/space-hull-85.svg", || {
        crate::demos::space_svg("hull-85")
    }),
    ("docs/generated/space-hedge-3.svg", || {
        crate::demos::space_svg("hedge-3")
    }),
    ("docs/generated/stack-hull-85.svg", || {
        crate::demos::stack_svg("hull-85")
    }),
    ("docs/generated/wiring.md", crate::demos::wiring),
    ("docs/generated/wiring-hull-85.svg", || {
        crate::demos::wiring_svg("hull-85")
    }),
    ("docs/generated/wiring-reed-gps.svg", || {
        crate::demos::wiring_svg("reed-gps")
    }),
    ("docs/generated/formulas.md", report::formula::page),
    ("docs/generated/files.md", store::files_page::page),
    ("schemas/part.schema.json", || {
        store::schema::text(&store::schema::part())
    }),
    ("schemas/craft.schema.json", || {
        store::schema::text(&store::schema::craft())
    }),
    ("schemas/refit.schema.json", || {
        store::schema::text(&store::schema::refit())
    }),
];

/// Writes every page that is not as it should be.
pub fn write() -> Outcome {
    for (place, text) in stale() {
        let path = checkout::root().join(place);
        let written = std::fs::create_dir_all(path.parent().expect("a page lies in a folder"))
            .and_then(|()| std::fs::write(&path, text));
        written.map_err(|error| format!("{place}: {error}"))?;
        println!("wrote {place}");
    }
    Ok(())
}

/// Names the pages that are not as they should be.
pub fn check() -> Outcome {
    let stale = stale();
    for (place, text) in &stale {
        println!("{place}: {}", first_difference(&on_disk(place), text));
    }
    match stale.len() {
        0 => {
            println!("generated pages: {}, all as written", PAGES.len());
            Ok(())
        }
        count => Err(format!(
            "generated pages out of date: {count}; mend: cargo xtask pages"
        )),
    }
}

fn validation() -> String {
    let found = not_validated::places(&checkout::root().join("crates"));
    let places: Vec<(&str, &str)> = found.iter().map(|(at, words)| (&**at, &**words)).collect();
    validation::page::page(&validation::cases(), &places)
}

/// Pages whose file differs from their text, with the text.
fn stale() -> Vec<(&'static str, String)> {
    let made = PAGES.iter().map(|(place, text)| (*place, text()));
    made.filter(|(place, text)| on_disk(place) != *text)
        .collect()
}

/// A file that is not there, or is no text, reads as empty and so as out of date.
fn on_disk(place: &str) -> String {
    std::fs::read_to_string(checkout::root().join(place)).unwrap_or_default()
}

fn first_difference(was: &str, is: &str) -> String {
    let lines = was.lines().zip(is.lines());
    let same = lines.take_while(|(was, is)| was == is).count();
    let line = |text: &str| text.lines().nth(same).unwrap_or("(end)").to_owned();
    format!(
        "line {}\n  has:    {}\n  should: {}",
        same + 1,
        line(was),
        line(is)
    )
}
