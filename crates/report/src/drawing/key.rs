//! The strip at the foot: the legend on the left, the title block on the right.

use diagram::letters::{LINE, lines, width};
use diagram::{Ink, Page, Plan, Point, Rect, Sheet, Side, State, Text, TextOf};

use super::TitleBlock;
use super::look::{self, INK, RULE, SOFT};
use super::svg::{cross, rect, strokes};
use super::write::{Svg, short};

/// Letter sizes \[mm\].
const TITLE: f64 = 4.4;
const CRAFT: f64 = 3.3;
const SMALL: f64 = 2.75;

/// Room between lines and to the edge \[mm\].
const STEP: f64 = 4.3;
const EDGE: f64 = 2.5;

/// Share of the strip that the title block takes, and its largest width \[mm\].
const SHARE: f64 = 0.42;
const WIDEST: f64 = 150.0;

/// Room between columns of the legend, width of the sample of a line, and the gap after it \[mm\].
const BETWEEN: f64 = 5.0;
const SAMPLE: f64 = 9.0;
const GAP: f64 = 1.5;

/// A4 across with as much room kept at the foot as the title block needs.
pub fn page(title: &TitleBlock) -> Page {
    let page = Page::default();
    let room = block_width(page.width - 2.0 * page.margin) - 2.0 * EDGE;
    let tall: f64 = title_lines(title, room).iter().map(|line| line.step).sum();
    Page {
        title_height: (tall + 2.0 * EDGE).max(5.0 * STEP + 2.0 * EDGE),
        ..page
    }
}

/// Draws the strip.
pub fn key(svg: &mut Svg, sheet: &Sheet, plan: &Plan, title: &TitleBlock) {
    let strip = sheet.title;
    if strip.height <= 0.0 {
        return;
    }
    svg.open("g", &[("id", "key")]);
    let frame = [
        ("fill", "#ffffff"),
        ("stroke", RULE),
        ("stroke-width", "0.25"),
    ];
    rect(svg, &strip, &frame);
    let wide = block_width(strip.width);
    let block = Rect {
        x: strip.right() - wide,
        width: wide,
        ..strip
    };
    rect(svg, &block, &frame);
    title_block(svg, &block, title);
    let room = Rect {
        width: strip.width - wide,
        ..strip
    };
    legend(svg, &room, sheet, plan);
    svg.close();
}

fn block_width(strip: f64) -> f64 {
    (strip * SHARE).min(WIDEST)
}

struct Line {
    words: String,
    size: f64,
    bold: bool,
    step: f64,
    fill: &'static str,
}

fn title_lines(title: &TitleBlock, room: f64) -> Vec<Line> {
    let set = |text: &str, size: f64, bold: bool, fill: &'static str| -> Vec<Line> {
        let lines = lines(text, room, size, bold).into_iter();
        let line = |words| Line {
            words,
            size,
            bold,
            step: size * LINE + 0.5,
            fill,
        };
        lines.map(line).collect()
    };
    let mut all = set(&title.title, TITLE, true, INK);
    all.extend(set(&title.craft, CRAFT, false, INK));
    for line in &title.lines {
        all.extend(set(line, SMALL, false, SOFT));
    }
    all
}

fn title_block(svg: &mut Svg, block: &Rect, title: &TitleBlock) {
    let mut down = block.y + EDGE;
    for line in title_lines(title, block.width - 2.0 * EDGE) {
        if down + line.size * LINE > block.bottom() + 0.01 {
            break;
        }
        label(
            svg,
            block.x + EDGE,
            down,
            &line.words,
            line.size,
            line.bold,
            line.fill,
        );
        down += line.step;
    }
}

/// Words that begin at a place.
fn label(svg: &mut Svg, x: f64, y: f64, text: &str, size: f64, bold: bool, fill: &str) {
    let rect = Rect {
        x,
        y,
        width: width(text, size, bold),
        height: size * LINE,
    };
    let text = Text {
        of: TextOf::Name { block: 0 },
        words: text.to_string(),
        rect,
        size,
        upright: false,
        bold,
        clean: true,
    };
    words_from(svg, &text, fill);
}

