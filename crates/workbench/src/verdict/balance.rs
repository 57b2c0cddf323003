//! What brings the balance back.

use super::State;
use crate::outcome::Outcome;
use crate::phrase::Phrase;

/// Where the balance is against the middle of the motors \[mm\], forward and to the left, in the middle draw.
pub fn off_by_mm(state: &State) -> [f64; 2] {
    let of = |outcome| state.summary(outcome).map_or(0.0, |band| band.p50);
    let rotors = state
        .model
        .space
        .as_ref()
        .map_or(&[][..], |space| &space.rotors);
    let middle = |axis: usize| {
        rotors.iter().map(|rotor| rotor.at_m[axis]).sum::<f64>() / rotors.len().max(1) as f64
    };
    [
        of(Outcome::CgX) - 1e3 * middle(0),
        of(Outcome::CgY) - 1e3 * middle(1),
    ]
}

/// How far the battery goes to take this off the balance \[mm\]; none without a battery, or where it is a matter of less than half a millimetre.
pub fn battery_back(state: &State, off_mm: [f64; 2]) -> Option<Phrase> {
    let share = state.summary(Outcome::PackShare)?.p50 / 100.0;
    let name = state.first(|part| part.cells.as_ref())?.0;
    let [forward, left] = off_mm.map(|off| -off / share);
    let ways = [
        (forward, "forward", "backward"),
        (left, "to the left", "to the right"),
    ];
    let mut said =
        ways.into_iter()
            .filter(|(far, ..)| far.abs() >= 0.5)
            .map(|(far, plus, minus)| {
                let way = if far > 0.0 { plus } else { minus };
                (far.abs(), way)
            });
    let (far, way) = said.next()?;
    let phrase = Phrase::words(format!("move {name} "))
        .number(far, "mm")
        .then(format!(" {way}"));
    Some(match said.next() {
        Some((far, way)) => phrase
            .then(" and ")
            .number(far, "mm")
            .then(format!(" {way}")),
        None => phrase,
    })
}

/// How far the battery goes to put the balance in the middle of the motors.
pub fn battery_to_middle(state: &State) -> Option<Phrase> {
    state.summary(Outcome::CgX)?;
    battery_back(state, off_by_mm(state))
}

/// How far it goes to put the balance where it was before the refit.
pub fn battery_to_before(state: &State) -> Option<Phrase> {
    let moved = state.handling.moved_mm.as_ref()?;
    let middle = [0, 1].map(|axis| quantity::statistics::Summary::of(&moved[axis]).p50);
    battery_back(state, middle)
}
