//! A board to scale: real pads, and labels put where they hide nothing.

use crate::measure::*;
use crate::plan::Block;
use crate::shape::{PadShape, Shape, heading, pad_label, place};
use crate::sheet::{Point, Rect, Text};

/// Nearest distance between two pads of a board that wires end at \[mm of board\]; infinite for fewer than two.
pub fn pitch_mm(block: &Block, wires: &[usize]) -> f64 {
    let used = block
        .pads
        .iter()
        .zip(wires)
        .filter(|(_, wires)| **wires > 0);
    let places: Vec<(f64, f64)> = used.filter_map(|(pad, _)| place(pad)).take(400).collect();
    nearest(&places)
}

/// The board at a scale \[mm of paper for one of board\].
pub fn board(number: usize, block: &Block, wires: &[usize], scale: f64) -> Shape {
    let (across, along) = block.outline_mm.unwrap_or((3.0, 3.0));
    let size = Point {
        x: across * scale,
        y: along * scale,
    };
    let (middles, moved) = pad_places(block, wires, size, scale);
    let shape = |(nth, middle): (usize, &Point)| {
        let side = (room_at(nth, &middles) * PAD_SHARE).clamp(BOARD_PAD.1, BOARD_PAD.0);
        let side = if wires[nth] > 0 { side } else { side * 0.75 };
        PadShape {
            rect: Rect::around(*middle, side, side),
            side: block.pads[nth].side,
            wires: wires[nth],
            moved: moved[nth],
            facing: None,
        }
    };
    let pads: Vec<PadShape> = middles.iter().enumerate().map(shape).collect();
    let mut texts = labels(number, block, &pads, size);
    texts.extend(title(number, block, &pads, &texts, size));
    Shape {
        size,
        to_scale: true,
        pads,
        texts,
    }
}

/// Where the pads lie on paper, and which had to move.
fn pad_places(block: &Block, wires: &[usize], size: Point, scale: f64) -> (Vec<Point>, Vec<bool>) {
    let inset = (BOARD_PAD.0 / 2.0 + 0.2).min(size.x.min(size.y) / 2.0);
    let clamped = |at: Point| Point {
        x: at.x.clamp(inset, size.x - inset),
        y: at.y.clamp(inset, size.y - inset),
    };
    let count = block.pads.len();
    let known = |nth: usize| {
        place(&block.pads[nth]).map(|(x, y)| Point {
            x: size.x / 2.0 + x * scale,
            y: size.y / 2.0 - y * scale,
        })
    };
    let guessed = guessed(&(0..count).map(known).collect::<Vec<_>>(), size, inset);
    let wanted = |nth: usize| known(nth).unwrap_or(guessed[nth]);
    let mut middles = vec![Point::default(); count];
    let mut moved = vec![false; count];
    let mut taken: Vec<Point> = Vec::with_capacity(count);
    // Pads with wires keep their places before pads without.
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|&nth| (wires[nth] == 0, place(&block.pads[nth]).is_none(), nth));
    for nth in order {
        let wanted = wanted(nth);
        let start = clamped(wanted);
        let at = free_near(start, &taken, clamped);
        let shift = (at.x - wanted.x).abs().max((at.y - wanted.y).abs());
        moved[nth] = place(&block.pads[nth]).is_none() || shift > BOARD_PAD.0 / 2.0 + 0.3;
        middles[nth] = at;
        taken.push(at);
    }
    (middles, moved)
}

