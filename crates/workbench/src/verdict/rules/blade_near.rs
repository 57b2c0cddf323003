//! Something too near to a propeller.
//!
//! **Asks:** does every part, antenna and wire keep clear of what the blades sweep?
//!
//! **Why:** a blade that touches a part breaks; one that catches a wire pulls it off the board in flight.
//!
//! **Judged:** the nearest solid of each part against the swept disc, tips bent by 0.75 mm; 2 mm of air up to 45 mm propellers, 3 mm up to 100 mm, 4 mm above, 5 mm for wires and antennas. Less than 0.5 mm in the middle is a stop, anything more never worse than watch. Limits from memory of the trade. Each draw moves the parts as their places may be off.
//!
//! **Do:** move the part, or shorten and tie down what is loose.
//!
//! **Example:** `watch  blade-near.camera.propellers: camera and propeller front left: 1.6 ± 1.0 mm of air; 2.25 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "blade-near";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Blade, Want::BladeLoose])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_wide_camera_beside_the_blades() {
        let camera = |wide: &str| format!("length = \"19 mm\"\nwidth = \"{wide}\"\nheight = \"19 mm\"");
        let old = "length = \"19 mm\"\nwidth = \"19 mm\"\nheight = \"19 mm\"";
        check(&[(old, &camera("28 mm"))], "blade-near.camera.propellers", Level::Watch);
        check(&[(old, &camera("34 mm"))], "blade-near.camera.propellers", Level::Stop);
    }

    #[test]
    fn checked_an_antenna_wants_more_air_than_a_board() {
        let near = ("aerial = { x = \"-75 mm\"", "aerial = { x = \"-75 mm\", y = \"12 mm\"");
        check(&[near], "blade-near.aerial.propellers", Level::Watch);
    }
}
