//! The lines that wires may run on, and what stands in the way between them.
//!
//! There is a line through every pad that a wire ends at; what is between those lines is filled
//! with tracks at even distances.

use crate::measure::*;
use crate::sheet::{Point, Rect};

/// Nothing may pass.
pub const WALL: u32 = u32::MAX;

/// The most nodes a grid may have; with more the tracks get wider.
const MOST_NODES: usize = 1_500_000;

/// Lines, nodes where they meet, and a code for what lies on each piece between two nodes: nothing,
/// a block's ground, a pad, a wall.
pub struct Grid {
    xs: Vec<f64>,
    ys: Vec<f64>,
    /// Codes of the pieces to the right of and below each node.
    right: Vec<u32>,
    down: Vec<u32>,
    blocks: u32,
}

/// Something that stands on the page.
#[derive(Clone, Copy, Debug)]
pub struct Thing {
    pub rect: Rect,
    pub code: u32,
}

impl Grid {
    /// A grid with lines at least at the given places; `None` when it would be too large.
    /// Codes up to `blocks` are grounds of blocks, those above are pads.
    pub fn new(
        area: Rect,
        xs: Vec<f64>,
        ys: Vec<f64>,
        things: &[Thing],
        blocks: u32,
    ) -> Option<Self> {
        let mut track = TRACK;
        let (xs, ys) = loop {
            let lines_x = lines(&xs, area.x, area.right(), track);
            let lines_y = lines(&ys, area.y, area.bottom(), track);
            if lines_x.len() * lines_y.len() <= MOST_NODES {
                break (lines_x, lines_y);
            }
            track *= 1.5;
            if track > 40.0 * TRACK {
                return None;
            }
        };
        let nodes = xs.len() * ys.len();
        let mut grid = Self {
            xs,
            ys,
            right: vec![0; nodes],
            down: vec![0; nodes],
            blocks,
        };
        for thing in things {
            grid.stand(thing);
        }
        Some(grid)
    }

    pub fn nodes(&self) -> usize {
        self.xs.len() * self.ys.len()
    }

    pub fn point(&self, node: u32) -> Point {
        let (column, row) = self.place(node);
        Point {
            x: self.xs[column],
            y: self.ys[row],
        }
    }

    /// The node at a point, if lines meet there.
    pub fn node_at(&self, at: Point) -> Option<u32> {
        let column = line_at(&self.xs, at.x)?;
        let row = line_at(&self.ys, at.y)?;
        Some((row * self.xs.len() + column) as u32)
    }

    /// The nodes within a rectangle, or else the one at a point.
    pub fn nodes_within(&self, rect: &Rect, middle: Point) -> Vec<u32> {
        let columns = between(&self.xs, rect.x, rect.right());
        let mut nodes = Vec::new();
        for row in between(&self.ys, rect.y, rect.bottom()) {
            nodes.extend(
                columns
                    .clone()
                    .map(|column| (row * self.xs.len() + column) as u32),
            );
        }
        if nodes.is_empty() {
            nodes.extend(self.node_at(middle));
        }
        nodes
    }

    /// Neighbours of a node: node, way (0 level, 1 upright), code of the piece, its length \[mm\].
    pub fn around(&self, node: u32) -> impl Iterator<Item = (u32, usize, u32, f64)> {
        let (column, row) = self.place(node);
        let wide = self.xs.len() as u32;
        let left = (column > 0).then(|| {
            let to = node - 1;
            (
                to,
                0,
                self.right[to as usize],
                self.xs[column] - self.xs[column - 1],
            )
        });
        let right = (column + 1 < self.xs.len()).then(|| {
            let length = self.xs[column + 1] - self.xs[column];
            (node + 1, 0, self.right[node as usize], length)
        });
        let up = (row > 0).then(|| {
            let to = node - wide;
            (
                to,
                1,
                self.down[to as usize],
                self.ys[row] - self.ys[row - 1],
            )
        });
        let down = (row + 1 < self.ys.len()).then(|| {
            let length = self.ys[row + 1] - self.ys[row];
            (node + wide, 1, self.down[node as usize], length)
        });
        [left, right, up, down].into_iter().flatten()
    }

    /// Whether a code is a block's ground.
    pub fn is_body(&self, code: u32) -> bool {
        code <= self.blocks
    }

    /// Whether the piece that leads to a node on a line is on a block's ground.
    pub fn is_body_between(&self, node: u32, way: usize) -> bool {
        let code = if way == 0 {
            self.right[node as usize]
        } else {
            self.down[node as usize]
        };
        code != 0 && self.is_body(code)
    }

