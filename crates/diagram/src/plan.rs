//! What is to be drawn: blocks with pads, and the wires between them. Nothing here lies on paper yet.

/// Blocks and the wires between their pads.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Boards, devices, motors, leads: all that has pads.
    pub blocks: Vec<Block>,
    /// Wires between pads.
    pub wires: Vec<Wire>,
}

/// Something with pads.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What the builder calls it.
    pub name: String,
    /// A second line under the name; may be empty.
    pub note: String,
    /// Real size \[mm\] across (right) and along (forward). Without it, or without a single pad
    /// whose place is known, the block is a plain box sized by its pads.
    pub outline_mm: Option<(f64, f64)>,
    /// Its pads in the order they are printed or lie in the plug.
    pub pads: Vec<Pad>,
    /// Whether the refit keeps, brings or takes it.
    pub state: State,
}

/// A place where wires are soldered or plugged in.
#[derive(Clone, Debug, PartialEq)]
pub struct Pad {
    /// As printed beside it.
    pub label: String,
    /// Place on the real board from its middle \[mm\], right and forward; used only when the block
    /// has an outline.
    pub at_mm: Option<(f64, f64)>,
    /// The face it is on. Pads underneath are drawn as seen through the board.
    pub side: Side,
}

/// The face of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The face that the drawing looks at.
    Top,
    /// The other face, seen through the board.
    Bottom,
}

/// What the refit does with a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Stays as it is.
    Kept,
    /// Is added.
    New,
    /// Is taken out.
    Removed,
}

/// One pad of one block, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    /// Which of [`Plan::blocks`].
    pub block: usize,
    /// Which of its pads.
    pub pad: usize,
}

/// A wire between two pads.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Where it begins and ends.
    pub ends: [End; 2],
    /// Short: its number in the wire list.
    pub label: String,
    /// Colour of its insulation.
    pub ink: Ink,
    /// Whether the refit keeps, brings or takes it.
    pub state: State,
    /// Twisted together with the other wires of the same number.
    pub pair: Option<usize>,
}

/// Colour of a wire's insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Red.
    Red,
    /// Black.
    Black,
    /// Yellow.
    Yellow,
    /// White.
    White,
    /// Green.
    Green,
    /// Blue.
    Blue,
    /// Orange.
    Orange,
    /// Violet.
    Violet,
    /// Brown.
    Brown,
    /// Grey.
    Grey,
}

impl Ink {
    /// All of them, in the order of a legend.
    pub const ALL: [Ink; 10] = [
        Ink::Red,
        Ink::Black,
        Ink::Yellow,
        Ink::White,
        Ink::Green,
        Ink::Blue,
        Ink::Orange,
        Ink::Violet,
        Ink::Brown,
        Ink::Grey,
    ];

    /// Two letters, those of IEC 60757, so that a print in grey still tells the colour.
    pub fn code(self) -> &'static str {
        match self {
            Ink::Red => "RD",
            Ink::Black => "BK",
            Ink::Yellow => "YE",
            Ink::White => "WH",
            Ink::Green => "GN",
            Ink::Blue => "BU",
            Ink::Orange => "OG",
            Ink::Violet => "VT",
            Ink::Brown => "BN",
            Ink::Grey => "GY",
        }
    }
}

impl Wire {
    /// The words on the wire: number, colour and, for a twisted wire, which twist: `3 RD ∞1`.
    pub fn words(&self) -> String {
        let code = self.ink.code();
        match self.pair {
            Some(pair) => format!("{} {code} ∞{pair}", self.label),
            None => format!("{} {code}", self.label),
        }
    }
}

impl Plan {
    /// Whether a wire has two different ends that both exist.
    pub fn can_draw(&self, wire: &Wire) -> bool {
        let there = |end: &End| {
            let block = self.blocks.get(end.block);
            block.is_some_and(|block| end.pad < block.pads.len())
        };
        wire.ends.iter().all(there) && wire.ends[0] != wire.ends[1]
    }
}
