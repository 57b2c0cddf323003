//! How many fades a second and how long they are, for a craft that moves.

use super::{Case, Fade, Way, k_of};
use crate::{field, ratio};
use std::f64::consts::PI;

/// Fades of a moving receiver or transmitter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fades {
    /// Largest Doppler shift \[Hz\].
    pub doppler_hz: f64,
    /// How often a second the signal falls below the need \[1/s\].
    pub per_second: f64,
    /// How long it stays there on average \[s\]; zero where it never falls.
    pub mean_s: f64,
}

/// Fades of one branch at a speed, with a margin of its mean over the need.
///
/// N = √(2π(K + 1))·f_D·r·exp(−K − (K + 1)r²)·I₀(2r√(K(K + 1))) with r = 10^(−margin/20); mean fade = outage/N. Rice (1948);
/// Stüber, Principles of Mobile Communication. Echoes from all around evenly, a vertical antenna, a still world.
pub fn fades(fade: Fade, margin_db: f64, speed_m_s: f64, frequency_hz: f64) -> Fades {
    let k = k_of(fade);
    let doppler_hz = speed_m_s / field::wavelength_m(frequency_hz);
    let r = ratio(-margin_db).sqrt();
    let direct = k.sqrt();
    let threshold = r * (k + 1.0).sqrt();
    // exp(−K − (K + 1)r²)·I₀(z) with the growth of I₀ taken out of it, so that a large K does not overflow.
    let off = direct - threshold;
    let per_second = if off.abs() > NEVER {
        0.0
    } else {
        let density = (-off * off).exp() * scaled_bessel_i0(2.0 * direct * threshold);
        (2.0 * PI * (k + 1.0)).sqrt() * doppler_hz * r * density
    };
    let one = Case {
        k,
        branches: 1.0,
        way: Way::Selection,
    };
    let mean_s = if per_second > 0.0 {
        one.outage(margin_db) / per_second
    } else {
        0.0
    };
    Fades {
        doppler_hz,
        per_second,
        mean_s,
    }
}

/// So many standard deviations from the direct wave no signal is met.
const NEVER: f64 = 26.0;

/// e^(−z)·I₀(z) for z from 0: the mean of exp(z·(cos t − 1)) over half a turn, whose trapezoid sum is exact to rounding once
/// it has more points than 8.5·√z. Libraries at hand have I₀ alone, which overflows at 700.
pub(crate) fn scaled_bessel_i0(z: f64) -> f64 {
    if z.is_nan() || z >= LARGE {
        // First terms of the series for large arguments; the next is below 10⁻¹⁵.
        return (1.0 + 0.125 / z * (1.0 + 0.5625 / z)) / (2.0 * PI * z).sqrt();
    }
    let points = (20.0 + 9.0 * z.sqrt()).ceil();
    let at = |index: u32| (-2.0 * z * (PI * f64::from(index) / (2.0 * points)).sin().powi(2)).exp();
    let last = points as u32;
    let inner: f64 = (1..last).map(at).sum();
    (0.5 * (1.0 + at(last)) + inner) / points
}

/// From here on the series for large arguments.
const LARGE: f64 = 1e5;

#[cfg(test)]
mod tests {
    use super::*;

    // Abramowitz & Stegun, Table 9.8: e^−x·I₀(x).
    #[test]
    fn validated_abramowitz_stegun_table_9_8() {
        for (x, expected) in [
            (0.0, 1.0),
            (1.0, 0.465_759_607_6),
            (2.0, 0.308_508_322_6),
            (5.0, 0.183_540_812_6),
            (10.0, 0.127_833_337_2),
        ] {
            let found = scaled_bessel_i0(x);
            assert!((found - expected).abs() < 1e-10, "{x}: {found}");
        }
        // The two ways meet.
        let (below, above) = (
            scaled_bessel_i0(0.999_999 * LARGE),
            scaled_bessel_i0(1.000_001 * LARGE),
        );
        assert!((below / above - 1.000_001).abs() < 1e-10, "{below} {above}");
    }
}
