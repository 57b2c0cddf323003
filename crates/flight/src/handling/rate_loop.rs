//! The rate loop about one axis: crossover, margins, and the gain factor that keeps the crossover.
//!
//! Linear near hover, one axis by itself, no saturation. At low throttle the gain is less, at full
//! throttle up to twice more where thrust is not linearised; frame and mount bending are left out.
//! Targets from memory: phase margin 45°, gain margin 6 dB (the figures of SAE AS94900), sensitivity
//! peak below 2, comfortable 1.3–1.7.

use super::filter::Filter;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};
use thiserror::Error;

mod scan;

/// Gains of the controller, in units of command.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gains {
    /// Proportional \[1/(rad/s)\].
    pub p: f64,
    /// Integral \[1/rad\].
    pub i: f64,
    /// Derivative, on the measurement \[1/(rad/s²)\].
    pub d: f64,
}

/// The loop `L(s) = K/(s(1 + τs))·e^(−sT)·F_gyro(s)·(p + i/s + d·s·F_d(s))`.
#[derive(Debug, Clone, PartialEq)]
pub struct RateLoop {
    /// `K`: angular acceleration per unit of command \[rad/s²\]; see [`loop_gain_rad_s2`].
    pub gain_rad_s2: f64,
    /// `τ` of motor and propeller \[s\].
    pub lag_s: f64,
    /// `T`: gyro sampling, half a sample of hold, computing, link to the speed controller \[s\].
    pub delay_s: f64,
    /// Gains of the controller.
    pub gains: Gains,
    /// Filters all of the gyro passes.
    pub gyro_filters: Vec<Filter>,
    /// Filters that only the derivative passes.
    pub d_filters: Vec<Filter>,
}

/// Where the phase passes −180° and how far the gain is from one there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GainMargin {
    /// What the gain may rise by \[dB\]; below zero, what it must or may fall by.
    pub db: f64,
    /// Frequency \[Hz\].
    pub frequency_hz: f64,
}

/// What is said about a loop. Of an unstable one only what it lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// By Nyquist's criterion.
    pub stable: bool,
    /// Gain crossover `|L| = 1` with the smallest phase margin \[Hz\].
    pub crossover_hz: f64,
    /// `180° + ∠L` there, unwrapped from low frequency; below zero where unstable \[°\].
    pub phase_margin_deg: f64,
    /// The −180° crossing whose gain is nearest to one; none within 80 dB if the phase never gets there.
    pub gain_margin: Option<GainMargin>,
    /// `max|1/(1 + L)|`, stable loops only.
    pub sensitivity_peak: Option<f64>,
    /// Delay the loop still bears \[s\], stable loops only.
    pub delay_margin_s: Option<f64>,
}

/// Why there is nothing to say about a loop.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoMargins {
    /// A figure no loop has.
    #[error("{what} is {value}, which no loop has")]
    Meaningless {
        /// Which figure.
        what: &'static str,
        /// Its value, in the unit of its field.
        value: f64,
    },
    /// A filter without meaning.
    #[error("a filter with figures that no filter has: {0:?}")]
    Filter(Filter),
    /// The gain stays below one.
    #[error("the loop gain stays below one: the craft would not follow the sticks")]
    TooWeak,
    /// The gain stays above one.
    #[error("the loop gain stays above one over all frequencies that were searched")]
    TooStrong,
}

impl RateLoop {
    /// `L` at a frequency.
    pub fn response(&self, frequency_hz: f64) -> Complex64 {
        let s = Complex64::new(0.0, TAU * frequency_hz);
        let plant = self.gain_rad_s2 / (s * (1.0 + self.lag_s * s));
        plant
            * Complex64::cis(-TAU * frequency_hz * self.delay_s)
            * product(&self.gyro_filters, frequency_hz)
            * self.controller(frequency_hz)
    }

    /// Crossover, margins and sensitivity peak.
    ///
    /// Searched from 0.001 Hz to 10 kHz, 100 steps a decade and closer at each notch; the zeros are then
    /// halved down to rounding. Stability by Nyquist's criterion: the turns of `L` about −1 while
    /// `|L| > 1`, counted from the positive real axis at zero frequency; the loop by itself is stable but
    /// for its integrators. Åström & Murray, "Feedback Systems", ch. 10 (from memory).
    /// Validated: `loop-*` within 0.2 % of the crossover, 0.1°, 0.05 dB, 0.5 % of the peak.
    pub fn margins(&self) -> Result<Margins, NoMargins> {
        self.meaningful()?;
        scan::margins(self)
    }

