//! What a ray at some height loses, once its plan is known.
//!
//! Every wall is gone through or over; all together are gone over, left or right by the procedure for several edges. The powers of the
//! ways are added, as for a strip in Rec. ITU-R P.526-15 (2019), section 4: `L = −10·lg Σ 10^(−Lᵢ/10)`, and never make a gain.
//!
//! Powers know no phases: behind a post, where both ways are as long, the loss is up to 3 dB too high, and a pane that takes nothing still
//! costs up to 3 dB where a ray grazes its edge.
//!
//! Three habits are this project's own and not validated. What goes through a wall counts less near its edges, by the loss of
//! the opening's complementary edge, so that nothing jumps where a ray leaves a wall's shadow. Groups of obstacles one behind
//! the other, each passed in its own manner, multiply. And a way round is not counted where the obstacle reaches
//! past either end of the link on that side.

use radio::edges::{self, Edge, Path};
use radio::free_space::wavelength_m;

use crate::crossing::{Crossing, Plan};
use crate::knife::{db_of_power, power_of_db};
use crate::obstacles::{AreaKind, Obstacles, Vector, What};
use crate::round::Round;
use crate::sectors::Sectors;
use crate::shape::ShapeId;
use crate::step::Step;

/// What the obstacles on one way take.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Level distance between the ends \[m\].
    pub level_m: f64,
    /// Distance between the ends \[m\].
    pub distance_m: f64,
    /// What all ways together lose to the obstacles \[dB\]; zero where nothing is near.
    pub obstacle_db: f64,
    /// Loss straight through \[dB\].
    pub through_db: f64,
    /// Loss over everything \[dB\]; infinite where an end is under a crown.
    pub over_db: f64,
    /// Loss round the left ends \[dB\], seen from the station; infinite where there is no such way.
    pub left_db: f64,
    /// Loss round the right ends \[dB\].
    pub right_db: f64,
    /// What costs something, in order from the station.
    pub met: Vec<ShapeId>,
}

/// Shares of the power by the ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Powers {
    pub through: f64,
    pub over: f64,
    pub left: f64,
    pub right: f64,
    pub all: f64,
}

impl Powers {
    const FREE: Self = Self {
        through: 1.0,
        over: 1.0,
        left: 1.0,
        right: 1.0,
        all: 1.0,
    };
}

/// What the rays of one view share, and room to work in.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ray {
    pub plan: Plan,
    frequency_hz: f64,
    pub station_m: f64,
    pub height_m: f64,
    pub slant_m: f64,
    /// Tops, and the corners on either side, as edges.
    pub tops: Vec<Edge>,
    pub left: Vec<Edge>,
    pub right: Vec<Edge>,
    /// What is known of groups gone round on this plan.
    pub rounds: Vec<(u32, Round)>,
    /// Where the crossings of the groups that cost something begin and end.
    costly: Vec<(usize, usize)>,
    pub met: Vec<(f64, ShapeId)>,
}

/// Groups one behind the other.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Row {
    /// Each in any manner.
    any: f64,
    /// Each over, as if alone.
    over: f64,
    through: f64,
    left: f64,
    right: f64,
    holds_end: bool,
}

impl Row {
    const EMPTY: Self = Self {
        any: 1.0,
        over: 1.0,
        through: 1.0,
        left: 1.0,
        right: 1.0,
        holds_end: false,
    };

    /// One screen of a group.
    fn of(step: &Step, round: &Round) -> Self {
        Self {
            any: step.share(round),
            over: step.over,
            through: step.through,
            left: round.left,
            right: round.right,
            holds_end: step.holds_end,
        }
    }

    /// One more screen of the same group.
    fn behind(&mut self, step: &Step, round: &Round) {
        self.any *= step.share(round);
        self.over *= step.over;
        self.through *= step.through;
        self.holds_end |= step.holds_end;
    }

