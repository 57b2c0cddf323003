//! A battery that lands first.
//!
//! **Asks:** does the pack under the frame clear the ground?
//!
//! **Why:** a pack that lands on its cells is bent and pierced by the first stone.
//!
//! **Judged:** 1 mm between the pack and what the craft stands on: the frame's feet, or else its lowest point. Never worse than watch unless they overlap. Common practice.
//!
//! **Do:** longer feet, a flatter pack, or the pack on top.
//!
//! **Example:** `watch  pack-low.battery.ground: battery and the ground: 0.2 ± 0.5 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "pack-low";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Ground], Level::Watch)
}
