//! What a ray meets on the ground plan, whatever its height.

use crate::obstacles::{Obstacles, Screen, Vector, What};
use crate::sectors::Sectors;

/// ν² of an edge that costs nothing.
const NOTHING_BELOW_SQUARED: f64 = radio::edges::NOTHING_BELOW * radio::edges::NOTHING_BELOW;

/// Nearest to an end that an edge is reckoned \[m\], so that its ν stays a number.
const LEAST_M: f64 = 1e-6;

/// A ray's way over a screen.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Crossing {
    pub screen: u32,
    pub group: u32,
    /// Level distance from the station \[m\].
    pub along_m: f64,
    /// ν for each metre of height over the ray.
    pub nu_per_m: f64,
    /// Cosine of the angle between the level ray and the screen's normal.
    pub cosine: f64,
    /// Half the level way through a crown \[m\].
    pub half_m: f64,
    /// Below zero where the ray passes beside: ν of the nearer end.
    pub beside_nu: f64,
    /// Where it passes beside, whether on the screen's left.
    pub on_left: bool,
}

impl Crossing {
    /// Whether the ray only passes beside the screen.
    #[inline]
    pub(crate) fn is_beside(&self) -> bool {
        self.beside_nu < 0.0
    }
}

/// Everything on the way to a place, in the order of groups and then of the way.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plan {
    pub place: Vector,
    pub level_m: f64,
    /// The direction of the ray.
    pub towards: Vector,
    /// 2/λ \[1/m\].
    pub per_wave: f64,
    pub crossings: Vec<Crossing>,
    /// Walls whose thickness holds the place, by screen.
    pub in_wall: Vec<u32>,
}

impl Plan {
    /// Looks at every screen in the sector, or at all of them without one.
    pub(crate) fn look(&mut self, obstacles: &Obstacles, sectors: Option<&Sectors>, place: Vector) {
        let level_m = (place[0] * place[0] + place[1] * place[1]).sqrt();
        self.place = place;
        self.level_m = level_m;
        self.crossings.clear();
        self.in_wall.clear();
        if level_m <= LEAST_M {
            return;
        }
        self.towards = [place[0] / level_m, place[1] / level_m];
        match sectors {
            Some(sectors) => {
                for at in sectors.towards(place, level_m) {
                    self.meet(at, &obstacles.screens[at]);
                }
            }
            None => {
                for (at, screen) in obstacles.screens.iter().enumerate() {
                    self.meet(at, screen);
                }
            }
        }
        if self.crossings.len() > 1 {
            self.sort();
        }
    }

    /// By group and distance; a group that is crossed forgets the ends that are only passed.
    fn sort(&mut self) {
        self.crossings.sort_unstable_by(|one, other| {
            let groups = one.group.cmp(&other.group);
            let beside = one.is_beside().cmp(&other.is_beside());
            groups
                .then(beside)
                .then(other.beside_nu.total_cmp(&one.beside_nu))
                .then(one.along_m.total_cmp(&other.along_m))
                .then(one.screen.cmp(&other.screen))
        });
        // Of a group that is only passed the nearest end counts.
        let mut last = None;
        self.crossings.retain(|crossing| {
            let again = last == Some(crossing.group);
            last = Some(crossing.group);
            !crossing.is_beside() || !again
        });
    }

    fn meet(&mut self, at: usize, screen: &Screen) {
        match screen.what {
            What::Crown { radius_m, .. } => self.meet_crown(at, screen, radius_m),
            What::Wall { half_m, .. } => {
                self.meet_wall(at, screen);
                if self.holds(screen, half_m) {
                    self.in_wall.push(at as u32);
                }
            }
            What::Side { .. } | What::Fringe { .. } => self.meet_wall(at, screen),
        }
    }

