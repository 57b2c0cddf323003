//! A sheet that shows pads, but not the one a wire needs.
//!
//! **Asks:** do the sheets show a pad for both ends of every wire?
//!
//! **Why:** a wire that ends nowhere on paper ends somewhere wrong on the board.
//!
//! **Judged:** open, for parts whose sheets show pads at all.
//!
//! **Do:** look at both sides of the board and write the pad.
//!
//! **Example:** `open  pad-missing.board.plus of 9v: the sheet of board shows no pad for plus of 9v`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "pad-missing";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let mut told = Vec::new();
    for fault in &state.plan.faults {
        let Fault::NoPad { part, what, place } = fault else {
            continue;
        };
        let name = &state.plan.terminals.part_names[*part];
        let subject = format!("{name}.{}", what.replace(' ', "-"));
        if told.iter().any(|draft: &Draft| draft.subject == subject) {
            continue;
        }
        let claim = Phrase::words(format!("the sheet of {name} shows no pad for {what}"));
        let places = place.iter().copied().chain([state.airframe.parts[*part].id.place]);
        told.push(Draft::missing(claim).about(subject).at(places).way("look at both sides of the board and write it as `[pad.NAME]`"));
    }
    told
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_port_without_its_pad_is_open() {
        check(&[("[pad.R1]\nrole = \"serial-in\"\nof = \"1\"\n", "")], "pad-missing.board.RX-of-1", Level::Open);
    }
}
