//! How near two solids are to each other, and where.

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::{Pose3, Vector};
use parry3d_f64::query::{self, ShapeDistance};
use parry3d_f64::shape::{Cuboid, Segment, Shape, TriMesh};

use crate::solid::Solid;

/// Below this much air two solids touch \[m\]: what the nearest-point search can tell apart.
pub const TOUCHING_M: f64 = 1e-8;

/// The distance of two solids and where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Least distance \[m\]; zero where they touch. Below zero where two boxes or cylinders overlap: so far, and no less, one of them must
    /// move to be free. Zero where a mesh takes part in an overlap, for nobody has worked out how deep it is.
    pub distance_m: f64,
    /// The point of the first solid and that of the second one \[m\]. Apart, they are as far from each other as the distance says. In an
    /// overlap of boxes and cylinders the way from the second to the first is the shortest way out for the second solid; where a mesh
    /// overlaps, both are one place on or in the mesh that the other solid reaches.
    pub nearest_m: [[f64; 3]; 2],
}

impl Gap {
    /// The air between them \[m\]: zero in an overlap.
    pub fn air_m(&self) -> f64 {
        self.distance_m.max(0.0)
    }

    /// Whether they touch or overlap.
    pub fn is_contact(&self) -> bool {
        self.distance_m <= 0.0
    }

    fn flipped(self) -> Self {
        let [first, second] = self.nearest_m;
        Self {
            nearest_m: [second, first],
            ..self
        }
    }
}

/// The gap between two solids.
///
/// The library finds the nearest pair of convex pieces and a first pair of points; projecting each on the other's solid until nothing moves
/// gives points that lie on the solids, so that the distance is one that can be measured between them. A closed mesh is full: a solid wholly
/// inside it overlaps. An open one is a sheet.
/// Validated: `gap-*`, within 0.02 mm. Checked: 10 000 random pairs of boxes and cylinders, each against planes that separate them, within
/// 1e-8 m; a mesh of a box against the box.
pub fn distance(first: &Solid, second: &Solid) -> Gap {
    match (first.as_mesh(), second.as_mesh()) {
        (Some(one), Some(other)) => meshes(first, one.surface(), second, other.surface()),
        (Some(mesh), None) => mesh_and_convex(first, mesh.surface(), second),
        (None, Some(mesh)) => mesh_and_convex(second, mesh.surface(), first).flipped(),
        (None, None) => convex((first.shape(), first.at()), (second.shape(), second.at())),
    }
}

/// The distance alone \[m\], as [`distance`] gives it to 1e-6 m, without the points: two to four times as quick where solids are apart.
pub fn distance_m(first: &Solid, second: &Solid) -> f64 {
    let air_m = air_within_m(first, second, f64::INFINITY);
    if air_m > 0.0 || first.is_mesh() || second.is_mesh() {
        return air_m;
    }
    distance(first, second).distance_m
}

/// The air between two solids \[m\], zero where they touch or overlap, `most_m` where there is that much or more: found out sooner the smaller
/// that is. Not a number sets no bound. Too large by 3e-9 m at most where a cylinder takes part.
/// Checked: against [`distance`] on random pairs of every kind.
pub fn air_within_m(first: &Solid, second: &Solid, most_m: f64) -> f64 {
    let most = 1e3 * most_m;
    let boxes = [first, second].map(|solid| solid.shape().compute_aabb(solid.at()));
    let at_least = between_boxes(&boxes[0], &boxes[1]);
    if at_least >= most {
        return most_m;
    }
    let found = match (first.as_mesh(), second.as_mesh()) {
        (Some(mesh), _) => air_of_mesh(first, mesh.surface(), second, most),
        (None, Some(mesh)) => air_of_mesh(second, mesh.surface(), first, most),
        (None, None) => {
            between((first.shape(), first.at()), (second.shape(), second.at())).distance
        }
    };
    match found <= TOUCHING_MM {
        true => 0.0,
        false => (1e-3 * found).min(most_m),
    }
}

/// The air between two boxes along the axes, each by its lowest and highest corner and the first one moved \[m\]: never more than between
/// what they hold; below zero where they overlap.
pub fn between_boxes_m([first, second]: &[[[f64; 3]; 2]; 2], by_m: [f64; 3]) -> f64 {
    let gaps = [0, 1, 2].map(|axis| {
        let (low, high) = (first[0][axis] + by_m[axis], first[1][axis] + by_m[axis]);
        (second[0][axis] - high).max(low - second[1][axis])
    });
    match gaps.iter().all(|gap| *gap < 0.0) {
        true => gaps.into_iter().fold(f64::NEG_INFINITY, f64::max),
        false => Vector::from(gaps).max(Vector::ZERO).length(),
    }
}

