//! Blocks on the page: boards to scale in the middle, all else in a column on either side.

use crate::board::board;
use crate::columns::{Anchor, Columns, Device, Pull, columns, packed, seen_from};
use crate::measure::*;
use crate::plan::{End, Plan};
use crate::shape::{Facing, Rows, Shape, half_slot, heading, is_board, plain, plain_at, text};
use crate::sheet::{Point, Rect, TextOf};

/// What of a plan is drawn, and where its blocks belong; the same for every size of paper.
pub struct Cast<'a> {
    pub plan: &'a Plan,
    /// The wires that have two different ends.
    pub wires: Vec<usize>,
    /// How many of them end at each pad of each block.
    pub counts: Vec<Vec<usize>>,
    /// Blocks that stand in the middle.
    pub middle: Vec<usize>,
    /// Blocks that stand in the columns.
    pub devices: Vec<usize>,
}

/// Blocks with their places.
pub struct Layout {
    pub scale: f64,
    pub shapes: Vec<Shape>,
    /// Upper left corner of each block's outline.
    pub origins: Vec<Point>,
    /// Where the straight beginnings of wires end, for the left and the right column.
    pub stubs: [f64; 2],
    /// The part of the page that wires may use.
    pub area: Rect,
}

impl<'a> Cast<'a> {
    pub fn new(plan: &'a Plan) -> Self {
        let wires = plan.wires.iter().enumerate();
        let wires: Vec<usize> = wires
            .filter(|(_, wire)| plan.can_draw(wire))
            .map(|(nth, _)| nth)
            .collect();
        let mut counts: Vec<Vec<usize>> = plan
            .blocks
            .iter()
            .map(|block| vec![0; block.pads.len()])
            .collect();
        for &wire in &wires {
            for end in plan.wires[wire].ends {
                counts[end.block][end.pad] += 1;
            }
        }
        let blocks = 0..plan.blocks.len();
        let pads = |block: usize| plan.blocks[block].pads.len();
        let mut boards: Vec<usize> = blocks
            .clone()
            .filter(|&block| is_board(&plan.blocks[block]))
            .collect();
        boards.sort_by_key(|&block| (std::cmp::Reverse(pads(block)), block));
        let most = boards.first().map_or(0, |&block| pads(block));
        let large = |&(nth, block): &(usize, &usize)| {
            nth == 0 || nth < 3 && pads(*block) >= 8 && pads(*block) * 4 >= most
        };
        let mut middle: Vec<usize> = boards
            .iter()
            .enumerate()
            .filter(large)
            .map(|(_, &block)| block)
            .collect();
        if middle.is_empty() {
            let ends = |block: usize| counts[block].iter().sum::<usize>();
            middle.extend(
                blocks
                    .clone()
                    .max_by_key(|&block| (ends(block), std::cmp::Reverse(block))),
            );
        }
        middle.sort_unstable();
        let devices = blocks.filter(|block| !middle.contains(block)).collect();
        Self {
            plan,
            wires,
            counts,
            middle,
            devices,
        }
    }

    /// The other ends of the wires at a pad, in the order of the wires.
    pub fn partners(&self, at: End) -> Vec<(usize, End)> {
        let other = |&wire: &usize| {
            let ends = self.plan.wires[wire].ends;
            match (ends[0] == at, ends[1] == at) {
                (true, _) => Some((wire, ends[1])),
                (_, true) => Some((wire, ends[0])),
                _ => None,
            }
        };
        self.wires.iter().filter_map(other).collect()
    }

    /// Width of the widest words on a wire.
    pub fn wire_words(&self) -> f64 {
        let words = |&wire: &usize| {
            let words = self.plan.wires[wire].words();
            let words = crate::words::one_line(&words, WIDEST_LINE / 2.0, SMALL, false);
            text(TextOf::Wire { wire }, words, SMALL, false).rect.width
        };
        self.wires.iter().map(words).fold(0.0, f64::max)
    }

    fn shape(&self, block: usize, scale: f64, facing: Facing, turned: bool) -> Shape {
        let (plan, counts) = (&self.plan.blocks[block], &self.counts[block]);
        match is_board(plan) {
            true => board(block, plan, counts, scale),
            false => plain(block, plan, counts, facing, turned),
        }
    }

