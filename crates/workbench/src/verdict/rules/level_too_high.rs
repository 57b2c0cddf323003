//! More volts on a signal than the other end takes.
//!
//! **Asks:** does each pad take the volts that the pad at the other end sends?
//!
//! **Why:** 5 V into a 3.3 V processor pin slowly kills the pin or at once. Many pins take 5 V only while powered.
//!
//! **Judged:** a plain fact. Where the sender has more than 3.3 V and nobody says what the other end takes: open.
//!
//! **Do:** a level shifter or a divider, or a device with 3.3 V logic.
//!
//! **Example:** `stop  level-too-high.gps.TX: gps TX sends 5 V; board R2 takes 3.3 V`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "level-too-high";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let terminals = &state.plan.terminals;
    let found = state.plan.faults.iter().filter_map(|fault| {
        let Fault::TooManyVolts { pads, sends_v, takes_v, places } = fault else {
            return None;
        };
        let [sender, listener] = pads.map(|pad| terminals.label(pad));
        let claim = Phrase::words(format!("{sender} sends ")).number(*sends_v, "V");
        let draft = match takes_v {
            Some(takes_v) => Draft::fact(Level::Stop, claim.then(format!("; {listener} takes ")).number(*takes_v, "V")),
            None => Draft::missing(claim.then(format!("; nobody says what {listener} takes"))),
        };
        let subject = format!("{}.{}", terminals.part_name(pads[0]), terminals.get(pads[0]).name);
        Some(draft.about(subject).at(places.clone()).way("a level shifter, or a divider of two resistors for a slow line"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_five_volts_into_a_pin_that_takes_less_find_no_port() {
        // The allotment never puts them together, so the owner's wish is told as unfit.
        check(&[("[signal.data]\n", "[signal.data]\nlevel = \"5 V\"\n"), ("[port.1]\n", "[port.1]\ntolerates = \"3.6 V\"\n")], "port-unfit.receiver.data", Level::Stop);
    }

    #[test]
    fn checked_a_board_that_sends_too_much_is_a_stop() {
        check(&[("[signal.data]\n", "[signal.data]\ntolerates = \"3.6 V\"\n"), ("[port.1]\n", "[port.1]\nlevel = \"5 V\"\n")], "level-too-high.board.T1", Level::Stop);
    }

    #[test]
    fn checked_nobody_saying_is_open() {
        check(&[("[signal.data]\n", "[signal.data]\nlevel = \"5 V\"\n")], "level-too-high.receiver.TX", Level::Open);
    }
}
