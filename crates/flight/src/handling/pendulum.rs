//! Moment of inertia from the period of a swing about the vertical on two or three strings.
//!
//! Left out: air carried along (1–3 % for flat frames as wide as their propellers, from memory:
//! take the propellers off), mass and stretch of the strings.

use quantity::STANDARD_GRAVITY;
use std::f64::consts::{FRAC_PI_2, PI};

/// Steps of the quarter swing; the rule converges exponentially, 64 are far more than enough.
const STEPS: u32 = 64;

/// A craft on two equal parallel strings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bifilar {
    /// Mass of what swings \[kg\].
    pub mass_kg: f64,
    /// Length of the strings \[m\].
    pub length_m: f64,
    /// Distance of the strings \[m\]; where it differs at top and bottom, `√(d_top·d_bottom)`, and
    /// for `length_m` the vertical distance.
    pub spacing_m: f64,
}

/// Standard deviations of what is read, in the unit of each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Of the mass \[kg\].
    pub mass_kg: f64,
    /// Of the length \[m\].
    pub length_m: f64,
    /// Of the spacing \[m\].
    pub spacing_m: f64,
    /// Of the period \[s\].
    pub period_s: f64,
}

impl Bifilar {
    /// Inertia \[kg·m²\]: `m g d² T²/(16π² L)` over `1 + θ0²/8`.
    ///
    /// `amplitude_rad` is the largest turn from rest, of a decaying swing the energy-weighted one; zero
    /// leaves the small-swing formula, which reads 0.4 % high at 10° and 1.6 % at 20°. Corrected, good
    /// to 0.1 % at 20°, 0.6 % at 40°. Keep within 15°. Validated: `bifilar-*` within 0.02 %.
    pub fn inertia_kg_m2(&self, period_s: f64, amplitude_rad: f64) -> f64 {
        let swing = self.spacing_m * period_s;
        self.mass_kg * STANDARD_GRAVITY * swing * swing
            / (16.0 * PI * PI * self.length_m * (1.0 + amplitude_rad * amplitude_rad / 8.0))
    }

    /// Exact period \[s\] at an amplitude, without damping; not a number where the strings cannot turn so far.
    ///
    /// Height `z = L − √(L² − 4b² sin²(θ/2))`, `b = d/2`; energy `½Iθ̇² + ½mż² + mgz`. The quarter swing
    /// is integrated in `θ = θ0 sin ψ`, which takes the root at the turning point away.
    /// Validated: `bifilar-period-*` within 0.02 % of a simulation.
    pub fn period_s(&self, inertia_kg_m2: f64, amplitude_rad: f64) -> f64 {
        if amplitude_rad == 0.0 {
            return 4.0 * PI / self.spacing_m
                * (inertia_kg_m2 * self.length_m / (self.mass_kg * STANDARD_GRAVITY)).sqrt();
        }
        let top_m = self.height_m(amplitude_rad);
        let step = FRAC_PI_2 / f64::from(STEPS);
        let sum: f64 = (0..STEPS)
            .map(|index| {
                let (sine, cosine) = (step * (f64::from(index) + 0.5)).sin_cos();
                let turn = amplitude_rad * sine;
                let moving = inertia_kg_m2 + self.mass_kg * self.rise_m_per_rad(turn).powi(2);
                let fallen = 2.0 * self.mass_kg * STANDARD_GRAVITY * (top_m - self.height_m(turn));
                amplitude_rad * cosine * (moving / fallen).sqrt()
            })
            .sum();
        4.0 * step * sum
    }

    /// Standard deviation of the inertia over the inertia: `√(σm² + 4σd² + 4σT² + σL²)`, each relative.
    pub fn relative_doubt(&self, period_s: f64, doubt: &Readings) -> f64 {
        let terms = [
            doubt.mass_kg / self.mass_kg,
            doubt.length_m / self.length_m,
            2.0 * doubt.spacing_m / self.spacing_m,
            2.0 * doubt.period_s / period_s,
        ];
        terms.iter().map(|term| term * term).sum::<f64>().sqrt()
    }

    fn height_m(&self, turn_rad: f64) -> f64 {
        // L − √(L² − c²) without the loss of digits: c²/(L + √(L² − c²)).
        let chord = self.spacing_m * (0.5 * turn_rad).sin();
        chord * chord / (self.length_m + self.drop_m(chord))
    }

    /// dz/dθ: `b² sin θ/√(L² − 4b² sin²(θ/2))`.
    fn rise_m_per_rad(&self, turn_rad: f64) -> f64 {
        let chord = self.spacing_m * (0.5 * turn_rad).sin();
        0.25 * self.spacing_m * self.spacing_m * turn_rad.sin() / self.drop_m(chord)
    }

    /// Vertical distance of the ends of a string whose lower end has moved by `chord`.
    fn drop_m(&self, chord_m: f64) -> f64 {
        (self.length_m * self.length_m - chord_m * chord_m).sqrt()
    }
}

/// Inertia \[kg·m²\] on three equal strings at `radius_m` from the middle: `m g R² T²/(4π² L)`.
///
/// Small swings only. Validated: `trifilar` within 0.01 %.
pub fn trifilar_inertia_kg_m2(mass_kg: f64, length_m: f64, radius_m: f64, period_s: f64) -> f64 {
    let swing = radius_m * period_s;
    mass_kg * STANDARD_GRAVITY * swing * swing / (4.0 * PI * PI * length_m)
}
