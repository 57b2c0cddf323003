//! The sum of the parts does not match the scale.
//!
//! **Asks:** do the sheets, with the usual share for wire and solder, add up to what the scale says?
//!
//! **Why:** a difference is a part that was forgotten or mistyped, and every prediction for the refit inherits it.
//!
//! **Judged:** builders allow 2 % or 1 g, whichever is more; the doubt of the sheets themselves is added to that. Only where the craft was weighed in the state that is judged or before the refit. Never worse than watch.
//!
//! **Do:** weigh the parts, heaviest first.
//!
//! **Example:** `watch  sum-against-scale: the parts add up to 39.8 ± 0.9 g; the scale says 42.6 g`

use crate::model::Weighed;
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::Summary;

/// Its stable name.
pub const ID: &str = "sum-against-scale";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let Weighed::This(weighed) = state.model.mass.weighed else { return Vec::new() };
    let Some(sum) = state.summary(Outcome::SumOfParts) else { return Vec::new() };
    let scale = basis.term(weighed, state.outcomes.draws());
    let scale_g = Summary::of(&scale).p50 * 1e3;
    let allowed_g = (ALLOWED_SHARE * scale_g).max(ALLOWED_G) + SIDES * sum.sd;
    let level = if (sum.p50 - scale_g).abs() > allowed_g { Level::Watch } else { Level::Pass };
    let claim = Phrase::words("the parts add up to ").doubted(sum.p50, sum.sd, "g").then("; the scale says ").number(scale_g, "g");
    let place = state.airframe.weighed.as_ref().map(|figure| figure.place);
    let draft = Draft::fact(level, claim).from_outcomes([Outcome::SumOfParts.id()]).at(place);
    vec![draft.way("weigh the parts, heaviest first; look for one that is missing")]
}

/// Difference builders allow, as a share of the whole. Common practice.
const ALLOWED_SHARE: f64 = 0.02;
/// And at least this much \[g\].
const ALLOWED_G: f64 = 1.0;
/// Standard deviations of the sum that are no surprise: 90 % two-sided.
const SIDES: f64 = 1.645;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_twenty_forgotten_grams_show() {
        check(&[("weighed = \"180 g\"", "weighed = \"200 g\"")], "sum-against-scale", Level::Watch);
    }
}
