//! The craft does not hover at all in some draws.
//!
//! **Asks:** is there a motor speed at which the battery lifts the craft, at half charge and at the landing reserve?
//!
//! **Why:** all other figures assume that it flies.
//!
//! **Judged:** the chance that hover at the landing reserve exists and asks for no more than the whole command.
//!
//! **Do:** less mass, more cells, other propeller or motors.
//!
//! **Example:** `stop  cannot-hover: hover at the landing reserve asks for 108 % of the motor command; 100 % is all there is`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "cannot-hover";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    if state.model.drive.is_none() || state.model.battery.is_none() {
        return Vec::new();
    }
    // No operating point at all counts as far too much.
    let margin = state.map(Outcome::HoverCommandReserve, |command| if command.is_finite() { 100.0 - command } else { -100.0 });
    let claim = match state.summary(Outcome::HoverCommandReserve) {
        Some(command) => Phrase::words("hover at the landing reserve asks for ")
            .doubted(command.p50, command.sd, "%")
            .then(" of the motor command; ")
            .number(100.0, "%")
            .then(" is all there is"),
        None => Phrase::words("the battery cannot lift the craft in any draw"),
    };
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::HoverCommandReserve.id()]);
    vec![draft.way("less mass, more cells, or propellers and motors for this mass")]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_craft_three_times_as_heavy_does_not_hover() {
        check(&[("weighed = \"180 g\"", "weighed = \"1400 g\"")], "cannot-hover", Level::Stop);
    }
}
