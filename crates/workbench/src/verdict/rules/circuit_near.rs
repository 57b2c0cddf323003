//! Bare joints too near to what conducts.
//!
//! **Asks:** is there air between circuit boards and carbon, metal or each other?
//!
//! **Why:** carbon and its dust conduct; a joint that touches a plate or a board's neighbour shorts the pack.
//!
//! **Judged:** 1 mm between the tallest part of a board and carbon, metal or another board. Common practice.
//!
//! **Do:** longer posts, an insulating sheet, or another place.
//!
//! **Example:** `watch  circuit-near.board.frame: board and frame: 0.8 ± 0.3 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "circuit-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Circuit], Level::Stop)
}
