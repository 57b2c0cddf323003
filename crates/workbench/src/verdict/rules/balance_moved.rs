//! A refit that moves the balance.
//!
//! **Asks:** does the balance stay where it was?
//!
//! **Why:** a craft whose balance has moved flies with a lean, and its tune no longer fits.
//!
//! **Judged:** how far the refit moves the centre of gravity, forward and sideways together: 3 mm up to 200 g, 5 mm above. Common practice. Never worse than watch.
//!
//! **Do:** move the battery back by what the finding says.
//!
//! **Example:** `watch  balance-moved: the refit moves the balance by 4.1 ± 0.6 mm, mostly forward; 3 mm is common practice`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::balance::battery_back;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::statistics::Summary;

/// Its stable name.
pub const ID: &str = "balance-moved";

/// Up to this mass a craft is small \[g\].
const SMALL_G: f64 = 200.0;

/// How far the balance may be off or move, for a craft of this mass \[mm\].
pub(crate) fn most_mm(mass_g: f64) -> f64 {
    if mass_g <= SMALL_G { 3.0 } else { 5.0 }
}

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some([forward, left]) = &state.handling.moved_mm else {
        return Vec::new();
    };
    let moved: Vec<f64> = forward.iter().zip(left).map(|(x, y)| x.hypot(*y)).collect();
    let band = Summary::of(&moved);
    let (Some(mass), true) = (state.summary(Outcome::AllUpMass), band.p50.is_finite()) else {
        return Vec::new();
    };
    let most = most_mm(mass.p50);
    let (x, y) = (Summary::of(forward).p50, Summary::of(left).p50);
    let way = match (x.abs() >= y.abs(), x > 0.0, y > 0.0) {
        (true, true, _) => "forward",
        (true, false, _) => "backward",
        (false, _, true) => "to the left",
        (false, _, false) => "to the right",
    };
    let claim = Phrase::words("the refit moves the balance by ")
        .doubted(band.p50, band.sd, "mm")
        .then(format!(", mostly {way}; "))
        .number(most, "mm")
        .then(" is common practice");
    let margin = moved.iter().map(|moved| most - moved).collect();
    let ids = [Outcome::CgX.id(), Outcome::CgY.id()];
    let mut draft = Draft::margin(margin, claim).from_outcomes(ids).at_worst(Level::Watch);
    if band.p95 > most
        && let Some(way) = battery_back(state, [x, y])
    {
        draft = draft.way(way);
    }
    vec![draft]
}