    /// The blocks in a room of the page at a scale; `None` when they do not fit. `lane` is the
    /// room given to each wire between the columns and the middle.
    pub fn lay(&self, room: Rect, scale: f64, lane: f64) -> Option<Layout> {
        let is_plain = self
            .middle
            .iter()
            .all(|&block| !is_board(&self.plan.blocks[block]));
        let (mut shapes, mut origins) = (Vec::new(), Vec::new());
        for block in 0..self.plan.blocks.len() {
            shapes.push(self.shape(block, scale, Facing::Right, false));
            origins.push(Point::default());
        }
        let group = match is_plain {
            true => Group::default(),
            false => Group::of(&self.middle, &shapes, room),
        };
        for (block, at) in &group.corners {
            origins[*block] = Point {
                x: at.x,
                y: at.y + room.y + (room.height - group.size.y) / 2.0,
            };
        }
        let found = self.stand(&shapes, &origins, room)?;
        for (side, facing) in [Facing::Right, Facing::Left].into_iter().enumerate() {
            for &nth in &found.sides[side] {
                let block = self.devices[nth];
                shapes[block] = self.shape(block, scale, facing, found.turned[nth]);
                origins[block].y = found.tops[nth] - shapes[block].extent().y;
            }
        }
        if let (true, Some(&block)) = (is_plain, self.middle.first()) {
            (shapes[block], origins[block].y) =
                self.middle_box(block, &shapes, &origins, &found, room);
        }

        let widths: Vec<f64> = (0..2)
            .map(|side| {
                let wide = |&nth: &usize| shapes[self.devices[nth]].extent().width;
                found.sides[side].iter().map(wide).fold(0.0, f64::max)
            })
            .collect();
        let middle = match (is_plain, self.middle.first()) {
            (true, Some(&block)) => shapes[block].size.x,
            _ => group.size.x,
        };
        let words = self.wire_words();
        let stub = if self.wires.is_empty() {
            0.0
        } else {
            words + 2.0 * STUB_GAP
        };
        let loads = self.loads(&found);
        let channel = |side: usize| match found.sides[side].is_empty() {
            true => 6.0 + lane * loads[side] as f64,
            false => stub + 7.0 + lane * loads[side] as f64,
        };
        let (left, right) = (channel(0), channel(1));
        let needed = widths[0] + left + middle + right + widths[1];
        // Boards need room for wires above and below; a plain box has them on its sides only.
        let tall = match (is_plain, self.middle.first()) {
            (true, Some(&block)) => shapes[block].size.y,
            _ => group.size.y + 2.0 * 6.0,
        };
        if needed > room.width || tall > room.height {
            return None;
        }
        // What is over goes to the channels first, then to the edges of the page.
        let over = room.width - needed;
        let wider = (over / 2.0).min(0.5 * left.max(right));
        let left = left + wider;
        let start = room.x + (over - 2.0 * wider) / 2.0;
        let middle_at = start + widths[0] + left;
        let right_at = middle_at + middle + right + wider;
        for &block in &self.middle {
            origins[block].x += middle_at;
        }
        let edges = [start + widths[0], right_at];
        for (side, numbers) in found.sides.iter().enumerate() {
            for &nth in numbers {
                let block = self.devices[nth];
                let extent = shapes[block].extent();
                origins[block].x = match side {
                    0 => edges[0] - extent.right(),
                    _ => edges[1] - extent.x,
                };
            }
        }
        Some(Layout {
            scale,
            shapes,
            origins,
            stubs: [edges[0] + stub, edges[1] - stub],
            area: room,
        })
    }

    /// Columns for the devices, pulled by what is in the middle.
    fn stand(&self, shapes: &[Shape], origins: &[Point], room: Rect) -> Option<Columns> {
        let device = |&block: &usize| Device {
            height: shapes[block].extent().height,
            may_turn: !shapes[block].to_scale && shapes[block].pads.len() > 1,
        };
        let devices: Vec<Device> = self.devices.iter().map(device).collect();
        let mut number = vec![usize::MAX; shapes.len()];
        for (nth, &block) in self.devices.iter().enumerate() {
            number[block] = nth;
        }
        let anchor = |end: End| {
            let shape = &shapes[end.block];
            let at = shape.pads[end.pad].rect.middle();
            if number[end.block] != usize::MAX {
                return Some(Anchor::Device(number[end.block], at.y - shape.extent().y));
            }
            // Pads of a plain box in the middle go wherever their wires come from.
            if !shape.to_scale {
                return None;
            }
            let origin = origins[end.block];
            let board = Rect {
                x: origin.x,
                y: origin.y,
                width: shape.size.x,
                height: shape.size.y,
            };
            let at = Point {
                x: origin.x + at.x,
                y: origin.y + at.y,
            };
            Some(Anchor::Middle(
                seen_from(true, at, &board),
                seen_from(false, at, &board),
            ))
        };
        let pull = |&wire: &usize| {
            let [one, other] = self.plan.wires[wire].ends.map(anchor);
            Some(Pull {
                ends: [one?, other?],
            })
        };
        let pulls: Vec<Pull> = self.wires.iter().filter_map(pull).collect();
        columns(&devices, &pulls, room.y, room.bottom())
    }