    /// All three gains times a factor.
    pub fn with_gains_times(&self, factor: f64) -> Self {
        let Gains { p, i, d } = self.gains;
        Self {
            gains: Gains {
                p: p * factor,
                i: i * factor,
                d: d * factor,
            },
            ..self.clone()
        }
    }

    /// Factor on all three gains that puts the crossover at this frequency: `1/|L|`.
    ///
    /// Taken of the loop after a refit with the gains of before. The phase margin still changes with lag
    /// and delay, so state it beside the factor. Validated: `loop-kept-crossover`.
    pub fn factor_for_crossover(&self, crossover_hz: f64) -> f64 {
        1.0 / self.response(crossover_hz).norm()
    }

    fn controller(&self, frequency_hz: f64) -> Complex64 {
        let s = Complex64::new(0.0, TAU * frequency_hz);
        let Gains { p, i, d } = self.gains;
        p + i / s + d * s * product(&self.d_filters, frequency_hz)
    }

    /// Phase of all but the controller \[rad\], unwrapped.
    fn path_phase_rad(&self, frequency_hz: f64) -> f64 {
        let w = TAU * frequency_hz;
        let filters: f64 = self
            .gyro_filters
            .iter()
            .map(|f| f.phase_rad(frequency_hz))
            .sum();
        -0.5 * PI - (w * self.lag_s).atan() - w * self.delay_s + filters
    }

    fn meaningful(&self) -> Result<(), NoMargins> {
        let Gains { p, i, d } = self.gains;
        let figures = [
            ("loop gain in rad/s²", self.gain_rad_s2),
            ("lag in s", self.lag_s),
            ("delay in s", self.delay_s),
            ("proportional gain", p),
            ("integral gain", i),
            ("derivative gain", d),
        ];
        let wrong = figures
            .into_iter()
            .find(|(_, v)| !(*v >= 0.0 && v.is_finite()));
        if let Some((what, value)) = wrong {
            return Err(NoMargins::Meaningless { what, value });
        }
        let mut filters = self.gyro_filters.iter().chain(&self.d_filters);
        match filters.find(|filter| !filter.meaningful()) {
            Some(filter) => Err(NoMargins::Filter(*filter)),
            None => Ok(()),
        }
    }
}

/// `K` of an axis \[rad/s²\]: sum of levers times slope of thrust over command in hover, over inertia.
///
/// `levers_m`: `|y|` of each motor for roll, `|x|` for pitch. The slope is
/// [`super::trim::ThrustCurve::slope_n`] at the hover command, or `N·∂T/∂V·V_bus` with
/// [`super::rotor_lag::Lag::thrust_n_per_v`]. Mass enters only through that slope.
pub fn loop_gain_rad_s2(levers_m: &[f64], slope_n: f64, inertia_kg_m2: f64) -> f64 {
    levers_m.iter().map(|lever| lever.abs()).sum::<f64>() * slope_n / inertia_kg_m2
}

/// Gain and lag of an axis, where they are all that a refit changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plant {
    /// `K` \[rad/s²\].
    pub gain_rad_s2: f64,
    /// `τ` \[s\].
    pub lag_s: f64,
}

/// Factor on all gains that keeps the crossover where only gain and lag change.
///
/// `(K_old/K_new)·√(1 + ω²τ_new²)/√(1 + ω²τ_old²)`; equal to [`RateLoop::factor_for_crossover`] then.
/// Validated: `loop-kept-crossover-simple`.
pub fn gain_factor(old: Plant, new: Plant, crossover_hz: f64) -> f64 {
    let slowed = |lag_s: f64| (TAU * crossover_hz * lag_s).hypot(1.0);
    old.gain_rad_s2 / new.gain_rad_s2 * slowed(new.lag_s) / slowed(old.lag_s)
}

fn product(filters: &[Filter], frequency_hz: f64) -> Complex64 {
    filters
        .iter()
        .map(|filter| filter.response(frequency_hz))
        .product()
}
