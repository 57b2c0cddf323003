//! What is wrong with a site, every fault by its shape.

use radio::wall::Layer;
use robust::{Coord, orient2d};
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use crate::shape::{Leaves, Place, ShapeId, Site, Spot};

/// How far from the origin a place may lie \[m\]. Beyond it flat ground is no longer true, and the numbers are hardly metres.
pub const REACH_M: f64 = 50_000.0;

/// Most corners of one outline.
pub const MOST_CORNERS: usize = 20_000;

/// Most sides of all shapes together; a tree has one.
pub const MOST_SIDES: usize = 20_000;

/// Most different piles of layers.
pub const MOST_PILES: usize = 100;

/// A fault of a site.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// A coordinate or a size is no number.
    #[error("{0}: a coordinate or a size is not a number")]
    NotANumber(ShapeId),
    /// Farther away than any craft flies.
    #[error("{0}: lies more than {REACH_M} m away; are its coordinates metres?")]
    TooFar(ShapeId),
    /// Nothing stands up.
    #[error("{shape}: its top at {top_m} m is not above {base_m} m")]
    NotUpright {
        /// What.
        shape: ShapeId,
        /// Where it begins \[m\].
        base_m: f64,
        /// Where it ends \[m\].
        top_m: f64,
    },
    /// A length, a radius or a layer's thickness is not above zero, or leaves take less than nothing.
    #[error("{0}: a length, a radius, a thickness or a loss is not above zero")]
    NoSize(ShapeId),
    /// Fewer than three corners.
    #[error("{shape}: {corners} corners make no area")]
    TooFewCorners {
        /// What.
        shape: ShapeId,
        /// How many it has.
        corners: usize,
    },
    /// More corners than are looked at.
    #[error("{shape}: {corners} corners; at most {MOST_CORNERS} are looked at")]
    TooManyCorners {
        /// What.
        shape: ShapeId,
        /// How many it has.
        corners: usize,
    },
    /// Its outline crosses or touches itself.
    #[error("{shape}: its outline meets itself on the side that begins at corner {}", corner + 1)]
    CrossesItself {
        /// What.
        shape: ShapeId,
        /// Where the side begins that meets another, from 0.
        corner: usize,
    },
    /// More sides than are looked at.
    #[error("{0} sides of walls, buildings, trees and woods; at most {MOST_SIDES} are looked at")]
    TooManySides(usize),
    /// More different walls than are worked out.
    #[error("more than {MOST_PILES} different piles of layers")]
    TooManyPiles,
    /// A spot is no number, too far away or below the ground.
    #[error("{what}: not a spot above the ground within {REACH_M} m")]
    NoSpot {
        /// What stands there.
        what: &'static str,
    },
    /// The station stands where a building or a wall is.
    #[error("the station stands inside {0}")]
    StationInside(ShapeId),
    /// Frequency or bandwidth make no wave.
    #[error("a frequency above zero and a bandwidth from zero are needed")]
    NoWave,
}

/// What is wrong with the shapes of a site, the first fault of each.
pub fn faults(site: &Site) -> Vec<Fault> {
    let mut found = Vec::from_iter(too_many(site));
    found.extend(site.walls.iter().enumerate().filter_map(|(at, wall)| {
        let shape = ShapeId::Wall(at);
        let sizes = wall.layers.iter().map(|layer| layer.thickness_m);
        corners_off(shape, &[wall.from, wall.to])
            .or_else(|| upright(shape, 0.0, wall.height_m))
            .or_else(|| sized(shape, sizes.chain([apart_m(wall.from, wall.to)])))
    }));
    found.extend(
        site.buildings
            .iter()
            .enumerate()
            .filter_map(|(at, building)| {
                let shape = ShapeId::Building(at);
                let layers = building.walls.iter().chain(&building.roof);
                outline_off(shape, &building.outline)
                    .or_else(|| upright(shape, 0.0, building.height_m))
                    .or_else(|| sized(shape, layers.map(|layer| layer.thickness_m)))
            }),
    );
    found.extend(site.trees.iter().enumerate().filter_map(|(at, tree)| {
        let shape = ShapeId::Tree(at);
        corners_off(shape, &[tree.centre])
            .or_else(|| upright(shape, tree.base_m, tree.top_m))
            .or_else(|| sized(shape, losses(tree.leaves).chain([tree.radius_m])))
    }));
    found.extend(site.woods.iter().enumerate().filter_map(|(at, wood)| {
        let shape = ShapeId::Wood(at);
        outline_off(shape, &wood.outline)
            .or_else(|| upright(shape, wood.base_m, wood.top_m))
            .or_else(|| sized(shape, losses(wood.leaves)))
    }));
    found
}

