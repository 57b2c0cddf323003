//! Parts of which nobody says where they are.
//!
//! **Asks:** does every part have a place?
//!
//! **Why:** clearances, balance and control can only be judged for what has a place.
//!
//! **Judged:** open for each part without a place, and for each that has one and no size; one finding for all where no place is written at all. Motors, propellers and the frame have theirs from the frame's diagonal. A part without shape and mass needs none.
//!
//! **Do:** measure it from the middle between the motors, or name its seat, under `[places]`. `fitout space` offers places where a new part fits.
//!
//! **Example:** `open  place-missing.digital: nobody says where digital is`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use space::layout::Why;

/// Its stable name.
pub const ID: &str = "place-missing";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let layout = &state.space.layout;
    let airframe = &state.airframe;
    let matters = |part: usize| {
        airframe.parts[part].part.as_deref().is_some_and(|part| part.body.is_some() || !part.solids.is_empty())
    };
    let missing: Vec<_> = layout.unplaced.iter().filter(|it| matters(it.part)).collect();
    if missing.is_empty() {
        return shapeless(state);
    }
    if layout.held.is_empty() {
        let claim = Phrase::words("nobody says where the parts are: clearances, balance and control cannot be judged");
        let draft = Draft::missing(claim).at(missing.iter().map(|it| airframe.parts[it.part].id.place).take(1));
        return vec![draft.way("write `[places]` into the craft's file: a seat of the frame, or millimetres from the middle between the motors")];
    }
    let one = |it: &&space::Unplaced| {
        let fitted = &airframe.parts[it.part];
        let id = &fitted.id.value;
        let (why, way) = match it.why {
            Why::Nothing => (String::new(), format!("name its seat, or write its millimetres: `{id} = {{ x = \"…\", y = \"…\", z = \"…\" }}`")),
            Why::Holder => (", for what it sits on has no place".to_owned(), "give the part below it a place first".to_owned()),
            Why::Motors => (", for no frame says where the motors are".to_owned(), "write the frame's `diagonal`, or a `[rotor]` for each motor".to_owned()),
        };
        let claim = Phrase::words(format!("nobody says where {id} is{why}"));
        Draft::missing(claim).about(id.clone()).at([fitted.id.place]).way(way)
    };
    missing.iter().map(one).chain(shapeless(state)).collect()
}

/// Parts that have a place and no size: nothing can be said about the air around them.
fn shapeless(state: &State) -> Vec<Draft> {
    let layout = &state.space.layout;
    let has_none = |item: &&space::Item| item.pieces.is_empty() && layout.held.iter().any(|held| held.part == item.part);
    let draft = |item: &space::Item| {
        let fitted = &state.airframe.parts[item.part];
        let id = &fitted.id.value;
        let claim = Phrase::words(format!("nobody says how large {id} is: the air around it cannot be judged"));
        Draft::missing(claim).about(format!("{id}.size")).at([fitted.id.place]).way("measure it and write a `[solid.body]` into its sheet")
    };
    layout.items.iter().filter(has_none).map(draft).collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_part_without_a_place_is_open() {
        check(&[("bulk = { seat", "board = { seat")], "place-missing.bulk", Level::Open);
    }
}
