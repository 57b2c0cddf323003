//! A site as seen from a station: screens to be crossed, and the groups they are gone round in.

use radio::cover::Foliage;
use robust::orient2d;
use std::collections::HashMap;

use crate::fault::{coord, edges};
use crate::pass::{PassId, Passes, Piles};
use crate::shape::{Leaves, Place, ShapeId, Site, Spot, Wave};

/// Ends of walls nearer than this are one corner \[m\].
const ONE_CORNER_M: f64 = 0.01;

/// A vector on the ground from the station \[m\]: east, north.
pub(crate) type Vector = [f64; 2];

/// Everything in the way, ready for many rays.
#[derive(Debug, Clone)]
pub(crate) struct Obstacles {
    pub screens: Vec<Screen>,
    pub areas: Vec<Area>,
    pub groups: Vec<Group>,
    /// Areas that the station stands over or in.
    pub over_station: Vec<u32>,
    pub passes: Passes,
}

/// Something upright that a ray may cross.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Screen {
    /// Ends as seen from the station; of a tree the middle, twice.
    pub ends: [Vector; 2],
    /// Where it ends \[m\].
    pub top_m: f64,
    pub group: u32,
    pub what: What,
    pub shape: ShapeId,
}

/// What sort of screen.
#[derive(Debug, Clone, Copy)]
pub(crate) enum What {
    /// A wall by itself.
    Wall { pass: PassId, half_m: f64 },
    /// A wall of a building, which is one of the areas.
    Side { pass: PassId, area: u32 },
    /// A crown.
    Crown {
        radius_m: f64,
        base_m: f64,
        leaves: Leaves,
    },
    /// A side of a wood, which is one of the areas.
    Fringe { area: u32 },
}

impl What {
    /// The area that this is a side of.
    #[inline]
    pub(crate) fn area(self) -> Option<u32> {
        match self {
            Self::Side { area, .. } | Self::Fringe { area } => Some(area),
            Self::Wall { .. } | Self::Crown { .. } => None,
        }
    }
}

/// An area with sides.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Area {
    /// Whether the station stands over it or in it.
    pub over_station: bool,
    pub top_m: f64,
    pub kind: AreaKind,
    pub shape: ShapeId,
}

#[derive(Debug, Clone, Copy)]
pub(crate) enum AreaKind {
    Building { roof: PassId },
    Wood { base_m: f64, leaves: Leaves },
}

/// What is gone round together: corners of the hull. A tree has none, it is round.
#[derive(Debug, Clone, Default)]
pub(crate) struct Group {
    pub corners: Vec<Vector>,
}

impl Obstacles {
    /// Every shape of a sound site.
    pub(crate) fn of(site: &Site, station: Spot, wave: &Wave) -> Self {
        let mut piles = Piles::default();
        let mut gathered = Gathered {
            from: station.place,
            screens: Vec::new(),
            areas: Vec::new(),
            groups: Vec::new(),
        };
        gathered.buildings(site, &mut piles);
        gathered.walls(site, &mut piles);
        let grouped = joined(&mut gathered.screens);
        gathered.groups = grouped;
        let found = Foliage::at(wave.frequency_hz);
        let usual = Leaves {
            specific_db_per_m: found.specific_db_per_m[1],
            maximum_db: found.maximum_db,
        };
        gathered.trees(site, usual);
        gathered.woods(site, usual);
        let over = |(_, area): &(usize, &Area)| area.over_station;
        let over_station = gathered.areas.iter().enumerate().filter(over);
        Self {
            over_station: over_station.map(|(at, _)| at as u32).collect(),
            screens: gathered.screens,
            areas: gathered.areas,
            groups: gathered.groups,
            passes: piles.work_out(wave),
        }
    }
}

struct Gathered {
    from: Place,
    screens: Vec<Screen>,
    areas: Vec<Area>,
    groups: Vec<Group>,
}

