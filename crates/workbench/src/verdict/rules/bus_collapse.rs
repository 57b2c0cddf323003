//! The battery cannot carry the electronics and the motors together.
//!
//! **Asks:** is there a bus voltage at all in a full-command climb at the landing reserve, cold and aged?
//!
//! **Why:** regulators draw more current as their input sags; past a point the bus runs away to nothing.
//!
//! **Judged:** the chance that the constant-power loads and the motors find an operating point.
//!
//! **Do:** less resistance in plug and leads, a stronger pack, a command limit, landing earlier.
//!
//! **Example:** `watch  bus-collapse: in 12 % of the draws the bus does not hold in the worst punch`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "bus-collapse";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    if state.model.drive.is_none() || state.model.battery.is_none() {
        return Vec::new();
    }
    let volts = state.of(Outcome::PunchVolts);
    let held = volts.iter().filter(|volts| **volts > 0.0).count();
    // The margin is the bus itself: any volts at all are enough here.
    let margin = volts.iter().map(|volts| if *volts > 0.0 { *volts } else { -1.0 }).collect();
    let share = 100.0 * (volts.len() - held) as f64 / volts.len() as f64;
    let claim = Phrase::words("the bus does not hold in the worst punch in ").number(share, "%").then(" of the draws; ").number(5.0, "%").then(" is the most allowed");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::PunchVolts.id()]);
    vec![draft.way("a plug and leads of less resistance, a stronger pack, or a command limit")]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_boost_of_a_hundred_watts_on_a_soft_pack_runs_away() {
        check(&[("resistance = \"8.5 mΩ\"", "resistance = \"90 mΩ\""), ("power = \"7 W\"", "power = \"120 W\"")], "bus-collapse", Level::Stop);
    }
}
