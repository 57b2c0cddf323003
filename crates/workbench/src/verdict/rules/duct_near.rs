//! A part too near to a duct.
//!
//! **Asks:** does every part keep a millimetre from the ducts?
//!
//! **Why:** a board against a duct chafes its wires and bends the duct into the propeller.
//!
//! **Judged:** 1 mm to the outer wall of a duct or guard, taken as a full cylinder. Soft parts and the canopy may touch. Overlapping by 0.3 mm is a stop, anything less never worse than watch. Common practice.
//!
//! **Do:** move the part.
//!
//! **Example:** `watch  duct-near.digital.ducts: digital and duct front left: 0.4 ± 0.5 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "duct-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Duct])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_wide_board_between_ducts() {
        let ducts = ("surround = \"open\"", "surround = \"duct\"\nduct_height = \"60 mm\"");
        let wide = ("length = \"30 mm\"\nwidth = \"30 mm\"", "length = \"52.7 mm\"\nwidth = \"52.7 mm\"");
        check(&[ducts, wide], "duct-near.board.ducts", Level::Watch);
    }
}
