//! Filters in the path of the gyro and of the derivative, and what they cost in delay.
//!
//! Analogue prototypes, and for a sample rate the digital forms that flight controllers run: the
//! bilinear biquads with the same centre, and the one-line first order.

use num_complex::Complex64;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2, TAU};

/// A filter of the rate loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Filter {
    /// `1/(1 + s/ω0)`.
    FirstOrder {
        /// −3 dB \[Hz\].
        cutoff_hz: f64,
    },
    /// `ω0²/(s² + √2 ω0 s + ω0²)`.
    Butterworth2 {
        /// −3 dB \[Hz\].
        cutoff_hz: f64,
    },
    /// `(s² + ω0²)/(s² + ω0 s/Q + ω0²)`.
    Notch {
        /// Centre \[Hz\].
        centre_hz: f64,
        /// Centre over width at −3 dB.
        q: f64,
    },
    /// `e^(−sT)`.
    Delay {
        /// `T` \[s\].
        delay_s: f64,
    },
}

impl Filter {
    /// Whether the figures are those of a filter: finite and above zero, a delay not below.
    pub fn meaningful(&self) -> bool {
        let positive = |value: f64| value > 0.0 && value.is_finite();
        match *self {
            Self::FirstOrder { cutoff_hz } | Self::Butterworth2 { cutoff_hz } => {
                positive(cutoff_hz)
            }
            Self::Notch { centre_hz, q } => positive(centre_hz) && positive(q),
            Self::Delay { delay_s } => delay_s >= 0.0 && delay_s.is_finite(),
        }
    }

    /// Complex response at a frequency.
    pub fn response(&self, frequency_hz: f64) -> Complex64 {
        let one = Complex64::new(1.0, 0.0);
        match *self {
            Self::FirstOrder { cutoff_hz } => one / Complex64::new(1.0, frequency_hz / cutoff_hz),
            Self::Butterworth2 { cutoff_hz } => {
                let x = frequency_hz / cutoff_hz;
                one / Complex64::new(1.0 - x * x, SQRT_2 * x)
            }
            Self::Notch { centre_hz, q } => {
                let x = frequency_hz / centre_hz;
                let kept = 1.0 - x * x;
                kept / Complex64::new(kept, x / q)
            }
            Self::Delay { delay_s } => Complex64::cis(-TAU * frequency_hz * delay_s),
        }
    }

    /// Phase \[rad\], continuous from zero at zero frequency; a notch jumps by +π at its centre.
    pub fn phase_rad(&self, frequency_hz: f64) -> f64 {
        match *self {
            Self::FirstOrder { cutoff_hz } => -(frequency_hz / cutoff_hz).atan(),
            Self::Butterworth2 { cutoff_hz } => {
                let x = frequency_hz / cutoff_hz;
                -(SQRT_2 * x).atan2(1.0 - x * x)
            }
            Self::Notch { centre_hz, q } => {
                let x = frequency_hz / centre_hz;
                -(x / (q * (1.0 - x * x))).atan()
            }
            Self::Delay { delay_s } => -TAU * frequency_hz * delay_s,
        }
    }

    /// Group delay `−dφ/dω` \[s\], exact.
    ///
    /// First order `(1/ω0)/(1 + x²)`; second order `(2ζ/ω0)(1 + x²)/((1 − x²)² + 4ζ²x²)`; notch
    /// `(1/(Qω0))(1 + x²)/((1 − x²)² + x²/Q²)`; `x = ω/ω0`. Validated: `delay-*` within 0.01 %.
    pub fn group_delay_s(&self, frequency_hz: f64) -> f64 {
        match *self {
            Self::FirstOrder { cutoff_hz } => {
                second_order(0.0, 1.0, frequency_hz / cutoff_hz) / (TAU * cutoff_hz)
            }
            Self::Butterworth2 { cutoff_hz } => {
                second_order(1.0, SQRT_2, frequency_hz / cutoff_hz) / (TAU * cutoff_hz)
            }
            Self::Notch { centre_hz, q } => {
                second_order(1.0, 1.0 / q, frequency_hz / centre_hz) / (TAU * centre_hz)
            }
            Self::Delay { delay_s } => delay_s,
        }
    }

