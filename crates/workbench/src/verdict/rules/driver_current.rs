//! A motor driver carries too much.
//!
//! **Asks:** does the current of one motor stay below the driver's burst current at full command, and the average below its continuous one?
//!
//! **Why:** a driver that fails drops one corner of the craft.
//!
//! **Judged:** full-command current of one motor against `burst`, active battery current divided over the rotors against `continuous`, where the sheet gives them.
//!
//! **Do:** a larger driver, a command limit, a propeller of less pitch.
//!
//! **Example:** `pass  driver-current.burst: one motor draws 6.1 ± 0.7 A at full command; the driver takes 12 A for seconds`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "driver-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some((_, esc)) = state.first(|part| part.esc.as_ref()) else { return Vec::new() };
    let rotors = state.model.drive.as_ref().map_or(4.0, |drive| f64::from(drive.rotors));
    let burst = esc.burst.as_ref().map(|limit| ("burst", "one motor draws ", " at full command", limit, "for seconds", Outcome::MotorCurrent, 1.0));
    let long = esc.continuous.as_ref().map(|limit| ("continuous", "each driver draws ", " in active flying", limit, "for long", Outcome::ActiveCurrent, rotors));
    burst
        .into_iter()
        .chain(long)
        .filter_map(|(subject, who, when, limit, how_long, outcome, divisor)| {
            let current = state.summary(outcome)?;
            let limit_a = limit.value.0.in_amperes();
            let margin = state.map(outcome, |current| limit_a - current / divisor);
            let claim = Phrase::words(who)
                .doubted(current.p50 / divisor, current.sd / divisor, "A")
                .then(format!("{when}; the driver takes "))
                .number(limit_a, "A")
                .then(format!(" {how_long}"));
            let draft = Draft::margin(margin, claim).about(subject).from_outcomes([outcome.id()]).at([limit.place]);
            Some(draft.way("a larger driver, a command limit, or a propeller of less pitch"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_driver_of_five_amperes_is_too_small() {
        check(&[("burst = \"30 A\"", "burst = \"5 A\"")], "driver-current.burst", Level::Stop);
    }
}