/// How far a solid reaches into a disc from its rim towards its axis \[m\]; zero where they do not overlap, nothing where the first solid
/// is not a cylinder.
///
/// Measured to the piece of the axis inside the disc, so that a leaning solid that is nearer to the axis just above the disc counts from there:
/// never less than the true figure. Validated: `radial-overlap-*`.
pub fn radial_overlap_m(disc: &Solid, other: &Solid) -> Option<f64> {
    let (radius, height) = disc.round()?;
    if !distance(disc, other).is_contact() {
        return Some(0.0);
    }
    let axis = Segment::new(
        Vector::new(0.0, -height / 2.0, 0.0),
        Vector::new(0.0, height / 2.0, 0.0),
    );
    let inside = other.hollow_holds(disc.at().translation);
    let nearest = match inside {
        true => 0.0,
        false => between((&axis, disc.at()), (other.shape(), other.at())).distance,
    };
    Some(1e-3 * (radius - nearest).max(0.0))
}

/// A convex piece and where it is \[mm\].
type Piece<'a> = (&'a dyn Shape, &'a Pose3);

/// Where the library gives no answer, the solids are as far apart as can be: no pair of our forms is such.
fn between(first: Piece, second: Piece) -> ShapeDistance {
    query::distance(first.1, first.0, second.1, second.0)
        .unwrap_or_else(|_| ShapeDistance::new(f64::MAX))
}

/// The boxes along the axes are never farther apart than what they hold.
fn between_boxes(first: &Aabb, second: &Aabb) -> f64 {
    (second.mins - first.maxs)
        .max(first.mins - second.maxs)
        .max(Vector::ZERO)
        .length()
}

fn air_of_mesh(mesh: &Solid, surface: &TriMesh, other: &Solid, most: f64) -> f64 {
    if mesh.hollow_holds(other.one_point()) || other.hollow_holds(mesh.one_point()) {
        return 0.0;
    }
    let seen = mesh.at().inv_mul(other.at());
    nearest_pieces(surface, other.shape(), &seen, most).map_or(most, |found| found.distance)
}

fn convex(first: Piece, second: Piece) -> Gap {
    let apart = between(first, second).distance;
    if apart <= TOUCHING_MM {
        return overlap(first, second);
    }
    let guess = query::contact(first.1, first.0, second.1, second.0, 1.001 * apart + 1e-3);
    let start = match guess {
        Ok(Some(contact)) => contact.point2,
        _ => second.1.translation,
    };
    settle(first, second, start, apart)
}

/// Each point projected on the other solid until they are as near as the library says, or nothing moves any more.
///
/// Alternating projections between convex solids only ever come nearer; from a good start two rounds are enough.
fn settle(first: Piece, second: Piece, start: Vector, apart: f64) -> Gap {
    let (mut p, mut q) = (start, start);
    let mut last = f64::INFINITY;
    for round in 0..MOST_ROUNDS {
        p = onto(first, q);
        q = onto(second, p);
        let now = p.distance(q);
        if (round > 0 && now <= apart + CLOSE_ENOUGH_MM) || last - now < STANDS_STILL_MM {
            break;
        }
        last = now;
    }
    gap(p.distance(q), p, q)
}

const TOUCHING_MM: f64 = 1e3 * TOUCHING_M;
/// Farther than this from the library's distance, the points are not taken yet.
const CLOSE_ENOUGH_MM: f64 = 1e-9;
const STANDS_STILL_MM: f64 = 1e-12;
const MOST_ROUNDS: usize = 200;

fn onto(piece: Piece, point: Vector) -> Vector {
    piece.0.project_point(piece.1, point, true).point
}

/// The shortest way out, if it stands up to being measured along its own direction.
fn overlap(first: Piece, second: Piece) -> Gap {
    let Ok(Some(found)) = query::contact(first.1, first.0, second.1, second.0, 0.0) else {
        let q = onto(second, onto(first, second.1.translation));
        return gap(0.0, q, q);
    };
    let deep = -found.dist;
    let way = found.normal1;
    let reach = reach(first, way) + reach(second, -way);
    if deep > TOUCHING_MM && (reach - deep).abs() < AGREES_MM {
        gap(-deep, found.point1, found.point2)
    } else {
        let middle = (found.point1 + found.point2) / 2.0;
        gap(0.0, middle, middle)
    }
}

const AGREES_MM: f64 = 1e-4;

/// How far a convex piece reaches in a direction \[mm\].
fn reach(piece: Piece, direction: Vector) -> f64 {
    piece.0.as_support_map().map_or(f64::INFINITY, |map| {
        map.support_point(piece.1, direction).dot(direction)
    })
}

