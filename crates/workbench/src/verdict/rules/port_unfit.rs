//! A port named for a signal that it cannot serve.
//!
//! **Asks:** can the port that the files name do what the device needs?
//!
//! **Why:** a port that inverts for good stays silent with a GPS, a port without a sending pad never answers, a slow one drops bytes. All of it looks like a dead device.
//!
//! **Judged:** a plain fact, from both sheets.
//!
//! **Do:** another port; the program looks for one and says so in `fitout wire`.
//!
//! **Example:** `stop  port-unfit.gps.data: board.1 cannot serve gps.data: the signal idles high and it always inverts`

use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use crate::phrase::Phrase;
use crate::wires;

/// Its stable name.
pub const ID: &str = "port-unfit";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let signals = &state.plan.signals;
    let misfits = signals.misfits.iter().map(|misfit| {
        let (need, port) = (&signals.needs[misfit.need], &signals.ports[misfit.port]);
        let mut claim = Phrase::words(format!("{} cannot serve {}: ", port.name, need.name));
        claim.0.extend(wires::unfit_all(&misfit.reasons).0);
        let draft = Draft::fact(Level::Stop, claim).about(need.name.clone()).at(need.said.into_iter().chain([port.place]));
        match signals.port_of(misfit.need) {
            Some(other) => draft.way(format!("{} can", signals.ports[other].name)),
            None => draft,
        }
    });
    misfits.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_port_that_always_inverts_is_a_stop() {
        check(&[("[port.1]\n", "[port.1]\ninversion = \"fixed\"\n")], "port-unfit.receiver.data", Level::Stop);
    }

    #[test]
    fn checked_a_port_too_slow_is_a_stop() {
        check(&[("[port.1]\nhighest_rate = \"1 Mbit/s\"", "[port.1]\nhighest_rate = \"115200 bit/s\"")], "port-unfit.receiver.data", Level::Stop);
    }
}
