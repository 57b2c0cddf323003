//! Sag ends the flight before the charge does.
//!
//! **Asks:** do the landing volts under load come while much more than the planned reserve is still in the pack?
//!
//! **Why:** the pack is too weak for this current: time is lost, and the alarm sounds in every climb until nobody listens.
//!
//! **Judged:** charge left in active flying when the landing volts are met, against the planned reserve plus ten points; and a reserve of your own against 15 %. Never worse than watch.
//!
//! **Do:** less resistance between cells and craft, a stronger or warmer pack.
//!
//! **Example:** `watch  landing-early: the landing volts come with 41 ± 12 % of the charge left; you plan to land at 20 %`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "landing-early";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    early(state).into_iter().chain(reserve(state)).collect()
}

/// The planned reserve itself: common practice is to land with 15 to 20 % left.
fn reserve(state: &State) -> Option<Draft> {
    let planned = state.conditions.as_ref()?.landing_reserve.as_ref()?;
    let plan = planned.value.0.in_percent();
    let level = if plan < LEAST_RESERVE { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("you plan to land with ").number(plan, "%").then(" of the charge left; ").number(LEAST_RESERVE, "%").then(" is the least in common practice");
    Some(Draft::fact(level, claim).about("reserve").at([planned.place]).way("plan with 80 to 85 % of the pack").caution("a cell below 3.0 V is damaged; do not charge it"))
}

/// Least charge to plan for at landing. Common practice, 15 to 20 %.
const LEAST_RESERVE: f64 = 15.0;

fn early(state: &State) -> Option<Draft> {
    let left = state.summary(Outcome::EndCharge)?;
    let plan = 100.0 * state.model.situation.reserve;
    let margin = state.map(Outcome::EndCharge, |left| plan + ALLOWED_POINTS - left);
    let claim = Phrase::words("active flying ends with ").doubted(left.p50, left.sd, "%").then(" of the charge left; you plan to land at ").number(plan, "%");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::EndCharge.id()]).at_worst(Level::Watch);
    Some(draft.way("less resistance between cells and craft, or a stronger or warmer pack"))
}

/// Points of charge that sag may cost before it is worth a word.
const ALLOWED_POINTS: f64 = 10.0;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_reserve_of_a_twentieth_is_watched() {
        check(
            &[("[conditions]\n", "[conditions]\nlanding_reserve = \"5 %\"\n")],
            "landing-early.reserve",
            Level::Watch,
        );
    }

    #[test]
    fn checked_a_soft_pack_ends_the_flight_early() {
        check(&[("resistance = \"8.5 mΩ\"", "resistance = \"120 mΩ\"")], "landing-early", Level::Watch);
    }
}