fn mesh_and_convex(mesh: &Solid, surface: &TriMesh, other: &Solid) -> Gap {
    // Whatever is inside is inside with every point, unless it cuts the surface, which the distance tells.
    let inside = other.one_point();
    if mesh.hollow_holds(inside) {
        return gap(0.0, inside, inside);
    }
    let seen = mesh.at().inv_mul(other.at());
    let index = nearest_pieces(surface, other.shape(), &seen, f64::MAX).map_or(0, |near| near.own);
    let triangle = surface.triangle(index);
    without_depth(convex((&triangle, mesh.at()), (other.shape(), other.at())))
}

fn meshes(first: &Solid, one: &TriMesh, second: &Solid, other: &TriMesh) -> Gap {
    let (inner, outer) = (first.one_point(), second.one_point());
    if second.hollow_holds(inner) {
        return gap(0.0, inner, inner);
    }
    if first.hollow_holds(outer) {
        return gap(0.0, outer, outer);
    }
    let seen = first.at().inv_mul(second.at());
    let near = nearest_pieces(one, other, &seen, f64::MAX);
    let (a, b) = near.map_or((0, 0), |near| (near.own, near.other));
    without_depth(convex(
        (&one.triangle(a), first.at()),
        (&other.triangle(b), second.at()),
    ))
}

/// Two pieces that are nearest to each other.
struct Nearest {
    /// Triangle of the mesh.
    own: u32,
    /// Triangle of the other solid, where it is a mesh.
    other: u32,
    /// How far apart \[mm\].
    distance: f64,
}

/// The triangle of a mesh that is nearest to a solid seen from the mesh, and the nearest piece of that solid; none where they are as far
/// apart as `most` \[mm\].
///
/// The library by itself weighs the triangles by the box around the solid, which for a leaning disc or another mesh is mostly air; here the
/// solid itself is held against boxes of triangles first.
fn nearest_pieces(mesh: &TriMesh, other: &dyn Shape, seen: &Pose3, most: f64) -> Option<Nearest> {
    let around = other.compute_aabb(seen);
    let stay = Pose3::IDENTITY;
    let found = mesh.bvh().find_best(
        most.min(f64::MAX),
        |node, best| {
            let part = node.aabb();
            let at_least = between_boxes(&part, &around);
            if at_least >= best {
                return at_least;
            }
            let block = Cuboid::new(part.half_extents().max(Vector::splat(THINNEST_MM)));
            let at = Pose3::from_translation(part.center());
            // Rounding and the thickness given to flat boxes must never hide a triangle.
            (nearer_than(best, (&block, &at), (other, seen)) - SLACK_MM).max(0.0)
        },
        |index, best| {
            let triangle = mesh.triangle(index);
            let found = nearest_within(best, (&triangle, &stay), (other, seen))?;
            Some((found.distance, found.subshape2))
        },
    );
    found.map(|(own, (distance, other))| Nearest {
        own,
        other,
        distance,
    })
}

const THINNEST_MM: f64 = 1e-9;
const SLACK_MM: f64 = 1e-5;

fn nearer_than(most: f64, piece: Piece, other: Piece) -> f64 {
    nearest_within(most, piece, other).map_or(f64::MAX, |found| found.distance)
}

/// The distance of a convex piece from any shape, if it is less than so much.
fn nearest_within(most: f64, piece: Piece, other: Piece) -> Option<ShapeDistance> {
    let Some(mesh) = other.0.as_trimesh() else {
        return Some(between(piece, other));
    };
    let seen = other.1.inv_mul(piece.1);
    let around = piece.0.compute_aabb(&seen);
    let found = mesh.bvh().find_best(
        most,
        |node, _| between_boxes(&node.aabb(), &around),
        |index, _| {
            let stay = Pose3::IDENTITY;
            Some(between((piece.0, &seen), (&mesh.triangle(index), &stay)).distance)
        },
    )?;
    let mut distance = ShapeDistance::new(found.1);
    distance.subshape2 = found.0;
    Some(distance)
}

/// How deep one triangle is in a solid says nothing about the mesh it belongs to.
fn without_depth(gap: Gap) -> Gap {
    match gap.distance_m < 0.0 {
        true => Gap {
            distance_m: 0.0,
            nearest_m: [gap.nearest_m[0]; 2],
        },
        false => gap,
    }
}

fn gap(millimetres: f64, p: Vector, q: Vector) -> Gap {
    Gap {
        distance_m: 1e-3 * millimetres,
        nearest_m: [p, q].map(|point| (1e-3 * point).to_array()),
    }
}
