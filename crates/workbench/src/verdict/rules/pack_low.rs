//! A battery that lands first.
//!
//! **Asks:** does the pack under the frame clear the ground?
//!
//! **Why:** a pack that lands on its cells is bent and pierced by the first stone.
//!
//! **Judged:** 1 mm between the pack and what the craft stands on: the frame's feet, or else its lowest point. Never worse than watch: many small craft land on their pack. Common practice.
//!
//! **Do:** longer feet, a flatter pack, or the pack on top.
//!
//! **Example:** `watch  pack-low.battery.ground: battery and the ground: 0.2 ± 0.5 mm of air; 1 mm is wanted`

use crate::verdict::air::judged;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::clearance::Want;

/// Its stable name.
pub const ID: &str = "pack-low";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    judged(state, basis, &[Want::Ground])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pack_below_the_feet() {
        let below = ("[seat.top]\nkind = \"tray\"\nz = \"30 mm\"", "[seat.top]\nkind = \"tray\"\nfaces = \"down\"\nz = \"-2 mm\"");
        check(&[below], "pack-low.battery.ground", Level::Watch);
    }
}
