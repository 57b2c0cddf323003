//! How a cell sags during a pulse and recovers after it: resistance and slow parts in series.
//!
//! The bus uses one resistance for each [`crate::TimeScale`]; this is the shape behind those, and
//! the way to read one from a recorded pulse.

use quantity::{Capacitance, Current, Resistance, Time, Voltage};

/// A resistance with a capacitance across it, the slow part of a cell's sag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlowPart {
    /// What it adds to the resistance in the end.
    pub resistance: Resistance,
    /// How much charge it takes to get there.
    pub capacitance: Capacitance,
}

/// What a recorded pulse says of a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PulseFit {
    /// Resistance at once.
    pub immediate: Resistance,
    /// Resistance that comes later.
    pub slow: Resistance,
    /// Time constant of the later part.
    pub time_constant: Time,
}

/// Voltage lost at `at` after a current was switched on at zero and off at `length`.
///
/// Closed form of V = I·R₀ + Σ vᵢ, dvᵢ/dt = I/Cᵢ − vᵢ/(RᵢCᵢ), all vᵢ zero at the start; the loss
/// of resting voltage by the charge taken is not in it. Before the start: nothing. A slow part
/// without capacitance counts as plain resistance.
/// Validated: `two-part-pulse-*`, every row of the table within its last digit, 1 µV.
pub fn voltage_lost(
    immediate: Resistance,
    slow: &[SlowPart],
    current: Current,
    length: Time,
    at: Time,
) -> Voltage {
    let (length_s, at_s) = (length.in_seconds().max(0.0), at.in_seconds());
    if at_s < 0.0 {
        return Voltage::volts(0.0);
    }
    let on_s = at_s.min(length_s);
    let off_s = (at_s - length_s).max(0.0);
    let at_once = if at_s <= length_s {
        immediate
    } else {
        Resistance::ohms(0.0)
    };
    slow.iter().fold(current * at_once, |lost, part| {
        lost + current * part.resistance * part.filled(on_s, off_s)
    })
}

impl SlowPart {
    /// Share of its final voltage after charging for `on_s` and discharging for `off_s`.
    fn filled(&self, on_s: f64, off_s: f64) -> f64 {
        let constant_s = self.resistance.in_ohms() * self.capacitance.in_farads();
        if constant_s > 0.0 {
            -(-on_s / constant_s).exp_m1() * (-off_s / constant_s).exp()
        } else {
            f64::from(off_s == 0.0)
        }
    }
}

impl PulseFit {
    /// Resistance after a time under load.
    pub fn resistance_after(&self, time: Time) -> Resistance {
        let rise = -(-time.in_seconds() / self.time_constant.in_seconds()).exp_m1();
        self.immediate + self.slow * rise
    }

    /// The immediate and one slow part that fit a pulse best, in least squares.
    ///
    /// `samples` are (time since the current came on, voltage lost), at least four of them, at
    /// one steady `current`. For a given time constant the two resistances are a linear fit; the
    /// constant is searched between a tenth of the shortest positive time and ten times the
    /// longest. `None` if the samples cannot tell: too few, no current, no spread in time.
    /// Validated: `pulse-fit-*`, within 0.02 % of a fit by others to a simulated pulse.
    pub fn of(samples: &[(Time, Voltage)], current: Current) -> Option<Self> {
        let amps = current.in_amperes();
        let points: Vec<(f64, f64)> = samples
            .iter()
            .map(|(time, lost)| (time.in_seconds(), lost.in_volts() / amps))
            .filter(|(time_s, ohm)| *time_s >= 0.0 && ohm.is_finite())
            .collect();
        let positive = points.iter().map(|p| p.0).filter(|t| *t > 0.0);
        let shortest_s = positive.clone().fold(f64::INFINITY, f64::min);
        let longest_s = positive.fold(0.0, f64::max);
        if points.len() < 4 || shortest_s >= longest_s {
            return None;
        }
        let log_constant = lowest((0.1 * shortest_s).ln(), (10.0 * longest_s).ln(), |log_s| {
            two_resistances(&points, log_s.exp()).map_or(f64::INFINITY, |fit| fit.2)
        });
        let (immediate, slow, _) = two_resistances(&points, log_constant.exp())?;
        Some(Self {
            immediate: Resistance::ohms(immediate),
            slow: Resistance::ohms(slow),
            time_constant: Time::seconds(log_constant.exp()),
        })
    }
}

/// Straight-line fit of ohms on 1 − exp(−t/τ): offset, slope, sum of squares left.
fn two_resistances(points: &[(f64, f64)], constant_s: f64) -> Option<(f64, f64, f64)> {
    let count = points.len() as f64;
    let rises = points
        .iter()
        .map(|&(t, ohm)| (-(-t / constant_s).exp_m1(), ohm));
    let mean_x = rises.clone().map(|p| p.0).sum::<f64>() / count;
    let mean_y = rises.clone().map(|p| p.1).sum::<f64>() / count;
    let (mut xx, mut xy) = (0.0, 0.0);
    for (x, y) in rises.clone() {
        xx += (x - mean_x) * (x - mean_x);
        xy += (x - mean_x) * (y - mean_y);
    }
    let slope = xy / xx;
    let offset = mean_y - slope * mean_x;
    let left = rises.map(|(x, y)| (y - offset - slope * x).powi(2)).sum();
    slope.is_finite().then_some((offset, slope, left))
}

/// Where `cost` is lowest between two ends: a coarse walk, then golden section.
fn lowest(low: f64, high: f64, cost: impl Fn(f64) -> f64) -> f64 {
    const STEPS: usize = 60;
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let step = (high - low) / STEPS as f64;
    let best = (0..=STEPS)
        .map(|i| low + step * i as f64)
        .min_by(|a, b| cost(*a).total_cmp(&cost(*b)))
        .unwrap_or(low);
    let (mut a, mut b) = (best - step, best + step);
    for _ in 0..50 {
        let (c, d) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
        if cost(c) < cost(d) {
            b = d;
        } else {
            a = c;
        }
    }
    0.5 * (a + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_the_fit_finds_what_made_the_pulse() {
        let part = SlowPart {
            resistance: Resistance::milliohms(9.0),
            capacitance: Capacitance::farads(800.0),
        };
        let current = Current::amperes(5.0);
        let samples: Vec<_> = (0..80)
            .map(|i| {
                let at = Time::seconds(0.25 * f64::from(i));
                let lost = voltage_lost(
                    Resistance::milliohms(21.0),
                    &[part],
                    current,
                    Time::seconds(30.0),
                    at,
                );
                (at, lost)
            })
            .collect();
        let fit = PulseFit::of(&samples, current).unwrap();
        // Time constant 9 mΩ × 800 F = 7.2 s.
        assert!((fit.immediate.in_milliohms() - 21.0).abs() < 1e-6);
        assert!((fit.slow.in_milliohms() - 9.0).abs() < 1e-5);
        assert!((fit.time_constant.in_seconds() - 7.2).abs() < 1e-5);
    }

    #[test]
    fn checked_too_little_is_no_fit() {
        let flat = [(Time::seconds(1.0), Voltage::volts(0.1)); 9];
        assert_eq!(PulseFit::of(&flat, Current::amperes(1.0)), None);
        assert_eq!(PulseFit::of(&flat[..2], Current::amperes(1.0)), None);
        assert_eq!(PulseFit::of(&flat, Current::amperes(0.0)), None);
    }
}
