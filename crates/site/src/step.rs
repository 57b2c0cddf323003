//! One screen at one height: what passes over it and what through.

use radio::cover::vegetation_db;
use radio::edges::{Edge, NOTHING_BELOW};

use crate::crossing::Crossing;
use crate::knife::{knife_power, power_of_db};
use crate::obstacles::{AreaKind, Obstacles, Screen, What};
use crate::round::Round;
use crate::shape::Leaves;
use crate::way::Ray;

/// One screen at one height, or a whole wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub over: f64,
    pub through: f64,
    /// An end lies in it, so that it is neither gone over nor round.
    pub holds_end: bool,
}

impl Step {
    /// Over and through together; through counts less near the ends.
    pub(crate) fn share(&self, round: &Round) -> f64 {
        (self.over + self.through * round.through).min(1.0)
    }

    /// A screen whose top has this ν and which lets this share through.
    fn at_edge(nu: f64, share: f64) -> Self {
        Self {
            over: knife_power(nu),
            through: share * knife_power(-nu),
            holds_end: false,
        }
    }
}

impl Leaves {
    /// Share of the power that passes so many metres.
    pub(crate) fn share(&self, depth_m: f64) -> f64 {
        power_of_db(vegetation_db(
            depth_m,
            self.specific_db_per_m,
            self.maximum_db,
        ))
    }
}

impl Ray {
    /// One screen of a group that is no wood; `None` where it costs nothing.
    pub(crate) fn step(
        &mut self,
        obstacles: &Obstacles,
        group: &[Crossing],
        at: usize,
    ) -> Option<Step> {
        let crossing = &group[at];
        let screen = &obstacles.screens[crossing.screen as usize];
        match screen.what {
            What::Wall { pass, .. } => {
                let nu = self.nu(crossing, screen.top_m)?;
                let share = obstacles.passes.share(pass, self.cosine(crossing));
                Some(self.over_edge(crossing, screen, nu, share))
            }
            What::Side { pass, area } => {
                let nu = self.nu(crossing, screen.top_m)?;
                let share = obstacles.passes.share(pass, self.cosine(crossing));
                let roof = self.roof(obstacles, group, at, area);
                Some(self.over_edge(crossing, screen, nu, share * roof))
            }
            What::Crown { base_m, leaves, .. } => self.crown(crossing, screen, base_m, leaves),
            What::Fringe { .. } => None,
        }
    }

    /// A wood: all its sides at once.
    pub(crate) fn wood(
        &mut self,
        obstacles: &Obstacles,
        group: &[Crossing],
        area: u32,
    ) -> Option<Step> {
        let first = &group[0];
        let of = &obstacles.areas[area as usize];
        let AreaKind::Wood { base_m, leaves } = of.kind else {
            return None;
        };
        let (top_m, screen) = (of.top_m, &obstacles.screens[first.screen as usize]);
        if first.is_beside() {
            if self.at_m(first.along_m) < base_m {
                return None;
            }
            let nu = self.nu(first, top_m)?;
            return Some(self.over_edge(first, screen, nu, 1.0));
        }
        let level_m = self.plan.level_m;
        let (mut from_m, mut inside) = (0.0, of.over_station);
        let (mut depth_m, mut full_m) = (0.0, 0.0);
        for to_m in group
            .iter()
            .map(|crossing| crossing.along_m)
            .chain([level_m])
        {
            if inside {
                depth_m += self.depth_m([from_m, to_m], [base_m, top_m]);
                full_m += to_m - from_m;
            }
            (from_m, inside) = (to_m, !inside);
        }
        // The last step turned it once too often.
        let ends_in = !inside && self.height_m < top_m;
        if (of.over_station && self.station_m < top_m) || ends_in {
            return self.in_leaves(first, screen, leaves, depth_m);
        }
        let highest = group.iter().max_by(|one, other| {
            let nu = |crossing: &Crossing| self.raw_nu(crossing, top_m);
            nu(one).total_cmp(&nu(other))
        });
        let highest = highest.unwrap_or(first);
        if depth_m == 0.0 && self.at_m(highest.along_m) < base_m {
            return None;
        }
        let nu = self.nu(highest, top_m)?;
        for crossing in group {
            self.tops.push(Edge {
                along_m: crossing.along_m,
                height_m: top_m,
            });
        }
        self.met.push((first.along_m, screen.shape));
        let depth_m = if depth_m > 0.0 { depth_m } else { full_m };
        Some(Step::at_edge(nu, leaves.share(depth_m)))
    }

    /// The way through between two places on the ground plan, as far as it lies between two heights \[m\].
    pub(crate) fn depth_m(&self, [from_m, to_m]: [f64; 2], [base_m, top_m]: [f64; 2]) -> f64 {
        let (one, other) = (self.at_m(from_m), self.at_m(to_m));
        let (low, high) = if one <= other {
            (one, other)
        } else {
            (other, one)
        };
        let share = if high > low {
            (high.min(top_m) - low.max(base_m)).max(0.0) / (high - low)
        } else if self.plan.level_m == 0.0 {
            // Straight up: the heights of the two ends.
            let (low, high) = (
                self.station_m.min(self.height_m),
                self.station_m.max(self.height_m),
            );
            return (high.min(top_m) - low.max(base_m)).max(0.0);
        } else {
            f64::from(u8::from(low >= base_m && low < top_m))
        };
        share * (to_m - from_m) * self.slant_m / self.plan.level_m
    }

