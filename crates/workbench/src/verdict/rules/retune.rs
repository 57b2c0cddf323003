//! A refit after which the old gains no longer fit.
//!
//! **Asks:** which factor on the gains keeps the old crossover of the rate loop, and is it within 15 %?
//!
//! **Why:** more inertia makes the old gains too soft, less makes them too hard: the craft wallows or shakes with hot motors. Heavier does not mean more gain: what sits in the middle adds weight and hardly any inertia.
//!
//! **Judged:** the loop before over the loop after at the old crossover, with inertia, motor lag, thrust slope, filters and delay of each draw. More than 15 % either way is a watch. Common practice. Never worse than watch.
//!
//! **Do:** multiply all three gains of the axis by the factor as a start, take 20 % off the derivative on a noisy rebuild, and fly it gently.
//!
//! **Example:** `watch  retune.pitch: pitch gains × 1.24 ± 0.06 keep the old crossover of 12 Hz; more than 15 % wants a new tune`

use crate::handling::AXES;
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::statistics::Summary;

/// Its stable name.
pub const ID: &str = "retune";

/// Change of the gains that can be left alone.
pub const LEFT_ALONE: f64 = 0.15;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let axes = state.handling.axes.iter().zip(AXES).take(2);
    let drafts = axes.filter_map(|(axis, (_, outcome))| {
        let factor = axis.factor.as_ref()?;
        let band = Summary::of(factor);
        if !band.p50.is_finite() {
            return None;
        }
        let by_class = if axis.kept_is_said { "" } else { ", by class" };
        let claim = Phrase::words(format!("{} gains × ", axis.axis))
            .doubted(band.p50, band.sd, "")
            .then(" keep the old crossover of ")
            .number(axis.kept_hz, "Hz")
            .then(format!("{by_class}; more than 15 % wants a new tune"));
        let margin = factor.iter().map(|factor| LEFT_ALONE - (factor - 1.0).abs()).collect();
        let ids = [outcome.id(), Outcome::MotorLag.id()];
        let draft = Draft::margin(margin, claim).about(axis.axis).from_outcomes(ids).at_worst(Level::Watch);
        let off = (band.p50 - 1.0).abs() > LEFT_ALONE;
        Some(if off { draft.way("start from all three gains times this, and 20 % less derivative on a noisy rebuild") } else { draft })
    });
    drafts.collect()
}
