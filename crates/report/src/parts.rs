//! The library of typical parts, listed and shown.

use craft::{Bench, Part};

/// One line for each sheet.
pub fn list<'a>(parts: impl Iterator<Item = &'a Part>) -> String {
    parts
        .map(|part| format!("{:<26} {}\n", part.name, part.title()))
        .collect()
}

/// One sheet as it stands, with the place of its file.
pub fn show(bench: &Bench, part: &Part) -> String {
    let file = bench.file(part.file);
    format!("# {}\n{}", file.path, file.text)
}
