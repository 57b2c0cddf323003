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
use wiring::Fault;

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
        let [one, other] = pads.map(|pad| state.plan.terminals.label(pad));
        let words = Phrase::words(format!("{one} and {other} both send into one wire"));
        let draft = Draft::fact(Level::Stop, words).about(one.replace(' ', ".")).at(places.clone());
        Some(draft.way("take one of the wires out: two that talk at once cannot be heard"))
    });
    claims.chain(talking).collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_two_devices_on_one_port_are_a_stop() {
        check(&[("[links]\n", "[links]\nvideo.overlay = \"board.1\"\n")], "port-claimed-twice.board.1", Level::Stop);
    }
}
