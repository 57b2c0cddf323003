//! The direct ray and the one that the ground throws back.

use super::{Polarisation, coherent_share, reflection};
use crate::edges::Path;
use crate::free_space::{loss_db, wavelength_m};
use num_complex::Complex64;
use std::f64::consts::PI;

/// A ground to be reflected by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounce {
    /// Relative permittivity ε′ − jε″.
    pub permittivity: Complex64,
    /// How the waves swing.
    pub polarisation: Polarisation,
    /// Root-mean-square height of the ground's unevenness \[m\].
    pub roughness_m: f64,
    /// Both antennas' field towards the bounce as a share of their field towards each other; 1 where they look alike both ways.
    pub pattern: f64,
}

impl Bounce {
    /// A smooth ground under antennas that look alike both ways.
    pub fn smooth(permittivity: Complex64, polarisation: Polarisation) -> Self {
        Self {
            permittivity,
            polarisation,
            roughness_m: 0.0,
            pattern: 1.0,
        }
    }
}

/// The two rays of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoRay {
    /// Length of the direct ray \[m\].
    pub direct_m: f64,
    /// Length of the reflected ray \[m\].
    pub reflected_m: f64,
    /// Angle from the ground at the bounce \[rad\].
    pub grazing_rad: f64,
    /// The reflected field over the direct one, without the way's phase.
    pub share: Complex64,
    /// Phase by which the reflected ray is late through its way \[rad\].
    pub late_rad: f64,
}

impl TwoRay {
    /// The rays of a path over flat ground; heights count from the ground.
    pub fn of(path: &Path, bounce: &Bounce) -> Self {
        let [h1, h2] = path.heights_m.map(|height| height.max(0.0));
        let direct_m = path.distance_m.hypot(h1 - h2);
        let reflected_m = path.distance_m.hypot(h1 + h2);
        let grazing_rad = (h1 + h2).atan2(path.distance_m);
        let stays = coherent_share(bounce.roughness_m, grazing_rad, path.frequency_hz);
        let mirrored = reflection(grazing_rad, bounce.permittivity).heard(bounce.polarisation);
        let nearer = if reflected_m > 0.0 {
            direct_m / reflected_m
        } else {
            1.0
        };
        // r_r² − r_d² = 4h₁h₂; the plain difference would lose its digits far away.
        let longer_m = match direct_m + reflected_m {
            0.0 => 0.0,
            both => 4.0 * h1 * h2 / both,
        };
        Self {
            direct_m,
            reflected_m,
            grazing_rad,
            share: mirrored * (bounce.pattern * stays * nearer),
            late_rad: 2.0 * PI * longer_m / wavelength_m(path.frequency_hz),
        }
    }

    /// Loss of the direct ray \[dB\].
    fn direct_db(&self, frequency_hz: f64) -> f64 {
        loss_db(self.direct_m, frequency_hz)
    }

    /// Amplitude of both rays together over the direct one's.
    fn together(&self) -> f64 {
        (1.0 + self.share * Complex64::cis(-self.late_rad)).norm()
    }
}

/// Loss \[dB\] of the direct and the reflected ray over flat ground: `L_fs(r_d) − 20·lg|1 + R·ρ·(r_d/r_r)·e^(−jk(r_r − r_d))|`.
///
/// Plane waves on flat ground; no earth's curve, no surface wave. Heights count from the ground. Infinite where both cancel wholly, as with an
/// antenna on the ground. Nearer than the [`breakpoint_m`] it swings within fractions of a metre; take [`two_ray_band_db`] there.
/// Validated: a table of 1296 losses by another program, within its printed digits.
pub fn two_ray_db(path: &Path, bounce: &Bounce) -> f64 {
    let rays = TwoRay::of(path, bounce);
    rays.direct_db(path.frequency_hz) - 20.0 * rays.together().log10()
}

/// The least and the most loss \[dB\] that two rays make near a place.
///
/// Where the reflected ray is late by more than half a wave, the loss swings between both: `L_fs − 20·lg(1 ± |R|)`. Beyond, at about the
/// [`breakpoint_m`], it swings no more and both are [`two_ray_db`].
pub fn two_ray_band_db(path: &Path, bounce: &Bounce) -> [f64; 2] {
    let rays = TwoRay::of(path, bounce);
    let direct = rays.direct_db(path.frequency_hz);
    if rays.late_rad <= PI {
        return [direct - 20.0 * rays.together().log10(); 2];
    }
    let share = rays.share.norm();
    [1.0 + share, (1.0 - share).abs()].map(|field| direct - 20.0 * field.log10())
}

/// Distance \[m\] beyond which the ground only takes: `4h₁h₂/λ`, Rec. ITU-R P.1411-12 (2023), section 4.1.2.
///
/// From there on the loss grows by 40 dB for ten times the distance. Validated: twelve pairs of heights, within their printed digits.
pub fn breakpoint_m(heights_m: [f64; 2], frequency_hz: f64) -> f64 {
    4.0 * heights_m[0] * heights_m[1] / wavelength_m(frequency_hz)
}