    #[inline]
    fn meet_wall(&mut self, at: usize, screen: &Screen) {
        let [from, to] = screen.ends;
        let (left_from, left_to) = (self.left_m(from), self.left_m(to));
        // A corner that two walls share is on one side for both, so that a ray never slips between them.
        if (left_from >= 0.0) != (left_to >= 0.0) {
            let share = left_from / (left_from - left_to);
            let along = [to[0] - from[0], to[1] - from[1]];
            let along_m = self.along_m([from[0] + share * along[0], from[1] + share * along[1]]);
            if along_m > 0.0 && along_m < self.level_m {
                let length = (along[0] * along[0] + along[1] * along[1]).sqrt();
                self.push(at, screen, along_m, (left_from - left_to).abs() / length);
            }
        } else {
            self.pass(at, screen, from, left_from);
            self.pass(at, screen, to, left_to);
        }
    }

    fn meet_crown(&mut self, at: usize, screen: &Screen, radius_m: f64) {
        let middle = screen.ends[0];
        let (aside_m, along_m) = (self.left_m(middle), self.along_m(middle));
        let half_squared = radius_m * radius_m - aside_m * aside_m;
        if half_squared <= 0.0 {
            self.pass(at, screen, middle, aside_m - radius_m.copysign(aside_m));
            return;
        }
        let half_m = half_squared.sqrt();
        if along_m + half_m > 0.0 && along_m - half_m < self.level_m {
            self.push(at, screen, along_m, 1.0).half_m = half_m;
        }
    }

    /// An end so far left of the ray, where it is near enough.
    #[inline]
    fn pass(&mut self, at: usize, screen: &Screen, end: Vector, aside_m: f64) {
        let along_m = self.along_m(end);
        if along_m <= 0.0 || along_m >= self.level_m {
            return;
        }
        let between = along_m * (self.level_m - along_m);
        let on_left = aside_m < 0.0;
        let nu_squared = aside_m * aside_m * self.per_wave * self.level_m;
        if nu_squared < NOTHING_BELOW_SQUARED * between {
            let [from, to] = screen.ends;
            let wall = [to[0] - from[0], to[1] - from[1]];
            let length = (wall[0] * wall[0] + wall[1] * wall[1]).sqrt();
            let cosine = match length > 0.0 {
                true => (self.left_m(wall) / length).abs(),
                false => 1.0,
            };
            // Just beside counts as beside.
            let beside_nu = -(nu_squared / between).sqrt().max(f64::MIN_POSITIVE);
            let crossing = self.push(at, screen, along_m, cosine);
            crossing.beside_nu = beside_nu;
            crossing.on_left = on_left;
        }
    }

    #[inline]
    fn push(&mut self, at: usize, screen: &Screen, along_m: f64, cosine: f64) -> &mut Crossing {
        let nu_per_m = self.nu_per_m(along_m);
        self.crossings.push_mut(Crossing {
            screen: at as u32,
            group: screen.group,
            along_m,
            nu_per_m,
            cosine,
            half_m: 0.0,
            beside_nu: 0.0,
            on_left: false,
        })
    }

    /// ν of each metre above or beside the ray, this far along it.
    #[inline]
    pub(crate) fn nu_per_m(&self, along_m: f64) -> f64 {
        let between = along_m.max(LEAST_M) * (self.level_m - along_m).max(LEAST_M);
        (self.per_wave * self.level_m / between).sqrt()
    }

    /// How far left of the ray a point is \[m\].
    #[inline]
    pub(crate) fn left_m(&self, [east, north]: Vector) -> f64 {
        self.towards[0] * north - self.towards[1] * east
    }

    /// How far along it \[m\].
    #[inline]
    pub(crate) fn along_m(&self, [east, north]: Vector) -> f64 {
        self.towards[0] * east + self.towards[1] * north
    }

    /// Whether a wall's thickness holds the place.
    fn holds(&self, screen: &Screen, half_m: f64) -> bool {
        let [from, to] = screen.ends;
        let (wall, at) = (
            [to[0] - from[0], to[1] - from[1]],
            [self.place[0] - from[0], self.place[1] - from[1]],
        );
        let squared = wall[0] * wall[0] + wall[1] * wall[1];
        let across = wall[0] * at[1] - wall[1] * at[0];
        let along = wall[0] * at[0] + wall[1] * at[1];
        across * across <= half_m * half_m * squared && along >= 0.0 && along <= squared
    }
}