    /// A tree's crown, a drum.
    fn crown(
        &mut self,
        crossing: &Crossing,
        screen: &Screen,
        base_m: f64,
        leaves: Leaves,
    ) -> Option<Step> {
        let (level_m, top_m) = (self.plan.level_m, screen.top_m);
        if crossing.is_beside() {
            if self.at_m(crossing.along_m) < base_m {
                return None;
            }
            let nu = self.nu(crossing, top_m)?;
            return Some(self.over_edge(crossing, screen, nu, 1.0));
        }
        let reach = [
            crossing.along_m - crossing.half_m,
            crossing.along_m + crossing.half_m,
        ];
        let clipped = reach.map(|along_m| along_m.clamp(0.0, level_m));
        let depth_m = self.depth_m(clipped, [base_m, top_m]);
        let holds = [
            reach[0] <= 0.0 && self.station_m < top_m,
            reach[1] >= level_m && self.height_m < top_m,
        ];
        if holds[0] || holds[1] {
            return self.in_leaves(crossing, screen, leaves, depth_m);
        }
        // The drum's rim nearest to the ray.
        let rims = reach.map(|along_m| Crossing {
            along_m,
            nu_per_m: self.plan.nu_per_m(along_m),
            ..*crossing
        });
        let rims = rims
            .into_iter()
            .filter(|rim| rim.along_m > 0.0 && rim.along_m < level_m);
        let rim = rims.max_by(|one, other| {
            self.raw_nu(one, top_m)
                .total_cmp(&self.raw_nu(other, top_m))
        })?;
        if depth_m == 0.0 && self.at_m(rim.along_m) < base_m {
            return None;
        }
        let nu = self.nu(&rim, top_m)?;
        let depth_m = if depth_m > 0.0 {
            depth_m
        } else {
            clipped[1] - clipped[0]
        };
        Some(self.over_edge(&rim, screen, nu, leaves.share(depth_m)))
    }

    fn in_leaves(
        &mut self,
        crossing: &Crossing,
        screen: &Screen,
        leaves: Leaves,
        depth_m: f64,
    ) -> Option<Step> {
        if depth_m <= 0.0 {
            return None;
        }
        self.met.push((crossing.along_m, screen.shape));
        Some(Step {
            over: 0.0,
            through: leaves.share(depth_m),
            holds_end: true,
        })
    }

    /// What a roof lets through, at the first side under whose top the ray passes, where it comes out above the top of another.
    fn roof(&self, obstacles: &Obstacles, group: &[Crossing], at: usize, area: u32) -> f64 {
        let AreaKind::Building { roof } = obstacles.areas[area as usize].kind else {
            return 1.0;
        };
        let below = |crossing: &&Crossing| {
            let screen = &obstacles.screens[crossing.screen as usize];
            screen.what.area() == Some(area)
                && !crossing.is_beside()
                && self.at_m(crossing.along_m) < screen.top_m
        };
        let is_first = below(&&group[at]) && !group[..at].iter().any(|crossing| below(&crossing));
        if !is_first || group[at..].iter().filter(below).count() % 2 == 0 {
            return 1.0;
        }
        let cosine = (self.height_m - self.station_m).abs() / self.slant_m;
        obstacles.passes.share(roof, cosine)
    }

    /// Over a top of this ν, or through.
    fn over_edge(&mut self, crossing: &Crossing, screen: &Screen, nu: f64, share: f64) -> Step {
        self.tops.push(Edge {
            along_m: crossing.along_m,
            height_m: screen.top_m,
        });
        self.met.push((crossing.along_m, screen.shape));
        Step::at_edge(nu, share)
    }

    /// ν of a top, where it costs anything.
    #[inline]
    fn nu(&self, crossing: &Crossing, top_m: f64) -> Option<f64> {
        let nu = self.raw_nu(crossing, top_m);
        (nu > NOTHING_BELOW).then_some(nu)
    }

    #[inline]
    fn raw_nu(&self, crossing: &Crossing, top_m: f64) -> f64 {
        (top_m - self.at_m(crossing.along_m)) * crossing.nu_per_m
    }

    /// Height of the ray \[m\].
    #[inline]
    fn at_m(&self, along_m: f64) -> f64 {
        self.station_m + (self.height_m - self.station_m) * (along_m / self.plan.level_m)
    }

    /// Cosine of the angle between the ray and a wall's normal.
    #[inline]
    fn cosine(&self, crossing: &Crossing) -> f64 {
        crossing.cosine * self.plan.level_m / self.slant_m
    }
}