fn losses(leaves: Option<Leaves>) -> impl Iterator<Item = f64> {
    let losses = leaves.map(|leaves| [leaves.specific_db_per_m, leaves.maximum_db]);
    losses.into_iter().flatten()
}

fn too_many(site: &Site) -> Option<Fault> {
    let outlines = site.buildings.iter().map(|building| building.outline.len());
    let outlines = outlines.chain(site.woods.iter().map(|wood| wood.outline.len()));
    let sides = outlines.sum::<usize>() + site.walls.len() + site.trees.len();
    if sides > MOST_SIDES {
        return Some(Fault::TooManySides(sides));
    }
    let mut piles: Vec<&[Layer]> = Vec::new();
    let walls = site.walls.iter().map(|wall| &wall.layers);
    let houses = site
        .buildings
        .iter()
        .flat_map(|building| [&building.walls, &building.roof]);
    for pile in walls.chain(houses) {
        if !piles.contains(&pile.as_slice()) {
            piles.push(pile);
        }
        if piles.len() > MOST_PILES {
            return Some(Fault::TooManyPiles);
        }
    }
    None
}

/// What is wrong with a station on a site whose shapes are sound.
pub fn station_faults(site: &Site, station: Spot) -> Vec<Fault> {
    if !sound(station) {
        return vec![Fault::NoSpot {
            what: "the station",
        }];
    }
    inside(site, station)
        .map(Fault::StationInside)
        .into_iter()
        .collect()
}

/// Whether a spot is above the ground and within reach.
pub(crate) fn sound(spot: Spot) -> bool {
    away_m(spot.place) <= REACH_M && (0.0..=REACH_M).contains(&spot.height_m)
}

/// The building or wall that a spot lies in. A spot on the roof or on top of the wall is outside.
pub(crate) fn inside(site: &Site, spot: Spot) -> Option<ShapeId> {
    let buildings = site.buildings.iter().enumerate();
    let building = buildings
        .filter(|(_, building)| {
            spot.height_m < building.height_m && holds(&building.outline, spot.place)
        })
        .map(|(at, _)| ShapeId::Building(at));
    let walls = site.walls.iter().enumerate();
    let wall = walls
        .filter(|(_, wall)| {
            let half_m = 0.5
                * wall
                    .layers
                    .iter()
                    .map(|layer| layer.thickness_m)
                    .sum::<f64>();
            spot.height_m < wall.height_m && in_strip(wall.from, wall.to, half_m, spot.place)
        })
        .map(|(at, _)| ShapeId::Wall(at));
    building.chain(wall).next()
}

/// Whether a place is beside a stretch by no more than this, between its ends.
pub(crate) fn in_strip(from: Place, to: Place, half_m: f64, at: Place) -> bool {
    let (east, north) = (to.east_m - from.east_m, to.north_m - from.north_m);
    let (e, n) = (at.east_m - from.east_m, at.north_m - from.north_m);
    let length_squared = east * east + north * north;
    let along = e * east + n * north;
    let across = e * north - n * east;
    along >= 0.0 && along <= length_squared && across * across <= half_m * half_m * length_squared
}

/// Whether an outline holds a place: how often a way north of it crosses the outline.
pub(crate) fn holds(outline: &[Place], at: Place) -> bool {
    let edges =
        edges(outline).filter(|(from, to)| (from.east_m > at.east_m) != (to.east_m > at.east_m));
    let above = edges.filter(|(from, to)| {
        let (west, east) = if from.east_m < to.east_m {
            (from, to)
        } else {
            (to, from)
        };
        orient2d(coord(*west), coord(*east), coord(at)) < 0.0
    });
    above.count() % 2 == 1
}

pub(crate) fn edges(outline: &[Place]) -> impl Iterator<Item = (Place, Place)> {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(from, to)| (*from, *to))
}

pub(crate) fn coord(place: Place) -> Coord<f64> {
    Coord {
        x: place.east_m,
        y: place.north_m,
    }
}