/// Places for pads whose place nobody knows: down the left and the right edge, where no other pad
/// needs the room, in the order of the pads.
fn guessed(known: &[Option<Point>], size: Point, inset: f64) -> Vec<Point> {
    let unknown: Vec<usize> = (0..known.len())
        .filter(|&nth| known[nth].is_none())
        .collect();
    let first = SLOT / 2.0 + 0.3;
    let rows = ((size.y - 2.0 * first) / SLOT).floor().max(0.0) as usize;
    let slots = |x: f64| {
        let free = move |at: &Point| {
            let near = |other: &Point| {
                (at.x - other.x).abs() < 4.0 * PAD_PITCH && (at.y - other.y).abs() < SLOT - SAME
            };
            !known.iter().flatten().any(near)
        };
        let row = move |nth: usize| Point {
            x,
            y: first + nth as f64 * SLOT,
        };
        (0..=rows).map(row).filter(free).collect::<Vec<Point>>()
    };
    let (left, right) = (slots(inset), slots(size.x - inset));
    let here = unknown
        .len()
        .div_ceil(2)
        .max(unknown.len().saturating_sub(right.len()));
    let mut places = vec![Point::default(); known.len()];
    for (nth, &pad) in unknown.iter().enumerate() {
        let (slots, nth, x) = match nth < here {
            true => (&left, nth, inset),
            false => (&right, nth - here, size.x - inset),
        };
        // What is over is moved to wherever there is room.
        let middle = Point { x, y: size.y / 2.0 };
        places[pad] = slots.get(nth).copied().unwrap_or(middle);
    }
    places
}

/// The point nearest to a start that keeps off all that is taken; the start if there is none.
fn free_near(start: Point, taken: &[Point], clamped: impl Fn(Point) -> Point) -> Point {
    let is_free = |at: &Point| {
        let apart = |other: &Point| (at.x - other.x).abs().max((at.y - other.y).abs());
        taken.iter().all(|other| apart(other) >= PAD_PITCH - SAME)
    };
    if is_free(&start) {
        return start;
    }
    for ring in 1..24 {
        for step in 0..8 * ring {
            let (dx, dy) = on_ring(ring, step);
            let at = clamped(Point {
                x: start.x + f64::from(dx) * PAD_PITCH / 4.0,
                y: start.y + f64::from(dy) * PAD_PITCH / 4.0,
            });
            if is_free(&at) {
                return at;
            }
        }
    }
    start
}

/// A step along the square ring around a point.
fn on_ring(ring: i32, step: i32) -> (i32, i32) {
    let (edge, along) = (step / (2 * ring), step % (2 * ring) - ring);
    match edge {
        0 => (ring, along),
        1 => (-along, ring),
        2 => (-ring, -along),
        _ => (along, -ring),
    }
}

/// Labels of the pads; those without a wire only where there is room.
fn labels(number: usize, block: &Block, pads: &[PadShape], size: Point) -> Vec<Text> {
    let outline = Rect {
        x: 0.0,
        y: 0.0,
        width: size.x,
        height: size.y,
    };
    let exits: Vec<(usize, Rect)> = pads
        .iter()
        .enumerate()
        .filter_map(|pad| exit(pad, size))
        .collect();
    let upright = rows_are_tight(block, pads, size);
    let mut texts: Vec<Text> = Vec::new();
    let mut order: Vec<usize> = (0..pads.len()).collect();
    order.sort_by_key(|&nth| (pads[nth].wires == 0, nth));
    for nth in order {
        let text = pad_label(number, nth, block);
        if text.words.is_empty() {
            continue;
        }
        let used = pads[nth].wires > 0;
        let candidates = candidates(&text, &pads[nth], size, upright);
        let hides = |rect: &Rect, strict: bool| {
            let grown = rect.grown(TEXT_CLEAR);
            let on_pad = pads.iter().any(|pad| grown.overlaps(&pad.rect));
            let on_text = texts.iter().any(|text| grown.overlaps(&text.rect));
            let on_exit = exits
                .iter()
                .any(|(pad, exit)| *pad != nth && grown.overlaps(exit));
            on_pad || on_text || (strict && on_exit)
        };
        let inside = |rect: &Rect| outline.holds(rect);
        let best = candidates
            .iter()
            .find(|(rect, _)| inside(rect) && !hides(rect, true));
        let off = |rect: &Rect| !outline.grown(0.5).overlaps(rect);
        let second = || {
            candidates
                .iter()
                .find(|(rect, _)| off(rect) && !hides(rect, true))
        };
        let third = || {
            candidates
                .iter()
                .find(|(rect, _)| inside(rect) && !hides(rect, false))
        };
        let fourth = || candidates.iter().find(|(rect, _)| !hides(rect, false));
        let found = match used {
            true => best.or_else(second).or_else(third).or_else(fourth),
            false => best,
        };
        let Some((rect, upright)) = found.or(candidates.first().filter(|_| used)) else {
            continue;
        };
        texts.push(Text {
            rect: *rect,
            upright: *upright,
            clean: found.is_some(),
            ..text
        });
    }
    texts
}

