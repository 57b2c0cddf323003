//! Walks a loop through frequency and finds where gain and phase pass their marks.
//!
//! The zeros are found by bisection in the logarithm of frequency: every one is bracketed by two
//! neighbouring points of the walk, some fifty halvings reach rounding, and nothing can diverge.

use super::{Filter, GainMargin, Margins, NoMargins, RateLoop};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

const LOWEST_HZ: f64 = 1e-3;
const DECADES: u32 = 7;
const STEPS_PER_DECADE: u32 = 100;
/// Points about a notch, in half widths from its centre.
const ABOUT_NOTCH: [f64; 8] = [-4.0, -2.0, -1.0, -0.3, 0.3, 1.0, 2.0, 4.0];
/// Gain at and below which a passing of −180° is not told: 80 dB.
const NEGLIGIBLE: f64 = 1e-4;
/// Narrowing steps of the sensitivity peak; each keeps 0.62 of the bracket.
const NARROWINGS: u32 = 40;

/// One point of the walk.
#[derive(Clone, Copy)]
struct Point {
    hz: f64,
    /// ln|L|.
    log_gain: f64,
    /// Phase of the controller, unwrapped \[rad\].
    controller_rad: f64,
    /// Phase of L, unwrapped \[rad\].
    phase_rad: f64,
}

impl Point {
    /// Half turns past −180°: 0 from −180° up to 180°, −1 from there down to −540°, and so on.
    fn turn(&self) -> f64 {
        ((self.phase_rad + PI) / TAU).floor()
    }
}

/// A gain crossover.
struct Crossover {
    point: Point,
    /// The gain falls below one here.
    falls: bool,
}

pub(super) fn margins(rate_loop: &RateLoop) -> Result<Margins, NoMargins> {
    let walk = walk(rate_loop);
    if let Some(point) = walk
        .iter()
        .find(|p| p.log_gain.is_nan() || p.log_gain == f64::INFINITY)
    {
        return Err(NoMargins::Meaningless {
            what: "logarithm of the loop gain",
            value: point.log_gain,
        });
    }
    let crossovers = crossovers(rate_loop, &walk);
    let starts_above = walk[0].log_gain > 0.0;
    if crossovers.is_empty() {
        return Err(if starts_above {
            NoMargins::TooStrong
        } else {
            NoMargins::TooWeak
        });
    }
    let stable = turns_about_minus_one(&crossovers) == 0.0;
    let unwrapped = |point: &Point| PI + point.phase_rad;
    // A stable loop may have gone round and back: what counts is the lag to the next −180°.
    let margin = |point: &Point| match stable {
        true => unwrapped(point).rem_euclid(TAU),
        false => unwrapped(point),
    };
    let points = || crossovers.iter().map(|crossover| &crossover.point);
    let worst = points()
        .min_by(|a, b| margin(a).total_cmp(&margin(b)))
        .unwrap_or(&walk[0]);
    Ok(Margins {
        stable,
        crossover_hz: worst.hz,
        phase_margin_deg: margin(worst).to_degrees(),
        gain_margin: gain_margin(rate_loop, &walk),
        sensitivity_peak: stable.then(|| sensitivity_peak(rate_loop, &walk)),
        delay_margin_s: stable.then(|| {
            points()
                .map(|point| margin(point) / (TAU * point.hz))
                .fold(f64::INFINITY, f64::min)
        }),
    })
}

fn walk(rate_loop: &RateLoop) -> Vec<Point> {
    let mut last = None;
    frequencies(rate_loop)
        .into_iter()
        .map(|hz| {
            let point = look(rate_loop, hz, last);
            last = Some(point.controller_rad);
            point
        })
        .collect()
}

