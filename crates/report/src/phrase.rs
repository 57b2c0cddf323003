//! Sentences with their numbers rounded.

use crate::number;
use workbench::phrase::{Number, Phrase, Piece};

/// The sentence as text.
pub fn text(phrase: &Phrase) -> String {
    phrase
        .0
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Number(number) => with_unit(number),
        })
        .collect()
}

fn with_unit(number: &Number) -> String {
    let value = match number.sd {
        Some(sd) if sd > 0.0 && sd.is_finite() => {
            let (value, sd) = number::doubted(number.value, sd);
            format!("{value} ± {sd}")
        }
        _ => number::exact(number.value),
    };
    if number.unit.is_empty() {
        value
    } else {
        format!("{value} {}", number.unit)
    }
}
