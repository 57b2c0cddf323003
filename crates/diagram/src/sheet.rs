//! The drawing as it lies on paper: all lengths are millimetres of paper, y runs down the page.

use crate::plan::{Side, State};

/// The paper, and what of it is kept free.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Page {
    /// Width of the smallest sheet \[mm\].
    pub width: f64,
    /// Height of the smallest sheet \[mm\].
    pub height: f64,
    /// Free edge all round \[mm\].
    pub margin: f64,
    /// Height of the strip at the foot that is kept for the title block and the legend \[mm\].
    pub title_height: f64,
}

impl Default for Page {
    /// A4 across.
    fn default() -> Self {
        Self {
            width: 297.0,
            height: 210.0,
            margin: 8.0,
            title_height: 30.0,
        }
    }
}

/// A point on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// From the left edge \[mm\].
    pub x: f64,
    /// From the top edge \[mm\].
    pub y: f64,
}

/// An upright rectangle on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rect {
    /// Left edge \[mm\].
    pub x: f64,
    /// Top edge \[mm\].
    pub y: f64,
    /// Width \[mm\].
    pub width: f64,
    /// Height \[mm\].
    pub height: f64,
}

impl Rect {
    /// The rectangle of a size around its middle.
    pub fn around(middle: Point, width: f64, height: f64) -> Self {
        Self {
            x: middle.x - width / 2.0,
            y: middle.y - height / 2.0,
            width,
            height,
        }
    }

    /// Right edge \[mm\].
    pub fn right(&self) -> f64 {
        self.x + self.width
    }

    /// Lower edge \[mm\].
    pub fn bottom(&self) -> f64 {
        self.y + self.height
    }

    /// The middle.
    pub fn middle(&self) -> Point {
        Point {
            x: self.x + self.width / 2.0,
            y: self.y + self.height / 2.0,
        }
    }

    /// Grown by a length \[mm\] on every side; shrunk when it is negative.
    pub fn grown(&self, by: f64) -> Self {
        Self {
            x: self.x - by,
            y: self.y - by,
            width: self.width + 2.0 * by,
            height: self.height + 2.0 * by,
        }
    }

    /// Moved by a distance.
    pub fn moved(&self, by: Point) -> Self {
        Self {
            x: self.x + by.x,
            y: self.y + by.y,
            ..*self
        }
    }

    /// Whether the insides share a point; rectangles that only touch do not.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }

    /// Whether the other lies within, edges included.
    pub fn holds(&self, other: &Self) -> bool {
        self.x <= other.x
            && self.y <= other.y
            && other.right() <= self.right()
            && other.bottom() <= self.bottom()
    }
}

/// The whole drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Width of the paper \[mm\].
    pub width: f64,
    /// Height of the paper \[mm\].
    pub height: f64,
    /// Millimetres of paper for one of board; `None` when no board is drawn to scale.
    pub scale: Option<f64>,
    /// The strip that is kept for the title block and the legend.
    pub title: Rect,
    /// The plan's blocks, in its order.
    pub blocks: Vec<PlacedBlock>,
    /// The plan's wires that could be taken up, in its order.
    pub wires: Vec<RoutedWire>,
    /// All words on the drawing.
    pub texts: Vec<Text>,
    /// Wires that are not drawn since an end is missing or both ends are one pad.
    pub left_out: Vec<usize>,
}

impl Sheet {
    /// Whether every wire and every word lies as it should.
    pub fn is_clean(&self) -> bool {
        self.wires.iter().all(|wire| wire.clean) && self.texts.iter().all(|text| text.clean)
    }
}

/// A block on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedBlock {
    /// Its outline.
    pub rect: Rect,
    /// Whether the outline is the real one, to scale.
    pub to_scale: bool,
    /// Whether the refit keeps, brings or takes it.
    pub state: State,
    /// Its pads, in the plan's order.
    pub pads: Vec<PlacedPad>,
}

/// A pad on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedPad {
    /// Its shape; wires end at the middle.
    pub rect: Rect,
    /// The face it is on.
    pub side: Side,
    /// Whether a wire of the drawing ends here.
    pub used: bool,
    /// Whether it had to move from its real place, to stay on the board or off another pad.
    pub moved: bool,
    /// Which of [`Sheet::texts`] is its label; pads without a wire may have none.
    pub label: Option<usize>,
}

/// A wire on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct RoutedWire {
    /// Which of the plan's wires.
    pub wire: usize,
    /// Its way from the middle of one pad to the middle of the other; upright and level runs only.
    pub points: Vec<Point>,
    /// Which of [`Sheet::texts`] is its label.
    pub label: Option<usize>,
    /// Whether its way keeps clear of all that is not its own.
    pub clean: bool,
}

/// Words on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What they belong to.
    pub of: TextOf,
    /// The words, on one line.
    pub words: String,
    /// The room they take.
    pub rect: Rect,
    /// Letter size \[mm\].
    pub size: f64,
    /// Whether they run up the page rather than across.
    pub upright: bool,
    /// Whether they are set bold.
    pub bold: bool,
    /// Whether nothing else lies on them.
    pub clean: bool,
}

/// What words belong to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextOf {
    /// The name of a block.
    Name {
        /// Which of the plan's blocks.
        block: usize,
    },
    /// The second line of a block.
    Note {
        /// Which of the plan's blocks.
        block: usize,
    },
    /// The label of a pad.
    Pad {
        /// Which of the plan's blocks.
        block: usize,
        /// Which of its pads.
        pad: usize,
    },
    /// The label of a wire.
    Wire {
        /// Which of the plan's wires.
        wire: usize,
    },
}