    /// A plain box in the middle: every pad straight across from what its wire comes from.
    fn middle_box(
        &self,
        block: usize,
        shapes: &[Shape],
        origins: &[Point],
        found: &Columns,
        room: Rect,
    ) -> (Shape, f64) {
        let mut side_of = vec![None; shapes.len()];
        for (side, numbers) in found.sides.iter().enumerate() {
            for &nth in numbers {
                side_of[self.devices[nth]] = Some(side);
            }
        }
        let plan = &self.plan.blocks[block];
        let mut wishes: [Vec<(f64, usize)>; 2] = [Vec::new(), Vec::new()];
        let mut idle = Vec::new();
        for pad in 0..plan.pads.len() {
            let partners = self.partners(End { block, pad });
            let far = partners.iter().find_map(|(_, end)| {
                let at = shapes[end.block].pads[end.pad].rect.middle().y;
                side_of[end.block].map(|side| (side, origins[end.block].y + at))
            });
            match far {
                Some((side, at)) => wishes[side].push((at, pad)),
                None => idle.push(pad),
            }
        }
        for wishes in &mut wishes {
            wishes.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        }
        for pad in idle {
            let fewer = usize::from(wishes[1].len() < wishes[0].len());
            let last = wishes[fewer].last().map_or(room.middle().y, |last| last.0);
            wishes[fewer].push((last + SLOT, pad));
        }
        let counts = &self.counts[block];
        let place = |wishes: &[(f64, usize)]| -> Rows {
            let sizes: Vec<f64> = wishes
                .iter()
                .map(|(_, pad)| 2.0 * half_slot(counts[*pad]))
                .collect();
            let starts: Vec<f64> = wishes
                .iter()
                .zip(&sizes)
                .map(|((at, _), size)| at - size / 2.0)
                .collect();
            let starts = packed(
                &starts,
                &sizes,
                room.y + 2.0,
                f64::max(room.bottom() - 2.0, room.y + 2.0),
            );
            let middles = starts
                .iter()
                .zip(&sizes)
                .map(|(start, size)| start + size / 2.0);
            wishes
                .iter()
                .zip(middles)
                .map(|((_, pad), at)| (*pad, at))
                .collect()
        };
        let mut rows = [place(&wishes[0]), place(&wishes[1])];
        let slots = rows.iter().flatten();
        let reach =
            slots.map(|(pad, at)| (at - half_slot(counts[*pad]), at + half_slot(counts[*pad])));
        let (low, high) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |all, one| {
            (all.0.min(one.0), all.1.max(one.1))
        });
        let head: f64 = heading(block, plan)
            .iter()
            .map(|line| line.rect.height)
            .sum();
        let least = head + 2.0 * BOX_EDGE;
        let (mut top, mut height) = (low - 0.8, high - low + 1.6);
        if !height.is_finite() {
            (top, height) = (room.middle().y - least / 2.0, least);
        }
        if height < least {
            (top, height) = (top - (least - height) / 2.0, least);
        }
        for (_, at) in rows.iter_mut().flatten() {
            *at -= top;
        }
        let [left, right] = rows;
        let edges = [(Facing::Left, left), (Facing::Right, right)];
        (plain_at(block, plan, counts, &edges, height), top)
    }

    /// How many wires the channel on each side has to take.
    fn loads(&self, found: &Columns) -> [usize; 2] {
        let mut side_of = vec![None; self.plan.blocks.len()];
        for (side, numbers) in found.sides.iter().enumerate() {
            for &nth in numbers {
                side_of[self.devices[nth]] = Some(side);
            }
        }
        let mut loads = [0, 0];
        for &wire in &self.wires {
            let ends = self.plan.wires[wire].ends;
            for (side, load) in loads.iter_mut().enumerate() {
                *load += usize::from(ends.iter().any(|end| side_of[end.block] == Some(side)));
            }
        }
        loads
    }
}

/// The boards in the middle, beside or above one another.
#[derive(Default)]
struct Group {
    size: Point,
    corners: Vec<(usize, Point)>,
}

impl Group {
    fn of(blocks: &[usize], shapes: &[Shape], room: Rect) -> Self {
        let stacked = Self::row(blocks, shapes, true);
        let side_by_side = Self::row(blocks, shapes, false);
        match stacked.size.y + 12.0 <= room.height {
            true => stacked,
            false => side_by_side,
        }
    }

    fn row(blocks: &[usize], shapes: &[Shape], down: bool) -> Self {
        let gap = 16.0;
        let extents: Vec<Rect> = blocks.iter().map(|&block| shapes[block].extent()).collect();
        let widest = extents.iter().map(|one| one.width).fold(0.0, f64::max);
        let tallest = extents.iter().map(|one| one.height).fold(0.0, f64::max);
        let mut at = 0.0;
        let mut corners = Vec::new();
        for (&block, extent) in blocks.iter().zip(&extents) {
            let (x, y) = match down {
                true => ((widest - extent.width) / 2.0, at),
                false => (at, (tallest - extent.height) / 2.0),
            };
            at += gap + if down { extent.height } else { extent.width };
            let corner = Point {
                x: x - extent.x,
                y: y - extent.y,
            };
            corners.push((block, corner));
        }
        let size = match down {
            true => Point {
                x: widest,
                y: at - gap,
            },
            false => Point {
                x: at - gap,
                y: tallest,
            },
        };
        Self { size, corners }
    }
}
