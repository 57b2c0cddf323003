//! Words on wires that do not leave a column: wherever a straight piece has room for them.

use crate::measure::*;
use crate::sheet::{Point, Rect, Sheet, Text};

/// Gap between a wire and words that stand beside it.
const BESIDE: f64 = 0.9;

/// The words of a wire, put on one of its pieces; not clean when no piece has room.
pub fn tag(text: Text, nth: usize, lines: &[Vec<Point>], sheet: &Sheet) -> Text {
    let mut pieces: Vec<(Point, Point)> = lines[nth]
        .windows(2)
        .map(|pair| (pair[0], pair[1]))
        .collect();
    // Level pieces read best; longer ones have more room.
    pieces.sort_by(|one, other| worth(other).total_cmp(&worth(one)));
    let on_it = pieces.iter().flat_map(|piece| spots(piece, &text));
    let beside_it = pieces.iter().flat_map(|piece| beside(piece, &text));
    let mut spots = on_it.chain(beside_it);
    let fallback = spots.clone().next();
    let found = spots.find(|(rect, _)| is_clear(rect, nth, lines, sheet));
    let clean = found.is_some();
    match found.or(fallback) {
        Some((rect, upright)) => Text {
            rect,
            upright,
            clean,
            ..text
        },
        None => {
            let at = lines[nth].first().copied().unwrap_or_default();
            let rect = Rect::around(at, text.rect.width, text.rect.height);
            Text {
                rect,
                clean,
                ..text
            }
        }
    }
}

fn worth(piece: &(Point, Point)) -> f64 {
    let (across, along) = ((piece.0.x - piece.1.x).abs(), (piece.0.y - piece.1.y).abs());
    across * 1.5 + along
}

/// Places along a piece, from its middle outwards.
fn spots(piece: &(Point, Point), text: &Text) -> Vec<(Rect, bool)> {
    let (one, other) = piece;
    let upright = (one.x - other.x).abs() < (one.y - other.y).abs();
    let length = (one.x - other.x).abs() + (one.y - other.y).abs();
    let needed = text.rect.width + 1.0;
    if length < needed {
        return Vec::new();
    }
    let (wide, tall) = match upright {
        true => (text.rect.height, text.rect.width),
        false => (text.rect.width, text.rect.height),
    };
    let slack = (length - needed) / 2.0;
    let steps = (slack / 2.5).floor() as i32;
    let mut shares = vec![0.0];
    for step in 1..=steps.min(60) {
        shares.extend([f64::from(step) * 2.5, f64::from(-step) * 2.5]);
    }
    let at = |shift: f64| {
        let share = 0.5 + shift / length;
        Point {
            x: one.x + (other.x - one.x) * share,
            y: one.y + (other.y - one.y) * share,
        }
    };
    let spot = |shift: f64| (Rect::around(at(shift), wide, tall), upright);
    shares.into_iter().map(spot).collect()
}

/// Places next to a piece that is too short to carry the words.
fn beside(piece: &(Point, Point), text: &Text) -> Vec<(Rect, bool)> {
    let (one, other) = piece;
    let level = (one.x - other.x).abs() >= (one.y - other.y).abs();
    let mut spots = Vec::new();
    for upright in [false, true] {
        let (wide, tall) = match upright {
            true => (text.rect.height, text.rect.width),
            false => (text.rect.width, text.rect.height),
        };
        let away = BESIDE + if level { tall } else { wide } / 2.0;
        for share in [0.5, 0.25, 0.75, 0.0, 1.0] {
            for side in [-away, away] {
                let (dx, dy) = if level { (0.0, side) } else { (side, 0.0) };
                let at = Point {
                    x: one.x + (other.x - one.x) * share + dx,
                    y: one.y + (other.y - one.y) * share + dy,
                };
                spots.push((Rect::around(at, wide, tall), upright));
            }
        }
    }
    spots
}

/// Whether words at a place hide nothing.
fn is_clear(rect: &Rect, nth: usize, lines: &[Vec<Point>], sheet: &Sheet) -> bool {
    let room = rect.grown(TEXT_CLEAR);
    let on_text = sheet.texts.iter().any(|text| room.overlaps(&text.rect));
    let on_pad = || {
        let mut pads = sheet.blocks.iter().flat_map(|block| &block.pads);
        pads.any(|pad| room.overlaps(&pad.rect))
    };
    let on_edge = || {
        let mut blocks = sheet.blocks.iter();
        blocks.any(|block| room.overlaps(&block.rect) && !block.rect.holds(&room))
    };
    let on_wire = || {
        let others = lines.iter().enumerate().filter(|(other, _)| *other != nth);
        let mut pieces = others.flat_map(|(_, line)| line.windows(2));
        pieces.any(|pair| room.overlaps(&span(pair[0], pair[1])))
    };
    !(on_text || on_pad() || on_edge() || on_wire())
}

/// A piece of wire as a thin rectangle.
fn span(one: Point, other: Point) -> Rect {
    let thin = Rect {
        x: one.x.min(other.x),
        y: one.y.min(other.y),
        width: (one.x - other.x).abs(),
        height: (one.y - other.y).abs(),
    };
    thin.grown(0.05)
}
