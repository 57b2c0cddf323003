//! The drawing's own measures \[mm of paper\]: letters, gaps, pads, runs.

/// Letter size of pad and wire labels and of notes. Capitals are 2.0 mm high.
pub const SMALL: f64 = 2.75;

/// Letter size of a block's name.
pub const NAME: f64 = 3.3;

/// The widest a line of a block's name or note gets before it is broken.
pub const WIDEST_LINE: f64 = 42.0;

/// The most lines of a name or a note.
pub const MOST_LINES: usize = 3;

/// Height of the slot of one wire at a plain box.
pub const SLOT: f64 = 4.4;

/// Pad of a plain box, across and along.
pub const BOX_PAD: (f64, f64) = (3.2, 2.4);

/// Free room inside a plain box.
pub const BOX_EDGE: f64 = 1.8;

/// Largest and smallest pad on a board that is drawn to scale.
pub const BOARD_PAD: (f64, f64) = (2.8, 1.3);

/// A board's pad over the distance to its nearest neighbour.
pub const PAD_SHARE: f64 = 0.4;

/// Nearest that two pads of a board may lie; nearer ones are moved apart.
pub const PAD_PITCH: f64 = 3.2;

/// Gap between a pad and its label.
pub const LABEL_GAP: f64 = 0.7;

/// Free room around a pad that a wire does not end at.
pub const PAD_CLEAR: f64 = 0.55;

/// Free room around words.
pub const TEXT_CLEAR: f64 = 0.35;

/// Nearest that two wires may run side by side.
pub const WIRE_GAP: f64 = 1.15;

/// Side by side nearer than this costs.
pub const WIRE_EASE: f64 = 1.85;

/// Distance between the lines that wires may run on, in the open.
pub const TRACK: f64 = 1.9;

/// Gap between a box and the label on its wire, and after the label.
pub const STUB_GAP: f64 = 1.6;

/// Gap between the blocks of a column.
pub const BLOCK_GAP: f64 = 5.5;

/// Free room between the drawing and the title strip, and above a board.
pub const AIR: f64 = 5.0;

/// Places nearer than this are one place: far below a printed dot, far above rounding.
pub const SAME: f64 = 1e-7;
