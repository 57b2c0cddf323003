//! Motor and propeller do not fit each other.
//!
//! **Asks:** what share of Kv times volts is reached at full command?
//!
//! **Why:** 0.70 to 0.85 is usual: above, the propeller is too light for the motor; below, too heavy, and current and heat are wasted. A wrong Kv or propeller shows here.
//!
//! **Judged:** the 90 % band against common practice. Never worse than watch.
//!
//! **Do:** check Kv, diameter and pitch; a propeller of another pitch moves it
//!
//! **Example:** `watch  speed-ratio: of Kv times volts, full command reaches a share of 0.58 ± 0.03; well-matched drives reach 0.70 to 0.85`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "speed-ratio";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(value), Some(band)) = (state.summary(Outcome::FullSpeedRatio), band(state)) else { return Vec::new() };
    // A band of practice is wide by itself: only a value that lies outside with its own band is worth a word.
    let outside = value.p05 > band.high * 1.0 || value.p95 < band.low * 1.0;
    let level = if outside { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("of Kv times volts, full command reaches a share of ")
        .doubted(value.p50 / 1.0, value.sd / 1.0, "")
        .then("; well-matched drives reach ")
        .number(band.low, "")
        .then(" to ")
        .number(band.high, "");
    vec![Draft::fact(level, claim).from_outcomes([Outcome::FullSpeedRatio.id()]).way("check Kv, diameter and pitch; a propeller of another pitch moves it")]
}

fn band(_: &State) -> Option<Band> {
    Some(MATCHED)
}

/// Share of Kv times loaded volts that a matched drive reaches. Common practice.
const MATCHED: Band = Band { low: 0.70, high: 0.85 };

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_propeller_of_a_third_of_the_load_is_too_light() {
        check(&[("power_coefficient = \"0.092\"", "power_coefficient = \"0.02\""), ("thrust_coefficient = \"0.15\"", "thrust_coefficient = \"0.06\"")], "speed-ratio", Level::Watch);
    }
}