    /// The digital form at a sample rate; none for a delay, or at and above half the rate.
    ///
    /// Second order with `w = 2πf/f_s`, `α = sin w/(2Q)`: low-pass `b = (1 − cos w)/2·(1, 2, 1)`,
    /// notch `b = (1, −2cos w, 1)`, both `a = (1 + α, −2cos w, 1 − α)`, over `1 + α`. First order
    /// `y += k(x − y)`, `k = dt/(dt + 1/ω0)`. A design that fixes the −3 dB band of a notch instead
    /// differs in the third decimal at `f/f_s` 0.08. Validated: `digital-*`.
    pub fn digital(&self, sample_rate_hz: f64) -> Option<Digital> {
        let (corner_hz, q) = match *self {
            Self::FirstOrder { cutoff_hz } => (cutoff_hz, f64::NAN),
            Self::Butterworth2 { cutoff_hz } => (cutoff_hz, FRAC_1_SQRT_2),
            Self::Notch { centre_hz, q } => (centre_hz, q),
            Self::Delay { .. } => return None,
        };
        if !self.meaningful() || !sample_rate_hz.is_finite() || corner_hz >= 0.5 * sample_rate_hz {
            return None;
        }
        let w = TAU * corner_hz / sample_rate_hz;
        let (alpha, cosine) = (w.sin() / (2.0 * q), w.cos());
        let (b, a) = match self {
            Self::FirstOrder { .. } => {
                let k = w / (w + 1.0);
                ([k, 0.0, 0.0], [1.0, k - 1.0, 0.0])
            }
            Self::Notch { .. } => (
                [1.0, -2.0 * cosine, 1.0],
                [1.0 + alpha, -2.0 * cosine, 1.0 - alpha],
            ),
            _ => (
                [0.5 * (1.0 - cosine), 1.0 - cosine, 0.5 * (1.0 - cosine)],
                [1.0 + alpha, -2.0 * cosine, 1.0 - alpha],
            ),
        };
        Some(Digital {
            b: b.map(|term| term / a[0]),
            a: a.map(|term| term / a[0]),
            sample_rate_hz,
        })
    }
}

/// `y = b0·x + b1·x' + b2·x'' − a1·y' − a2·y''`, a dash for each sample past.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Digital {
    /// Terms of the input.
    pub b: [f64; 3],
    /// Terms of the output; the first is 1.
    pub a: [f64; 3],
    /// Samples a second \[Hz\].
    pub sample_rate_hz: f64,
}

impl Digital {
    /// Complex response at a frequency.
    pub fn response(&self, frequency_hz: f64) -> Complex64 {
        let step = Complex64::cis(-TAU * frequency_hz / self.sample_rate_hz);
        polynomial(self.b, step) / polynomial(self.a, step)
    }

    /// Group delay \[s\], exact: `Re(Σk·b_k z^−k/Σb_k z^−k) − Re(same of a)`, over the sample rate.
    pub fn group_delay_s(&self, frequency_hz: f64) -> f64 {
        let step = Complex64::cis(-TAU * frequency_hz / self.sample_rate_hz);
        let samples = |terms: [f64; 3]| {
            let weighted = [0.0, terms[1], 2.0 * terms[2]];
            (polynomial(weighted, step) / polynomial(terms, step)).re
        };
        (samples(self.b) - samples(self.a)) / self.sample_rate_hz
    }
}

/// Group delay times ω0 of `1/(1 + d·jx − c·x²)`: `d(1 + cx²)/((1 − cx²)² + d²x²)`.
fn second_order(c: f64, d: f64, x: f64) -> f64 {
    let squared = c * x * x;
    d * (1.0 + squared) / ((1.0 - squared).powi(2) + (d * x).powi(2))
}

fn polynomial(terms: [f64; 3], step: Complex64) -> Complex64 {
    terms[0] + step * (terms[1] + step * terms[2])
}
