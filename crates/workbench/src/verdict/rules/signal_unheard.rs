//! A signal for which no part describes a port.
//!
//! **Asks:** does any part of the craft describe a port of the kind this signal needs?
//!
//! **Why:** without the board's ports nobody can say whether there is room for the device.
//!
//! **Judged:** open, unless the sheet says that the craft does without the signal.
//!
//! **Do:** write the board's ports and pads into its sheet; a photo of both sides is enough.
//!
//! **Example:** `open  signal-unheard.gps.data: no part of the craft describes a serial port for gps.data`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "signal-unheard";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let unheard = state.plan.signals.unheard.iter().filter(|need| {
        let part = state.airframe.parts[need.part].part.as_deref();
        let signal = part.map(|part| &part.signals[need.signal].facet);
        // Motors are on drivers that hardly any sheet describes pad by pad, and nobody asks where.
        let needed = !signal.and_then(|signal| signal.optional).is_some_and(|optional| optional.value);
        needed && need.kind != craft::pads::SignalKind::MotorPhases
    });
    let found = unheard.map(|need| {
        let claim = format!("no part of the craft describes a {} port for {}", need.kind.word(), need.name);
        Draft::missing(Phrase::words(claim))
            .about(need.name.clone())
            .at([need.place])
            .way("write `[port.NAME]` and its pads into the board's sheet")
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_bus_that_nobody_offers_is_open() {
        check(&[("[signal.data]\n", "[signal.compass]\nkind = \"two-wire-bus\"\n[signal.data]\n")], "signal-unheard.receiver.compass", Level::Open);
    }
}
