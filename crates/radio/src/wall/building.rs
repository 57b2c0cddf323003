//! Whole buildings and rooms by their statistics, where nobody knows the walls.

use statrs::function::erf::erfc_inv;
use std::f64::consts::SQRT_2;

/// A kind of building. Rec. ITU-R P.2109-2 (2023).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Building {
    /// Without metal in its panes and walls.
    Traditional,
    /// With coated panes, foil or foil-backed boards.
    ThermallyEfficient,
}

impl Building {
    /// r, s, t, u, v, w, x, y, z of Table 1.
    fn coefficients(self) -> [f64; 9] {
        match self {
            Self::Traditional => [12.64, 3.72, 0.96, 9.6, 2.0, 9.1, -3.0, 4.5, -2.0],
            Self::ThermallyEfficient => [28.19, -3.00, 8.48, 13.5, 3.8, 27.8, -2.9, 9.4, -2.1],
        }
    }
}

/// Building entry loss \[dB\] that a share of all places in all buildings of a kind does not exceed, with one end inside and the other outside
/// at an elevation \[rad\]. Rec. ITU-R P.2109-2 (2023), equations (1) to (8).
///
/// From 80 MHz to 100 GHz. A statistic of buildings, not of yours. None unless the share lies between 0 and 1.
/// Validated: 60 values by another program, within their printed digits.
pub fn building_entry_db(
    building: Building,
    frequency_hz: f64,
    elevation_rad: f64,
    share: f64,
) -> Option<f64> {
    if !(share > 0.0 && share < 1.0) {
        return None;
    }
    let [r, s, t, u, v, w, x, y, z] = building.coefficients();
    let log = (1e-9 * frequency_hz).log10();
    let steeper = 0.212 * elevation_rad.to_degrees().abs();
    let score = -SQRT_2 * erfc_inv(2.0 * share);
    let a = score * (u + v * log) + r + s * log + t * log * log + steeper;
    let b = score * (y + z * log) + w + x * log;
    const C: f64 = -3.0;
    let sum: f64 = [a, b, C].map(|term| 10_f64.powf(0.1 * term)).iter().sum();
    Some(10.0 * sum.log10())
}

/// A kind of room. Rec. ITU-R P.1238-12 (2023), Table 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// An office.
    Office,
    /// A corridor.
    Corridor,
    /// A hall of a works.
    Industrial,
}

impl Room {
    /// α, β, γ, σ and the distances of the measurements \[m\].
    fn row(self, in_sight: bool) -> ([f64; 4], [f64; 2]) {
        match (self, in_sight) {
            (Self::Office, true) => ([1.46, 34.62, 2.03, 3.76], [2.0, 27.0]),
            (Self::Office, false) => ([2.46, 29.53, 2.38, 5.04], [4.0, 30.0]),
            (Self::Corridor, true) => ([1.63, 28.12, 2.25, 4.07], [2.0, 160.0]),
            (Self::Corridor, false) => ([2.77, 29.27, 2.48, 7.63], [4.0, 94.0]),
            (Self::Industrial, true) => ([2.31, 24.52, 2.06, 2.69], [2.0, 101.0]),
            (Self::Industrial, false) => ([3.79, 21.01, 1.34, 9.05], [5.0, 108.0]),
        }
    }
}

/// Median loss \[dB\] on one floor: `10·α·lg d + β + 10·γ·lg f`, d in metres and f in gigahertz. Rec. ITU-R P.1238-12 (2023), section 3.1.
///
/// In sight it may be less than in free space: walls guide the wave. Validated: 66 values of an independent evaluation, within their
/// printed digits.
pub fn indoor_db(room: Room, in_sight: bool, distance_m: f64, frequency_hz: f64) -> f64 {
    let [alpha, beta, gamma, _] = room.row(in_sight).0;
    10.0 * alpha * distance_m.log10() + beta + 10.0 * gamma * (1e-9 * frequency_hz).log10()
}

/// Standard deviation \[dB\] of places about [`indoor_db`].
pub fn indoor_sd_db(room: Room, in_sight: bool) -> f64 {
    room.row(in_sight).0[3]
}

/// Shortest and longest distance \[m\] that [`indoor_db`] was fitted to.
pub fn indoor_range_m(room: Room, in_sight: bool) -> [f64; 2] {
    room.row(in_sight).1
}