/// The straight way from a pad near an edge off the board, which labels leave free.
fn exit((nth, pad): (usize, &PadShape), size: Point) -> Option<(usize, Rect)> {
    let (edge, depth) = nearest_edge(pad, size);
    if pad.wires == 0 || depth > 2.0 * PAD_PITCH {
        return None;
    }
    let (middle, wide, out) = (pad.rect.middle(), 1.6, 2.5);
    let across = |x: f64, width: f64| Rect {
        x,
        y: middle.y - wide / 2.0,
        width,
        height: wide,
    };
    let along = |y: f64, height: f64| Rect {
        x: middle.x - wide / 2.0,
        y,
        width: wide,
        height,
    };
    let rect = match edge {
        Edge::Left => across(-out, middle.x + out),
        Edge::Right => across(middle.x, size.x - middle.x + out),
        Edge::Top => along(-out, middle.y + out),
        Edge::Bottom => along(middle.y, size.y - middle.y + out),
    };
    Some((nth, rect))
}

#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Left,
    Right,
    Top,
    Bottom,
}

/// The edge a pad is nearest to, and how far its middle is from it.
fn nearest_edge(pad: &PadShape, size: Point) -> (Edge, f64) {
    let at = pad.rect.middle();
    let all = [
        (Edge::Left, at.x),
        (Edge::Right, size.x - at.x),
        (Edge::Top, at.y),
        (Edge::Bottom, size.y - at.y),
    ];
    let nearer = |one: &(Edge, f64), other: &(Edge, f64)| one.1.total_cmp(&other.1);
    all.into_iter().min_by(nearer).unwrap_or((Edge::Left, 0.0))
}

/// Whether labels side by side along the upper or lower edge would touch.
fn rows_are_tight(block: &Block, pads: &[PadShape], size: Point) -> bool {
    let labelled = |nth: usize| {
        let (edge, depth) = nearest_edge(&pads[nth], size);
        let row = matches!(edge, Edge::Top | Edge::Bottom) && depth < 2.0 * PAD_PITCH;
        let width = pad_label(0, nth, block).rect.width;
        (row && pads[nth].wires > 0).then(|| (edge, pads[nth].rect.middle().x, width))
    };
    let row: Vec<(Edge, f64, f64)> = (0..pads.len()).filter_map(labelled).collect();
    let close = |(edge, x, width): &(Edge, f64, f64), other: &(Edge, f64, f64)| {
        let apart = (x - other.1).abs();
        *edge == other.0 && apart > 0.0 && apart < (width + other.2) / 2.0 + 2.0 * TEXT_CLEAR
    };
    row.iter()
        .any(|one| row.iter().any(|other| close(one, other)))
}