fn corners_off(shape: ShapeId, corners: &[Place]) -> Option<Fault> {
    if !corners
        .iter()
        .all(|corner| corner.east_m.is_finite() && corner.north_m.is_finite())
    {
        return Some(Fault::NotANumber(shape));
    }
    let far = corners.iter().any(|corner| away_m(*corner) > REACH_M);
    far.then_some(Fault::TooFar(shape))
}

fn outline_off(shape: ShapeId, outline: &[Place]) -> Option<Fault> {
    let corners = outline.len();
    if corners < 3 {
        return Some(Fault::TooFewCorners { shape, corners });
    }
    if corners > MOST_CORNERS {
        return Some(Fault::TooManyCorners { shape, corners });
    }
    corners_off(shape, outline)
        .or_else(|| crossing(outline).map(|corner| Fault::CrossesItself { shape, corner }))
}

fn upright(shape: ShapeId, base_m: f64, top_m: f64) -> Option<Fault> {
    if !base_m.is_finite() || !top_m.is_finite() {
        return Some(Fault::NotANumber(shape));
    }
    (base_m < 0.0 || top_m <= base_m || top_m > REACH_M).then_some(Fault::NotUpright {
        shape,
        base_m,
        top_m,
    })
}

fn sized(shape: ShapeId, sizes: impl Iterator<Item = f64>) -> Option<Fault> {
    let mut sizes = sizes;
    (!sizes.all(|size| size > 0.0 && size <= REACH_M)).then_some(Fault::NoSize(shape))
}

/// Where an outline meets itself other than at the corner two neighbours share.
fn crossing(outline: &[Place]) -> Option<usize> {
    let count = outline.len();
    let point = |place: Place| [place.east_m, place.north_m];
    let line = |(at, (from, to)): (usize, (Place, Place))| {
        GeomWithData::new(Line::new(point(from), point(to)), at)
    };
    let lines: Vec<_> = edges(outline).enumerate().map(line).collect();
    let tree = RTree::bulk_load(lines);
    edges(outline).enumerate().find_map(|(at, (from, to))| {
        if from == to {
            return Some(at);
        }
        let around = AABB::from_corners(point(from), point(to));
        let mut near = tree.locate_in_envelope_intersecting(around);
        let meets = |other: &&GeomWithData<Line<[f64; 2]>, usize>| {
            let apart = at.abs_diff(other.data);
            let [a, b] = [other.geom().from, other.geom().to].map(|[e, n]| Place::new(e, n));
            match apart {
                0 => false,
                // Neighbours share a corner; they must not lie on each other.
                1 => folded(from, to, a, b),
                _ if apart + 1 == count => folded(from, to, a, b),
                _ => meet(from, to, a, b),
            }
        };
        near.find(meets).map(|_| at)
    })
}

/// Whether two neighbours lie on each other: in line, and going back from the corner they share.
fn folded(from: Place, to: Place, a: Place, b: Place) -> bool {
    let (corner, one, other) = if to == a {
        (to, from, b)
    } else if from == b {
        (from, to, a)
    } else {
        return meet(from, to, a, b);
    };
    let dot = (one.east_m - corner.east_m) * (other.east_m - corner.east_m)
        + (one.north_m - corner.north_m) * (other.north_m - corner.north_m);
    orient2d(coord(corner), coord(one), coord(other)) == 0.0 && dot > 0.0
}

/// Whether two stretches have a point in common.
fn meet(a: Place, b: Place, c: Place, d: Place) -> bool {
    let side = |one: Place, other: Place, of: Place| orient2d(coord(one), coord(other), coord(of));
    let (c_side, d_side) = (side(a, b, c), side(a, b, d));
    let (a_side, b_side) = (side(c, d, a), side(c, d, b));
    if c_side == 0.0 && d_side == 0.0 {
        let overlap = |p: f64, q: f64, r: f64, s: f64| p.max(q) >= r.min(s) && r.max(s) >= p.min(q);
        return overlap(a.east_m, b.east_m, c.east_m, d.east_m)
            && overlap(a.north_m, b.north_m, c.north_m, d.north_m);
    }
    c_side * d_side <= 0.0 && a_side * b_side <= 0.0
}

fn away_m(place: Place) -> f64 {
    place.east_m.hypot(place.north_m)
}

fn apart_m(from: Place, to: Place) -> f64 {
    (to.east_m - from.east_m).hypot(to.north_m - from.north_m)
}
