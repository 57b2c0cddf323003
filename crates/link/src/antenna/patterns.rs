//! The patterns that small craft carry.

use super::table::{Node, Table, between};
use super::{LongAxis, NULL_FLOOR_DB, Ray};
use crate::decibels;
use crate::field::HALF_WAVE_DIPOLE_DBI;
use crate::polarisation::Hand;
use std::f64::consts::{FRAC_PI_2, PI};

/// A pattern, even around its axis.
#[derive(Debug, Clone, PartialEq)]
pub enum Pattern {
    /// The same everywhere; there is no such antenna.
    Isotropic {
        /// Axial ratio \[dB\]; infinite for a line.
        axial_ratio_db: f64,
        /// Its hand.
        hand: Hand,
    },
    /// A half-wave wire along the axis.
    Dipole,
    /// A wire much shorter than the wave, along the axis.
    ShortDipole,
    /// Two half-wave wires across the axis, a quarter of a period apart: one hand out of its front, the other out of its back,
    /// a line on the horizon.
    CrossedDipole {
        /// The hand along the axis; the other one goes out behind.
        front: Hand,
    },
    /// Four tilted wires on a ring around the axis, fed alike: one hand all around, nothing along the axis.
    Ring {
        /// Its hand.
        hand: Hand,
    },
    /// A patch or a helix that looks along the axis: cosⁿ, with a floor behind.
    Directional {
        /// Gain along the axis \[dBi\], above 3.01.
        gain_dbi: f64,
        /// How far the floor behind is below that \[dB\]; 15 to 20 are common.
        floor_below_db: f64,
        /// Axial ratio \[dB\]; infinite for a line.
        axial_ratio_db: f64,
        /// Its hand.
        hand: Hand,
    },
    /// Row by row.
    Table(Table),
}

impl Pattern {
    /// What goes out at an angle from the axis \[rad\], from 0 to π. No gain is below [−`NULL_FLOOR_DB`](NULL_FLOOR_DB).
    ///
    /// Half-wave dipole 2.151 + 20·log10|cos(π/2·cos θ)/sin θ|, short dipole 1.761 + 20·log10 sin θ, directional
    /// G₀ + 10·n·log10 cos θ with G₀ = 2(n + 1): Balanis, Antenna Theory. Crossed dipoles and ring: free-space patterns by the
    /// method of moments at 5.8 GHz, 15° apart.
    pub fn toward(&self, theta_rad: f64) -> Ray {
        let ray = match self {
            Self::Isotropic {
                axial_ratio_db,
                hand,
            } => mounted(0.0, *axial_ratio_db, *hand),
            Self::Dipole => line(half_wave_dbi(theta_rad)),
            Self::ShortDipole => line(decibels(1.5) + 2.0 * decibels(theta_rad.sin().abs())),
            Self::CrossedDipole { front } => crossed(*front, theta_rad),
            Self::Ring { hand } => ring(*hand, theta_rad),
            Self::Directional {
                gain_dbi,
                floor_below_db,
                axial_ratio_db,
                hand,
            } => {
                let gain = directional_dbi(*gain_dbi, theta_rad).max(gain_dbi - floor_below_db);
                mounted(gain, *axial_ratio_db, *hand)
            }
            Self::Table(table) => table.toward(theta_rad),
        };
        Ray {
            gain_dbi: ray.gain_dbi.max(-NULL_FLOOR_DB),
            ..ray
        }
    }

    /// The highest gain in any direction \[dBi\].
    pub fn peak_dbi(&self) -> f64 {
        match self {
            Self::Isotropic { .. } => 0.0,
            Self::Dipole | Self::ShortDipole | Self::Ring { .. } => self.toward(FRAC_PI_2).gain_dbi,
            Self::CrossedDipole { .. } | Self::Directional { .. } => self.toward(0.0).gain_dbi,
            Self::Table(table) => table.peak_dbi(),
        }
    }
}

/// The exponent n of cosⁿ that radiates all its power forwards with a gain: 10^(G₀/10)/2 − 1, never below zero.
pub fn directional_exponent(gain_dbi: f64) -> f64 {
    (crate::ratio(gain_dbi) / 2.0 - 1.0).max(0.0)
}

/// Full angle between the half-power directions of cosⁿ \[rad\]: 2·acos 0.5^(1/n); half a turn below 3.01 dBi.
pub fn directional_beamwidth_rad(gain_dbi: f64) -> f64 {
    match directional_exponent(gain_dbi) {
        0.0 => PI,
        n => 2.0 * 0.5_f64.powf(1.0 / n).acos(),
    }
}

fn directional_dbi(gain_dbi: f64, theta_rad: f64) -> f64 {
    let cosine = theta_rad.cos();
    if cosine <= 0.0 {
        return f64::NEG_INFINITY;
    }
    gain_dbi + directional_exponent(gain_dbi) * decibels(cosine)
}

fn half_wave_dbi(theta_rad: f64) -> f64 {
    let (sine, cosine) = theta_rad.sin_cos();
    if sine.abs() < 1e-9 {
        return f64::NEG_INFINITY;
    }
    HALF_WAVE_DIPOLE_DBI + 2.0 * decibels(((FRAC_PI_2 * cosine).cos() / sine).abs())
}

fn line(gain_dbi: f64) -> Ray {
    Ray {
        gain_dbi,
        axial_ratio_db: f64::INFINITY,
        hand: Hand::Right,
        long_axis: LongAxis::Along,
    }
}

fn mounted(gain_dbi: f64, axial_ratio_db: f64, hand: Hand) -> Ray {
    Ray {
        gain_dbi,
        axial_ratio_db,
        hand,
        long_axis: LongAxis::AsMounted,
    }
}

/// Behind the horizon the two hands change places.
fn crossed(front: Hand, theta_rad: f64) -> Ray {
    let behind = theta_rad > FRAC_PI_2;
    let from_face = if behind { PI - theta_rad } else { theta_rad };
    let ray = between(&CROSSED, from_face, LongAxis::Across);
    let hand = if behind { front.other() } else { front };
    Ray { hand, ..ray }
}

fn ring(hand: Hand, theta_rad: f64) -> Ray {
    let from_axis = theta_rad.min(PI - theta_rad);
    let ray = between(&RING, from_axis, LongAxis::AsMounted);
    Ray { hand, ..ray }
}

/// Degrees from a face; amplitudes over an isotropic radiator's of the stronger hand and the weaker one, from the mean gain
/// and the median axial ratio over the turn.
const CROSSED: [Node; 7] = [
    node(0.0, 1.276_917, 0.032_115),
    node(15.0, 1.245_918, 0.043_159),
    node(30.0, 1.159_680, 0.110_480),
    node(45.0, 1.036_209, 0.211_371),
    node(60.0, 0.894_339, 0.334_915),
    node(75.0, 0.748_578, 0.467_508),
    node(90.0, 0.605_738, 0.605_738),
];

/// As [`CROSSED`], degrees from the axis; ring of radius 0.2 wavelengths, wires tilted by 40°.
const RING: [Node; 7] = [
    node(0.0, 0.0, 0.0),
    node(15.0, 0.410_983, 0.079_494),
    node(30.0, 0.745_957, 0.121_504),
    node(45.0, 0.964_305, 0.112_503),
    node(60.0, 1.073_140, 0.068_908),
    node(75.0, 1.111_099, 0.023_534),
    node(90.0, 1.118_196, 0.013_581),
];

const fn node(degrees: f64, right: f64, left: f64) -> Node {
    Node {
        theta_rad: degrees * PI / 180.0,
        right,
        left,
    }
}
