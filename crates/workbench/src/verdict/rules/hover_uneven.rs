//! Motors that work unevenly in hover because the balance is off.
//!
//! **Asks:** does the balance let all motors hover at nearly the same command?
//!
//! **Why:** the motor that works hardest runs hot and has the least left for a gust; a balance outside the motors does not hover at all.
//!
//! **Judged:** thrust of each motor for level hover, turned into commands along the curve through this craft's own hover point. 10 points between the highest and the lowest (rule of thumb). Never worse than watch, but a balance that no thrusts can hold is a stop.
//!
//! **Do:** move the battery: the finding says how far.
//!
//! **Example:** `watch  hover-uneven: motor commands in hover differ by 13 ± 3 %; 10 % is the rule of thumb`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::balance::{battery_back, off_by_mm};
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "hover-uneven";

/// Largest spread \[%\].
const MOST: f64 = 10.0;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(_), Some(_)) = (state.summary(Outcome::CgX), state.summary(Outcome::MotorLag)) else {
        return Vec::new();
    };
    let ids = [Outcome::HoverSpread.id(), Outcome::CgX.id(), Outcome::CgY.id()];
    let off = off_by_mm(state);
    let Some(spread) = state.summary(Outcome::HoverSpread) else {
        let claim = Phrase::words("the balance lies outside the motors: no thrusts hold the craft level");
        return vec![Draft::fact(Level::Stop, claim).from_outcomes(ids).way(battery_back(state, off).unwrap_or_else(|| "move what is heavy to the middle".into()))];
    };
    let claim = Phrase::words("motor commands in hover differ by ")
        .doubted(spread.p50, spread.sd, "%")
        .then("; ")
        .number(MOST, "%")
        .then(" is the rule of thumb");
    let mut draft = Draft::margin(state.map(Outcome::HoverSpread, |spread| MOST - spread), claim).from_outcomes(ids).at_worst(Level::Watch);
    if spread.p95 > MOST
        && let Some(way) = battery_back(state, off)
    {
        draft = draft.way(way);
    }
    vec![draft]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pack_far_back_makes_motors_work_unevenly() {
        check(&[("battery = { seat = \"frame.top\", x = \"0 mm\"", "battery = { seat = \"frame.top\", x = \"-40 mm\"")], "hover-uneven", Level::Watch);
    }
}
