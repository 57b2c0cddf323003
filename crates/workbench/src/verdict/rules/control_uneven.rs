//! Control that is much weaker one way than the other.
//!
//! **Asks:** can the craft roll and pitch about as hard one way as the other without losing height?
//!
//! **Why:** a balance that is off leaves one side's motors near their end: the craft is slow to come back from that side.
//!
//! **Judged:** the largest moment each way with the thrust held, each motor between zero and its full thrust on a full pack. The weaker way at least 0.6 of the stronger (rule of thumb). Never worse than watch.
//!
//! **Do:** bring the balance back to the middle, or take weight off.
//!
//! **Example:** `watch  control-uneven.pitch: in pitch the weaker way has 0.45 ± 0.06 of the stronger; 0.6 is the rule of thumb`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::balance::{battery_back, off_by_mm};
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "control-uneven";

/// Least share of the stronger way.
const LEAST: f64 = 0.6;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let axes = [("roll", Outcome::RollEvenness), ("pitch", Outcome::PitchEvenness)];
    let drafts = axes.into_iter().filter_map(|(axis, outcome)| {
        let share = state.summary(outcome)?;
        let claim = Phrase::words(format!("in {axis} the weaker way has "))
            .doubted(share.p50, share.sd, "")
            .then(" of the stronger; ")
            .number(LEAST, "")
            .then(" is the rule of thumb");
        let margin = state.map(outcome, |share| share - LEAST);
        let mut draft = Draft::margin(margin, claim).about(axis).from_outcomes([outcome.id()]).at_worst(Level::Watch);
        if share.p05 < LEAST
            && let Some(way) = battery_back(state, off_by_mm(state))
        {
            draft = draft.way(way);
        }
        Some(draft)
    });
    drafts.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pack_far_back_weakens_one_way() {
        check(&[("battery = { seat = \"frame.top\", x = \"0 mm\"", "battery = { seat = \"frame.top\", x = \"-60 mm\"")], "control-uneven.pitch", Level::Watch);
    }
}
