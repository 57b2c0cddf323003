//! A feed thinner than its current.
//!
//! **Asks:** does each feed's wire carry what its device draws, by the charts?
//!
//! **Why:** published charts differ two- to threefold because some mean minutes and some seconds. A wire that all of them allow is good; one that none of them allows gets hot, and its joint lets go.
//!
//! **Judged:** a plain fact at the middle values: current in flight above every chart is a stop, above the most cautious one is watched, and so is a peak above the ten-second figure. Common practice.
//!
//! **Do:** the next thicker wire.
//!
//! **Example:** `watch  wire-current.video.main: video.main draws 1.5 A; charts let 28 AWG carry 1.3 to 1.6 A`

use crate::phrase::Phrase;
use crate::predict::load_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use crate::wires::charts_a;
use quantity::statistics::Summary;
use wiring::Carries;

/// Its stable name.
pub const ID: &str = "wire-current";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let found = state.plan.wires.iter().filter_map(|wire| {
        let Carries::Plus(part, socket) = &wire.carries else {
            return None;
        };
        let name = format!("{}.{socket}", state.plan.terminals.part_names[*part]);
        let (at, load) = state.model.electrics.loads.iter().enumerate().find(|(_, load)| load.id == name)?;
        let volts = Summary::of(&state.outcomes.column(load_outcome(&state.model, at))).p50;
        let draws = |term| Summary::of(&basis.term(term, state.outcomes.draws())).p50 / volts;
        let (usual_a, peak_a) = (draws(load.power), draws(load.peak));
        if !(usual_a.is_finite() && peak_a.is_finite()) {
            return None;
        }
        let ((least_a, most_a), burst_a) = charts_a(wire.gauge.value)?;
        let level = if usual_a > most_a {
            Level::Stop
        } else if usual_a > least_a || peak_a > burst_a {
            Level::Watch
        } else {
            Level::Pass
        };
        let claim = Phrase::words(format!("{name} draws "))
            .number(usual_a, "A")
            .then(", up to ")
            .number(peak_a, "A")
            .then(format!("; charts let {} AWG carry ", wire.gauge.value.in_awg()))
            .number(least_a, "A")
            .then(" to ")
            .number(most_a, "A")
            .then(", for ten seconds ")
            .number(burst_a, "A");
        Some(Draft::fact(level, claim).about(name).at(wire.place).way("the next thicker wire"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_hair_for_a_transmitter_is_a_stop() {
        check(&[("power = \"7 W\"", "power = \"20 W\""), ("gauge = \"26 AWG\", length", "gauge = \"30 AWG\", length")], "wire-current.video.main", Level::Stop);
    }
}
