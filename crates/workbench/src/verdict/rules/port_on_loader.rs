//! A device that speaks first on pins the boot loader listens to.
//!
//! **Asks:** does a device that talks unasked sit on a port whose pins the boot loader listens to?
//!
//! **Why:** the processor's loader takes the first line that speaks. With a receiver or GPS alive from USB power, new firmware cannot be loaded. It is the pin that matters, not the port's number.
//!
//! **Judged:** a plain fact, unless the sheets say that the device is dead on USB alone; never worse than watch.
//!
//! **Do:** load the firmware first and solder this device last, or have its power off while loading.
//!
//! **Example:** `watch  port-on-loader.gps.data: gps.data speaks first on board.1, where the boot loader listens`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use crate::wires::alive_on_usb;

/// Its stable name.
pub const ID: &str = "port-on-loader";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let signals = &state.plan.signals;
    let found = (0..signals.needs.len()).filter_map(|at| {
        let port = signals.port_of(at)?;
        let asked = &signals.question.needs[at];
        if !(asked.chatty && signals.question.ports[port].loader) {
            return None;
        }
        let (need, port) = (&signals.needs[at], &signals.ports[port]);
        let sheet = state.airframe.parts[need.part].part.as_deref()?;
        let dead = |input| alive_on_usb(&state.airframe, need.part, input) == Some(false);
        if !sheet.inputs.is_empty() && sheet.inputs.iter().all(dead) {
            return None;
        }
        let claim = Phrase::words(format!("{} speaks first on {}, where the boot loader listens", need.name, port.name));
        let draft = Draft::fact(Level::Watch, claim).about(need.name.clone()).at([port.place, need.place]);
        Some(draft.way("load the firmware first, solder this one last, or cut its power while loading"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_receiver_on_loader_pins_is_watched() {
        check(&[("[port.1]\n", "[port.1]\nloader = true\n")], "port-on-loader.receiver.data", Level::Watch);
    }
}
