//! Two parts in one place.
//!
//! **Asks:** is there room for every part where it is put?
//!
//! **Why:** what overlaps on paper does not close with screws; what is pressed breaks later.
//!
//! **Judged:** solids of two parts may touch and not overlap; a part may sink 0.5 mm into what it lies on. Overlapping by 0.3 mm in the middle is a stop, less than that never worse than watch.
//!
//! **Do:** move one of them, or use another seat.
//!
//! **Example:** `stop  parts-overlap.camera.canopy: camera and canopy: they overlap by 1.2 ± 0.4 mm; they may touch, not more`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "parts-overlap";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Parts])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_two_parts_in_one_place() {
        check(&[("x = \"9 mm\", y = \"10 mm\"", "x = \"-3 mm\", y = \"-8 mm\"")], "parts-overlap.bulk.receiver", Level::Stop);
    }
}
