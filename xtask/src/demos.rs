//! The book's page of demo verdicts: what `fitout check` prints on each bench that is shipped.

use crate::checkout;
use craft::Bench;
use report::verdict::{Look, text};
use workbench::assess::{Assessment, Options, assess};

/// The demo benches, in the order of the book.
const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];
/// Columns of the printed page.
const WIDTH: usize = 110;

/// The page.
pub fn page() -> String {
    let mut page = "# Demo verdicts\n\nFour invented craft and the refits planned for them. This is what `fitout check benches/NAME` prints; the page is made by \
                    the program.\n"
        .to_owned();
    for demo in DEMOS {
        page.push_str(&format!("\n## {demo}\n\n```text\n{}```\n", verdict(demo)));
    }
    page
}

/// The page of wiring plans.
pub fn wiring() -> String {
    let mut page = "# Demo wiring plans\n\nWhat `fitout wire benches/NAME` prints; the pages and drawings are made by the program.\n".to_owned();
    for demo in ["hull-85", "reed-gps"] {
        let printed = assessed(demo, |bench, assessment| {
            report::wiring::text(bench, assessment, WIDTH)
        });
        page.push_str(&format!(
            "\n## {demo}\n\n![wiring of {demo}](wiring-{demo}.svg)\n\n```text\n{}```\n",
            uncoloured(&printed)
        ));
    }
    page
}

/// The wiring of a demo, drawn.
pub fn wiring_svg(demo: &str) -> String {
    assessed(demo, |_, assessment| {
        report::wiring::svg(&report::wiring::drawing(assessment))
    })
}

/// The page of spaces.
pub fn space() -> String {
    let mut page = "# Demo spaces\n\nWhat `fitout space benches/NAME` prints; the pages and drawings are made by the program.\n".to_owned();
    for demo in ["hull-85", "hedge-3"] {
        let printed = assessed(demo, |bench, assessment| {
            report::space::text(bench, assessment, WIDTH)
        });
        page.push_str(&format!(
            "\n## {demo}\n\n![{demo} in three views](space-{demo}.svg)\n\n```text\n{}```\n",
            uncoloured(&printed)
        ));
    }
    page.push_str("\n![the stack of hull-85, pulled apart](stack-hull-85.svg)\n");
    page
}

/// Three views of a demo.
pub fn space_svg(demo: &str) -> String {
    assessed(demo, |_, assessment| {
        report::space::drawn::views(assessment)
    })
}

/// The stack of a demo, pulled apart.
pub fn stack_svg(demo: &str) -> String {
    assessed(demo, |_, assessment| {
        report::space::drawn::stack(assessment).unwrap_or_default()
    })
}

fn verdict(demo: &str) -> String {
    let look = Look {
        width: WIDTH,
        passes: false,
    };
    uncoloured(&assessed(demo, |bench, assessment| {
        text(bench, assessment, look)
    }))
}

fn assessed(demo: &str, show: impl FnOnce(&Bench, &Assessment) -> String) -> String {
    let files =
        store::disk::read_folder(&checkout::root().join("benches").join(demo)).unwrap_or_default();
    let (bench, _) = store::text::read(files);
    let Some(job) = bench.refit_job(demo) else {
        return format!("no refit `{demo}`\n");
    };
    show(&bench, &assess(&job, Options::default()))
}

/// Without the escape sequences that a terminal would colour by.
fn uncoloured(printed: &str) -> String {
    let mut plain = String::new();
    let mut rest = printed;
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        plain.push_str(before);
        rest = after.split_once('m').map_or("", |(_, after)| after);
    }
    plain.push_str(rest);
    plain
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}
