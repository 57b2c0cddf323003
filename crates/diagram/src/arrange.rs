//! From a plan to a sheet: the largest neat scale on the smallest paper on which all lies clean.

use crate::board::pitch_mm;
use crate::grid::{Grid, Thing, WALL};
use crate::layout::{Cast, Layout};
use crate::measure::*;
use crate::plan::{End, Plan};
use crate::route::{Landing, Task, Way, route};
use crate::shape::{Facing, is_board, text};
use crate::sheet::{Page, PlacedBlock, PlacedPad, Point, Rect, RoutedWire, Sheet, Text, TextOf};
use crate::tags::tag;

/// Millimetres of paper for one of board.
const SCALES: [f64; 10] = [10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0];

/// Distance on paper that the nearest pads of a board should have, and should not fall below.
const LIKED_PITCH: f64 = 6.8;
const LEAST_PITCH: f64 = PAD_PITCH;

/// Room between columns and middle for each wire: as much as looks easy, then as little as works.
const LANES: [f64; 2] = [1.6, 0.9];

/// How many times the paper may grow by √2.
const MOST_GROWTH: i32 = 24;

/// How many different layouts are tried in full before the best one is taken as it is.
const MOST_TRIES: usize = 12;

/// Plans with more wires than this are tried once.
const MANY_WIRES: usize = 250;

/// The drawing of a plan. The paper grows in steps of √2 from the given page until all fits and
/// lies clean; when nothing helps, the sheet says which wires and words are not clean.
pub fn arrange(plan: &Plan, page: Page) -> Sheet {
    let page = sane(page);
    let cast = Cast::new(plan);
    let liked = liked_scale(&cast);
    let mut best: Option<(usize, Sheet)> = None;
    let mut tries = 0;
    for growth in 0..=MOST_GROWTH {
        let paper = Paper::of(page, growth);
        // Larger paper allows a larger scale: room for what did not lie clean on the smaller one.
        let enlarged = liked.saturating_sub(tries / 2);
        let mut tries_here = 0;
        for &scale in &SCALES[enlarged..] {
            if tries_here >= if growth == 0 { 4 } else { 2 } {
                break;
            }
            let Some(layout) = LANES
                .iter()
                .find_map(|&lane| cast.lay(paper.room, scale, lane))
            else {
                continue;
            };
            if !is_legible(&cast, scale) && growth < MOST_GROWTH / 2 {
                break;
            }
            tries += 1;
            tries_here += 1;
            let sheet = draw(&cast, &layout, &paper);
            let faults = faults(&sheet);
            if best.as_ref().is_none_or(|(least, _)| faults < *least) {
                best = Some((faults, sheet));
            }
            if faults == 0 {
                break;
            }
        }
        let enough = tries >= MOST_TRIES || cast.wires.len() > MANY_WIRES;
        if best
            .as_ref()
            .is_some_and(|(faults, _)| *faults == 0 || enough)
        {
            break;
        }
    }
    let mut sheet = best.map_or_else(Sheet::default, |(_, sheet)| sheet);
    let all = 0..plan.wires.len();
    sheet.left_out = all
        .filter(|&wire| !plan.can_draw(&plan.wires[wire]))
        .collect();
    sheet
}

/// A page whose numbers can be worked with.
fn sane(page: Page) -> Page {
    let usual = Page::default();
    let or = |value: f64, low: f64, high: f64, usual: f64| {
        if (low..=high).contains(&value) {
            value
        } else {
            usual
        }
    };
    Page {
        width: or(page.width, 100.0, 5_000.0, usual.width),
        height: or(page.height, 100.0, 5_000.0, usual.height),
        margin: or(page.margin, 0.0, 30.0, usual.margin),
        title_height: or(page.title_height, 0.0, 2_000.0, usual.title_height),
    }
}

/// A sheet of a size and the room on it for the drawing.
struct Paper {
    size: Point,
    title: Rect,
    room: Rect,
}

impl Paper {
    fn of(page: Page, growth: i32) -> Self {
        let factor = 2f64.sqrt().powi(growth);
        let size = Point {
            x: (page.width * factor).round(),
            y: (page.height * factor).round(),
        };
        let wide = size.x - 2.0 * page.margin;
        let foot = size.y - page.margin - page.title_height;
        let title = Rect {
            x: page.margin,
            y: foot,
            width: wide,
            height: page.title_height,
        };
        let inset = page.margin + 1.0;
        let room = Rect {
            x: inset,
            y: inset,
            width: size.x - 2.0 * inset,
            height: (foot - AIR - inset).max(1.0),
        };
        Self { size, title, room }
    }
}

/// The place in [`SCALES`] of the smallest scale at which pads lie as far apart as is liked.
fn liked_scale(cast: &Cast) -> usize {
    let pitch = least_pitch(cast);
    let enough = |scale: &f64| scale * pitch >= LIKED_PITCH;
    SCALES.iter().rposition(enough).unwrap_or(0).max(2)
}

fn is_legible(cast: &Cast, scale: f64) -> bool {
    scale * least_pitch(cast) >= LEAST_PITCH
}

