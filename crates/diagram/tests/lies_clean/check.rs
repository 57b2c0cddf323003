//! Whether a sheet lies as it should, judged from the sheet and the plan alone.

use diagram::{Plan, Point, Rect, RoutedWire, Sheet, TextOf};

/// Nearest that a wire may pass a pad it does not end at \[mm\].
const PAD_CLEARANCE: f64 = 0.5;

/// Nearest that two wires may run side by side \[mm\].
const WIRE_CLEARANCE: f64 = 1.1;

/// Rounding of sums of a few lengths, far below a printed dot \[mm\].
const ROUNDING: f64 = 1e-6;

/// All that is wrong, in words; empty for a sheet on which all lies clean.
pub fn faults(sheet: &Sheet, plan: &Plan) -> Vec<String> {
    let mut faults = Vec::new();
    ends(sheet, plan, &mut faults);
    inside(sheet, &mut faults);
    blocks(sheet, &mut faults);
    texts(sheet, &mut faults);
    labels(sheet, plan, &mut faults);
    for wire in &sheet.wires {
        pads(wire, sheet, plan, &mut faults);
        words(wire, sheet, &mut faults);
        bodies(wire, sheet, plan, &mut faults);
    }
    side_by_side(sheet, plan, &mut faults);
    faults
}

/// Every wire is drawn, from the middle of one pad to the middle of the other, level and upright.
fn ends(sheet: &Sheet, plan: &Plan, faults: &mut Vec<String>) {
    for (number, wire) in plan.wires.iter().enumerate() {
        let drawn = sheet.wires.iter().find(|routed| routed.wire == number);
        let Some(routed) = drawn else {
            if !sheet.left_out.contains(&number) {
                faults.push(format!("wire {number} is neither drawn nor left out"));
            }
            continue;
        };
        let middle = |nth: usize| {
            let end = wire.ends[nth];
            sheet.blocks[end.block].pads[end.pad].rect.middle()
        };
        let is_at = |one: Option<&Point>, other: Point| {
            one.is_some_and(|one| apart(*one, other) < ROUNDING)
        };
        let both =
            is_at(routed.points.first(), middle(0)) && is_at(routed.points.last(), middle(1));
        if !both {
            faults.push(format!("wire {number} does not end at its pads"));
        }
        for (one, other) in pieces(routed) {
            if (one.x - other.x).abs() > ROUNDING && (one.y - other.y).abs() > ROUNDING {
                faults.push(format!("wire {number} runs aslant"));
            }
        }
    }
}

/// Nothing leaves the page or enters the title strip.
fn inside(sheet: &Sheet, faults: &mut Vec<String>) {
    let free = Rect {
        x: 0.0,
        y: 0.0,
        width: sheet.width,
        height: sheet.title.y,
    };
    for block in &sheet.blocks {
        let pads = block.pads.iter().map(|pad| &pad.rect);
        if !free.holds(&block.rect)
            || !pads
                .into_iter()
                .all(|pad| block.rect.grown(ROUNDING).holds(pad))
        {
            faults.push(format!("a block or its pads stick out: {:?}", block.rect));
        }
    }
    for text in &sheet.texts {
        if !free.holds(&text.rect) {
            faults.push(format!("`{}` is off the page", text.words));
        }
    }
    for wire in &sheet.wires {
        let span = |(one, other)| span(one, other);
        if !pieces(wire).map(span).all(|piece| free.holds(&piece)) {
            faults.push(format!("wire {} leaves the page", wire.wire));
        }
    }
}

fn blocks(sheet: &Sheet, faults: &mut Vec<String>) {
    for (nth, one) in sheet.blocks.iter().enumerate() {
        for (other, block) in sheet.blocks.iter().enumerate().skip(nth + 1) {
            if one.rect.overlaps(&block.rect) {
                faults.push(format!("blocks {nth} and {other} lie on one another"));
            }
        }
    }
}

/// No words lie on other words or on a pad.
fn texts(sheet: &Sheet, faults: &mut Vec<String>) {
    for (nth, one) in sheet.texts.iter().enumerate() {
        for other in &sheet.texts[nth + 1..] {
            if one.rect.grown(-ROUNDING).overlaps(&other.rect) {
                faults.push(format!(
                    "`{}` lies on `{}`: {one:?} {other:?}",
                    one.words, other.words
                ));
            }
        }
        let mut pads = sheet.blocks.iter().flat_map(|block| &block.pads);
        if pads.any(|pad| pad.rect.grown(-ROUNDING).overlaps(&one.rect)) {
            faults.push(format!("`{}` lies on a pad", one.words));
        }
    }
}

/// Every wire has its words on itself or, when it is short, right beside, every pad with a wire has its label.
fn labels(sheet: &Sheet, plan: &Plan, faults: &mut Vec<String>) {
    for wire in &sheet.wires {
        let text = wire.label.map(|label| &sheet.texts[label]);
        let on_it = |rect: &Rect| {
            pieces(wire).any(|(one, other)| span(one, other).grown(1.0).overlaps(rect))
        };
        if !text
            .is_some_and(|text| text.of == TextOf::Wire { wire: wire.wire } && on_it(&text.rect))
        {
            faults.push(format!("wire {} has no words on it", wire.wire));
        }
        for end in plan.wires[wire.wire].ends {
            let label = sheet.blocks[end.block].pads[end.pad].label;
            if label.is_none() && !plan.blocks[end.block].pads[end.pad].label.trim().is_empty() {
                faults.push(format!("{end:?} has no label"));
            }
        }
    }
}

