//! The parts of one state in their places, and everything that is looked at there once.

use crate::input::{Draw, Draws};
use crate::model::SpaceModel;
use craft::Airframe;
use fit::{Solid, Turn};
use rayon::prelude::*;
use space::clearance::{Body, Clearance, clearances};
use space::holes::{ScrewLength, Screwed, screw_lengths, screwed};
use space::layout::Layout;
use space::reach::{Reach, reach};
use space::shape::Meshes;
use space::stack::{Stack, stacks};
use space::view::{Blocked, Seeing, blocked, cameras};

/// Air over what is wanted, or depth of an overlap, that the first order must keep in every draw to be believed \[m\].
const CLEAR_M: f64 = 0.5e-3;
/// Tilts of the table of views \[°\].
const TILT_STEP_DEG: f64 = 5.0;
/// Rows of that table.
const MOST_TILTS: f64 = 12.0;

/// A layout and what was looked at in it.
pub struct Spaced {
    /// Every part in its place.
    pub layout: Layout,
    /// The pairs that matter.
    pub clearances: Vec<Clearance>,
    /// What hands must reach.
    pub reach: Vec<Reach>,
    /// Holes against posts.
    pub screwed: Vec<Screwed>,
    /// Screws of motors.
    pub screws: Vec<ScrewLength>,
    /// Boards over each other.
    pub stacks: Vec<Stack>,
    /// Cameras, and what each sees of the craft as it is tilted now.
    pub cameras: Vec<(Seeing, Blocked)>,
    /// Height of the ground \[m\].
    pub ground_m: Option<f64>,
}

impl std::fmt::Debug for Spaced {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Spaced")
            .field("items", &self.layout.items.len())
            .finish_non_exhaustive()
    }
}

impl Spaced {
    /// Places the parts of an airframe and looks at all of it.
    pub fn of(airframe: &Airframe, meshes: &mut Meshes) -> Self {
        let layout = Layout::of(airframe, meshes);
        let seeing = cameras(airframe, &layout);
        let cameras = seeing.into_iter().map(|camera| {
            let seen = blocked(&layout, &camera, camera.tilt);
            (camera, seen)
        });
        Self {
            clearances: clearances(airframe, &layout),
            reach: reach(airframe, &layout),
            screwed: screwed(airframe, &layout),
            screws: screw_lengths(airframe),
            stacks: stacks(airframe, &layout),
            cameras: cameras.collect(),
            ground_m: layout.ground_m(airframe),
            layout,
        }
    }

    /// What a camera sees at the tilts its mount allows, every five degrees, and as it is; without a mount 15° either way.
    pub fn views(&self, camera: &Seeing) -> Vec<Blocked> {
        let degrees = camera.tilt.to_degrees();
        let (least, most) = camera
            .tilts
            .map_or((degrees - 15.0, degrees + 15.0), |(least, most)| {
                (least.to_degrees(), most.to_degrees())
            });
        let step = TILT_STEP_DEG.max((most - least) / MOST_TILTS);
        let count = ((most - least) / step).floor().max(0.0) as usize;
        let mut tilts: Vec<f64> = (0..=count)
            .map(|at| (least + step * at as f64).to_radians())
            .collect();
        if !tilts.iter().any(|tilt| (tilt - camera.tilt).abs() < 1e-6) {
            tilts.push(camera.tilt);
        }
        tilts.sort_by(f64::total_cmp);
        tilts
            .into_iter()
            .map(|tilt| blocked(&self.layout, camera, tilt))
            .collect()
    }