impl Gathered {
    fn walls<'s>(&mut self, site: &'s Site, piles: &mut Piles<'s>) {
        for (at, wall) in site
            .walls
            .iter()
            .enumerate()
            .filter(|(_, wall)| !wall.layers.is_empty())
        {
            let thickness_m: f64 = wall.layers.iter().map(|layer| layer.thickness_m).sum();
            let what = What::Wall {
                pass: piles.id(&wall.layers),
                half_m: 0.5 * thickness_m,
            };
            let ends = [self.seen(wall.from), self.seen(wall.to)];
            self.screens.push(Screen {
                ends,
                top_m: wall.height_m,
                group: 0,
                what,
                shape: ShapeId::Wall(at),
            });
        }
    }

    fn buildings<'s>(&mut self, site: &'s Site, piles: &mut Piles<'s>) {
        for (at, building) in site.buildings.iter().enumerate() {
            let area = self.areas.len() as u32;
            let kind = AreaKind::Building {
                roof: piles.id(&building.roof),
            };
            let pass = piles.id(&building.walls);
            self.area(
                &building.outline,
                building.height_m,
                kind,
                ShapeId::Building(at),
            );
            self.sides(
                &building.outline,
                building.height_m,
                What::Side { pass, area },
                ShapeId::Building(at),
            );
        }
    }

    fn trees(&mut self, site: &Site, usual: Leaves) {
        for (at, tree) in site.trees.iter().enumerate() {
            let middle = self.seen(tree.centre);
            let what = What::Crown {
                radius_m: tree.radius_m,
                base_m: tree.base_m,
                leaves: tree.leaves.unwrap_or(usual),
            };
            self.screens.push(Screen {
                ends: [middle, middle],
                top_m: tree.top_m,
                group: self.groups.len() as u32,
                what,
                shape: ShapeId::Tree(at),
            });
            self.groups.push(Group::default());
        }
    }

    fn woods(&mut self, site: &Site, usual: Leaves) {
        for (at, wood) in site.woods.iter().enumerate() {
            let area = self.areas.len() as u32;
            let kind = AreaKind::Wood {
                base_m: wood.base_m,
                leaves: wood.leaves.unwrap_or(usual),
            };
            self.area(&wood.outline, wood.top_m, kind, ShapeId::Wood(at));
            let first = self.screens.len();
            self.sides(
                &wood.outline,
                wood.top_m,
                What::Fringe { area },
                ShapeId::Wood(at),
            );
            let group = self.groups.len() as u32;
            self.screens[first..]
                .iter_mut()
                .for_each(|screen| screen.group = group);
            let corners: Vec<Vector> = wood.outline.iter().map(|place| self.seen(*place)).collect();
            self.groups.push(Group {
                corners: hull(corners),
            });
        }
    }

    fn area(&mut self, outline: &[Place], top_m: f64, kind: AreaKind, shape: ShapeId) {
        let over_station = crate::fault::holds(outline, self.from);
        self.areas.push(Area {
            over_station,
            top_m,
            kind,
            shape,
        });
    }

    fn sides(&mut self, outline: &[Place], top_m: f64, what: What, shape: ShapeId) {
        for (from, to) in edges(outline) {
            let ends = [self.seen(from), self.seen(to)];
            self.screens.push(Screen {
                ends,
                top_m,
                group: 0,
                what,
                shape,
            });
        }
    }

    fn seen(&self, place: Place) -> Vector {
        [
            place.east_m - self.from.east_m,
            place.north_m - self.from.north_m,
        ]
    }
}

/// Puts walls whose ends meet into one group, and gives the corners of each group's hull.
fn joined(screens: &mut [Screen]) -> Vec<Group> {
    let mut corners: HashMap<[i64; 2], usize> = HashMap::new();
    let mut parents: Vec<usize> = (0..screens.len()).collect();
    for (at, screen) in screens.iter().enumerate() {
        for end in screen.ends {
            let cell = end.map(|metres| (metres / ONE_CORNER_M).round() as i64);
            // A corner that rounds the other way lies in a cell beside.
            for beside in (-1..=1).flat_map(|e| (-1..=1).map(move |n| [cell[0] + e, cell[1] + n])) {
                if let Some(&other) = corners.get(&beside) {
                    let (one, other) = (root(&mut parents, at), root(&mut parents, other));
                    parents[one.max(other)] = one.min(other);
                }
            }
            corners.entry(cell).or_insert(at);
        }
    }
    let mut groups: Vec<Group> = Vec::new();
    let mut numbers: HashMap<usize, u32> = HashMap::new();
    for (at, screen) in screens.iter_mut().enumerate() {
        let root = root(&mut parents, at);
        let number = *numbers.entry(root).or_insert_with(|| {
            groups.push(Group::default());
            groups.len() as u32 - 1
        });
        screen.group = number;
        groups[number as usize].corners.extend(screen.ends);
    }
    for group in &mut groups {
        group.corners = hull(std::mem::take(&mut group.corners));
    }
    groups
}

fn root(parents: &mut [usize], mut at: usize) -> usize {
    while parents[at] != at {
        parents[at] = parents[parents[at]];
        at = parents[at];
    }
    at
}

/// Corners of the convex hull, by A. M. Andrew, Inf. Process. Lett. 9 (1979) 216.
fn hull(mut points: Vec<Vector>) -> Vec<Vector> {
    points.sort_by(|one, other| {
        one[0]
            .total_cmp(&other[0])
            .then(one[1].total_cmp(&other[1]))
    });
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut lower = chain(points.iter());
    let mut upper = chain(points.iter().rev());
    // Each ends where the other begins.
    lower.pop();
    upper.pop();
    lower.extend(upper);
    lower
}

fn chain<'p>(points: impl Iterator<Item = &'p Vector>) -> Vec<Vector> {
    let mut kept: Vec<Vector> = Vec::new();
    for &point in points {
        while let [.., before, last] = kept[..] {
            let turn = orient2d(at(before), at(last), at(point));
            if turn > 0.0 {
                break;
            }
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

fn at([east_m, north_m]: Vector) -> robust::Coord<f64> {
    coord(Place { east_m, north_m })
}

#[cfg(test)]
mod tests {
    use super::hull;

    #[test]
    fn checked_a_hull_has_only_outer_corners() {
        let points = vec![
            [0.0, 0.0],
            [2.0, 0.0],
            [1.0, 0.0],
            [1.0, 1.0],
            [2.0, 2.0],
            [0.0, 2.0],
            [0.5, 0.2],
        ];
        assert_eq!(
            hull(points),
            [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
        );
        assert_eq!(
            hull(vec![[1.0, 1.0], [0.0, 0.0], [2.0, 2.0]]),
            [[0.0, 0.0], [2.0, 2.0]]
        );
    }
}
