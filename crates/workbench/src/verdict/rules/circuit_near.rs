//! Bare joints too near to what conducts.
//!
//! **Asks:** is there air between circuit boards and carbon, metal or each other?
//!
//! **Why:** carbon and its dust conduct; a joint that touches a plate or a board's neighbour shorts the pack.
//!
//! **Judged:** 1 mm between the tallest part of a board and carbon, metal or another board. Less than 0.2 mm in the middle is a stop, anything more never worse than watch. Common practice.
//!
//! **Do:** longer posts, an insulating sheet, or another place.
//!
//! **Example:** `watch  circuit-near.board.frame: board and frame: 0.8 ± 0.3 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "circuit-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Circuit])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_board_that_hangs_down_to_the_carbon() {
        check(&[("above = \"3 mm\"\nbelow = \"2 mm\"", "above = \"3 mm\"\nbelow = \"3.2 mm\"")], "circuit-near.frame.board", Level::Watch);
        check(&[("above = \"3 mm\"\nbelow = \"2 mm\"", "above = \"3 mm\"\nbelow = \"4.2 mm\"")], "circuit-near.frame.board", Level::Stop);
    }
}
