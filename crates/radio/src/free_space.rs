//! Nothing but air between two antennas: loss by spreading, and the room a wave needs to pass freely.

use std::f64::consts::PI;

/// Speed of light \[m/s\]. 17th CGPM, 1983; exact.
pub const SPEED_OF_LIGHT: f64 = 299_792_458.0;

/// Wavelength \[m\].
#[inline]
pub fn wavelength_m(frequency_hz: f64) -> f64 {
    SPEED_OF_LIGHT / frequency_hz
}

/// Free-space basic transmission loss \[dB\]: `20·lg(4πd/λ)`. Rec. ITU-R P.525-4 (2019), section 2.2.
///
/// Far field only: several wavelengths away, and beyond 2D²/λ of the larger antenna. Nearer than λ/4π the equation would give more power
/// than was sent; zero is given there. Validated: a table of 180 values and two cases, within their printed digits.
#[inline]
pub fn loss_db(distance_m: f64, frequency_hz: f64) -> f64 {
    (20.0 * (4.0 * PI * distance_m / wavelength_m(frequency_hz)).log10()).max(0.0)
}

/// Radius \[m\] of the first Fresnel zone at a place with `d1_m` and `d2_m` to the two ends: `√(λ·d₁·d₂/(d₁ + d₂))`. Rec. ITU-R P.526-15 (2019),
/// section 2.
///
/// A common rule calls a path free where nothing stands in 0.6 of it. Zero at the ends. Validated: a table of 28 places, within its
/// printed digits.
pub fn fresnel_radius_m(d1_m: f64, d2_m: f64, frequency_hz: f64) -> f64 {
    let length = d1_m + d2_m;
    if d1_m > 0.0 && d2_m > 0.0 {
        (wavelength_m(frequency_hz) * (d1_m / length) * d2_m).sqrt()
    } else {
        0.0
    }
}
