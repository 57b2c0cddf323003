//! Hover takes an unlikely power for this mass.
//!
//! **Asks:** is the hover power over mass that of the class?
//!
//! **Why:** power over mass hardly depends on who built the craft; outside the band something is mistyped.
//!
//! **Judged:** the 90 % band against what builders log in the class. Common practice. Never worse than watch.
//!
//! **Do:** check propeller, motor and mass; compare with volts and amperes of a hover
//!
//! **Example:** `watch  hover-power: hover takes 0.46 ± 0.03 W/g; craft of this class take 0.24 to 0.30 W/g`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "hover-power";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(value), Some(band)) = (state.summary(Outcome::HoverPowerRatio), band(state)) else { return Vec::new() };
    // A band of practice is wide by itself: only a value that lies outside with its own band is worth a word.
    let outside = value.p05 > band.high * 1.0 || value.p95 < band.low * 1.0;
    let level = if outside { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("hover takes ")
        .doubted(value.p50 / 1.0, value.sd / 1.0, "W/g")
        .then("; craft of this class take ")
        .number(band.low, "")
        .then(" to ")
        .number(band.high, "W/g");
    vec![Draft::fact(level, claim).from_outcomes([Outcome::HoverPowerRatio.id()]).way("check propeller, motor and mass; compare with volts and amperes of a hover")]
}

fn band(state: &State) -> Option<Band> {
    Some(state.airframe.class.as_ref()?.value.bands()?.hover_w_per_g)
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_bad_propeller_shows() {
        check(&[("power_coefficient = \"0.092\"", "power_coefficient = \"0.2\"")], "hover-power", Level::Watch);
    }
}