    /// One more group, which may be gone round by itself.
    fn and(&mut self, group: &Self) {
        self.any *= (group.any + group.left + group.right).min(1.0);
        self.over *= group.over;
        self.through *= group.through;
        self.left *= group.left;
        self.right *= group.right;
        self.holds_end |= group.holds_end;
    }
}

impl Ray {
    pub(crate) fn new(frequency_hz: f64, station_m: f64) -> Self {
        let plan = Plan {
            per_wave: 2.0 / wavelength_m(frequency_hz),
            ..Plan::default()
        };
        Self {
            plan,
            frequency_hz,
            station_m,
            ..Self::default()
        }
    }

    /// Plans the way to a place seen from the station; every height over it may then be asked.
    pub(crate) fn plan(&mut self, obstacles: &Obstacles, sectors: Option<&Sectors>, place: Vector) {
        self.plan.look(obstacles, sectors, place);
        self.rounds.clear();
    }

    /// The building or wall that holds the end of the ray at this height.
    pub(crate) fn inside(&self, obstacles: &Obstacles, height_m: f64) -> Option<ShapeId> {
        let walls = self
            .plan
            .in_wall
            .iter()
            .map(|at| &obstacles.screens[*at as usize]);
        let wall = walls.into_iter().find(|screen| height_m < screen.top_m);
        wall.map(|screen| screen.shape)
            .or_else(|| self.in_building(obstacles, height_m))
    }

    fn in_building(&self, obstacles: &Obstacles, height_m: f64) -> Option<ShapeId> {
        // Only an area whose sides are crossed, or one that the station stands over, may hold the end.
        let crossed = self
            .crossed()
            .filter_map(|at| obstacles.screens[at].what.area());
        let held = |area: &u32| {
            let of = &obstacles.areas[*area as usize];
            matches!(of.kind, AreaKind::Building { .. })
                && height_m < of.top_m
                && self.ends_over(obstacles, *area)
        };
        let area = obstacles
            .over_station
            .iter()
            .copied()
            .chain(crossed)
            .find(held)?;
        Some(obstacles.areas[area as usize].shape)
    }

    /// Whether the end lies over an area: its sides are crossed an odd number of times from outside.
    fn ends_over(&self, obstacles: &Obstacles, area: u32) -> bool {
        let sides = self
            .crossed()
            .filter(|at| obstacles.screens[*at].what.area() == Some(area));
        obstacles.areas[area as usize].over_station != (sides.count() % 2 == 1)
    }

    /// Screens that are crossed.
    fn crossed(&self) -> impl Iterator<Item = usize> {
        let crossed = self
            .plan
            .crossings
            .iter()
            .filter(|crossing| !crossing.is_beside());
        crossed.map(|crossing| crossing.screen as usize)
    }

    /// Everything about the way to a height over the planned place.
    pub(crate) fn way(&mut self, obstacles: &Obstacles, height_m: f64) -> Way {
        let powers = self.powers(obstacles, height_m);
        self.met
            .sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        let mut met: Vec<ShapeId> = Vec::new();
        for (_, shape) in &self.met {
            if !met.contains(shape) {
                met.push(*shape);
            }
        }
        Way {
            level_m: self.plan.level_m,
            distance_m: self.slant_m,
            obstacle_db: db_of_power(powers.all),
            through_db: db_of_power(powers.through),
            over_db: db_of_power(powers.over),
            left_db: db_of_power(powers.left),
            right_db: db_of_power(powers.right),
            met,
        }
    }

