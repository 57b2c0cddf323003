//! The margin along a line of flight, and its worst place.

use crate::coverage::Reach;
use crate::fault::sound;
use crate::shape::{Place, Spot};
use crate::view::{Hidden, View};
use crate::way::Way;

/// Most places that are looked at along a line.
pub const MOST_SAMPLES: usize = 200_000;

/// A place along a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// How far along the line \[m\].
    pub along_m: f64,
    /// Where.
    pub at: Spot,
    /// What the obstacles take, and the caller's margin there, both \[dB\]; or what hides the place.
    pub found: Result<Found, Hidden>,
}

/// What is found at a place that is not hidden.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// What the obstacles take \[dB\].
    pub obstacle_db: f64,
    /// The caller's margin \[dB\].
    pub margin_db: f64,
}

/// A line of flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Along {
    /// From its beginning to its end, corners included.
    pub samples: Vec<Sample>,
    /// The place with the smallest margin, the first of several; `None` where every place is hidden.
    pub worst: Option<Worst>,
    /// The first place inside a building or a wall.
    pub inside: Option<Sample>,
}

/// The worst place of a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// The place.
    pub sample: Sample,
    /// What stands in the way there.
    pub way: Way,
}

/// Why a line is none.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoLine {
    /// No corner.
    #[error("a line of flight needs a place")]
    Empty,
    /// A corner that is no spot.
    #[error("corner {} of the line is not a spot above the ground within reach", .0 + 1)]
    NoSpot(usize),
    /// A step that is none, or one so small that there are too many.
    #[error(
        "a step of {step_m} m does not part a line of {length_m} m into at most {MOST_SAMPLES} places"
    )]
    NoStep {
        /// The step \[m\].
        step_m: f64,
        /// The line \[m\].
        length_m: f64,
    },
}

impl View {
    /// The margin at even steps along a line, by the caller's function of a way.
    ///
    /// # Errors
    /// A line or a step that is none.
    pub fn along(
        &self,
        line: &[Spot],
        step_m: f64,
        margin_db: impl Fn(&Reach) -> f64,
    ) -> Result<Along, NoLine> {
        let places = places(line, step_m)?;
        let mut ray = self.ray();
        let samples: Vec<Sample> = places
            .into_iter()
            .map(|(along_m, at)| {
                self.plan(&mut ray, at.place);
                let hidden = ray.inside(&self.obstacles, at.height_m);
                let reach = self.reach(&mut ray, at);
                let found = match (hidden, reach) {
                    (Some(shape), _) => Err(Hidden::Inside(shape)),
                    (None, None) => Err(Hidden::NoSpot),
                    (None, Some(reach)) => Ok(Found {
                        obstacle_db: reach.obstacle_db,
                        margin_db: margin_db(&reach),
                    }),
                };
                Sample { along_m, at, found }
            })
            .collect();
        let seen = samples
            .iter()
            .filter_map(|sample| Some((sample, sample.found.ok()?)));
        let worst = seen.min_by(|one, other| one.1.margin_db.total_cmp(&other.1.margin_db));
        let worst = worst.and_then(|(sample, _)| {
            Some(Worst {
                sample: *sample,
                way: self.way(sample.at).ok()?,
            })
        });
        Ok(Along {
            worst,
            inside: samples.iter().find(|sample| sample.found.is_err()).copied(),
            samples,
        })
    }
}

/// Places at even steps from the beginning of each stretch, and every corner.
fn places(line: &[Spot], step_m: f64) -> Result<Vec<(f64, Spot)>, NoLine> {
    if let Some(at) = line.iter().position(|spot| !sound(*spot)) {
        return Err(NoLine::NoSpot(at));
    }
    let first = line.first().ok_or(NoLine::Empty)?;
    let lengths: Vec<f64> = line
        .windows(2)
        .map(|pair| apart_m(pair[0], pair[1]))
        .collect();
    let length_m: f64 = lengths.iter().sum();
    let steps = length_m / step_m + line.len() as f64;
    if !(step_m > 0.0 && steps <= MOST_SAMPLES as f64) {
        return Err(NoLine::NoStep { step_m, length_m });
    }
    let mut places = vec![(0.0, *first)];
    let mut begin_m = 0.0;
    for (pair, length_m) in line.windows(2).zip(lengths) {
        let count = (length_m / step_m).ceil().max(1.0);
        let stretch = (1..=count as usize).map(|step| {
            let share = (step as f64 * step_m / length_m).min(1.0);
            // A stretch without length is at its end.
            let share = if share.is_nan() { 1.0 } else { share };
            (begin_m + share * length_m, between(pair[0], pair[1], share))
        });
        places.extend(stretch);
        begin_m += length_m;
    }
    Ok(places)
}

fn between(from: Spot, to: Spot, share: f64) -> Spot {
    let mix = |from: f64, to: f64| from + share * (to - from);
    Spot {
        place: Place {
            east_m: mix(from.place.east_m, to.place.east_m),
            north_m: mix(from.place.north_m, to.place.north_m),
        },
        height_m: mix(from.height_m, to.height_m),
    }
}

fn apart_m(from: Spot, to: Spot) -> f64 {
    let (east, north) = (
        to.place.east_m - from.place.east_m,
        to.place.north_m - from.place.north_m,
    );
    east.hypot(north).hypot(to.height_m - from.height_m)
}
