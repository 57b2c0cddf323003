//! Values that are lists: numbers with commas, places with semicolons.

use super::{Fault, refuse};

/// Numbers with commas between them, each finite.
pub(super) fn numbers(key: &str, text: &str) -> Result<Vec<f64>, Vec<Fault>> {
    text.split(',')
        .map(|word| {
            let number = word.trim().parse::<f64>().ok();
            number
                .filter(|number| number.is_finite())
                .ok_or_else(|| refuse(format!("`{key}`: `{}` is not a number", word.trim())))
        })
        .collect()
}

/// Exactly so many numbers.
pub(super) fn exactly<const N: usize>(
    key: &str,
    text: &str,
    form: &str,
) -> Result<[f64; N], Vec<Fault>> {
    let found = numbers(key, text)?;
    let count = found.len();
    found
        .try_into()
        .map_err(|_| refuse(format!("`{key}`: write `{form}`, not {count} numbers")))
}

/// Entries with semicolons between them.
pub(super) fn entries(text: &str) -> impl Iterator<Item = &str> {
    text.split(';')
        .map(str::trim)
        .filter(|entry| !entry.is_empty())
}
