//! Wires that join two supplies, or a supply and ground.
//!
//! **Asks:** is each net fed by one supply, and none of them tied to ground?
//!
//! **Why:** two rails that are joined feed one another: the pack's volts arrive on the 5 V rail and everything on it is lost. Plus on ground is a short.
//!
//! **Judged:** a plain fact, over the nets that wires and boards make together.
//!
//! **Do:** look at the wires named; one of them is on the wrong pad.
//!
//! **Example:** `stop  supplies-joined.board.5V: wires join board 5V and board BAT`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "supplies-joined";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let terminals = &state.plan.terminals;
    let found = state.plan.faults.iter().filter_map(|fault| {
        let (pads, places, words) = match fault {
            Fault::SuppliesJoined { pads, places } => (pads, places, "wires join two supplies: "),
            Fault::SupplyToGround { pads, places } => (pads, places, "wires join a supply to ground: "),
            _ => return None,
        };
        let [one, other] = pads.map(|pad| terminals.label(pad));
        let subject = format!("{}.{}", terminals.part_name(pads[0]), terminals.get(pads[0]).name);
        let draft = Draft::fact(Level::Stop, Phrase::words(format!("{words}{one} and {other}")));
        Some(draft.about(subject).at(places.clone()).way("one of the wires named is on the wrong pad").caution("no power before a meter shows them apart"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_rail_on_the_pack_is_a_stop() {
        check(&[("[links]\n", "[wires]\nboard.5V = \"board.BAT\"\n[links]\n")], "supplies-joined.board.BAT", Level::Stop);
    }

    #[test]
    fn checked_plus_on_ground_is_a_stop() {
        check(&[("[links]\n", "[wires]\nboard.5V = \"board.G1\"\n[links]\n")], "supplies-joined.board.5V", Level::Stop);
    }
}
