//! Typical parts by class, shipped with the program: no makes, no models, every figure marked
//! typical with its spread.

use craft::{Part, SourceFile};

macro_rules! sheets {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../typical/", $name, ".toml")))),*]
    };
}

const SHEETS: &[(&str, &str)] = sheets!();

/// The typical sheets as files whose paths start with `typical/`.
pub fn files() -> impl Iterator<Item = SourceFile> {
    SHEETS.iter().map(|(name, text)| SourceFile { path: format!("typical/{name}.toml"), text: (*text).to_owned() })
}

/// Whether a sheet is one of ours rather than the builder's.
pub fn is_typical(name: &str, part: &Part) -> bool {
    part.header.source.as_ref().is_some_and(|source| source.value == craft::part::SheetSource::Typical)
        && SHEETS.iter().any(|(sheet, _)| *sheet == name)
}
