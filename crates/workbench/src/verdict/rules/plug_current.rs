//! The battery plug carries too much.
//!
//! **Asks:** does the plug stay below its continuous current in active flying, and below its burst current at full command?
//!
//! **Why:** a small two-pin plug at 6 to 10 A is abuse: it heats, its resistance grows, and the volts go with it.
//!
//! **Judged:** currents against the plug's class; a punch is never worse than watch. Common practice, some from memory.
//!
//! **Do:** a larger plug of less resistance on pack and craft.
//!
//! **Example:** `watch  plug-current.battery.punch: full command draws 13 ± 2 A; a plug of size 2.0-mm-two-pin takes 5 A for seconds`

use crate::assemble::plug_class;
use crate::verdict::carried::{Bears, carried};
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::typical::plug_rating;

/// Its stable name.
pub const ID: &str = "plug-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let plugs = state.airframe.found().filter_map(|(_, fitted, part)| Some((fitted, part.plug.as_ref()?.size.as_ref()?)));
    plugs
        .filter_map(|(fitted, size)| Some((fitted, size, plug_rating(plug_class(size.value)?))))
        .flat_map(|(fitted, size, rating)| {
            let named = format!("a plug of size {}", size.value.word());
            let bears = Bears { continuous: rating.continuous, burst: rating.burst };
            carried(state, &fitted.id, &named, bears, size.place, "a plug of less resistance on pack and craft")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_the_small_two_pin_plug_is_abused() {
        check(&[("size = \"xt60\"", "size = \"2.0-mm-two-pin\"")], "plug-current.battery.active", Level::Stop);
    }
}