    /// The powers by all ways to a height over the planned place.
    pub(crate) fn powers(&mut self, obstacles: &Obstacles, height_m: f64) -> Powers {
        self.height_m = height_m;
        self.slant_m = self.plan.level_m.hypot(height_m - self.station_m);
        self.tops.clear();
        self.met.clear();
        self.costly.clear();
        if self.plan.crossings.is_empty() && obstacles.over_station.is_empty() {
            return Powers::FREE;
        }
        let crossings = std::mem::take(&mut self.plan.crossings);
        let mut row = Row::EMPTY;
        let mut begin = 0;
        for group in crossings.chunk_by(|one, other| one.group == other.group) {
            if let Some(passed) = self.group(obstacles, group) {
                self.costly.push((begin, begin + group.len()));
                row.and(&passed);
            }
            begin += group.len();
        }
        self.around(obstacles, &crossings, &mut row);
        let powers = self.total(obstacles, &crossings, &row);
        self.plan.crossings = crossings;
        powers
    }

    /// Woods that hold both ends and are never left.
    fn around(&mut self, obstacles: &Obstacles, crossings: &[Crossing], row: &mut Row) {
        for &at in &obstacles.over_station {
            let area = &obstacles.areas[at as usize];
            let AreaKind::Wood { base_m, leaves } = area.kind else {
                continue;
            };
            let side = |crossing: &Crossing| {
                obstacles.screens[crossing.screen as usize].what.area() == Some(at)
            };
            if crossings
                .iter()
                .any(|crossing| !crossing.is_beside() && side(crossing))
            {
                continue;
            }
            let depth_m = self.depth_m([0.0, self.plan.level_m], [base_m, area.top_m]);
            if depth_m > 0.0 {
                let through = leaves.share(depth_m);
                self.met.push((0.0, area.shape));
                row.and(&Row {
                    any: through,
                    over: 0.0,
                    through,
                    left: 0.0,
                    right: 0.0,
                    holds_end: true,
                });
            }
        }
    }

    fn total(&mut self, obstacles: &Obstacles, crossings: &[Crossing], row: &Row) -> Powers {
        if row.any == 1.0 && self.costly.is_empty() {
            return Powers::FREE;
        }
        let over = match (row.holds_end, self.tops.len()) {
            (true, _) => 0.0,
            (false, 0 | 1) => row.over,
            (false, _) => {
                let heights_m = [self.station_m, self.height_m];
                power_of_db(edges::loss_db(&self.path(heights_m), &self.tops))
            }
        };
        let (mut left, mut right) = (row.left, row.right);
        // Where all are gone over, or all left, the edges together decide and not each alone.
        let mixed = (row.any - row.over - left - right).max(0.0);
        if self.costly.len() > 1 && left + right > 0.0 {
            self.left.clear();
            self.right.clear();
            for group in 0..self.costly.len() {
                let (begin, end) = self.costly[group];
                self.corners(obstacles, &crossings[begin..end]);
            }
            let level = self.path([0.0, 0.0]);
            for (side, corners) in [(&mut left, &self.left), (&mut right, &self.right)] {
                if *side > 0.0 {
                    *side = power_of_db(edges::loss_db(&level, corners));
                }
            }
        }
        Powers {
            through: row.through,
            over,
            left,
            right,
            all: (mixed + over + left + right).min(1.0),
        }
    }

    pub(crate) fn path(&self, heights_m: [f64; 2]) -> Path {
        Path {
            distance_m: self.plan.level_m,
            heights_m,
            frequency_hz: self.frequency_hz,
        }
    }

    /// One group; `None` where it costs nothing at this height.
    fn group(&mut self, obstacles: &Obstacles, group: &[Crossing]) -> Option<Row> {
        if let What::Fringe { area } = obstacles.screens[group[0].screen as usize].what {
            let step = self.wood(obstacles, group, area)?;
            let round = self.round(obstacles, group, step.holds_end);
            return Some(Row::of(&step, &round));
        }
        let mut row: Option<Row> = None;
        for at in 0..group.len() {
            let Some(step) = self.step(obstacles, group, at) else {
                continue;
            };
            let round = self.round(obstacles, group, step.holds_end);
            match &mut row {
                None => row = Some(Row::of(&step, &round)),
                Some(row) => row.behind(&step, &round),
            }
        }
        row
    }
}