    /// 0 for nodes on one level, 1 for nodes on one upright line.
    pub fn way(&self, one: u32, other: u32) -> usize {
        usize::from(self.place(one).1 != self.place(other).1)
    }

    /// Visits the nodes from one to another on the same line.
    pub fn along(&self, one: u32, other: u32, mut visit: impl FnMut(u32)) {
        let step = if self.way(one, other) == 0 {
            1
        } else {
            self.xs.len()
        };
        let (low, high) = (one.min(other), one.max(other));
        (low..=high).step_by(step.max(1)).for_each(&mut visit);
    }

    /// Visits a node and those beside it, on the lines nearer than a gap.
    pub fn beside(&self, node: u32, way: usize, gap: f64, mut visit: impl FnMut(u32)) {
        let (column, row) = self.place(node);
        let (lines, at, step) = match way {
            0 => (&self.ys, row, self.xs.len() as u32),
            _ => (&self.xs, column, 1),
        };
        visit(node);
        let mut other = at;
        while other > 0 && lines[at] - lines[other - 1] < gap - SAME {
            other -= 1;
            visit(node - (at - other) as u32 * step);
        }
        let mut other = at;
        while other + 1 < lines.len() && lines[other + 1] - lines[at] < gap - SAME {
            other += 1;
            visit(node + (other - at) as u32 * step);
        }
    }

    /// Left, right, top and bottom of a run.
    pub fn span(&self, run: (u32, u32)) -> (f64, f64, f64, f64) {
        let (one, other) = (self.point(run.0), self.point(run.1));
        (
            one.x.min(other.x),
            one.x.max(other.x),
            one.y.min(other.y),
            one.y.max(other.y),
        )
    }

    fn place(&self, node: u32) -> (usize, usize) {
        let node = node as usize;
        (node % self.xs.len(), node / self.xs.len())
    }

    /// Writes a thing's code on every piece that it covers.
    fn stand(&mut self, thing: &Thing) {
        let rect = &thing.rect;
        let wide = self.xs.len();
        let columns = between(&self.xs, rect.x + SAME, rect.right() - SAME);
        let rows = between(&self.ys, rect.y + SAME, rect.bottom() - SAME);
        // Pieces reach in from the line before the first one inside.
        for row in rows.clone() {
            for column in columns.start.saturating_sub(1)..columns.end.min(wide - 1) {
                write(
                    &mut self.right[row * wide + column],
                    thing.code,
                    self.blocks,
                );
            }
        }
        for row in rows.start.saturating_sub(1)..rows.end.min(self.ys.len() - 1) {
            for column in columns.clone() {
                write(&mut self.down[row * wide + column], thing.code, self.blocks);
            }
        }
    }
}

/// A pad beats the ground it is on; two pads at one place, or a wall, stop all.
fn write(place: &mut u32, code: u32, blocks: u32) {
    let is_ground = |code: u32| code <= blocks;
    *place = match (*place, code) {
        (0, code) => code,
        (old, new) if old == new => old,
        (WALL, _) | (_, WALL) => WALL,
        (old, new) if is_ground(old) && is_ground(new) => WALL,
        (old, new) if is_ground(old) => new,
        (old, new) if is_ground(new) => old,
        _ => WALL,
    };
}

/// The given places, and tracks at even distances between them.
fn lines(places: &[f64], low: f64, high: f64, track: f64) -> Vec<f64> {
    let mut fixed: Vec<f64> = places
        .iter()
        .copied()
        .filter(|at| (low..=high).contains(at))
        .collect();
    fixed.extend([low, high]);
    fixed.sort_by(f64::total_cmp);
    fixed.dedup_by(|one, other| (*one - *other).abs() < SAME);
    let mut lines = Vec::new();
    for pair in fixed.windows(2) {
        let parts = ((pair[1] - pair[0]) / track).floor().max(1.0);
        let step = (pair[1] - pair[0]) / parts;
        lines.extend((0..parts as usize).map(|nth| pair[0] + nth as f64 * step));
    }
    lines.extend(fixed.last());
    lines
}

fn line_at(lines: &[f64], at: f64) -> Option<usize> {
    let near = lines.partition_point(|line| *line < at - SAME);
    (lines.get(near)? - at).abs().le(&SAME).then_some(near)
}

/// The lines from one place to another.
fn between(lines: &[f64], low: f64, high: f64) -> std::ops::Range<usize> {
    let first = lines.partition_point(|line| *line < low);
    let end = lines.partition_point(|line| *line <= high);
    first..end.max(first)
}
