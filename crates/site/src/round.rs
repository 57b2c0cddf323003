//! Round the left or the right end of a group: the procedure for edges, on the ground plan.

use radio::edges::{Edge, loss_db};

use crate::crossing::Crossing;
use crate::knife::{knife_power, power_of_db};
use crate::obstacles::{Obstacles, What};
use crate::way::Ray;

/// What a group lets round its ends; the same at every height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Round {
    pub left: f64,
    pub right: f64,
    /// What counts of going through, so near to an end.
    pub through: f64,
}

impl Round {
    /// No way round, and no end near.
    const NONE: Self = Self {
        left: 0.0,
        right: 0.0,
        through: 1.0,
    };
}

/// One side of a group.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Side {
    /// Whether the group stays between the ends of the link on this side.
    open: bool,
    /// The largest ν of its corners.
    nu: f64,
}

impl Side {
    const EMPTY: Self = Self {
        open: true,
        nu: 0.0,
    };
}

impl Ray {
    /// The ways round a group, worked out once for each plan. A group that holds an end is not gone round.
    pub(crate) fn round(
        &mut self,
        obstacles: &Obstacles,
        group: &[Crossing],
        holds_end: bool,
    ) -> Round {
        if holds_end {
            return Round::NONE;
        }
        let number = group[0].group;
        if let Some((_, round)) = self.rounds.iter().find(|(known, _)| *known == number) {
            return *round;
        }
        let round = self.round_anew(obstacles, group);
        self.rounds.push((number, round));
        round
    }

    fn round_anew(&mut self, obstacles: &Obstacles, group: &[Crossing]) -> Round {
        let nearest = &group[0];
        if nearest.is_beside() {
            let free = knife_power(nearest.beside_nu);
            let (left, right) = if nearest.on_left {
                (free, 0.0)
            } else {
                (0.0, free)
            };
            return Round {
                left,
                right,
                through: knife_power(-nearest.beside_nu),
            };
        }
        self.left.clear();
        self.right.clear();
        let [left, right] = self.corners(obstacles, group);
        let level = self.path([0.0, 0.0]);
        let share = |side: Side, corners: &[Edge]| match (side.open, corners.len()) {
            (false, _) => 0.0,
            (true, 0 | 1) => knife_power(side.nu),
            (true, _) => power_of_db(loss_db(&level, corners)),
        };
        let near = |side: Side| {
            if side.open {
                knife_power(-side.nu)
            } else {
                1.0
            }
        };
        Round {
            left: share(left, &self.left),
            right: share(right, &self.right),
            through: near(left) * near(right),
        }
    }

    /// Adds the corners of a group on either side that cost anything.
    pub(crate) fn corners(&mut self, obstacles: &Obstacles, group: &[Crossing]) -> [Side; 2] {
        let nearest = &group[0];
        let mut sides = [Side::EMPTY; 2];
        if nearest.is_beside() {
            let corner = Edge {
                along_m: nearest.along_m,
                height_m: nearest.beside_nu / nearest.nu_per_m,
            };
            let side = if nearest.on_left {
                &mut self.left
            } else {
                &mut self.right
            };
            side.push(corner);
            return sides;
        }
        let screen = &obstacles.screens[nearest.screen as usize];
        if let What::Crown { radius_m, .. } = screen.what {
            let aside_m = self.plan.left_m(screen.ends[0]);
            self.corner(&mut sides[0], nearest.along_m, radius_m + aside_m, true);
            self.corner(&mut sides[1], nearest.along_m, radius_m - aside_m, false);
            return sides;
        }
        for &corner in &obstacles.groups[nearest.group as usize].corners {
            let (left_m, along_m) = (self.plan.left_m(corner), self.plan.along_m(corner));
            let on_left = left_m >= 0.0;
            self.corner(
                &mut sides[usize::from(!on_left)],
                along_m,
                left_m.abs(),
                on_left,
            );
        }
        sides
    }

    fn corner(&mut self, side: &mut Side, along_m: f64, aside_m: f64, on_left: bool) {
        if along_m <= 0.0 || along_m >= self.plan.level_m {
            side.open = false;
            return;
        }
        side.nu = side.nu.max(aside_m * self.plan.nu_per_m(along_m));
        let corners = if on_left {
            &mut self.left
        } else {
            &mut self.right
        };
        corners.push(Edge {
            along_m,
            height_m: aside_m,
        });
    }
}
