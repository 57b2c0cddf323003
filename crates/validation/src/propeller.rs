//! Blade elements and propellers against another solver, a closed form and thirteen measured propellers.

use crate::{Case, Kind, Tolerance};

/// One row of a table, by the names in its heading.
pub(crate) struct Row {
    heading: Vec<&'static str>,
    fields: Vec<&'static str>,
}

impl Row {
    /// The field under a heading.
    pub(crate) fn text(&self, column: &str) -> &'static str {
        let at = self.heading.iter().position(|name| *name == column);
        self.fields[at.unwrap_or_else(|| panic!("no column {column}"))]
    }

    /// The number under a heading.
    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{text} under {column} is no number"))
    }
}

/// The rows of a table with comment lines and a heading.
pub(crate) fn table(text: &'static str) -> Vec<Row> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let split = |line: &'static str| line.split(',').collect::<Vec<_>>();
    let heading = split(lines.next().unwrap_or_default());
    lines
        .map(|line| Row {
            heading: heading.clone(),
            fields: split(line),
        })
        .collect()
}

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    Vec::new()
}
