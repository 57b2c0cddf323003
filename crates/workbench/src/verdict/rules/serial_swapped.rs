//! A wire between pads that do not go together.
//!
//! **Asks:** does every wire you wrote join a pad that sends to one that listens?
//!
//! **Why:** TX on TX is the most common mistake of all; it costs an evening. A wire on a pad of another kind can cost the board.
//!
//! **Judged:** a plain fact, from the roles of both pads. One-wire links on a sending pad are right.
//!
//! **Do:** TX to RX and RX to TX. Some pads are printed as the other side sees them: prove it by bridging the two and looking for the echo, and write the role as it is.
//!
//! **Example:** `stop  serial-swapped.gps.TX: gps TX and board T2 both send`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::pads::PadRole;
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "serial-swapped";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let plan = &state.plan;
    let found = plan.faults.iter().filter_map(|fault| {
        let (ends, place, swapped) = match fault {
            Fault::Swapped { ends, place } => (ends, place, true),
            Fault::WrongPads { ends, place } => (ends, place, false),
            _ => return None,
        };
        let [here, there] = ends.map(|end| plan.terminals.label(end));
        let sends = matches!(plan.terminals.get(ends[0]).role, PadRole::SerialOut | PadRole::SignalOut);
        let claim = match (swapped, sends) {
            (true, true) => format!("{here} and {there} both send"),
            (true, false) => format!("{here} and {there} both listen"),
            _ => {
                let word = |end| plan.terminals.get(end).role.word();
                format!("{here} is a {} pad and {there} a {} pad", word(ends[0]), word(ends[1]))
            }
        };
        let subject = format!("{}.{}", plan.terminals.part_name(ends[0]), plan.terminals.get(ends[0]).name);
        let places = ends.iter().filter_map(|&end| plan.terminals.get(end).place);
        let draft = Draft::fact(Level::Stop, Phrase::words(claim)).about(subject).at([*place].into_iter().chain(places));
        let is_supply = |end| matches!(plan.terminals.get(end).role, PadRole::Power | PadRole::PowerIn | PadRole::Ground);
        Some(match (swapped, ends.iter().all(|&end| is_supply(end))) {
            (true, _) => draft.way("the pad that sends goes to the pad that listens, both ways"),
            (_, true) => draft.way("plus goes to plus, and ground to ground").caution("no power before a meter shows them apart"),
            _ => draft.way("end it on a pad of the same kind"),
        })
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::phrase::Phrase;
    use crate::verdict::rules::trial::{assessment, check};

    #[test]
    fn checked_sender_to_sender_is_a_stop() {
        check(&[("[links]\n", "[wires]\nreceiver.TX = \"board.T1\"\n[links]\n")], "serial-swapped.receiver.TX", Level::Stop);
    }

    #[test]
    fn checked_plus_on_ground_is_a_stop_and_says_what_belongs_where() {
        let edits = [("[links]\n", "[wires]\nreceiver.V = \"receiver.G\"\n[links]\n")];
        check(&edits, "serial-swapped.receiver.V", Level::Stop);
        let found = assessment(&edits).findings;
        let finding = found.iter().find(|finding| finding.id == "serial-swapped.receiver.V").expect("told");
        assert_eq!(finding.ways, [Phrase::words("plus goes to plus, and ground to ground")]);
        assert!(finding.caution.is_some());
    }

    #[test]
    fn checked_a_sender_on_a_phase_is_a_stop() {
        check(&[("[links]\n", "[wires]\nreceiver.TX = \"board.P1\"\n[links]\n")], "serial-swapped.receiver.TX", Level::Stop);
    }
}
