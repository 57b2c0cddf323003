//! A canopy that presses on what is under it.
//!
//! **Asks:** does the canopy clear lens ring, boards, plugs and antenna roots by a millimetre?
//!
//! **Why:** a canopy that touches rubs wires through and shakes the picture.
//!
//! **Judged:** 1 mm between a hood and every part but those it sits on. Never worse than watch unless they overlap. Common practice.
//!
//! **Do:** lower the stack, move the part or take a higher canopy.
//!
//! **Example:** `watch  canopy-near.digital.canopy: digital and canopy: 0.5 ± 0.4 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "canopy-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Canopy], Level::Watch)
}