/// Least distance between pads with wires on any board \[mm of board\], as far as drawing to scale can respect it.
fn least_pitch(cast: &Cast) -> f64 {
    let boards = cast.plan.blocks.iter().zip(&cast.counts);
    let boards = boards.filter(|(block, _)| is_board(block));
    let pitch = boards.map(|(block, wires)| pitch_mm(block, wires));
    pitch.fold(2.0, f64::min).max(1.2)
}

fn faults(sheet: &Sheet) -> usize {
    let wires = sheet.wires.iter().filter(|wire| !wire.clean).count();
    let texts = sheet.texts.iter().filter(|text| !text.clean).count();
    wires + texts
}

/// Routes the wires of a layout and puts the words on them.
fn draw(cast: &Cast, layout: &Layout, paper: &Paper) -> Sheet {
    let mut sheet = Sheet {
        width: paper.size.x,
        height: paper.size.y,
        title: paper.title,
        ..Sheet::default()
    };
    let to_scale = layout.shapes.iter().any(|shape| shape.to_scale);
    sheet.scale = to_scale.then_some(layout.scale);
    place_blocks(cast, layout, &mut sheet);
    let (tasks, stubs) = tasks(cast, layout, &sheet);
    let mut tags: Vec<Option<Text>> = vec![None; cast.wires.len()];
    for (nth, &wire) in cast.wires.iter().enumerate() {
        tags[nth] = stub_tag(cast, wire, &stubs[nth]);
    }
    let ways = match grid(cast, layout, &sheet, &tasks, &tags) {
        Some(grid) => route(&grid, &tasks),
        None => tasks.iter().map(Way::forced).collect(),
    };
    let lines: Vec<Vec<Point>> = ways.iter().map(|way| way.points.clone()).collect();
    for (nth, way) in ways.into_iter().enumerate() {
        let wire = cast.wires[nth];
        let put = tags[nth].take();
        let label = put.unwrap_or_else(|| tag(wire_text(cast, wire), nth, &lines, &sheet));
        sheet.wires.push(RoutedWire {
            wire,
            points: way.points,
            label: Some(sheet.texts.len()),
            clean: way.clean,
        });
        sheet.texts.push(label);
    }
    sheet
}

fn place_blocks(cast: &Cast, layout: &Layout, sheet: &mut Sheet) {
    for (number, shape) in layout.shapes.iter().enumerate() {
        let origin = layout.origins[number];
        let mut labels = vec![None; shape.pads.len()];
        for text in &shape.texts {
            if let TextOf::Pad { pad, .. } = text.of {
                labels[pad] = Some(sheet.texts.len());
            }
            sheet.texts.push(Text {
                rect: text.rect.moved(origin),
                ..text.clone()
            });
        }
        let pads = shape.pads.iter().zip(labels).map(|(pad, label)| PlacedPad {
            rect: pad.rect.moved(origin),
            side: pad.side,
            used: pad.wires > 0,
            moved: pad.moved,
            label,
        });
        sheet.blocks.push(PlacedBlock {
            rect: Rect {
                x: origin.x,
                y: origin.y,
                width: shape.size.x,
                height: shape.size.y,
            },
            to_scale: shape.to_scale,
            state: cast.plan.blocks[number].state,
            pads: pads.collect(),
        });
    }
}

/// The straight way out of a plain box, where a wire's words may stand.
#[derive(Clone, Copy)]
struct Stub {
    /// At the edge of the box, and where the search begins.
    ends: (Point, Point),
    /// Whether there is room for words on it.
    holds_words: bool,
}

/// The wires as the router wants them, and the stubs at their ends.
fn tasks(cast: &Cast, layout: &Layout, sheet: &Sheet) -> (Vec<Task>, Vec<[Option<Stub>; 2]>) {
    let codes = Codes::of(cast);
    let mut tasks = Vec::new();
    let mut stubs = Vec::new();
    for &wire in &cast.wires {
        let ends = cast.plan.wires[wire].ends;
        let found = ends.map(|end| stub(cast, layout, sheet, wire, end));
        let landing = |nth: usize| {
            let end: End = ends[nth];
            let pad = sheet.blocks[end.block].pads[end.pad].rect;
            Landing {
                middle: pad.middle(),
                pad,
                stub: found[nth].map(|stub| stub.ends),
                codes: [codes.block(end.block), codes.pad(end)],
            }
        };
        tasks.push(Task {
            ends: [landing(0), landing(1)],
        });
        stubs.push(found);
    }
    (tasks, stubs)
}

fn stub(cast: &Cast, layout: &Layout, sheet: &Sheet, wire: usize, end: End) -> Option<Stub> {
    let shape = &layout.shapes[end.block].pads[end.pad];
    let facing = shape.facing?;
    let block = sheet.blocks[end.block].rect;
    // Wires that share a pad leave it in the order of the heights they go to.
    let mut sharing: Vec<(f64, usize)> = cast
        .partners(end)
        .iter()
        .map(|(wire, far)| (sheet.blocks[far.block].pads[far.pad].rect.middle().y, *wire))
        .collect();
    sharing.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    let nth = sharing.iter().position(|(_, other)| *other == wire)?;
    let y = layout.origins[end.block].y + shape.row(nth);
    let in_column = !cast.middle.contains(&end.block);
    let (edge, out) = match (facing, in_column) {
        (Facing::Right, true) => (block.right(), layout.stubs[0]),
        (Facing::Left, true) => (block.x, layout.stubs[1]),
        (Facing::Right, false) => (block.right(), block.right() + STUB_GAP),
        (Facing::Left, false) => (block.x, block.x - STUB_GAP),
    };
    Some(Stub {
        ends: (Point { x: edge, y }, Point { x: out, y }),
        holds_words: in_column,
    })
}

