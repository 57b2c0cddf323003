//! Something too near to a propeller.
//!
//! **Asks:** does every part, antenna and wire keep clear of what the blades sweep?
//!
//! **Why:** a blade that touches a part breaks; one that catches a wire pulls it off the board in flight.
//!
//! **Judged:** the nearest solid of each part against the swept disc, tips bent by 0.75 mm; 2 mm of air up to 45 mm propellers, 3 mm up to 100 mm, 4 mm above, 5 mm for wires and antennas. Limits from memory of the trade. Each draw moves the parts as their places may be off.
//!
//! **Do:** move the part, or shorten and tie down what is loose.
//!
//! **Example:** `stop  blade-near.camera.propellers: camera and propeller front left: 0.6 ± 1.0 mm of air; 2.25 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "blade-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Blade, Want::BladeLoose], Level::Stop)
}