fn pads(wire: &RoutedWire, sheet: &Sheet, plan: &Plan, faults: &mut Vec<String>) {
    let own = plan.wires[wire.wire].ends;
    for (number, block) in sheet.blocks.iter().enumerate() {
        for (pad, placed) in block.pads.iter().enumerate() {
            if own.iter().any(|end| end.block == number && end.pad == pad) {
                continue;
            }
            let room = placed.rect.grown(PAD_CLEARANCE);
            if pieces(wire).any(|(one, other)| span(one, other).overlaps(&room)) {
                faults.push(format!(
                    "wire {} passes pad {pad} of block {number}",
                    wire.wire
                ));
            }
        }
    }
}

fn words(wire: &RoutedWire, sheet: &Sheet, faults: &mut Vec<String>) {
    for text in &sheet.texts {
        if text.of == (TextOf::Wire { wire: wire.wire }) {
            continue;
        }
        if pieces(wire).any(|(one, other)| span(one, other).overlaps(&text.rect)) {
            faults.push(format!("wire {} runs through `{}`", wire.wire, text.words));
        }
    }
}

/// Wires run over no block but those they end at.
fn bodies(wire: &RoutedWire, sheet: &Sheet, plan: &Plan, faults: &mut Vec<String>) {
    let own = plan.wires[wire.wire].ends;
    for (number, block) in sheet.blocks.iter().enumerate() {
        let is_own = own.iter().any(|end| end.block == number);
        if !is_own && pieces(wire).any(|(one, other)| span(one, other).overlaps(&block.rect)) {
            faults.push(format!("wire {} runs over block {number}", wire.wire));
        }
    }
}

/// No two wires run on, or too near beside, one another; within a pad that both end at they may.
fn side_by_side(sheet: &Sheet, plan: &Plan, faults: &mut Vec<String>) {
    for (nth, one) in sheet.wires.iter().enumerate() {
        for other in &sheet.wires[nth + 1..] {
            let shared: Vec<Rect> = plan.wires[one.wire]
                .ends
                .iter()
                .filter(|end| plan.wires[other.wire].ends.contains(end))
                .map(|end| sheet.blocks[end.block].pads[end.pad].rect)
                .collect();
            for corner in corners(one).iter().chain(&corners(other)) {
                let on = |wire: &RoutedWire| {
                    pieces(wire).any(|(a, b)| span(a, b).grown(ROUNDING).holds(&dot(*corner)))
                };
                if on(one)
                    && on(other)
                    && !shared
                        .iter()
                        .any(|pad| pad.grown(ROUNDING).holds(&dot(*corner)))
                {
                    faults.push(format!(
                        "wires {} and {} touch at {corner:?}",
                        one.wire, other.wire
                    ));
                }
            }
            for a in pieces(one) {
                for b in pieces(other) {
                    let Some(common) = beside(a, b) else { continue };
                    if !shared.iter().any(|pad| pad.grown(ROUNDING).holds(&common)) {
                        let (one, other) = (one.wire, other.wire);
                        faults.push(format!(
                            "wires {one} and {other} run side by side: {a:?} {b:?}"
                        ));
                    }
                }
            }
        }
    }
}

/// Where two parallel pieces are too near one another, between and including both.
fn beside(a: (Point, Point), b: (Point, Point)) -> Option<Rect> {
    let (one, other) = (span(a.0, a.1), span(b.0, b.1));
    let level = |piece: &Rect| piece.height < ROUNDING && piece.width > ROUNDING;
    let upright = |piece: &Rect| piece.width < ROUNDING && piece.height > ROUNDING;
    let parallel = level(&one) && level(&other) || upright(&one) && upright(&other);
    if !parallel {
        return None;
    }
    let (x0, x1) = (one.x.max(other.x), one.right().min(other.right()));
    let (y0, y1) = (one.y.max(other.y), one.bottom().min(other.bottom()));
    let (run, gap) = if level(&one) {
        (x1 - x0, y0 - y1)
    } else {
        (y1 - y0, x0 - x1)
    };
    (run > ROUNDING && gap < WIRE_CLEARANCE).then(|| Rect {
        x: x0.min(x1),
        y: y0.min(y1),
        width: (x1 - x0).abs(),
        height: (y1 - y0).abs(),
    })
}

/// Where a wire bends.
fn corners(wire: &RoutedWire) -> Vec<Point> {
    let inner = 1..wire.points.len().saturating_sub(1).max(1);
    wire.points.get(inner).unwrap_or_default().to_vec()
}

fn dot(at: Point) -> Rect {
    Rect {
        x: at.x,
        y: at.y,
        ..Rect::default()
    }
}

fn pieces(wire: &RoutedWire) -> impl Iterator<Item = (Point, Point)> {
    wire.points.windows(2).map(|pair| (pair[0], pair[1]))
}

fn span(one: Point, other: Point) -> Rect {
    Rect {
        x: one.x.min(other.x),
        y: one.y.min(other.y),
        width: (one.x - other.x).abs(),
        height: (one.y - other.y).abs(),
    }
}

fn apart(one: Point, other: Point) -> f64 {
    (one.x - other.x).abs().max((one.y - other.y).abs())
}