/// Words set from the left, so that columns are even in any face.
fn words_from(svg: &mut Svg, text: &Text, fill: &str) {
    let [x, y] = [
        text.rect.x,
        text.rect.y + text.size * LINE * diagram::letters::ABOVE_BASE,
    ]
    .map(short);
    let size = short(text.size);
    let mut style = vec![
        ("x", x.as_str()),
        ("y", &y),
        ("font-size", &size),
        ("fill", fill),
    ];
    if text.bold {
        style.push(("font-weight", "700"));
    }
    svg.words("text", &style, &text.words);
}

fn legend(svg: &mut Svg, room: &Rect, sheet: &Sheet, plan: &Plan) {
    let mut entries: Vec<Entry> = Vec::new();
    let drawn = || {
        sheet
            .wires
            .iter()
            .filter_map(|wire| plan.wires.get(wire.wire))
    };
    for (state, name) in [
        (State::Kept, "stays"),
        (State::New, "new"),
        (State::Removed, "removed"),
    ] {
        let block = sheet.blocks.iter().any(|block| block.state == state);
        if block || drawn().any(|wire| wire.state == state) {
            entries.push(Entry::Line(Ink::Grey, state, name.to_string()));
        }
    }
    let pads = || sheet.blocks.iter().flat_map(|block| &block.pads);
    if pads().any(|pad| pad.side == Side::Bottom) {
        entries.push(Entry::Pad(false, "pad underneath"));
    }
    if pads().any(|pad| pad.moved) {
        entries.push(Entry::Pad(true, "place not exact"));
    }
    for ink in Ink::ALL {
        if drawn().any(|wire| wire.ink == ink) {
            let words = format!("{} {}", ink.code(), look::name(ink));
            entries.push(Entry::Line(ink, State::New, words));
        }
    }
    if drawn().any(|wire| wire.pair.is_some()) {
        entries.push(Entry::Twist);
    }
    let note_room = if sheet.scale.is_some() { STEP } else { 0.0 };
    let rows = ((room.height - 2.0 * EDGE - note_room) / STEP + 0.01)
        .floor()
        .max(1.0) as usize;
    let mut left = room.x + EDGE;
    for column in entries.chunks(rows) {
        for (row, entry) in column.iter().enumerate() {
            let at = Point {
                x: left,
                y: room.y + EDGE + row as f64 * STEP,
            };
            entry.draw(svg, at);
        }
        let widest = column.iter().map(Entry::width).fold(0.0, f64::max);
        left += widest + BETWEEN;
    }
    if let Some(scale) = sheet.scale {
        let words = format!("Boards {} : 1 from above, forward is up", short(scale));
        let y = room.bottom() - EDGE - SMALL * LINE + 0.4;
        label(svg, room.x + EDGE, y, &words, SMALL, false, SOFT);
    }
}

enum Entry {
    Line(Ink, State, String),
    Pad(bool, &'static str),
    Twist,
}

impl Entry {
    fn words(&self) -> &str {
        match self {
            Entry::Line(_, _, words) => words,
            Entry::Pad(_, words) => words,
            Entry::Twist => "∞1 twisted pair 1",
        }
    }

    fn width(&self) -> f64 {
        let before = if matches!(self, Entry::Twist) {
            0.0
        } else {
            SAMPLE + GAP
        };
        before + width(self.words(), SMALL, false)
    }

    fn draw(&self, svg: &mut Svg, at: Point) {
        let middle = at.y + SMALL * LINE / 2.0;
        let sample = Point {
            x: at.x + SAMPLE / 2.0,
            y: middle,
        };
        match self {
            Entry::Line(ink, state, _) => {
                let [left, right, y] = [at.x, at.x + SAMPLE, middle].map(short);
                let path = format!("M{left} {y}L{right} {y}");
                strokes(svg, &path, look::colour(*ink), *state);
                if *state == State::Removed {
                    cross(svg, sample);
                }
            }
            Entry::Pad(moved, _) => {
                let shape = Rect::around(sample, 2.2, 2.2);
                let more = if *moved {
                    ("rx", "1.1")
                } else {
                    ("stroke-dasharray", "0.6 0.4")
                };
                let style = [
                    ("fill", "#ffffff"),
                    ("stroke", INK),
                    ("stroke-width", "0.2"),
                    more,
                ];
                rect(svg, &shape, &style);
            }
            Entry::Twist => {}
        }
        let words = at.x + self.width() - width(self.words(), SMALL, false);
        label(svg, words, at.y, self.words(), SMALL, false, INK);
    }
}
