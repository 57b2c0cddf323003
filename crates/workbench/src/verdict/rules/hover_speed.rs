//! The propellers turn at an unlikely speed in hover.
//!
//! **Asks:** is the hover speed one that propellers of this class show?
//!
//! **Why:** speed is the figure you can check by ear; outside the band diameter, coefficients or mass are wrong.
//!
//! **Judged:** the 90 % band against what builders hear in the class. Common practice. Never worse than watch.
//!
//! **Do:** check propeller and mass; listen to a hover and compare
//!
//! **Example:** `watch  hover-speed: the propellers turn at 41 ± 2 thousand rpm in hover; craft of this class show 25 to 32 thousand rpm`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "hover-speed";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(value), Some(band)) = (state.summary(Outcome::HoverSpeed), band(state)) else { return Vec::new() };
    // A band of practice is wide by itself: only a value that lies outside with its own band is worth a word.
    let outside = value.p05 > band.high * 1e3 || value.p95 < band.low * 1e3;
    let level = if outside { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("the propellers turn at ")
        .doubted(value.p50 / 1e3, value.sd / 1e3, "thousand rpm")
        .then("; in hover craft of this class show ")
        .number(band.low, "")
        .then(" to ")
        .number(band.high, "thousand rpm");
    vec![Draft::fact(level, claim).from_outcomes([Outcome::HoverSpeed.id()]).way("check propeller and mass; listen to a hover and compare")]
}

fn band(state: &State) -> Option<Band> {
    Some(state.airframe.class.as_ref()?.value.bands()?.hover_krpm)
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_light_craft_turns_slowly() {
        check(&[("weighed = \"180 g\"", "weighed = \"60 g\"")], "hover-speed", Level::Watch);
    }
}