/// The words on a wire where it leaves a column, all of them beginning at one line.
fn stub_tag(cast: &Cast, wire: usize, stubs: &[Option<Stub>; 2]) -> Option<Text> {
    let stub = stubs.iter().flatten().find(|stub| stub.holds_words)?;
    let mut text = wire_text(cast, wire);
    let (edge, out) = stub.ends;
    text.rect.y = edge.y - text.rect.height / 2.0;
    text.rect.x = match edge.x < out.x {
        true => edge.x + STUB_GAP,
        false => edge.x - STUB_GAP - text.rect.width,
    };
    Some(text)
}

fn wire_text(cast: &Cast, wire: usize) -> Text {
    let words = cast.plan.wires[wire].words();
    let words = crate::words::one_line(&words, WIDEST_LINE / 2.0, SMALL, false);
    text(TextOf::Wire { wire }, words, SMALL, false)
}

/// Numbers for what stands on the grid: blocks from 1, then their pads.
struct Codes {
    blocks: u32,
    first_pad: Vec<u32>,
}

impl Codes {
    fn of(cast: &Cast) -> Self {
        let blocks = cast.plan.blocks.len() as u32;
        let mut next = blocks + 1;
        let mut first = |block: &crate::plan::Block| {
            let pad = next;
            next = next.saturating_add(block.pads.len() as u32);
            pad
        };
        let first_pad = cast.plan.blocks.iter().map(&mut first).collect();
        Self { blocks, first_pad }
    }

    fn block(&self, block: usize) -> u32 {
        block as u32 + 1
    }

    fn pad(&self, end: End) -> u32 {
        self.first_pad[end.block] + end.pad as u32
    }
}

/// The grid for a layout: lines through all ends, and all that stands on the page.
fn grid(
    cast: &Cast,
    layout: &Layout,
    sheet: &Sheet,
    tasks: &[Task],
    tags: &[Option<Text>],
) -> Option<Grid> {
    let codes = Codes::of(cast);
    let mut things = Vec::new();
    for (number, block) in sheet.blocks.iter().enumerate() {
        things.extend(grounds(
            cast,
            layout,
            number,
            block.rect,
            codes.block(number),
        ));
        if !block.to_scale {
            continue;
        }
        for (pad, placed) in block.pads.iter().enumerate() {
            let code = codes.pad(End { block: number, pad });
            let rect = placed.rect.grown(PAD_CLEAR);
            things.push(Thing { rect, code });
        }
    }
    let words = sheet.texts.iter().chain(tags.iter().flatten());
    things.extend(words.map(|text| Thing {
        rect: text.rect.grown(TEXT_CLEAR),
        code: WALL,
    }));
    let (mut xs, mut ys) = (Vec::new(), Vec::new());
    for (nth, task) in tasks.iter().enumerate() {
        for (end, landing) in task.ends.iter().enumerate() {
            if let Some((start, out)) = landing.stub {
                xs.extend([start.x, out.x]);
                ys.push(start.y);
                continue;
            }
            let at = cast.plan.wires[cast.wires[nth]].ends[end];
            let shared = cast.counts[at.block][at.pad] > 1;
            let apart = WIRE_GAP.min(landing.pad.width / 2.0 - 0.2);
            let steps: &[f64] = if shared { &[-1.0, 0.0, 1.0] } else { &[0.0] };
            xs.extend(steps.iter().map(|step| landing.middle.x + step * apart));
            ys.extend(steps.iter().map(|step| landing.middle.y + step * apart));
        }
    }
    Grid::new(layout.area, xs, ys, &things, codes.blocks)
}

/// A block's ground: a board's is open to its own wires; a plain box is closed, and the room before
/// its pads is open to its own wires.
fn grounds(cast: &Cast, layout: &Layout, number: usize, rect: Rect, code: u32) -> Vec<Thing> {
    if layout.shapes[number].to_scale {
        let rect = rect.grown(0.4);
        return vec![Thing { rect, code }];
    }
    let mut around = rect.grown(1.0);
    if !cast.middle.contains(&number) {
        let facing = layout.shapes[number].pads.iter().find_map(|pad| pad.facing);
        match facing {
            Some(Facing::Right) => around.width = layout.stubs[0] - 0.1 - around.x,
            Some(Facing::Left) => {
                let right = around.right();
                around.x = layout.stubs[1] + 0.1;
                around.width = right - around.x;
            }
            None => {}
        }
    }
    let open = Thing { rect: around, code };
    let closed = Thing {
        rect: rect.grown(0.5),
        code: WALL,
    };
    vec![open, closed]
}
