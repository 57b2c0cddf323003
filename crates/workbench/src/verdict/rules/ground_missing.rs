//! A device without a ground.
//!
//! **Asks:** does every device that takes power or a signal have a ground to return it through?
//!
//! **Why:** current that has no ground looks for another way: through a thin signal wire, an overlay chip, another device. One bent ground pin has cost an overlay, a regulator and a GPS in one plug-in.
//!
//! **Judged:** a plain fact, for parts whose sheets show pads, and for grounds that end where nothing leads back to the pack.
//!
//! **Do:** find the ground and write it as a pad; solder or mate grounds first.
//!
//! **Example:** `stop  ground-missing.gps: gps takes power and its sheet shows no ground pad`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "ground-missing";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let names = &state.plan.terminals.part_names;
    let found = state.plan.faults.iter().filter_map(|fault| {
        if let Fault::Adrift { part, places } = fault {
            let claim = Phrase::words(format!("the ground of {} does not come back to the pack", names[*part]));
            let draft = Draft::fact(Level::Stop, claim).about(names[*part].clone()).at(places.clone());
            return Some(draft.way("end its ground wire on the board that feeds it").caution("grounds first, power last"));
        }
        let Fault::NoGround { part, places } = fault else {
            return None;
        };
        let claim = Phrase::words(format!("{} is wired and its sheet shows no ground pad", names[*part]));
        let draft = Draft::fact(Level::Stop, claim).about(names[*part].clone()).at(places.clone());
        Some(draft.way("write its ground as `[pad.GND]` with `role = \"ground\"`, or give it one").caution("grounds first, power last"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_device_without_ground_is_a_stop() {
        let loose = ("[links]\n", "[wires]\nreceiver.G = \"aerial.GND\"\n[links]\n");
        let pad = ("coax = \"1.13-mm\"\n", "coax = \"1.13-mm\"\n[pad.GND]\nrole = \"ground\"\n[jack.feed2]\nrole = \"antenna\"\nfamily = \"sma\"\n");
        check(&[loose, pad], "ground-missing.receiver", Level::Stop);
        check(&[("[pad.G]\nrole = \"ground\"\n[pad.TX]", "[pad.TX]")], "ground-missing.receiver", Level::Stop);
    }
}
