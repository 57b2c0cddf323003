//! What the ground does: how it reflects, and what its reflection makes of the loss between two antennas above it.
//!
//! Time goes as e^{+jωt}, so that a lossy ground has a permittivity ε′ − jε″. Angles of grazing count from the ground up.

mod soil;
mod two_ray;

pub(crate) use soil::table_row;
pub use soil::{Ground, Soil, sea_water, soil_permittivity, water};
pub use two_ray::{Bounce, TwoRay, breakpoint_m, two_ray_band_db, two_ray_db};

use num_complex::Complex64;
use std::f64::consts::PI;

/// How the waves of both antennas swing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Polarisation {
    /// Upright, both ends.
    Vertical,
    /// Level, both ends.
    Horizontal,
    /// Circular, of the same hand at both ends.
    Circular,
}

/// What a plane ground reflects, as shares of the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reflection {
    /// Of a level field.
    pub h: Complex64,
    /// Of an upright field.
    pub v: Complex64,
    /// What a circular field keeps of its own hand.
    pub same_hand: Complex64,
    /// What a circular field gives to the other hand.
    pub cross_hand: Complex64,
}

impl Reflection {
    /// The share that an antenna of the same polarisation hears.
    pub fn heard(&self, polarisation: Polarisation) -> Complex64 {
        match polarisation {
            Polarisation::Vertical => self.v,
            Polarisation::Horizontal => self.h,
            Polarisation::Circular => self.same_hand,
        }
    }
}

/// What a smooth plane ground of a relative permittivity reflects at a grazing angle \[rad\]: Fresnel's coefficients,
/// `R_H = (s − q)/(s + q)` and `R_V = (εs − q)/(εs + q)` with s = sin ψ and q = √(ε − cos²ψ).
///
/// Both go to −1 at grazing; straight down R_V = −R_H. A circular wave keeps (R_V + R_H)/2 of its own hand: more than half of it below about
/// 11° over soil, so that it does not cancel a bounce at low angles. Validated: 120 angles and grounds by another program, within their
/// printed digits.
pub fn reflection(grazing_rad: f64, permittivity: Complex64) -> Reflection {
    let (sine, cosine) = grazing_rad.sin_cos();
    let q = decaying_root(permittivity - cosine * cosine);
    let h = quotient(sine - q, sine + q);
    let v = quotient(permittivity * sine - q, permittivity * sine + q);
    Reflection {
        h,
        v,
        same_hand: (v + h) / 2.0,
        cross_hand: (v - h) / 2.0,
    }
}

/// Share of the reflected field that stays in step over a rough ground: `exp(−2(k·s·sin ψ)²)`, s the rms height \[m\].
/// W. S. Ament, Proc. IRE 41 (1953) 142; Beckmann and Spizzichino (1963).
///
/// The rest is scattered and not counted. Validated: 48 values, within their printed digits.
pub fn coherent_share(roughness_m: f64, grazing_rad: f64, frequency_hz: f64) -> f64 {
    let wave_number = 2.0 * PI / crate::free_space::wavelength_m(frequency_hz);
    (-2.0 * (wave_number * roughness_m * grazing_rad.sin()).powi(2)).exp()
}

/// Height \[m\] above which a ground counts as rough: Rayleigh's `λ/(8·sin ψ)`. Infinite at grazing.
pub fn rough_above_m(grazing_rad: f64, frequency_hz: f64) -> f64 {
    crate::free_space::wavelength_m(frequency_hz) / (8.0 * grazing_rad.sin().abs())
}

/// The square root whose wave dies away in the ground.
pub(crate) fn decaying_root(of: Complex64) -> Complex64 {
    let root = of.sqrt();
    if root.im > 0.0 { -root } else { root }
}

/// A reflection of nothing by nothing is none: air under air, grazed.
fn quotient(above: Complex64, below: Complex64) -> Complex64 {
    if below.norm_sqr() > 0.0 {
        above / below
    } else {
        Complex64::ZERO
    }
}
