//! A canopy that presses on what is under it.
//!
//! **Asks:** does the canopy clear lens ring, boards, plugs and antenna roots by a millimetre?
//!
//! **Why:** a canopy that touches rubs wires through and shakes the picture.
//!
//! **Judged:** 1 mm between a hood and every part but those it sits on. Overlapping by 0.3 mm is a stop, anything less never worse than watch. Common practice.
//!
//! **Do:** lower the stack, move the part or take a higher canopy.
//!
//! **Example:** `watch  canopy-near.digital.canopy: digital and canopy: 0.5 ± 0.4 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "canopy-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Canopy])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_hood_that_presses_on_a_board() {
        let hood = |high: &str| format!("[solid.board]\nshape = \"box\"\nlength = \"12 mm\"\nwidth = \"10 mm\"\nheight = \"3 mm\"\n[solid.hood]\nshape = \"hood\"\nlength = \"40 mm\"\nwidth = \"40 mm\"\nheight = \"{high}\"\nx = \"48 mm\"\ny = \"8 mm\"\n");
        let old = "[solid.board]\nshape = \"box\"\nlength = \"12 mm\"\nwidth = \"10 mm\"\nheight = \"3 mm\"\n";
        check(&[(old, &hood("15.6 mm"))], "canopy-near.video.receiver", Level::Watch);
        check(&[(old, &hood("13 mm"))], "canopy-near.video.receiver", Level::Stop);
    }
}
