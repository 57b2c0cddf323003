//! The discs are too small, or too large, for this mass.
//!
//! **Asks:** is the weight over the swept area that of small craft?
//!
//! **Why:** outside 60 to 145 N/m² a diameter or a mass is mistyped; above 160 the propeller is wrong for the mass.
//!
//! **Judged:** the 90 % band against common practice. Never worse than watch.
//!
//! **Do:** check diameter, number of rotors and mass
//!
//! **Example:** `watch  disc-loading: disc loading is 212 ± 6 N/m²; small craft have 60 to 160 N/m²`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "disc-loading";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(value), Some(band)) = (state.summary(Outcome::DiscLoading), band(state)) else { return Vec::new() };
    // A band of practice is wide by itself: only a value that lies outside with its own band is worth a word.
    let outside = value.p05 > band.high * 1.0 || value.p95 < band.low * 1.0;
    let level = if outside { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("disc loading is ")
        .doubted(value.p50 / 1.0, value.sd / 1.0, "N/m²")
        .then("; small craft have ")
        .number(band.low, "")
        .then(" to ")
        .number(band.high, "N/m²");
    vec![Draft::fact(level, claim).from_outcomes([Outcome::DiscLoading.id()]).way("check diameter, number of rotors and mass")]
}

fn band(_: &State) -> Option<Band> {
    Some(SMALL_CRAFT)
}

/// Usual is 60 to 145 N/m²; above 160 the propeller is wrong for the mass. Common practice.
const SMALL_CRAFT: Band = Band { low: 60.0, high: 160.0 };

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_four_hundred_grams_on_three_inch_are_too_many() {
        check(&[("weighed = \"180 g\"", "weighed = \"480 g\"")], "disc-loading", Level::Watch);
    }
}
