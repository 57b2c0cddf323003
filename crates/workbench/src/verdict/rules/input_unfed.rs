//! An input that nothing feeds.
//!
//! **Asks:** does every power input and every rail have one source?
//!
//! **Why:** without its source nobody can say what volts a device sees, and on the bench it stays dark.
//!
//! **Judged:** open: its power is counted at the pack, its volts are not known. A part with rails that no wire reaches and no feed names is told as well.
//!
//! **Do:** write where it gets its power under `[feeds]`.
//!
//! **Example:** `open  input-unfed.gps.power: nothing says where gps.power gets its power`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use craft::Place;
use craft::airframe::Unfed;
use wiring::Fault;

/// Its stable name.
pub const ID: &str = "input-unfed";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let airframe = &state.airframe;
    let inputs = airframe.inputs().filter_map(|(at, fitted, input)| {
        let unfed = airframe.source_of_input(at, input).err()?;
        Some(draft(&fitted.id.value, &input.name.value, &unfed, fitted.id.place))
    });
    let rails = airframe.found().flat_map(|(at, fitted, part)| {
        part.rails.iter().enumerate().filter_map(move |(rail, named)| {
            let unfed = airframe.source_of_rail(at, rail).err()?;
            Some(draft(&fitted.id.value, &named.name.value, &unfed, fitted.id.place))
        })
    });
    let on_nothing = state.plan.faults.iter().filter_map(|fault| match fault {
        Fault::UnfedRail { part, rail, place } => {
            let id = &state.plan.terminals.part_names[*part];
            Some(draft(id, rail, &Unfed::Nothing, *place))
        }
        _ => None,
    });
    inputs.chain(rails).chain(on_nothing).collect()
}

fn draft(part: &str, socket: &str, unfed: &Unfed, place: Place) -> Draft {
    let id = format!("{part}.{socket}");
    let (words, place) = match unfed {
        Unfed::Nothing => (format!("nothing says where {id} gets its power"), place),
        Unfed::Gone(from) => (format!("`{}`, which feeds {id}, is not on the craft", from.value), from.place),
        Unfed::Circle => (format!("the source of {id} leads back to itself"), place),
    };
    Draft::missing(Phrase::words(words))
        .about(id.clone())
        .at([place])
        .way(format!("write `{id} = \"…\"` under `[feeds]`"))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_board_that_hangs_on_nothing_is_open() {
        let rail = ("[input.power]\n", "[rail.9v]\nkind = \"boost\"\noutput = \"9 V\"\n[input.power]\n");
        check(&[rail], "input-unfed.receiver.9v", Level::Open);
    }

    #[test]
    fn checked_a_device_without_a_feed_is_open() {
        check(&[("receiver.power = \"board.5v\"\n", "")], "input-unfed.receiver.power", Level::Open);
    }
}
