//! Which screens a ray from the station may meet, by its direction.
//!
//! The circle round the station is cut into sectors; each lists the screens in it, nearest first. A screen also stands in the
//! sectors beside it in which a ray passes its end so closely that it still costs something.

use crate::obstacles::{Screen, Vector, What};

/// Sectors of the circle.
const FINE: usize = 2048;

/// The same for so many screens that their lists would grow too long.
const COARSE: usize = 128;

/// Screens from which on the sectors are coarse.
const MANY: usize = 4000;

/// ν of an edge that costs nothing is −0.78: a ray is clear of it by 0.78·√(λ·d/2), d the distance of the nearer end at most.
const CLEAR: f64 = 0.78 * std::f64::consts::FRAC_1_SQRT_2;

/// A screen seen under more than this stands in every sector \[rad\].
const NEARLY_HALF: f64 = 3.0;

/// Screens by direction.
#[derive(Debug, Clone)]
pub(crate) struct Sectors {
    count: usize,
    /// Where each sector's list begins, and the end of the last.
    begins: Vec<u32>,
    /// Screen and its least distance \[m\].
    lists: Vec<(f32, u32)>,
    /// A screen this much farther than the other end cannot matter \[m\].
    beyond_m: f64,
}

impl Sectors {
    pub(crate) fn of(screens: &[Screen], wavelength_m: f64) -> Self {
        let count = if screens.len() < MANY { FINE } else { COARSE };
        let span = |screen: &Screen| Span::of(screen, wavelength_m, count);
        let spans: Vec<Span> = screens.iter().map(span).collect();
        let mut begins = vec![0_u32; count + 1];
        for sector in spans.iter().flat_map(Span::sectors) {
            begins[sector + 1] += 1;
        }
        for sector in 0..count {
            begins[sector + 1] += begins[sector];
        }
        let mut next = begins.clone();
        let mut lists = vec![(0.0, 0); begins[count] as usize];
        for (at, span) in spans.iter().enumerate() {
            for sector in span.sectors() {
                lists[next[sector] as usize] = (span.least_m, at as u32);
                next[sector] += 1;
            }
        }
        for sector in 0..count {
            let list = &mut lists[begins[sector] as usize..begins[sector + 1] as usize];
            list.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        }
        Self {
            count,
            begins,
            lists,
            beyond_m: 1.0 + 2.0 * wavelength_m,
        }
    }

    /// Screens that may matter on the way to a place \[m\], nearest first.
    #[inline]
    pub(crate) fn towards(&self, place: Vector, level_m: f64) -> impl Iterator<Item = usize> {
        let sector = ((turn(place) * (self.count as f64 / 4.0)) as usize).min(self.count - 1);
        let list = &self.lists[self.begins[sector] as usize..self.begins[sector + 1] as usize];
        let reach_m = (level_m + self.beyond_m) as f32;
        list.iter()
            .take_while(move |(least_m, _)| *least_m <= reach_m)
            .map(|(_, at)| *at as usize)
    }
}

/// The sectors of a screen, the first and how many.
struct Span {
    sectors: usize,
    first: usize,
    count: usize,
    least_m: f32,
}

impl Span {
    fn of(screen: &Screen, wavelength_m: f64, sectors: usize) -> Self {
        let (width_m, least_m) = match screen.what {
            What::Crown { radius_m, .. } => {
                let away_m = length(screen.ends[0]);
                (radius_m, (away_m - radius_m).max(0.0))
            }
            What::Wall { half_m, .. } => (half_m, (nearest_m(screen.ends) - half_m).max(0.0)),
            What::Side { .. } | What::Fringe { .. } => (0.0, nearest_m(screen.ends)),
        };
        // Rounded down, so that none is cut off too early.
        let least_m = (least_m as f32).next_down().max(0.0);
        let everywhere = Self {
            sectors,
            first: 0,
            count: sectors,
            least_m,
        };
        let [one, other] = screen.ends;
        let cross = one[0] * other[1] - one[1] * other[0];
        let dot = one[0] * other[0] + one[1] * other[1];
        let (right, left) = if cross >= 0.0 {
            (one, other)
        } else {
            (other, one)
        };
        let margins =
            margin_rad(right, width_m, wavelength_m).zip(margin_rad(left, width_m, wavelength_m));
        let Some((before, behind)) = margins else {
            return everywhere;
        };
        let near = nearest_m(screen.ends) <= width_m + wavelength_m;
        if near || cross.abs().atan2(dot) + before + behind > NEARLY_HALF {
            return everywhere;
        }
        let (right, left) = (turned(right, -before), turned(left, behind));
        let sector = |at: Vector| (turn(at) * (sectors as f64 / 4.0)) as usize % sectors;
        // One more on either side for what rounding does at a boundary.
        let first = (sector(right) + sectors - 1) % sectors;
        let last = (sector(left) + 1) % sectors;
        let count = (last + sectors - first) % sectors + 1;
        Self {
            sectors,
            first,
            count,
            least_m,
        }
    }

    fn sectors(&self) -> impl Iterator<Item = usize> + use<> {
        let (first, sectors) = (self.first, self.sectors);
        (0..self.count).map(move |at| (first + at) % sectors)
    }
}

/// How far past this end a ray may still feel it \[rad\]; `None` where that is any direction.
fn margin_rad(end: Vector, width_m: f64, wavelength_m: f64) -> Option<f64> {
    let away_m = length(end);
    let share = width_m / away_m;
    if away_m <= 2.0 * wavelength_m || share.is_nan() || share >= 1.0 {
        return None;
    }
    // The clear ray's foot is at least half as far as the end.
    Some(share.asin() + (CLEAR * (wavelength_m / (0.5 * away_m)).sqrt()).atan())
}

fn turned([east, north]: Vector, angle_rad: f64) -> Vector {
    let (sine, cosine) = angle_rad.sin_cos();
    [east * cosine - north * sine, east * sine + north * cosine]
}

/// A measure of direction from 0 to 4 that grows with the angle from east over north, without an angle.
#[inline]
fn turn([east, north]: Vector) -> f64 {
    let share = east / (east.abs() + north.abs());
    let turn = if north >= 0.0 {
        1.0 - share
    } else {
        3.0 + share
    };
    if turn.is_nan() { 0.0 } else { turn }
}

/// Distance of the nearest point of a stretch from the station \[m\].
fn nearest_m([from, to]: [Vector; 2]) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let squared = along[0] * along[0] + along[1] * along[1];
    let share = -(from[0] * along[0] + from[1] * along[1]) / squared;
    let share = if share.is_nan() {
        0.0
    } else {
        share.clamp(0.0, 1.0)
    };
    length([from[0] + share * along[0], from[1] + share * along[1]])
}

fn length([east, north]: Vector) -> f64 {
    east.hypot(north)
}
