//! A craft in three views to scale, and its stacks pulled apart.

mod callout;
mod project;
mod stack;
mod views;

pub use stack::stack;
pub use views::views;

use crate::drawing::look::{FACES, INK, SOFT};
use crate::drawing::write::{Svg, short};
use diagram::letters::{ABOVE_BASE, LINE};

/// A4 upright \[mm\].
const SHEET: [f64; 2] = [210.0, 297.0];
/// Edge of the sheet \[mm\].
const EDGE: f64 = 10.0;

/// An empty sheet.
fn sheet(title: &str, words: &str) -> Svg {
    let mut svg = Svg::default();
    let [width, height] = SHEET.map(short);
    svg.open(
        "svg",
        &[
            ("xmlns", "http://www.w3.org/2000/svg"),
            ("width", &format!("{width}mm")),
            ("height", &format!("{height}mm")),
            ("viewBox", &format!("0 0 {width} {height}")),
            ("role", "img"),
            ("aria-labelledby", "drawing-title drawing-words"),
            ("font-family", FACES),
            ("fill", INK),
        ],
    );
    svg.words("title", &[("id", "drawing-title")], title);
    svg.words("desc", &[("id", "drawing-words")], words);
    svg.empty(
        "rect",
        &[("width", &width), ("height", &height), ("fill", "#ffffff")],
    );
    svg
}

/// Words whose upper left corner is at a place.
fn words(svg: &mut Svg, at: [f64; 2], size: f64, bold: bool, soft: bool, text: &str) {
    let base = at[1] + ABOVE_BASE * size * LINE;
    svg.words(
        "text",
        &[
            ("x", &short(at[0])),
            ("y", &short(base)),
            ("font-size", &short(size)),
            ("font-weight", if bold { "bold" } else { "normal" }),
            ("fill", if soft { SOFT } else { INK }),
        ],
        text,
    );
}

/// A straight line.
fn line(svg: &mut Svg, from: [f64; 2], to: [f64; 2], colour: &str, wide: f64, dashes: &str) {
    svg.empty(
        "line",
        &[
            ("x1", &short(from[0])),
            ("y1", &short(from[1])),
            ("x2", &short(to[0])),
            ("y2", &short(to[1])),
            ("stroke", colour),
            ("stroke-width", &short(wide)),
            ("stroke-dasharray", dashes),
        ],
    );
}

/// Title and remarks at the foot.
fn title_block(svg: &mut Svg, title: &str, craft: &str, remarks: &[&str]) {
    let mut y = SHEET[1] - EDGE - 4.6 - 3.8 * remarks.len() as f64 - 5.4;
    line(
        svg,
        [EDGE, y - 2.0],
        [SHEET[0] - EDGE, y - 2.0],
        crate::drawing::look::RULE,
        0.25,
        "none",
    );
    words(
        svg,
        [EDGE, y],
        4.4,
        true,
        false,
        &format!("{title}: {craft}"),
    );
    y += 6.4;
    for remark in remarks {
        words(svg, [EDGE, y], 2.75, false, true, remark);
        y += 3.8;
    }
}

/// Height of the title block \[mm\].
fn title_height(remarks: usize) -> f64 {
    4.6 + 3.8 * remarks as f64 + 5.4 + 4.0
}
