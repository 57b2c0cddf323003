//! Two parts in one place.
//!
//! **Asks:** is there room for every part where it is put?
//!
//! **Why:** what overlaps on paper does not close with screws; what is pressed breaks later.
//!
//! **Judged:** solids of two parts may touch and not overlap; a part may sink 0.5 mm into what it lies on.
//!
//! **Do:** move one of them, or use another seat.
//!
//! **Example:** `stop  parts-overlap.camera.canopy: camera and canopy: they overlap by 1.2 ± 0.4 mm; they may touch, not more`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "parts-overlap";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Parts], Level::Stop)
}
