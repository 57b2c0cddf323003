//! A stack that is higher than its room, or boards too near to each other.
//!
//! **Asks:** is there room over the highest board, and air between the plates?
//!
//! **Why:** a stack that touches the canopy or the top plate is pressed into its grommets; boards less than 3 mm apart cook and chafe.
//!
//! **Judged:** the highest point of each stack against the `height` of its seat: below zero a stop, under 1 mm a watch; posts shorter than 3 mm between two plates a watch. Common practice. A plain fact.
//!
//! **Do:** shorter or longer posts, a flatter board, a higher canopy.
//!
//! **Example:** `watch  stack-high.board: the stack on frame.stack is 14.6 mm high; 15 mm is its room`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::layout::written_at;
use space::typical::{CANOPY_AIR_M, PLATES_M};

/// Its stable name.
pub const ID: &str = "stack-high";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let name = |part: usize| state.airframe.parts[part].id.value.clone();
    let mut found = Vec::new();
    for stack in &state.space.stacks {
        let (Some(first), Some(last)) = (stack.layers.first(), stack.layers.last()) else {
            continue;
        };
        if let (Some(room_m), Some(left_m)) = (stack.room_m, stack.left_m()) {
            let level = match left_m {
                left if left < 0.0 => Level::Stop,
                left if left < CANOPY_AIR_M => Level::Watch,
                _ => Level::Pass,
            };
            let claim = Phrase::words(format!("the stack on {}.{} is ", name(stack.holder), stack.seat))
                .number(1e3 * (room_m - left_m), "mm")
                .then(" high; ")
                .number(1e3 * room_m, "mm")
                .then(" is its room");
            let draft = Draft::fact(level, claim).about(name(first.part)).at([written_at(&state.airframe, last.part)]);
            found.push(if level == Level::Pass { draft } else { draft.way("shorter posts, or a flatter board") });
        }
        for layer in &stack.layers {
            let Some(posts_m) = layer.posts_m else { continue };
            let level = if posts_m < PLATES_M { Level::Watch } else { Level::Pass };
            let claim = Phrase::words(format!("{} stands ", name(layer.part)))
                .number(1e3 * posts_m, "mm")
                .then(" over the plate below; ")
                .number(1e3 * PLATES_M, "mm")
                .then(" is wanted");
            let draft = Draft::fact(level, claim).about(format!("{}.posts", name(layer.part))).at([written_at(&state.airframe, layer.part)]);
            found.push(if level == Level::Pass { draft } else { draft.way("longer posts") });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_stack_higher_than_its_room() {
        check(&[("height = \"24 mm\"", "height = \"10 mm\"")], "stack-high.board", Level::Stop);
        check(&[("standoff = \"6 mm\"", "standoff = \"2.5 mm\"")], "stack-high.video.posts", Level::Watch);
    }
}
