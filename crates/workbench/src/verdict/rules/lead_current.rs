//! The battery lead carries too much.
//!
//! **Asks:** does the lead stay below what is sensible for its gauge in active flying, and below its ten-second current at full command?
//!
//! **Why:** published charts differ two- to threefold because some mean minutes and some seconds; a lead that gets hot loses volts and melts its joint.
//!
//! **Judged:** active current against the upper end of the sensible range for a short lead with air over it, peak current against the ten-second figure; a punch is never worse than watch. Common practice.
//!
//! **Do:** a thicker or shorter lead.
//!
//! **Example:** `watch  lead-current.whip.punch: full command draws 21 ± 2 A; a short lead of 22 AWG with air over it takes 14 A for seconds`

use crate::verdict::carried::{Bears, carried};
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::typical::wire_currents;

/// Its stable name.
pub const ID: &str = "lead-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let leads = state.airframe.found().filter_map(|(_, fitted, part)| Some((fitted, part.lead.as_ref()?.gauge.as_ref()?)));
    leads
        .filter_map(|(fitted, gauge)| Some((fitted, gauge, wire_currents(gauge.value.0)?)))
        .flat_map(|(fitted, gauge, currents)| {
            let named = format!("a short lead of {} AWG with air over it", gauge.value.0.in_awg());
            let bears = Bears { continuous: currents.sensible.1, burst: currents.burst };
            carried(state, &fitted.id, &named, bears, gauge.place, "a thicker or shorter lead")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_thin_lead_is_abused() {
        check(&[("gauge = \"14 AWG\"", "gauge = \"30 AWG\"")], "lead-current.board.active", Level::Stop);
    }
}
