//! An input with two sources.
//!
//! **Asks:** is every power input fed once?
//!
//! **Why:** two sources on one input feed one another; the weaker one loses.
//!
//! **Judged:** a plain fact: a sheet's `fed_by` and a craft's `[feeds]` for the same input, or `[feeds]` and a wire of `[wires]` that name two sources.
//!
//! **Do:** cut the trace or leave the wire away; then say so in the sheet.
//!
//! **Example:** `stop  fed-twice.camera.power: camera.power is fed by 5v on its own board and by a wire from board.5v`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "fed-twice";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let found = state.plan.faults.iter().filter_map(|fault| {
        if let Fault::OtherFeed { part, socket, ends, said, places } = fault {
            let subject = format!("{}.{socket}", state.plan.terminals.part_names[*part]);
            let there = state.plan.terminals.label(ends[1]);
            let claim = format!("{subject} is fed from {said} as `[feeds]` says, and its wire ends at {there}");
            let draft = Draft::fact(Level::Stop, Phrase::words(claim)).about(subject).at(places.clone());
            return Some(draft.way("say the same in `[feeds]` and `[wires]`: the volts are worked out from the feed"));
        }
        let Fault::FedTwice { part, socket, on_board, by_wire, places } = fault else {
            return None;
        };
        let subject = format!("{}.{socket}", state.plan.terminals.part_names[*part]);
        let claim = format!("{subject} is fed by {on_board} on its own board and by a wire from {by_wire}");
        let draft = Draft::fact(Level::Stop, Phrase::words(claim)).about(subject).at(places.clone());
        Some(draft.way("cut the trace, or leave the wire away"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_wire_against_the_feed_is_a_stop() {
        check(&[("[feeds]\n", "[wires]\nreceiver.V = \"board.BAT\"\n[feeds]\n")], "fed-twice.receiver.power", Level::Stop);
    }

    #[test]
    fn checked_a_wire_beside_a_trace_is_a_stop() {
        check(&[("[feeds]\n", "[feeds]\nboard.core = \"pack\"\n")], "fed-twice.board.core", Level::Stop);
    }
}
