//! The drawing as SVG.

use diagram::letters::{ABOVE_BASE, LINE};
use diagram::{PlacedBlock, Plan, Point, Rect, RoutedWire, Sheet, Side, State, Text, TextOf};

use super::TitleBlock;
use super::key;
use super::look::{self, BOARD, FACES, INK, PAD, PALE, SOFT, colour};
use super::write::{Svg, short};

/// How far a wire's corner is rounded \[mm\].
const CORNER: f64 = 1.0;

/// The drawing of a sheet. The plan must be the one the sheet was arranged from; what does not
/// belong together is left out.
pub fn svg(sheet: &Sheet, plan: &Plan, title: &TitleBlock) -> String {
    let mut svg = Svg::default();
    let (width, height) = (short(sheet.width), short(sheet.height));
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
    svg.words("title", &[("id", "drawing-title")], &title.title);
    svg.words("desc", &[("id", "drawing-words")], &in_words(sheet, plan));
    rect(&mut svg, &whole(sheet), &[("fill", "#ffffff")]);
    for (block, placed) in sheet.blocks.iter().enumerate() {
        outline(&mut svg, placed, &format!("block-{block}"));
    }
    for routed in &sheet.wires {
        wire(&mut svg, routed, plan);
    }
    for placed in &sheet.blocks {
        pads(&mut svg, placed);
    }
    for words in &sheet.texts {
        text(&mut svg, words);
    }
    key::key(&mut svg, sheet, plan, title);
    svg.finish()
}

/// The drawing for those who cannot see it: every wire, from where to where.
fn in_words(sheet: &Sheet, plan: &Plan) -> String {
    let mut words = format!("Wiring of {} blocks.", sheet.blocks.len());
    for routed in &sheet.wires {
        let Some(wire) = plan.wires.get(routed.wire) else {
            continue;
        };
        let end = |nth: usize| {
            let end = wire.ends[nth];
            let block = plan.blocks.get(end.block)?;
            Some(format!("{} {}", block.name, block.pads.get(end.pad)?.label))
        };
        if let (Some(one), Some(other)) = (end(0), end(1)) {
            let state = match wire.state {
                State::Kept => "",
                State::New => ", new",
                State::Removed => ", removed",
            };
            let name = look::name(wire.ink);
            words.push_str(&format!(
                " Wire {}, {name}{state}: {one} to {other}.",
                wire.label
            ));
        }
    }
    words
}

fn whole(sheet: &Sheet) -> Rect {
    Rect {
        x: 0.0,
        y: 0.0,
        width: sheet.width,
        height: sheet.height,
    }
}

/// A rectangle with more attributes.
pub fn rect(svg: &mut Svg, rect: &Rect, more: &[(&str, &str)]) {
    let numbers = [rect.x, rect.y, rect.width, rect.height].map(short);
    let mut attributes = vec![
        ("x", numbers[0].as_str()),
        ("y", &numbers[1]),
        ("width", &numbers[2]),
        ("height", &numbers[3]),
    ];
    attributes.extend(more);
    svg.empty("rect", &attributes);
}

fn outline(svg: &mut Svg, placed: &PlacedBlock, id: &str) {
    let fill = if placed.to_scale { BOARD } else { "#ffffff" };
    let width = match placed.state {
        State::New => "0.8",
        _ => "0.35",
    };
    let mut style = vec![
        ("id", id),
        ("rx", "1"),
        ("fill", fill),
        ("stroke", INK),
        ("stroke-width", width),
    ];
    if placed.state == State::Removed {
        style.push(("stroke-dasharray", "2 1.2"));
    }
    rect(svg, &placed.rect, &style);
}

fn pads(svg: &mut Svg, placed: &PlacedBlock) {
    for pad in &placed.pads {
        let (fill, stroke) = match (pad.used, pad.side) {
            (true, Side::Top) => (PAD, INK),
            (true, Side::Bottom) => ("#ffffff", INK),
            (false, _) => PALE,
        };
        let round = short(if pad.moved { pad.rect.width / 2.0 } else { 0.3 });
        let mut style = vec![
            ("rx", round.as_str()),
            ("fill", fill),
            ("stroke", stroke),
            ("stroke-width", "0.2"),
        ];
        if pad.side == Side::Bottom {
            style.push(("stroke-dasharray", "0.6 0.4"));
        }
        rect(svg, &pad.rect, &style);
    }
}

fn wire(svg: &mut Svg, routed: &RoutedWire, plan: &Plan) {
    let Some(wire) = plan.wires.get(routed.wire) else {
        return;
    };
    let path = rounded(&routed.points);
    svg.open("g", &[("id", &format!("wire-{}", routed.wire))]);
    strokes(svg, &path, colour(wire.ink), wire.state);
    if wire.state == State::Removed {
        crosses(svg, &routed.points);
    }
    svg.close();
}

