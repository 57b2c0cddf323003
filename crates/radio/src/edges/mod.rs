//! Edges between two antennas: what bends over the top of walls, roofs and banks.
//!
//! Sharp, opaque edges across the path, on flat ground, without what the ground reflects. The form of Rec. ITU-R P.526 for rolling terrain
//! adds about 10 dB that belongs to hills and not to walls; it is left out on purpose. Give a wall as one edge: where
//! there are others too, both edges of its top would count as two walls.

mod knife;
mod ways;

pub use knife::{NOTHING_BELOW, knife_edge_db, knife_edge_exact_db, strip_db};
pub use ways::{corrected_db, deygout_db, epstein_peterson_db, epstein_peterson_lc_db};
pub use ways::{loss_db, optimistic_db};

/// Two antennas and a frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Path {
    /// Level distance between the ends \[m\].
    pub distance_m: f64,
    /// Heights of the two ends over a common level \[m\].
    pub heights_m: [f64; 2],
    /// Frequency \[Hz\].
    pub frequency_hz: f64,
}

impl Path {
    /// The same path walked the other way.
    pub fn reversed(&self) -> Self {
        let [from, to] = self.heights_m;
        Self {
            heights_m: [to, from],
            ..*self
        }
    }
}

/// The top of something in the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Level distance from the first end \[m\].
    pub along_m: f64,
    /// Height over the same level as the ends \[m\].
    pub height_m: f64,
}

impl Edge {
    /// The Fresnel–Kirchhoff parameter ν of this edge alone on a path: `h·√((2/λ)·(1/d₁ + 1/d₂))`, h above the direct ray. Rec. ITU-R P.526-15
    /// (2019), section 4.1, equation (26). None where it does not stand between the ends.
    pub fn nu(&self, path: &Path) -> Option<f64> {
        ways::nu(path, *self)
    }
}
