//! One block by itself: its outline, pads and words, measured from its upper left corner.

use crate::letters::{LINE, width};
use crate::measure::*;
use crate::plan::{Block, Pad, Side};
use crate::sheet::{Point, Rect, Text, TextOf};
use crate::words::broken;

/// Which edge of a plain box its pads are on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    Left,
    Right,
}

/// A block, measured from its upper left corner.
#[derive(Clone, Debug)]
pub struct Shape {
    pub size: Point,
    pub to_scale: bool,
    pub pads: Vec<PadShape>,
    pub texts: Vec<Text>,
}

#[derive(Clone, Debug)]
pub struct PadShape {
    pub rect: Rect,
    pub side: Side,
    pub wires: usize,
    pub moved: bool,
    /// The edge of a plain box that its wires leave by.
    pub facing: Option<Facing>,
}

impl PadShape {
    /// Heights at which the wires of a plain box's pad leave it.
    pub fn row(&self, nth: usize) -> f64 {
        let first = self.rect.middle().y - SLOT * (self.wires.max(1) - 1) as f64 / 2.0;
        first + SLOT * nth as f64
    }
}

impl Shape {
    /// All that it covers: outline and words.
    pub fn extent(&self) -> Rect {
        let outline = Rect {
            x: 0.0,
            y: 0.0,
            width: self.size.x,
            height: self.size.y,
        };
        self.texts
            .iter()
            .fold(outline, |all, text| union(&all, &text.rect))
    }
}

/// Whether a block is drawn to scale: a sane outline and a pad whose place is known.
pub fn is_board(block: &Block) -> bool {
    let sane = |length: f64| (3.0..=400.0).contains(&length);
    let outline = block.outline_mm.is_some_and(|(x, y)| sane(x) && sane(y));
    outline && block.pads.iter().any(|pad| place(pad).is_some())
}

/// A plain box with all its pads on one edge, in the plan's order or, turned round, in reverse.
pub fn plain(number: usize, block: &Block, wires: &[usize], facing: Facing, turned: bool) -> Shape {
    let mut order: Vec<usize> = (0..block.pads.len()).collect();
    if turned {
        order.reverse();
    }
    let rows = rows(&order, wires);
    let height = rows.last().map_or(0.0, |last| last.1 + last.2) + 0.8;
    let head: f64 = heading(number, block)
        .iter()
        .map(|line| line.rect.height)
        .sum();
    let height = height.max(head + 2.0 * BOX_EDGE);
    let used = rows.last().map_or(0.0, |last| last.1 + last.2 - 0.8);
    let down = (height - used) / 2.0 - 0.8;
    let rows: Vec<(usize, f64)> = rows.iter().map(|(pad, y, _)| (*pad, y + down)).collect();
    plain_at(number, block, wires, &[(facing, rows)], height)
}

/// Pads under one another from 0.8 down: pad, middle of its slot, half of its slot.
fn rows(order: &[usize], wires: &[usize]) -> Vec<(usize, f64, f64)> {
    let mut down = 0.8;
    let mut row = |&pad: &usize| {
        let half = half_slot(wires[pad]);
        down += 2.0 * half;
        (pad, down - half, half)
    };
    order.iter().map(&mut row).collect()
}

/// Half the height that a pad with so many wires takes at a plain box.
pub fn half_slot(wires: usize) -> f64 {
    wires.max(1) as f64 * SLOT / 2.0
}

/// Pads of a plain box with the heights of their middles.
pub type Rows = Vec<(usize, f64)>;

