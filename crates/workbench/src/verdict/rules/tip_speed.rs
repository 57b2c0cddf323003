//! The blade tips are too fast or too slow.
//!
//! **Asks:** do the tips move at 50 to 80 m/s in hover, and below 220 m/s at full command?
//!
//! **Why:** above 220 m/s (Mach 0.65) the blades lose lift, howl and break; a hover tip speed outside the band points at a mistyped propeller.
//!
//! **Judged:** the 90 % band against common practice. Never worse than watch in hover.
//!
//! **Do:** check diameter, pitch and Kv; fewer cells or a command limit.
//!
//! **Example:** `watch  tip-speed.full: the tips reach 231 ± 9 m/s at full command; 220 m/s is the most`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;

/// Its stable name.
pub const ID: &str = "tip-speed";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    hover(state).into_iter().chain(full(state)).collect()
}

fn hover(state: &State) -> Option<Draft> {
    let tip = state.summary(Outcome::HoverTipSpeed)?;
    let outside = tip.p05 > HOVER.high || tip.p95 < HOVER.low;
    let claim = Phrase::words("the tips move at ").doubted(tip.p50, tip.sd, "m/s").then(" in hover; usual is ").number(HOVER.low, "").then(" to ").number(HOVER.high, "m/s");
    let draft = Draft::fact(if outside { Level::Watch } else { Level::Pass }, claim).about("hover").from_outcomes([Outcome::HoverTipSpeed.id()]);
    Some(draft.way("check diameter, number of rotors and mass"))
}

fn full(state: &State) -> Option<Draft> {
    let tip = state.summary(Outcome::FullTipSpeed)?;
    let margin = state.map(Outcome::FullTipSpeed, |tip| FULL_M_S - tip);
    let claim = Phrase::words("the tips reach ").doubted(tip.p50, tip.sd, "m/s").then(" at full command; ").number(FULL_M_S, "m/s").then(" is the most");
    let draft = Draft::margin(margin, claim).about("full").from_outcomes([Outcome::FullTipSpeed.id()]);
    Some(draft.way("fewer cells, lower Kv, or a command limit"))
}

/// Tip speed in hover. Common practice.
const HOVER: Band = Band { low: 50.0, high: 80.0 };
/// Highest tip speed, Mach 0.65 at 20 °C. Common practice.
const FULL_M_S: f64 = 220.0;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_twice_the_kv_is_too_fast() {
        check(&[("kv = \"3200 rpm/V\"", "kv = \"6000 rpm/V\""), ("power_coefficient = \"0.092\"", "power_coefficient = \"0.03\""), ("thrust_coefficient = \"0.15\"", "thrust_coefficient = \"0.07\"")], "tip-speed.full", Level::Stop);
    }

    #[test]
    fn checked_a_light_craft_turns_slowly() {
        check(&[("weighed = \"180 g\"", "weighed = \"60 g\"")], "tip-speed.hover", Level::Watch);
    }
}
