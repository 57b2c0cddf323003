//! One edge, or one upright strip, in the way.

use fresnel::fresnl;
use num_complex::Complex64;

/// Below this an edge costs nothing: where the approximation of Rec. ITU-R P.526 reaches zero.
pub const NOTHING_BELOW: f64 = -0.78;

/// Loss \[dB\] behind one knife edge, approximated: `6.9 + 20·lg(√((ν − 0.1)² + 1) + ν − 0.1)` above ν = −0.78, else zero.
/// Rec. ITU-R P.526-15 (2019), section 4.1, equation (31).
///
/// ν is the Fresnel–Kirchhoff parameter: zero where the top touches the direct ray, above zero where it hides the other end. Within
/// −0.13 and +0.11 dB of [`knife_edge_exact_db`] above ν = −0.7; what swings on the free side is left out. Validated: a table of 40 values.
#[inline]
pub fn knife_edge_db(nu: f64) -> f64 {
    if nu <= NOTHING_BELOW {
        return 0.0;
    }
    let shifted = nu - 0.1;
    6.9 + 20.0 * ((shifted * shifted + 1.0).sqrt() + shifted).log10()
}

/// Loss \[dB\] behind one knife edge by the Fresnel integrals: `−20·lg(√((1 − C − S)² + (C − S)²)/2)`. Rec. ITU-R P.526-15 (2019), section 4.1,
/// equation (30).
///
/// Swings on the free side: a gain of up to 1.4 dB near ν = −1.2. Validated: a table of 40 values, within its printed digits.
pub fn knife_edge_exact_db(nu: f64) -> f64 {
    let (s, c) = fresnl(nu);
    -20.0 * (0.5 * (1.0 - c - s).hypot(c - s)).log10()
}

/// Loss \[dB\] behind an opaque upright strip without end: a post, a trunk, a person. Its two sides lie `left_m` and `right_m` from the direct
/// ray, to the right above zero; `d1_m` and `d2_m` are the distances to the two ends.
///
/// What passes both sides is added with its phase: `−20·lg|1 − (1 + j)/2·[(C₂ − C₁) − j(S₂ − S₁)]|`, Babinet's form of the knife-edge theory of
/// Rec. ITU-R P.526-15 (2019). Near the ray's axis only: nearer than about five widths it is a hint. Zero where there is no room before or
/// behind. Validated: a table of 144 values by another program's Fresnel integrals, within its printed digits.
pub fn strip_db(left_m: f64, right_m: f64, d1_m: f64, d2_m: f64, frequency_hz: f64) -> f64 {
    if !(d1_m > 0.0 && d2_m > 0.0) {
        return 0.0;
    }
    let wavelength = crate::free_space::wavelength_m(frequency_hz);
    let scale = (2.0 / wavelength * (1.0 / d1_m + 1.0 / d2_m)).sqrt();
    let (near, far) = (left_m.min(right_m), left_m.max(right_m));
    let (s1, c1) = fresnl(near * scale);
    let (s2, c2) = fresnl(far * scale);
    let hidden = Complex64::new(0.5, 0.5) * Complex64::new(c2 - c1, s1 - s2);
    -20.0 * (1.0 - hidden).norm().log10()
}
