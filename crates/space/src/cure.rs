//! The smallest move along one direction that gives a part the air it wants.

use crate::clearance::{Body, Clearance, of_item};
use crate::layout::Layout;
use craft::Airframe;
use fit::{Turn, between_boxes_m, distance_m};

/// Moves are tried in steps of this \[m\].
const STEP_M: f64 = 0.25e-3;
/// Farthest move that is looked at \[m\].
const FARTHEST_M: f64 = 20e-3;

/// A way a part can be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Along x.
    Forward,
    /// Against x.
    Back,
    /// Along y.
    Left,
    /// Against y.
    Right,
    /// Along z.
    Up,
    /// Against z.
    Down,
}

impl Way {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Forward,
        Self::Back,
        Self::Left,
        Self::Right,
        Self::Up,
        Self::Down,
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Back => "backward",
            Self::Left => "to the left",
            Self::Right => "to the right",
            Self::Up => "up",
            Self::Down => "down",
        }
    }

    fn by(self, length_m: f64) -> [f64; 3] {
        let (axis, sign) = match self {
            Self::Forward => (0, 1.0),
            Self::Back => (0, -1.0),
            Self::Left => (1, 1.0),
            Self::Right => (1, -1.0),
            Self::Up => (2, 1.0),
            Self::Down => (2, -1.0),
        };
        let mut by = [0.0; 3];
        by[axis] = sign * length_m;
        by
    }
}

/// A move of a part with all it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// Which way.
    pub way: Way,
    /// How far \[m\].
    pub length_m: f64,
}

/// Moves of a part, shortest first, after which the `wanted` pair has the air it wants and `extra_m` more, and no other pair of the part
/// and what it carries is short, or as near to being short as `extra_m` if it was not before. Empty where the part has no place of its
/// own or no move of up to 20 mm along one direction does.
pub fn moves(
    airframe: &Airframe,
    layout: &Layout,
    all: &[Clearance],
    wanted: &Clearance,
    part: usize,
    extra_m: f64,
) -> Vec<Move> {
    let moving: Vec<bool> = layout
        .items
        .iter()
        .map(|item| item.carried_by.contains(&part))
        .collect();
    let is_moving = |body: Body| matches!(body, Body::Item(item) if moving[item]);
    let pairs: Vec<(&Clearance, usize)> = all
        .iter()
        .filter_map(|pair| match pair.bodies.map(is_moving) {
            [true, false] => Some((pair, 0)),
            [false, true] => Some((pair, 1)),
            _ => None,
        })
        .collect();
    if pairs.is_empty() {
        return Vec::new();
    }
    // What keeps its air between the boxes around the solids needs no measuring.
    let boxes: Vec<[[[f64; 3]; 2]; 2]> = pairs
        .iter()
        .map(|(pair, side)| {
            let [mine, other] = [&pair.solids[*side], &pair.solids[1 - *side]];
            [mine.extent_m(), other.extent_m()]
        })
        .collect();
    // The most that a pair is short of its air after a move \[m\]; it takes at least that much more to mend it.
    let short_m = |by_m: [f64; 3]| {
        let mut short_m = 0.0_f64;
        for ((pair, side), boxes) in pairs.iter().zip(&boxes) {
            let is_wanted = pair.bodies == wanted.bodies && pair.want == wanted.want;
            let extra_m = if is_wanted {
                extra_m
            } else {
                pair.slack_m().clamp(0.0, extra_m)
            };
            let keep_m = pair.keep_m + extra_m;
            if between_boxes_m(boxes, by_m) >= keep_m - short_m {
                continue;
            }
            let moved = pair.solids[*side].moved(by_m, Turn::NONE, [0.0; 3]);
            short_m = short_m.max(keep_m - distance_m(&moved, &pair.solids[1 - *side]));
        }
        short_m
    };
    let mut found: Vec<Move> = Way::ALL
        .into_iter()
        .filter_map(|way| {
            let length_m = shortest_m(|length_m| short_m(way.by(length_m)))?;
            // Another piece may have become the nearest: look at everything anew.
            is_clear(airframe, layout, &moving, way.by(length_m)).then_some(Move { way, length_m })
        })
        .collect();
    found.sort_by(|one, other| one.length_m.total_cmp(&other.length_m));
    found
}

/// The first step after which nothing is short any more. Air grows by no more than a part is moved, so that steps which cannot do are left out.
fn shortest_m(short_m: impl Fn(f64) -> f64) -> Option<f64> {
    let steps = (FARTHEST_M / STEP_M) as usize;
    let mut step = 1;
    while step <= steps {
        let length_m = step as f64 * STEP_M;
        let short_m = short_m(length_m);
        if short_m <= 0.0 {
            return Some(length_m);
        }
        step += ((short_m / STEP_M - ROUNDING).ceil() as usize).max(1);
    }
    None
}

/// Part of a step that rounding may add to what is short.
const ROUNDING: f64 = 1e-3;

fn is_clear(airframe: &Airframe, layout: &Layout, moving: &[bool], by_m: [f64; 3]) -> bool {
    let mut moved = layout.clone();
    for (item, _) in moved
        .items
        .iter_mut()
        .zip(moving)
        .filter(|(_, moving)| **moving)
    {
        *item = item.moved(by_m);
    }
    let is_moving = |body: Body| matches!(body, Body::Item(item) if moving[item]);
    let movers = (0..moving.len()).filter(|at| moving[*at]);
    let mut pairs = movers.flat_map(|at| of_item(airframe, &moved, at));
    pairs.all(|pair| pair.bodies.iter().all(|body| is_moving(*body)) || pair.slack_m() >= -1e-9)
}
