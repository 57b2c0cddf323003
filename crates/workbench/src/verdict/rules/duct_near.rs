//! A part too near to a duct.
//!
//! **Asks:** does every part keep a millimetre from the ducts?
//!
//! **Why:** a board against a duct chafes its wires and bends the duct into the propeller.
//!
//! **Judged:** 1 mm to the outer wall of a duct or guard, taken as a full cylinder. Soft parts and the canopy may touch. Never worse than watch unless they overlap. Common practice.
//!
//! **Do:** move the part.
//!
//! **Example:** `watch  duct-near.digital.ducts: digital and duct front left: 0.4 ± 0.5 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "duct-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Duct], Level::Watch)
}