fn frequencies(rate_loop: &RateLoop) -> Vec<f64> {
    let highest_hz = LOWEST_HZ * 10_f64.powi(DECADES.cast_signed());
    let step = 10_f64.powf(1.0 / f64::from(STEPS_PER_DECADE));
    let even = (0..=DECADES * STEPS_PER_DECADE).map(|n| LOWEST_HZ * step.powf(f64::from(n)));
    let about = rate_loop
        .gyro_filters
        .iter()
        .chain(&rate_loop.d_filters)
        .filter_map(|filter| match *filter {
            Filter::Notch { centre_hz, q } => Some((centre_hz, 0.5 * centre_hz / q)),
            _ => None,
        })
        .flat_map(|(centre_hz, half_hz)| ABOUT_NOTCH.map(|at| centre_hz + at * half_hz))
        .filter(|hz| (LOWEST_HZ..highest_hz).contains(hz));
    let mut all: Vec<f64> = even.chain(about).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

/// A point, its controller's phase unwrapped next to `near`.
fn look(rate_loop: &RateLoop, hz: f64, near: Option<f64>) -> Point {
    let wrapped = rate_loop.controller(hz).arg();
    let controller_rad = match near {
        Some(near) => near + (wrapped - near + PI).rem_euclid(TAU) - PI,
        None => wrapped,
    };
    Point {
        hz,
        log_gain: rate_loop.response(hz).norm().ln(),
        controller_rad,
        phase_rad: rate_loop.path_phase_rad(hz) + controller_rad,
    }
}

fn crossovers(rate_loop: &RateLoop, walk: &[Point]) -> Vec<Crossover> {
    pairs(walk)
        .filter(|(a, b)| (a.log_gain > 0.0) != (b.log_gain > 0.0))
        .map(|(a, b)| {
            let falls = a.log_gain > 0.0;
            let point = border(rate_loop, a, b, |point| (point.log_gain > 0.0) != falls);
            Crossover { point, falls }
        })
        .collect()
}

/// Net passings of the negative real axis left of −1: each stretch above one, from its start to its end.
fn turns_about_minus_one(crossovers: &[Crossover]) -> f64 {
    // A loop above one at zero frequency starts on the positive real axis, in turn 0; one that is
    // still above one at the highest frequency ends where it was last seen.
    crossovers.iter().fold(0.0, |sum, crossover| {
        let turn = crossover.point.turn();
        sum + if crossover.falls { turn } else { -turn }
    })
}

/// The passing of −180° (or −540°, …) whose gain is nearest to one.
fn gain_margin(rate_loop: &RateLoop, walk: &[Point]) -> Option<GainMargin> {
    pairs(walk)
        .filter(|(a, b)| a.turn() != b.turn())
        .map(|(a, b)| {
            let from = a.turn();
            border(rate_loop, a, b, |point| point.turn() != from)
        })
        // A notch turns the phase at its centre, where nothing is left of the gain.
        .filter(|point| point.log_gain > NEGLIGIBLE.ln())
        .map(|point| GainMargin {
            db: -20.0 * point.log_gain / std::f64::consts::LN_10,
            frequency_hz: point.hz,
        })
        .min_by(|a, b| a.db.abs().total_cmp(&b.db.abs()))
}

fn sensitivity_peak(rate_loop: &RateLoop, walk: &[Point]) -> f64 {
    let sensitivity = |hz: f64| {
        (Complex64::new(1.0, 0.0) + rate_loop.response(hz))
            .norm()
            .recip()
    };
    let at = (0..walk.len())
        .max_by(|&a, &b| sensitivity(walk[a].hz).total_cmp(&sensitivity(walk[b].hz)))
        .unwrap_or(0);
    let mut low = walk[at.saturating_sub(1)].hz;
    let mut high = walk[(at + 1).min(walk.len() - 1)].hz;
    // Golden section.
    let kept = 0.5 * (5_f64.sqrt() - 1.0);
    for _ in 0..NARROWINGS {
        let span = kept * (high - low);
        if sensitivity(high - span) > sensitivity(low + span) {
            high = low + span;
        } else {
            low = high - span;
        }
    }
    sensitivity(0.5 * (low + high)).max(sensitivity(walk[at].hz))
}

fn pairs(walk: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    walk.iter().copied().zip(walk.iter().copied().skip(1))
}

/// Between `a`, where `past` is false, and `b`, where it is true: the border.
fn border(rate_loop: &RateLoop, a: Point, b: Point, past: impl Fn(&Point) -> bool) -> Point {
    let (mut low, mut high) = (a, b);
    loop {
        let middle_hz = (low.hz * high.hz).sqrt();
        if middle_hz <= low.hz || middle_hz >= high.hz {
            return low;
        }
        let middle = look(rate_loop, middle_hz, Some(a.controller_rad));
        if past(&middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
}
