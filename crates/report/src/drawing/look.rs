//! Colours, lines and letters of the drawing.

use diagram::{Ink, State};

/// Faces in the order they are looked for; the first is the one widths are reckoned with.
pub const FACES: &str =
    "'DejaVu Sans Condensed', 'DejaVu Sans', 'Liberation Sans', Arial, Helvetica, sans-serif";

/// Lines of blocks, and words.
pub const INK: &str = "#1d232b";
/// Words of lesser weight.
pub const SOFT: &str = "#4d5763";
/// Ground of boards.
pub const BOARD: &str = "#f1f3f5";
/// Pads with a wire.
pub const PAD: &str = "#e8d9a8";
/// Pads without a wire, and their outline.
pub const PALE: (&str, &str) = ("#ffffff", "#b3bac2");
/// Lines of the title strip.
pub const RULE: &str = "#8a939d";

/// Colour of a wire's insulation on paper.
pub fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Red => "#d62828",
        Ink::Black => "#1a1a1a",
        Ink::Yellow => "#f5cb1b",
        Ink::White => "#ffffff",
        Ink::Green => "#2a9d5c",
        Ink::Blue => "#2374d9",
        Ink::Orange => "#f3851d",
        Ink::Violet => "#8e4ec6",
        Ink::Brown => "#7d4e2d",
        Ink::Grey => "#9aa3ad",
    }
}

/// Its name.
pub fn name(ink: Ink) -> &'static str {
    match ink {
        Ink::Red => "red",
        Ink::Black => "black",
        Ink::Yellow => "yellow",
        Ink::White => "white",
        Ink::Green => "green",
        Ink::Blue => "blue",
        Ink::Orange => "orange",
        Ink::Violet => "violet",
        Ink::Brown => "brown",
        Ink::Grey => "grey",
    }
}

/// Width of a wire \[mm\] and of the dark line on either side of it.
pub fn line(state: State) -> (f64, f64) {
    match state {
        State::Kept => (0.36, 0.12),
        State::New => (0.75, 0.13),
        State::Removed => (0.36, 0.12),
    }
}
