//! A rate loop with little left before it swings.
//!
//! **Asks:** does each axis keep its margins with the gains as written?
//!
//! **Why:** a loop near its margin shakes at every gust, and motors get hot; beyond it the craft cannot be flown.
//!
//! **Judged:** the linear loop near hover from this craft's inertia, motors, filters and delay: phase margin 45°, gain margin 6 dB (the figures of SAE AS94900, from memory). Never worse than watch, unless the middle of all inputs is unstable: that is a stop. At full throttle the gain is up to twice that near hover.
//!
//! **Do:** less gain, faster filters, or stiffer mounts.
//!
//! **Example:** `watch  loop-margin.roll: roll crosses over at 31 Hz with 38 ± 6° of phase margin; 45° is wanted`

use crate::handling::{AXES, AxisHandling, LoopMargins};
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::statistics::Summary;

/// Its stable name.
pub const ID: &str = "loop-margin";

/// Phase margin wanted \[°\].
const PHASE_DEG: f64 = 45.0;
/// Gain margin wanted \[dB\].
const GAIN_DB: f64 = 6.0;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let axes = state.handling.axes.iter().zip(AXES);
    axes.filter_map(|(axis, (_, outcome))| draft(axis, axis.margins.as_ref()?, outcome)).collect()
}

fn draft(axis: &AxisHandling, margins: &LoopMargins, outcome: Outcome) -> Option<Draft> {
    let ids = [outcome.id(), Outcome::MotorLag.id()];
    let name = axis.axis;
    let middle = match &margins.middle {
        Ok(middle) => middle,
        Err(why) => {
            let claim = Phrase::words(format!("{name}: {why}"));
            return Some(Draft::fact(Level::Watch, claim).about(name).from_outcomes(ids));
        }
    };
    if !middle.stable {
        let claim = Phrase::words(format!("{name} is unstable with these gains near "))
            .number(middle.crossover_hz, "Hz");
        return Some(Draft::fact(Level::Stop, claim).about(name).from_outcomes(ids).way("less gain or faster filters before it flies"));
    }
    let (phase, crossover) = (Summary::of(&margins.phase_deg), Summary::of(&margins.crossover_hz));
    if !phase.p50.is_finite() {
        return None;
    }
    let mut claim = Phrase::words(format!("{name} crosses over at "))
        .doubted(crossover.p50, crossover.sd, "Hz")
        .then(" with ")
        .doubted(phase.p50, phase.sd, "°")
        .then(" of phase margin");
    if let Some(gain) = &margins.gain_db {
        claim = claim.then(" and ").doubted(gain.p50, gain.sd, "dB").then(" of gain margin");
    }
    let claim = claim.then("; ").number(PHASE_DEG, "°").then(" and ").number(GAIN_DB, "dB").then(" are wanted");
    let low_gain = margins.gain_db.is_some_and(|gain| gain.p50 < GAIN_DB);
    let draft = if low_gain {
        Draft::fact(Level::Watch, claim)
    } else {
        Draft::margin(margins.phase_deg.iter().map(|phase| phase - PHASE_DEG).collect(), claim).at_worst(Level::Watch)
    };
    let draft = draft.about(name).from_outcomes(ids);
    Some(if low_gain || phase.p05 < PHASE_DEG { draft.way("less gain, or faster filters") } else { draft })
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_gains_far_too_high_are_unstable_and_high_ones_are_watched() {
        check(&[("[gains.roll]\np = \"0.03\"", "[gains.roll]\np = \"3\"")], "loop-margin.roll", Level::Stop);
    }
}
