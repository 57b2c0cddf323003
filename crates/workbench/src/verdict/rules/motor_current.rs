//! A motor draws more than its maker allows.
//!
//! **Asks:** does the current of one motor at full command stay below the peak current on its sheet?
//!
//! **Why:** windings overheat in seconds and magnets lose strength for good.
//!
//! **Judged:** only where the sheet gives `peak_current`.
//!
//! **Do:** a command limit, a propeller of less pitch, fewer cells.
//!
//! **Example:** `watch  motor-current: one motor draws 7.4 ± 0.9 A at full command; its sheet allows 7 A`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "motor-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let limit = state.first(|part| part.motor.as_ref()).and_then(|(_, motor)| motor.peak_current.as_ref());
    let (Some(limit), Some(current)) = (limit, state.summary(Outcome::MotorCurrent)) else { return Vec::new() };
    let limit_a = limit.value.0.in_amperes();
    let margin = state.map(Outcome::MotorCurrent, |current| limit_a - current);
    let claim = Phrase::words("one motor draws ").doubted(current.p50, current.sd, "A").then(" at full command; its sheet allows ").number(limit_a, "A");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::MotorCurrent.id()]).at([limit.place]);
    vec![draft.way("a command limit, a propeller of less pitch, or fewer cells")]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_motor_of_five_amperes_is_too_small() {
        check(&[("peak_current = \"22 A\"", "peak_current = \"5 A\"")], "motor-current", Level::Stop);
    }
}
