//! Whether what lies between two plates is thinner than the standoffs that hold them apart.

/// A height and how far it may be off, either way \[m\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thickness {
    /// What the drawing says.
    pub nominal_m: f64,
    /// How far off it may be.
    pub tolerance_m: f64,
}

/// Room left above a stack \[m\]; below zero it does not fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StackClearance {
    /// With every height as drawn.
    pub nominal_m: f64,
    /// With every height off the wrong way.
    pub worst_m: f64,
    /// With deviations that do not know of each other: the root of the sum of their squares.
    pub statistical_m: f64,
}

/// Room that a standoff leaves above the layers it spans.
///
/// Standoff − Σ heights; worst case less Σ|tolerance|, statistical less √Σ tolerance². Validated: `stack-*`.
pub fn clearance(standoff: Thickness, layers: &[Thickness]) -> StackClearance {
    let nominal = standoff.nominal_m - layers.iter().map(|layer| layer.nominal_m).sum::<f64>();
    let off = || {
        std::iter::once(&standoff)
            .chain(layers)
            .map(|layer| layer.tolerance_m)
    };
    StackClearance {
        nominal_m: nominal,
        worst_m: nominal - off().map(f64::abs).sum::<f64>(),
        statistical_m: nominal - off().map(|x| x * x).sum::<f64>().sqrt(),
    }
}
