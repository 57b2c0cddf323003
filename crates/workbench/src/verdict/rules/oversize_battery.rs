//! More battery no longer adds time.
//!
//! **Asks:** would one percent more battery of the same kind still lengthen pure hover?
//!
//! **Why:** a pack lifts itself: past an optimum (two thirds of all-up mass in the ideal case) each gram costs more than it gives, and thrust is lost long before.
//!
//! **Judged:** the change of hover time for one percent more mass, capacity and strength, draw by draw. The curve of hover time over battery size is shown at the middle draw. Never worse than watch.
//!
//! **Do:** a smaller pack flies as long and better.
//!
//! **Example:** `watch  oversize-battery: one percent more battery changes hover time by −0.4 ± 0.2 s; it should add time`

use crate::input::Draw;
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::predict::hover_time_with_battery;
use crate::verdict::state::Basis;
use crate::verdict::{Curve, Draft, Level, State};

/// Its stable name.
pub const ID: &str = "oversize-battery";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let Some(worth) = state.summary(Outcome::PackWorth) else { return Vec::new() };
    let claim = Phrase::words("one percent more battery changes hover time by ").doubted(worth.p50, worth.sd, "s").then("; it should add time");
    let draft = Draft::margin(state.of(Outcome::PackWorth), claim).from_outcomes([Outcome::HoverTime.id()]).at_worst(Level::Watch);
    vec![Draft { curve: Some(curve(state, basis)), ..draft.way("a smaller pack flies as long and better") }]
}

fn curve(state: &State, basis: &Basis) -> Curve {
    let middle = basis.inputs.middle();
    let points = SIZES
        .iter()
        .filter_map(|&size| Some((100.0 * size, hover_time_with_battery(&state.model, Draw(&middle), size)? / 60.0)))
        .collect();
    Curve { along: "battery size against this one [%]", shows: "pure hover [min]", points }
}

/// Sizes at which the curve is drawn, against the battery on the craft.
const SIZES: [f64; 9] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0];

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pack_far_heavier_than_the_craft_no_longer_pays() {
        check(&[("weighed = \"180 g\"\n", ""), ("mass = \"78 g\"", "mass = \"700 g\"")], "oversize-battery", Level::Watch);
    }
}
