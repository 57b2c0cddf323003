//! The mass does not fit the class.
//!
//! **Asks:** is the all-up mass one that craft of this class have?
//!
//! **Why:** a mass outside the class is usually a mistyped figure, a part counted twice, or the wrong class.
//!
//! **Judged:** the 90 % band against what builders see in the class. Common practice. Never worse than watch.
//!
//! **Do:** look for a mistyped mass or count, or name another class
//!
//! **Example:** `watch  mass-out-of-class: all-up mass is 128 ± 3 g; craft of this class have 62 to 100 g`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "mass-out-of-class";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(value), Some(band)) = (state.summary(Outcome::AllUpMass), band(state)) else { return Vec::new() };
    // A band of practice is wide by itself: only a value that lies outside with its own band is worth a word.
    let outside = value.p05 > band.high * 1.0 || value.p95 < band.low * 1.0;
    let level = if outside { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("all-up mass is ")
        .doubted(value.p50 / 1.0, value.sd / 1.0, "g")
        .then("; craft of this class have ")
        .number(band.low, "")
        .then(" to ")
        .number(band.high, "g");
    vec![Draft::fact(level, claim).from_outcomes([Outcome::AllUpMass.id()]).way("look for a mistyped mass or count, or name another class")]
}

fn band(state: &State) -> Option<Band> {
    Some(state.airframe.class.as_ref()?.value.bands()?.all_up_g)
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_an_open_three_inch_craft_of_half_a_kilogram_is_watched() {
        check(&[("weighed = \"180 g\"", "weighed = \"480 g\"")], "mass-out-of-class", Level::Watch);
    }
}
