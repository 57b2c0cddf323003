//! One port for two devices.
//!
//! **Asks:** do the files name one serial port for two signals, or a port that something on the board owns?
//!
//! **Why:** two devices that talk into one pad garble one another; neither works.
//!
//! **Judged:** a plain fact.
//!
//! **Do:** take one of the two lines out and let the program find it a port.
//!
//! **Example:** `stop  port-claimed-twice.board.2: board.2 is named for receiver.data and for gps.data`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::{Carries, Fault, Plan, TerminalId};

/// Its stable name.
pub const ID: &str = "port-claimed-twice";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let signals = &state.plan.signals;
    let claims = signals.claims.iter().map(|claim| {
        let port = &signals.ports[claim.port].name;
        let names: Vec<&str> = claim.needs.iter().map(|&need| signals.needs[need].name.as_str()).collect();
        let words = Phrase::words(format!("{port} is named for {}", names.join(" and for ")));
        let places = claim.needs.iter().filter_map(|&need| signals.needs[need].said);
        let places: Vec<_> = places.chain([signals.ports[claim.port].place]).collect();
        Draft::fact(Level::Stop, words)
            .about(port.clone())
            .at(places)
            .way("take one of the lines out: the program finds it a port of its own")
    });
    let talking = state.plan.faults.iter().filter_map(|fault| {
        let Fault::TwoSenders { pads, places } = fault else {
            return None;
        };
        if is_claim(&state.plan, *pads) {
            return None;
        }
        let [one, other] = pads.map(|pad| state.plan.terminals.label(pad));
        let words = Phrase::words(format!("{one} and {other} both send into one wire"));
        let draft = Draft::fact(Level::Stop, words).about(one.replace(' ', ".")).at(places.clone());
        Some(draft.way("take one of the wires out: two that talk at once cannot be heard"))
    });
    claims.chain(talking).collect()
}

/// Whether the signals of two pads are named for one port, which is told already.
fn is_claim(plan: &Plan, pads: [TerminalId; 2]) -> bool {
    let needs = pads.map(|pad| {
        plan.wires_at(pad).find_map(|wire| match wire.carries {
            Carries::Signal(need) => Some(need),
            _ => None,
        })
    });
    let [Some(one), Some(other)] = needs else {
        return false;
    };
    plan.signals.claims.iter().any(|claim| claim.needs.contains(&one) && claim.needs.contains(&other))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::{assessment, check};

    #[test]
    fn checked_two_senders_on_one_line_are_a_stop() {
        let wires = "[wires]\nreceiver.TX = \"board.R1\"\nboard.T2 = \"board.R1\"\n[links]\n";
        check(&[("[links]\n", wires)], "port-claimed-twice.board.T2", Level::Stop);
    }

    #[test]
    fn checked_two_devices_wired_to_one_port_are_told_once() {
        let wires = "[wires]\nreceiver.TX = \"board.R1\"\nvideo.TX = \"board.R1\"\n[links]\n";
        let found = assessment(&[("[links]\n", wires)]).findings;
        let told: Vec<&str> = found.iter().filter(|finding| finding.rule == super::ID).map(|finding| finding.id.as_str()).collect();
        assert_eq!(told, ["port-claimed-twice.board.1"]);
    }

    #[test]
    fn checked_two_devices_on_one_port_are_a_stop() {
        check(&[("[links]\n", "[links]\nvideo.overlay = \"board.1\"\n")], "port-claimed-twice.board.1", Level::Stop);
    }
}
