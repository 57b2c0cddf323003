//! Spots to which a part can be moved so that it has all the air it wants, those nearest to a wish first.
//!
//! Air changes by no more than a part is moved. So one measurement in the middle of a block of spots settles the whole block where the
//! part is far too near or far too far there; only blocks near the edge are cut in two and looked at again.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::gap::{air_within_m, between_boxes_m, distance_m};
use crate::pose::Turn;
use crate::solid::Solid;

/// One solid of the part, one it must stay clear of, and how clear.
#[derive(Debug, Clone)]
pub struct Keep {
    /// The part's, with the part at the origin.
    pub own: Solid,
    /// What stays where it is.
    pub other: Solid,
    /// Air wanted \[m\].
    pub air_m: f64,
    /// What the other solid belongs to.
    pub owner: usize,
    /// Whether the part can be fastened to it.
    pub holds: bool,
}

/// What is looked for.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Lowest corner of the box of spots \[m\].
    pub low_m: [f64; 3],
    /// Highest corner \[m\].
    pub high_m: [f64; 3],
    /// Between two spots along each axis \[m\].
    pub step_m: [f64; 3],
    /// Spots nearest to this, seen from above, come first \[m\].
    pub towards_m: [f64; 2],
    /// Something that holds must be as near as this \[m\].
    pub hold_m: f64,
    /// Spots that are enough.
    pub most: usize,
    /// Measurements after which the search ends; one on a mesh counts as [`MESH_EFFORT`].
    pub effort: usize,
}

/// A spot that will do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Where the part's origin goes \[m\].
    pub at_m: [f64; 3],
    /// The owner that is near enough to hold it.
    pub held_by: usize,
    /// Air to spare from everything but what holds it, at most [`PLENTY_M`] \[m\].
    pub spare_m: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Spots {
    /// The nearest to the wish first.
    pub found: Vec<Spot>,
    /// Whether every spot was settled, by measuring or by what a neighbour says; otherwise there may be more, farther away.
    pub is_all: bool,
}

/// Air that is as good as any more \[m\].
pub const PLENTY_M: f64 = 0.01;
/// What a measurement on a mesh counts for.
pub const MESH_EFFORT: usize = 100;
/// Spots along one axis, at most.
const MOST_STEPS: f64 = 1e4;
/// What rounding may take away from the rule that air changes by no more than a part is moved \[m\].
const ROUNDING_M: f64 = 1e-7;

/// Spots on a grid where every solid of the part keeps the air it wants and something that holds is near.
///
/// Checked: against every spot of the grid measured one by one, on random sets of boxes, cylinders and meshes.
pub fn spots(keeps: &[Keep], wanted: &Wanted) -> Spots {
    let Some(counts) = counts(wanted) else {
        return Spots {
            found: Vec::new(),
            is_all: true,
        };
    };
    let mut measuring = Measuring::new(keeps, wanted.hold_m);
    let mut waiting = BinaryHeap::from([Block::new(wanted, [0; 3], counts)]);
    let mut found = Vec::new();
    while let Some(block) = waiting.pop() {
        if found.len() >= wanted.most || measuring.effort >= wanted.effort {
            return Spots {
                found,
                is_all: false,
            };
        }
        let (middle_m, radius_m) = block.ball(wanted);
        let seen = measuring.at(middle_m, radius_m);
        if seen.slack_m < -radius_m - ROUNDING_M
            || seen.hold_m > wanted.hold_m + radius_m + ROUNDING_M
        {
            continue;
        }
        if block.is_one() {
            if let Some(held_by) = seen.held_by.filter(|_| seen.slack_m >= 0.0) {
                let spare_m = measuring.spare_m(middle_m, held_by);
                found.push(Spot {
                    at_m: middle_m,
                    held_by,
                    spare_m,
                });
            }
            continue;
        }
        waiting.extend(block.halves(wanted));
    }
    Spots {
        found,
        is_all: true,
    }
}

/// How many spots along each axis; none where the box or the steps make no sense.
fn counts(wanted: &Wanted) -> Option<[usize; 3]> {
    let steps = [0, 1, 2]
        .map(|axis| (wanted.high_m[axis] - wanted.low_m[axis]) / wanted.step_m[axis] + 1e-9);
    let forward = wanted.step_m.iter().all(|step| *step > 0.0);
    let few = |steps: &f64| (0.0..MOST_STEPS).contains(steps);
    (forward && steps.iter().all(few)).then(|| steps.map(|steps| steps as usize + 1))
}

/// Spots of the grid from one corner up to, but not with, another.
#[derive(Debug, Clone, PartialEq)]
struct Block {
    /// Least distance from the wish \[m\].
    far_m: f64,
    low: [usize; 3],
    high: [usize; 3],
}

impl Block {
    fn new(wanted: &Wanted, low: [usize; 3], high: [usize; 3]) -> Self {
        let off = |axis: usize| {
            let edge = |at: usize| wanted.low_m[axis] + at as f64 * wanted.step_m[axis];
            let wish = wanted.towards_m[axis];
            (edge(low[axis]) - wish)
                .max(wish - edge(high[axis] - 1))
                .max(0.0)
        };
        Self {
            far_m: off(0).hypot(off(1)),
            low,
            high,
        }
    }

    fn is_one(&self) -> bool {
        (0..3).all(|axis| self.high[axis] - self.low[axis] == 1)
    }

