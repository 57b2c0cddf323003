//! A socket, button or slot that hands cannot reach.
//!
//! **Asks:** can every socket, button, slot and plug be reached, with the craft closed or at least with its cover off?
//!
//! **Why:** what cannot be reached cannot be updated, and the pack's plug is pulled after every flight.
//!
//! **Judged:** the straight way out of each opening, as wide and long as its plug or finger needs (from memory: USB 11 × 22 mm), against every other solid. A watch where something other than the cover stands in it, and where the cover hides a plug that is pulled in the field. A plain fact.
//!
//! **Do:** turn the board, move what is in the way, or do what needs the opening before it is closed in.
//!
//! **Example:** `watch  reach-blocked.board.usb: the usb opening of board is behind battery`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::space::OpeningKind;
use space::reach::Reach;

/// Its stable name.
pub const ID: &str = "reach-blocked";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    state.space.reach.iter().map(|it| draft(state, it)).collect()
}

fn draft(state: &State, it: &Reach) -> Draft {
    let part = &state.airframe.parts[state.space.layout.items[it.item].part].id.value;
    let claim = Phrase::words(format!("the {} opening of {part} ", it.corridor.name));
    let draft = if !it.behind_open.is_empty() {
        Draft::fact(Level::Watch, claim.then(format!("is behind {}", it.behind_open.join(", "))))
            .way("turn it or move what is in the way; or use it before it is closed in")
    } else if let (Some(cover), false) = (&it.cover, it.behind.is_empty()) {
        let level = if it.corridor.kind == OpeningKind::Plug { Level::Watch } else { Level::Pass };
        Draft::fact(level, claim.then(format!("is reached once {cover} is off")))
    } else {
        Draft::fact(Level::Pass, claim.then("is reached with the craft closed"))
    };
    draft.about(format!("{part}.{}", it.corridor.name)).at([it.corridor.place])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_socket_behind_a_part() {
        check(&[("faces = \"left\" # usb", "faces = \"up\"")], "reach-blocked.board.usb", Level::Watch);
    }
}
