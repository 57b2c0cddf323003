//! Which models say of themselves that they are not validated, read from their doc comments.
//!
//! Read from the text of the sources and not from a list someone keeps, so that none is forgotten.

use crate::checkout;
use std::path::Path;

/// Crates whose docs are read, beside those that do not exist yet.
const CRATES: [&str; 9] = [
    "power",
    "flight",
    "wiring",
    "fit",
    "radio",
    "link",
    "channels",
    "space",
    "workbench",
];

/// The words that make a paragraph count, in any case of letters.
const WORDS: &str = "not validated";

/// What each paragraph that says so says, with the path of what it documents, in the order of the files.
pub fn places(crates: &Path) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for name in CRATES {
        let sources = crates.join(name).join("src");
        for file in checkout::files(&sources, ".rs") {
            let inside = file
                .strip_prefix(&sources)
                .expect("the file was found there");
            let text = std::fs::read_to_string(&file).expect("a source file is readable text");
            found.extend(in_file(&module(name, inside), &text));
        }
    }
    found
}

/// `crates/flight/src/air/duct.rs` is the module `flight::air::duct`.
fn module(name: &str, file: &Path) -> String {
    let file = file.with_extension("");
    let parts = file.iter().map(|part| part.to_string_lossy().into_owned());
    let parts = parts.filter(|part| !["lib", "main", "mod"].contains(&part.as_str()));
    let parts: Vec<String> = std::iter::once(name.to_owned()).chain(parts).collect();
    parts.join("::")
}

fn in_file(module: &str, text: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut doc = Doc::default();
    for line in text.lines().map(str::trim) {
        if let Some(words) = line.strip_prefix("//!") {
            doc.add(words);
        } else if let Some(words) = line.strip_prefix("///") {
            doc.of_item = true;
            doc.add(words);
        } else if !line.starts_with("#[") {
            let doc = std::mem::take(&mut doc);
            let place = match doc.of_item {
                true => format!("{module}::{}", item(line)),
                false => module.to_owned(),
            };
            let said = doc.paragraphs.iter().filter_map(|words| said(words));
            found.extend(said.map(|words| (place.clone(), words.to_owned())));
        }
    }
    found
}

/// One run of doc comment lines.
#[derive(Default)]
struct Doc {
    of_item: bool,
    paragraphs: Vec<String>,
    open: bool,
}

impl Doc {
    fn add(&mut self, line: &str) {
        let line = line.trim();
        match self.paragraphs.last_mut() {
            _ if line.is_empty() => self.open = false,
            Some(paragraph) if self.open => *paragraph = format!("{paragraph} {line}"),
            _ => {
                self.paragraphs.push(line.to_owned());
                self.open = true;
            }
        }
    }
}

/// From the sentence that says so to the paragraph's end, where the reason tends to stand.
fn said(paragraph: &str) -> Option<&str> {
    // ASCII only, so that places in the lowered text are places in the text.
    let at = paragraph.to_ascii_lowercase().find(WORDS)?;
    let begins = |end: &(usize, &str)| {
        let next = paragraph[end.0 + end.1.len()..].chars().next();
        next.is_some_and(|c| c.is_uppercase() || c == '*' || c == '`')
    };
    let ends = paragraph[..at + WORDS.len()].match_indices(". ");
    let before = ends.filter(begins).last();
    Some(&paragraph[before.map_or(0, |(end, mark)| end + mark.len())..])
}

/// The name a line of code declares: the word after its keyword, or else its first name.
fn item(line: &str) -> &str {
    const KEYWORDS: [&str; 9] = [
        "fn",
        "struct",
        "enum",
        "trait",
        "type",
        "const",
        "static",
        "mod",
        "macro_rules!",
    ];
    const BEFORE: [&str; 4] = ["pub", "crate", "unsafe", "const"];
    let apart = |c: char| !(c.is_alphanumeric() || c == '_' || c == '!');
    let words: Vec<&str> = line.split(apart).filter(|word| !word.is_empty()).collect();
    let named = |pair: &&[&str]| KEYWORDS.contains(&pair[0]) && !KEYWORDS.contains(&pair[1]);
    let after_keyword = words.windows(2).find(named).map(|pair| pair[1]);
    let first = || words.iter().find(|word| !BEFORE.contains(*word)).copied();
    after_keyword.or_else(first).unwrap_or("?")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_the_sentence_is_found_with_its_reason_and_under_its_own_name() {
        let text = "\
//! Ducts.
//!
//! Lips (van den Berg, ch. 3). The lip is a guess: not
//! validated below 31 mm. Ask for data.

/// Thrust. Validated: NACA something.
pub fn thrust() {}

/// Loss [N].
///
/// Not validated: no open data.
#[must_use]
pub const fn loss() {
    // A plain comment: not validated does not count here.
}

pub struct Lip {
    /// Radius [m]; not validated.
    pub radius_m: f64,
}
";
        let found = in_file("flight::duct", text);
        let expected = [
            (
                "flight::duct",
                "The lip is a guess: not validated below 31 mm. Ask for data.",
            ),
            ("flight::duct::loss", "Not validated: no open data."),
            ("flight::duct::radius_m", "Radius [m]; not validated."),
        ];
        let expected = expected.map(|(at, words)| (at.to_owned(), words.to_owned()));
        assert_eq!(found, expected);
    }

    #[test]
    fn checked_modules_are_named_as_rust_names_them() {
        assert_eq!(
            module("flight", Path::new("air/duct.rs")),
            "flight::air::duct"
        );
        assert_eq!(module("power", Path::new("lib.rs")), "power");
        assert_eq!(module("power", Path::new("bus/mod.rs")), "power::bus");
    }
}