/// A wire's lines from below: white where it passes over others, dark edge, colour.
pub fn strokes(svg: &mut Svg, path: &str, colour: &str, state: State) {
    let (width, edge) = look::line(state);
    let cased = width + 2.0 * edge;
    let layers = [
        ("#ffffff", cased + 0.5, "butt"),
        (INK, cased, "butt"),
        (colour, width, "butt"),
    ];
    for (nth, (stroke, width, cap)) in layers.into_iter().enumerate() {
        let width = short(width);
        let mut style = vec![
            ("d", path),
            ("fill", "none"),
            ("stroke", stroke),
            ("stroke-width", &width),
            ("stroke-linecap", cap),
            ("stroke-linejoin", "round"),
        ];
        if state == State::Removed && nth > 0 {
            style.push(("stroke-dasharray", "2.2 1.3"));
        }
        svg.empty("path", &style);
    }
}

/// Marks along a wire that is taken out.
fn crosses(svg: &mut Svg, points: &[Point]) {
    let mut marks = Vec::new();
    for pair in points.windows(2) {
        let (dx, dy) = (pair[1].x - pair[0].x, pair[1].y - pair[0].y);
        let length = dx.abs() + dy.abs();
        let count = (length / 14.0).round() as usize;
        for nth in 0..count.min(200) {
            let share = (nth as f64 + 0.5) / count as f64;
            marks.push(Point {
                x: pair[0].x + dx * share,
                y: pair[0].y + dy * share,
            });
        }
    }
    for mark in marks {
        cross(svg, mark);
    }
}

/// One such mark.
pub fn cross(svg: &mut Svg, at: Point) {
    let [left, right] = [at.x - 0.9, at.x + 0.9].map(short);
    let [up, down] = [at.y - 0.9, at.y + 0.9].map(short);
    let path = format!("M{left} {up}L{right} {down}M{left} {down}L{right} {up}");
    svg.empty(
        "path",
        &[
            ("d", &path),
            ("stroke", INK),
            ("stroke-width", "0.3"),
            ("fill", "none"),
        ],
    );
}

/// Words in their room; the room of a wire's words is wiped first.
fn text(svg: &mut Svg, text: &Text) {
    let (fill, wiped) = match text.of {
        TextOf::Wire { .. } => (INK, true),
        TextOf::Note { .. } => (SOFT, false),
        TextOf::Name { .. } | TextOf::Pad { .. } => (INK, false),
    };
    if wiped {
        rect(svg, &text.rect, &[("fill", "#ffffff"), ("rx", "0.6")]);
    }
    words(svg, text, fill);
}

/// Words in the middle of their room.
fn words(svg: &mut Svg, text: &Text, fill: &str) {
    let middle = text.rect.middle();
    let base = text.size * LINE * (ABOVE_BASE - 0.5);
    let turn;
    let (x, y) = (short(middle.x), short(middle.y + base));
    let size = short(text.size);
    let mut style = vec![
        ("x", x.as_str()),
        ("y", &y),
        ("font-size", &size),
        ("text-anchor", "middle"),
        ("fill", fill),
    ];
    if text.bold {
        style.push(("font-weight", "700"));
    }
    if text.upright {
        turn = format!("rotate(-90 {} {})", short(middle.x), short(middle.y));
        style.push(("transform", &turn));
    }
    svg.words("text", &style, &text.words);
}

/// A path along points, its corners rounded.
fn rounded(points: &[Point]) -> String {
    let Some(first) = points.first() else {
        return String::new();
    };
    let mut path = format!("M{} {}", short(first.x), short(first.y));
    for nth in 1..points.len() {
        let at = points[nth];
        let Some(next) = points.get(nth + 1) else {
            path.push_str(&format!("L{} {}", short(at.x), short(at.y)));
            break;
        };
        let (before, after) = (towards(at, points[nth - 1]), towards(at, *next));
        path.push_str(&format!(
            "L{} {}Q{} {} {} {}",
            short(before.x),
            short(before.y),
            short(at.x),
            short(at.y),
            short(after.x),
            short(after.y)
        ));
    }
    path
}

/// The point a little way from one towards another, at most half of it.
fn towards(one: Point, other: Point) -> Point {
    let length = (other.x - one.x).abs() + (other.y - one.y).abs();
    let share = if length > 0.0 {
        (CORNER / length).min(0.5)
    } else {
        0.0
    };
    Point {
        x: one.x + (other.x - one.x) * share,
        y: one.y + (other.y - one.y) * share,
    }
}
