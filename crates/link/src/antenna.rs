//! What an antenna radiates in a direction: gain, axial ratio, hand.
//!
//! Patterns are even around one axis and stand in free space: what a frame, a battery or a camera does to them comes on top.
//! The angle `theta` is counted from the axis; 90° is the horizon of an upright aerial.

mod direction;
mod patterns;
mod sight;
mod table;

pub use patterns::{Pattern, directional_beamwidth_rad, directional_exponent};
pub use sight::{Attitude, Mounted, Sight, between};
pub use table::{Row, Table, TableFault};

use crate::polarisation::Hand;

/// Nothing is weaker than this \[dBi\], and no polarisation loses more \[dB\]: echoes fill what free space leaves empty.
/// Common practice.
pub const NULL_FLOOR_DB: f64 = 30.0;

/// What goes out in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    /// Gain, both hands together \[dBi\].
    pub gain_dbi: f64,
    /// Axial ratio \[dB\]; infinite for a line.
    pub axial_ratio_db: f64,
    /// The stronger hand; of a line it means nothing.
    pub hand: Hand,
    /// Where the long axis of the ellipse lies.
    pub long_axis: LongAxis,
}

/// Where the long axis of a polarisation ellipse lies, seen along the ray.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LongAxis {
    /// Along the antenna's axis as it is seen.
    Along,
    /// Across it.
    Across,
    /// As the antenna is mounted: its pattern alone does not say.
    AsMounted,
}

/// Power lost because an antenna takes none of it back: −10·log10(1 − |Γ|²) \[dB\] with |Γ| = (S − 1)/(S + 1). A standing wave
/// ratio below one is taken as its inverse.
pub fn mismatch_loss_db(standing_wave_ratio: f64) -> f64 {
    let reflected = reflection(standing_wave_ratio);
    -crate::decibels(1.0 - reflected * reflected)
}

/// Decibels between what goes to the antenna and what comes back; infinite for a ratio of one.
pub fn return_loss_db(standing_wave_ratio: f64) -> f64 {
    -2.0 * crate::decibels(reflection(standing_wave_ratio))
}

fn reflection(standing_wave_ratio: f64) -> f64 {
    ((standing_wave_ratio - 1.0) / (standing_wave_ratio + 1.0)).abs()
}

#[cfg(test)]
mod tests;
