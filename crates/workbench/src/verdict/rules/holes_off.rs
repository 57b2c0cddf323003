//! Holes that do not meet the posts.
//!
//! **Asks:** do the screw holes of each board and motor meet those of what it is screwed to?
//!
//! **Why:** squares of 25.5 and 26.5 mm look alike; a board bent over its posts cracks at the first knock.
//!
//! **Judged:** both sizes as written, corner by corner, against the play that the screw has in its hole, half the slot counted. A hole without a diameter is that of ISO 273 (medium) for its screw. A plain fact.
//!
//! **Do:** another board or frame, or slot the holes by what is missing; never bend the board.
//!
//! **Example:** `stop  holes-off.board: holes of board, 26.5 mm, on those of frame, 25.5 mm: each is off by 0.71 mm; the screw has 0.2 mm of play`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::holes::{HoleFit, Screwed};

/// Its stable name.
pub const ID: &str = "holes-off";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    state.space.screwed.iter().map(|it| draft(state, it)).collect()
}

fn draft(state: &State, it: &Screwed) -> Draft {
    let name = |part: usize| state.airframe.parts[part].id.value.as_str();
    let claim = Phrase::words(format!("holes of {}, ", name(it.part)))
        .number(1e3 * it.sizes_m[0], "mm")
        .then(format!(", on those of {}, ", name(it.holder)))
        .number(1e3 * it.sizes_m[1], "mm")
        .then(": ");
    let (level, claim, way) = match it.fit {
        HoleFit::Meets { play_m } => (Level::Pass, claim.then("they meet with ").number(1e3 * play_m, "mm").then(" to spare"), None),
        HoleFit::Off { by_m, play_m } => (
            Level::Stop,
            claim.then("each is off by ").number(1e3 * by_m, "mm").then("; the screw has ").number(1e3 * play_m, "mm").then(" of play"),
            Some("slot the holes by what is missing, or take another board or frame"),
        ),
        HoleFit::Turned { by } => (
            Level::Stop,
            claim.then("one is turned by ").number(by.to_degrees().abs(), "°").then(" against the other"),
            Some("turn the board: write its `yaw`"),
        ),
        HoleFit::OtherKind => (Level::Stop, claim.then("a square meets a circle, or the counts differ"), None),
        HoleFit::TooThick { screw_m, hole_m } => (
            Level::Stop,
            claim.then("a screw of ").number(1e3 * screw_m, "mm").then(" does not go through a hole of ").number(1e3 * hole_m, "mm"),
            Some("a thinner screw or post"),
        ),
    };
    let draft = Draft::fact(level, claim).about(name(it.part)).at(it.places);
    match way {
        Some(way) => draft.way(way),
        None => draft,
    }
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_the_larger_square_does_not_go_on_the_smaller_one() {
        check(&[("[holes.board]\nsquare = \"20 mm\"", "[holes.board]\nsquare = \"21 mm\"")], "holes-off.board", Level::Stop);
    }
}