/// Places for a label around its pad, the best first, each with whether it runs upright.
fn candidates(text: &Text, pad: &PadShape, size: Point, tight: bool) -> Vec<(Rect, bool)> {
    let (wide, tall) = (text.rect.width, text.rect.height);
    let (edge, _) = nearest_edge(pad, size);
    let inward = match edge {
        Edge::Left => [Edge::Right, Edge::Bottom, Edge::Top, Edge::Left],
        Edge::Right => [Edge::Left, Edge::Bottom, Edge::Top, Edge::Right],
        Edge::Top => [Edge::Bottom, Edge::Right, Edge::Left, Edge::Top],
        Edge::Bottom => [Edge::Top, Edge::Right, Edge::Left, Edge::Bottom],
    };
    let mut places = Vec::new();
    for gap in [LABEL_GAP, 2.4, 4.2] {
        for (nth, side) in inward.into_iter().enumerate() {
            let row = matches!(side, Edge::Top | Edge::Bottom);
            let first = row && tight && nth == 0;
            for upright in [first, !first] {
                let (wide, tall) = if upright { (tall, wide) } else { (wide, tall) };
                let place = beside(&pad.rect, side, gap, wide, tall);
                places.push((held(place, row, size), upright));
            }
        }
        let middle = pad.rect.middle();
        let (dx, dy) = (
            pad.rect.width / 2.0 + wide / 2.0,
            pad.rect.height / 2.0 + tall / 2.0,
        );
        for (x, y) in [(1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
            let at = Point {
                x: middle.x + x * (dx + gap / 2.0),
                y: middle.y + y * (dy + gap / 2.0),
            };
            places.push((Rect::around(at, wide, tall), false));
        }
    }
    places
}

/// A place beside a pad in a corner, slid along the pad's edge until it is on the board.
fn held(place: Rect, row: bool, size: Point) -> Rect {
    let slide = |at: f64, length: f64, room: f64| {
        let shift = at.clamp(0.4, (room - length - 0.4).max(0.4)) - at;
        at + shift.clamp(-1.5, 1.5)
    };
    match row {
        true => Rect {
            x: slide(place.x, place.width, size.x),
            ..place
        },
        false => Rect {
            y: slide(place.y, place.height, size.y),
            ..place
        },
    }
}

fn beside(pad: &Rect, side: Edge, gap: f64, wide: f64, tall: f64) -> Rect {
    let middle = pad.middle();
    let (dx, dy) = (
        pad.width / 2.0 + gap + wide / 2.0,
        pad.height / 2.0 + gap + tall / 2.0,
    );
    let (x, y) = match side {
        Edge::Left => (-dx, 0.0),
        Edge::Right => (dx, 0.0),
        Edge::Top => (0.0, -dy),
        Edge::Bottom => (0.0, dy),
    };
    let at = Point {
        x: middle.x + x,
        y: middle.y + y,
    };
    Rect::around(at, wide, tall)
}

/// Name and note in the middle of the board if there is room, else above it.
fn title(
    number: usize,
    block: &Block,
    pads: &[PadShape],
    labels: &[Text],
    size: Point,
) -> Vec<Text> {
    let mut lines = heading(number, block);
    let wide = crate::shape::widest(&lines);
    let tall: f64 = lines.iter().map(|line| line.rect.height).sum();
    let taken = |room: &Rect| {
        pads.iter().any(|pad| room.overlaps(&pad.rect))
            || labels.iter().any(|label| room.overlaps(&label.rect))
    };
    let middle = Point {
        x: size.x / 2.0,
        y: size.y / 2.0,
    };
    let room = Rect::around(middle, wide, tall);
    let fits = wide + 4.0 < size.x && tall + 4.0 < size.y && !taken(&room.grown(3.0));
    let above = labels.iter().map(|label| label.rect.y).fold(0.0, f64::min);
    let corner = match fits {
        true => Point {
            x: room.x,
            y: room.y,
        },
        false => Point {
            x: 0.0,
            y: above - tall - 3.0,
        },
    };
    let mut down = corner.y;
    for line in &mut lines {
        let inset = if fits {
            (wide - line.rect.width) / 2.0
        } else {
            0.0
        };
        (line.rect.x, line.rect.y) = (corner.x + inset, down);
        down += line.rect.height;
    }
    lines
}

/// Distance from a point to the nearest other one, by the larger of its two parts.
fn room_at(nth: usize, points: &[Point]) -> f64 {
    let at = points[nth];
    let others = points.iter().enumerate().filter(|(other, _)| *other != nth);
    let apart = |(_, other): (usize, &Point)| (at.x - other.x).abs().max((at.y - other.y).abs());
    others.map(apart).fold(f64::INFINITY, f64::min)
}

/// Least distance between two of the points, by the larger of its two parts.
fn nearest(points: &[(f64, f64)]) -> f64 {
    let apart =
        |one: &(f64, f64), other: &(f64, f64)| (one.0 - other.0).abs().max((one.1 - other.1).abs());
    let mut least = f64::INFINITY;
    for (nth, one) in points.iter().enumerate() {
        for other in &points[nth + 1..] {
            let apart = apart(one, other);
            if apart > 1e-9 {
                least = least.min(apart);
            }
        }
    }
    least
}