    /// The middle of the spots and how far the outermost of them is from it \[m\].
    fn ball(&self, wanted: &Wanted) -> ([f64; 3], f64) {
        let half_m =
            |axis: usize| 0.5 * (self.high[axis] - 1 - self.low[axis]) as f64 * wanted.step_m[axis];
        let middle_m = [0, 1, 2].map(|axis| {
            wanted.low_m[axis] + self.low[axis] as f64 * wanted.step_m[axis] + half_m(axis)
        });
        let radius_m = half_m(0).hypot(half_m(1)).hypot(half_m(2));
        (middle_m, radius_m)
    }

    fn halves(&self, wanted: &Wanted) -> [Self; 2] {
        let long_m =
            |axis: usize| (self.high[axis] - 1 - self.low[axis]) as f64 * wanted.step_m[axis];
        let axis = (1..3).fold(0, |best, axis| match long_m(axis) > long_m(best) {
            true => axis,
            false => best,
        });
        let cut = usize::midpoint(self.low[axis], self.high[axis]);
        let (mut below, mut above) = (self.high, self.low);
        below[axis] = cut;
        above[axis] = cut;
        [
            Self::new(wanted, self.low, below),
            Self::new(wanted, above, self.high),
        ]
    }
}

/// The nearest to the wish comes out first; of equals the lower one, so that every run is the same.
impl Ord for Block {
    fn cmp(&self, other: &Self) -> Ordering {
        let far = other.far_m.total_cmp(&self.far_m);
        far.then_with(|| other.low.cmp(&self.low))
            .then_with(|| other.high.cmp(&self.high))
    }
}

impl PartialOrd for Block {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Eq for Block {}

/// What a part finds at a spot.
struct Seen {
    /// Least air to spare \[m\]; right below the radius that was asked for.
    slack_m: f64,
    /// Air to the nearest that holds \[m\]; right up to what was asked for.
    hold_m: f64,
    held_by: Option<usize>,
}

struct Measuring<'a> {
    keeps: &'a [Keep],
    /// The boxes around both solids of each.
    boxes: Vec<[[[f64; 3]; 2]; 2]>,
    hold_m: f64,
    effort: usize,
    /// The one that was short last is asked first: its neighbours mostly are short of the same.
    last_short: usize,
}

impl<'a> Measuring<'a> {
    fn new(keeps: &'a [Keep], hold_m: f64) -> Self {
        Self {
            keeps,
            boxes: keeps
                .iter()
                .map(|keep| [keep.own.extent_m(), keep.other.extent_m()])
                .collect(),
            hold_m,
            effort: 0,
            last_short: 0,
        }
    }

    /// What the part finds when it is moved, near enough for a ball of this radius around the spot.
    fn at(&mut self, by_m: [f64; 3], radius_m: f64) -> Seen {
        let mut seen = Seen {
            slack_m: radius_m + ROUNDING_M,
            hold_m: f64::INFINITY,
            held_by: None,
        };
        let first = self.last_short;
        let others = (0..self.keeps.len()).filter(move |at| *at != first);
        let order = std::iter::once(first).chain(others).take(self.keeps.len());
        let reach_m = self.hold_m + radius_m + ROUNDING_M;
        for at in order {
            let keep = &self.keeps[at];
            let hold_m = match keep.holds {
                true => seen.hold_m.min(reach_m * (1.0 + 1e-12)),
                false => f64::NEG_INFINITY,
            };
            let most_m = (keep.air_m + seen.slack_m).max(hold_m);
            let least_m = between_boxes_m(&self.boxes[at], by_m);
            if least_m > most_m {
                continue;
            }
            let distance_m = self.measured_m(at, by_m, most_m);
            if distance_m - keep.air_m < seen.slack_m {
                seen.slack_m = distance_m - keep.air_m;
                if seen.slack_m < -radius_m - ROUNDING_M {
                    self.last_short = at;
                    return seen;
                }
            }
            if keep.holds && distance_m < seen.hold_m {
                seen.hold_m = distance_m;
                seen.held_by = (distance_m <= self.hold_m).then_some(keep.owner);
            }
        }
        seen
    }

    /// Air to spare from everything but what holds the part.
    fn spare_m(&mut self, by_m: [f64; 3], held_by: usize) -> f64 {
        let mut spare_m = PLENTY_M;
        for at in 0..self.keeps.len() {
            let (owner, keep_m) = (self.keeps[at].owner, self.keeps[at].air_m);
            if owner != held_by && between_boxes_m(&self.boxes[at], by_m) < keep_m + spare_m {
                spare_m = spare_m.min(self.measured_m(at, by_m, keep_m + spare_m) - keep_m);
            }
        }
        spare_m
    }

    /// The distance, or as much as was asked for \[m\]; below zero in an overlap, if only by a hair where nobody knows how deep.
    fn measured_m(&mut self, at: usize, by_m: [f64; 3], most_m: f64) -> f64 {
        let keep = &self.keeps[at];
        let own = keep.own.moved(by_m, Turn::NONE, [0.0; 3]);
        let is_mesh = own.is_mesh() || keep.other.is_mesh();
        self.effort += if is_mesh { MESH_EFFORT } else { 1 };
        match air_within_m(&own, &keep.other, most_m.max(HAIR_M)) {
            air_m if air_m > 0.0 => air_m,
            _ if is_mesh => -HAIR_M,
            _ => distance_m(&own, &keep.other),
        }
    }
}

/// An overlap of unknown depth \[m\].
const HAIR_M: f64 = 1e-9;
