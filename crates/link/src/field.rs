//! From radiated power to field and back, and how near is too near.
//!
//! Far field in free space only: beyond a few wavelengths and beyond twice the antenna's width squared over the wavelength.

use crate::{decibels, ratio};
use std::f64::consts::PI;

/// Speed of light \[m/s\]; exact.
pub const SPEED_OF_LIGHT: f64 = 299_792_458.0;

/// Gain of a half-wave dipole \[dBi\]: 10·log10 1.6409, the peak of cos²(π/2·cos θ)/sin² θ over its mean.
pub const HALF_WAVE_DIPOLE_DBI: f64 = 2.150_88;

/// Free-space impedance over 4π, as the rules have it: E² = 30·P/d² with E in V/m, P in W, d in m.
const OHMS: f64 = 30.0;

/// Wavelength \[m\].
pub fn wavelength_m(frequency_hz: f64) -> f64 {
    SPEED_OF_LIGHT / frequency_hz
}

/// Free-space loss \[dB\]: 20·log10(4πdf/c). Rec. ITU-R P.525-4.
pub fn free_space_loss_db(distance_m: f64, frequency_hz: f64) -> f64 {
    2.0 * decibels(4.0 * PI * distance_m / wavelength_m(frequency_hz))
}

/// Power \[W\] of a level \[dBm\].
pub fn watts(level_dbm: f64) -> f64 {
    1e-3 * ratio(level_dbm)
}

/// Level \[dBm\] of a power \[W\].
pub fn level_dbm(power_w: f64) -> f64 {
    decibels(1e3 * power_w)
}

/// Field \[V/m\] at a distance from a radiator: √(30·P)/d. Rec. ITU-R P.525-4.
pub fn field_v_m(eirp_dbm: f64, distance_m: f64) -> f64 {
    (OHMS * watts(eirp_dbm)).sqrt() / distance_m
}

/// The equivalent isotropic radiated power \[dBm\] that makes a field at a distance: (E·d)²/30.
pub fn eirp_dbm(field_v_m: f64, distance_m: f64) -> f64 {
    level_dbm((field_v_m * distance_m).powi(2) / OHMS)
}

/// A field in decibels over a microvolt per metre.
pub fn field_dbuv_m(field_v_m: f64) -> f64 {
    2.0 * decibels(1e6 * field_v_m)
}

/// What an antenna picks out of a field \[dBm\]; the effective area of an isotropic antenna is λ²/4π.
pub fn received_dbm(field_v_m: f64, frequency_hz: f64, gain_dbi: f64) -> f64 {
    let radiated_dbm = eirp_dbm(field_v_m, 1.0);
    radiated_dbm - free_space_loss_db(1.0, frequency_hz) + gain_dbi
}

/// Radiated power over a half-wave dipole \[dBm\] from the one over an isotropic radiator.
pub fn erp_dbm(eirp_dbm: f64) -> f64 {
    eirp_dbm - HALF_WAVE_DIPOLE_DBI
}

/// Power density \[W/m²\]: k·P/(4πR²). `reflection` k is 1 in the open, 2.56 (OET Bulletin 65) or 4 (all of a ground wave in
/// phase) above ground.
pub fn power_density_w_m2(eirp_dbm: f64, distance_m: f64, reflection: f64) -> f64 {
    reflection * watts(eirp_dbm) / (4.0 * PI * distance_m * distance_m)
}

/// Distance \[m\] at which the power density falls to a limit \[W/m²\]; inverse of [`power_density_w_m2`]. Below about 0.1 m a
/// far-field formula only indicates.
pub fn exposure_distance_m(eirp_dbm: f64, limit_w_m2: f64, reflection: f64) -> f64 {
    (reflection * watts(eirp_dbm) / (4.0 * PI * limit_w_m2)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Rec. ITU-R P.525-4 gives E[dBµV/m] = EIRP[dBm] + 104.77 − 20·log10 d and P_r = E − 20·log10 f_MHz − 77.22 + G.
    #[test]
    fn validated_itu_r_p525_constants() {
        let field = field_v_m(20.0, 7.0);
        let expected = 20.0 + 104.77 - 20.0 * 7_f64.log10();
        assert!((field_dbuv_m(field) - expected).abs() < 5e-3);
        let received = received_dbm(field, 5.8e9, 3.0);
        let expected = field_dbuv_m(field) - 20.0 * 5800_f64.log10() - 77.22 + 3.0;
        assert!((received - expected).abs() < 1e-2, "{received} {expected}");
    }
}