    /// The air between two solids in every draw \[m\].
    ///
    /// First the nearest spots of the middle are moved as the places that carry them are off; that is right to the first order and may be
    /// too kind by what another spot gains. A pair that keeps its air, or overlaps, so by half a millimetre in every draw is left at that; any
    /// other is moved as solids and measured again in every draw, but for meshes, which would take too long.
    pub fn air_m(
        &self,
        clearance: &Clearance,
        model: Option<&SpaceModel>,
        draws: &Draws,
        count: usize,
    ) -> Vec<f64> {
        let still = || vec![clearance.gap.distance_m; count];
        let Some(model) = model else {
            return still();
        };
        let carried = clearance.bodies.map(|body| self.carried(body, model));
        // What carries both sides moves nothing between them.
        let [one, other] = &carried;
        let apart = [0, 1].map(|side| {
            let shared = if side == 0 { other } else { one };
            let own = carried[side].iter().filter(|held| !shared.contains(held));
            own.copied().collect::<Vec<usize>>()
        });
        if apart.iter().all(Vec::is_empty) {
            return still();
        }
        let is_mesh = clearance.solids.iter().any(Solid::is_mesh);
        if let Some(away) = clearance.away() {
            let first: Vec<f64> = (0..count)
                .map(|at| first_order(model, clearance, &apart, draws.row(at), away))
                .collect();
            let least_m = first.iter().copied().fold(f64::INFINITY, f64::min);
            let most_m = first.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let is_clear = least_m > clearance.keep_m + CLEAR_M;
            let is_deep = most_m < clearance.keep_m.min(0.0) - CLEAR_M;
            if is_mesh || is_clear || is_deep {
                return first;
            }
        }
        let measured = |at: usize| {
            let draw = draws.row(at);
            let solids =
                [0, 1].map(|side| model.moved(&apart[side], draw, &clearance.solids[side]));
            fit::distance_m(&solids[0], &solids[1])
        };
        (0..count).into_par_iter().map(measured).collect()
    }

    /// The places that carry one side but not the other are what moves the gap; those that carry both move nothing, but cost nothing either.
    fn carried(&self, body: Body, model: &SpaceModel) -> Vec<usize> {
        let Body::Item(item) = body else {
            return Vec::new();
        };
        let parts = self.layout.items[item].carried_by.iter();
        parts
            .filter_map(|part| model.held.iter().position(|held| held.part == *part))
            .collect()
    }
}

/// The gap of a draw with the nearest spots of the middle moved along the line between them \[m\].
fn first_order(
    model: &SpaceModel,
    clearance: &Clearance,
    apart: &[Vec<usize>; 2],
    draw: Draw<'_>,
    away: [f64; 3],
) -> f64 {
    let [one, other] =
        [0, 1].map(|side| model.moved_m(&apart[side], draw, clearance.gap.nearest_m[side]));
    let along = |axis: usize| (one[axis] - other[axis]) * away[axis];
    clearance.gap.distance_m + along(0) + along(1) + along(2)
}

impl SpaceModel {
    /// How far a point is moved in a draw by the places that carry it \[m\].
    pub fn moved_m(&self, carried_by: &[usize], draw: Draw<'_>, point_m: [f64; 3]) -> [f64; 3] {
        let mut by = [0.0; 3];
        for held in carried_by.iter().map(|at| &self.held[*at]) {
            let off = held.off(draw);
            let (shift, turn) = (
                held.in_craft([off[0], off[1], off[2]]),
                held.in_craft([off[3], off[4], off[5]]),
            );
            let arm = [0, 1, 2].map(|axis| point_m[axis] - held.origin_m[axis]);
            for axis in 0..3 {
                let (next, last) = ((axis + 1) % 3, (axis + 2) % 3);
                by[axis] += shift[axis] + turn[next] * arm[last] - turn[last] * arm[next];
            }
        }
        by
    }

    /// A solid as it is moved and turned in a draw.
    fn moved(&self, carried_by: &[usize], draw: Draw<'_>, solid: &Solid) -> Solid {
        let mut moved = solid.clone();
        for held in carried_by.iter().map(|at| &self.held[*at]) {
            let off = held.off(draw);
            if off == [0.0; 6] {
                continue;
            }
            let turn = held.in_craft([off[3], off[4], off[5]]);
            let turn = Turn {
                roll: turn[0],
                pitch: turn[1],
                yaw: turn[2],
            };
            moved = moved.moved(held.in_craft([off[0], off[1], off[2]]), turn, held.origin_m);
        }
        moved
    }
}

impl crate::model::HeldModel {
    /// How far the place is off in a draw: along its axes \[m\], then about them \[rad\].
    fn off(&self, draw: Draw<'_>) -> [f64; 6] {
        [0, 1, 2, 3, 4, 5].map(|at| self.signs[at] * (draw.of(self.terms[at]) - self.middle[at]))
    }

    fn in_craft(&self, local: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|axis| (0..3).map(|own| local[own] * self.axes[own][axis]).sum())
    }
}
