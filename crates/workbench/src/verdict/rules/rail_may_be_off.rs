//! A rail that may be off, or set to other volts.
//!
//! **Asks:** is a device fed from a rail that a setting switches, or whose volts a jumper chooses?
//!
//! **Why:** after the settings are lost a switched rail may come up off: the device looks dead. A jumper in the wrong place puts 9 V on a 5 V camera.
//!
//! **Judged:** a plain fact; never worse than watch.
//!
//! **Do:** meter the pad before the device is mated, and again after every change of firmware.
//!
//! **Example:** `watch  rail-may-be-off.board.9v: video hangs on board.9v, which comes up off until a setting turns it on`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::Tap;
use craft::pads::SwitchState;

/// Its stable name.
pub const ID: &str = "rail-may-be-off";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let airframe = &state.airframe;
    let found = airframe.inputs().filter_map(|(at, fitted, input)| {
        let Ok((Tap::Rail(part, rail), _)) = airframe.source_of_input(at, input) else {
            return None;
        };
        let named = airframe.rail(part, rail)?;
        let name = format!("{}.{}", airframe.parts[part].id.value, named.name.value);
        let off = named.facet.switched.filter(|switched| switched.value == SwitchState::Off);
        let jumper = named.facet.jumper.filter(|jumper| jumper.value);
        let (why, place) = match (off, jumper) {
            (Some(off), _) => ("which comes up off until a setting turns it on", off.place),
            (_, Some(jumper)) => ("whose volts a jumper chooses", jumper.place),
            _ => return None,
        };
        let id = format!("{}.{}", fitted.id.value, input.name.value);
        let draft = Draft::fact(Level::Watch, Phrase::words(format!("{id} hangs on {name}, {why}"))).about(id);
        Some(draft.at([place]).way("meter the pad before the device is mated, and after every change of firmware"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_rail_that_comes_up_off_is_watched() {
        check(&[("[rail.5v]\n", "[rail.5v]\nswitched = \"off\"\n")], "rail-may-be-off.receiver.power", Level::Watch);
    }
}
