//! An antenna's end beside carbon.
//!
//! **Asks:** is the radiating end of each antenna a quarter of a wavelength away from carbon?
//!
//! **Why:** carbon stops radio: nearer than that it detunes the antenna and shades it by 6 to 20 dB.
//!
//! **Judged:** a quarter of a wavelength at the frequency of the antenna's jack. Common practice. Never worse than watch.
//!
//! **Do:** raise the antenna, or lead it to the rear on a mount of plastic.
//!
//! **Example:** `watch  aerial-near-carbon.antenna.frame: antenna and carbon of frame: 6 ± 1 mm of air; 12.9 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "aerial-near-carbon";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Aerial])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_an_antenna_beside_the_plate() {
        check(&[("aerial = { x = \"-75 mm\"", "aerial = { x = \"-66 mm\"")], "aerial-near-carbon.aerial.frame", Level::Watch);
    }
}