/// A plain box of a height, with pads at given heights on given edges.
pub fn plain_at(
    number: usize,
    block: &Block,
    wires: &[usize],
    edges: &[(Facing, Rows)],
    height: f64,
) -> Shape {
    let mut texts = heading(number, block);
    let head_width = widest(&texts);
    let head_height: f64 = texts.iter().map(|text| text.rect.height).sum();
    let room = |facing: Facing| {
        let edge = edges.iter().filter(|(edge, _)| *edge == facing);
        let pads = edge.flat_map(|(_, rows)| rows);
        let labels = pads.map(|&(pad, _)| pad_label(number, pad, block).rect.width);
        let widest = labels.fold(None, |all: Option<f64>, one| {
            Some(all.map_or(one, |all| all.max(one)))
        });
        widest.map_or(BOX_EDGE, |widest| {
            BOX_PAD.0 + LABEL_GAP + widest + 2.0 * BOX_EDGE
        })
    };
    let (left, right) = (room(Facing::Left), room(Facing::Right));
    let across = left + head_width + right;
    let mut down = (height - head_height) / 2.0;
    for text in &mut texts {
        text.rect.x = left + (head_width - text.rect.width) / 2.0;
        text.rect.y = down;
        down += text.rect.height;
    }
    let nowhere = |pad: &Pad| PadShape {
        rect: Rect::default(),
        side: pad.side,
        wires: 0,
        moved: false,
        facing: None,
    };
    let mut pads: Vec<PadShape> = block.pads.iter().map(nowhere).collect();
    for (facing, rows) in edges {
        let x = match facing {
            Facing::Left => 0.0,
            Facing::Right => across - BOX_PAD.0,
        };
        for &(pad, middle) in rows {
            let tall = BOX_PAD.1 + 2.0 * half_slot(wires[pad]) - SLOT;
            let rect = Rect {
                x,
                y: middle - tall / 2.0,
                width: BOX_PAD.0,
                height: tall,
            };
            let shape = &mut pads[pad];
            (shape.rect, shape.wires, shape.facing) = (rect, wires[pad], Some(*facing));
            let mut label = pad_label(number, pad, block);
            label.rect.y = middle - label.rect.height / 2.0;
            label.rect.x = match facing {
                Facing::Left => BOX_PAD.0 + LABEL_GAP,
                Facing::Right => x - LABEL_GAP - label.rect.width,
            };
            if !label.words.is_empty() {
                texts.push(label);
            }
        }
    }
    Shape {
        size: Point {
            x: across,
            y: height,
        },
        to_scale: false,
        pads,
        texts,
    }
}

/// Name and note as lines under one another, not placed yet.
pub fn heading(number: usize, block: &Block) -> Vec<Text> {
    let name = broken(&block.name, NAME, true).into_iter();
    let note = broken(&block.note, SMALL, false).into_iter();
    let name = name.map(|line| text(TextOf::Name { block: number }, line, NAME, true));
    let note = note.map(|line| text(TextOf::Note { block: number }, line, SMALL, false));
    name.chain(note).collect()
}

/// The label of a pad, not placed yet.
pub fn pad_label(number: usize, pad: usize, block: &Block) -> Text {
    let of = TextOf::Pad { block: number, pad };
    let words = crate::words::one_line(&block.pads[pad].label, WIDEST_LINE / 2.0, SMALL, false);
    text(of, words, SMALL, false)
}

/// Words with the room they take, at the corner of the page.
pub fn text(of: TextOf, words: String, size: f64, bold: bool) -> Text {
    let rect = Rect {
        x: 0.0,
        y: 0.0,
        width: width(&words, size, bold),
        height: size * LINE,
    };
    Text {
        of,
        words,
        rect,
        size,
        upright: false,
        bold,
        clean: true,
    }
}

/// Width of the widest text.
pub fn widest(texts: &[Text]) -> f64 {
    let widths = texts.iter().map(|text| text.rect.width);
    widths.fold(0.0, f64::max)
}

/// A pad's place when both numbers are sane.
pub fn place(pad: &Pad) -> Option<(f64, f64)> {
    pad.at_mm.filter(|(x, y)| x.abs() <= 1e6 && y.abs() <= 1e6)
}

fn union(one: &Rect, other: &Rect) -> Rect {
    let (x, y) = (one.x.min(other.x), one.y.min(other.y));
    Rect {
        x,
        y,
        width: one.right().max(other.right()) - x,
        height: one.bottom().max(other.bottom()) - y,
    }
}
