//! A value, how much it is doubted, and what it rests on.

use crate::Dimension;

/// How a value may differ from the truth. A draw is reached through a standard-normal score `z`,
/// so that readings can move it later.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Certain: a count, a definition, the user's own choice.
    Exact,
    /// Normal with this standard uncertainty, in the SI unit: `value + sd·z`.
    Plain(f64),
    /// Log-normal with this standard deviation of the logarithm: `value·exp(s·z)`. "×/÷ 1.3" is `ln 1.3`.
    Factor(f64),
    /// Log-normal in what is missing to one, for efficiencies: `1 − (1 − value)·exp(s·z)`.
    Shortfall(f64),
}

/// What a value rests on. Labels are claims; scales and meters give data.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// Read from an instrument by the owner.
    Measured,
    /// Printed on the part or in its sheet.
    Label,
    /// Usual for parts of this class.
    Typical,
    /// Nobody knows; taken wide.
    Assumed,
    /// Sharpened by readings.
    Calibrated,
}

/// A value with its doubt and its basis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity<D> {
    /// The middle value: the median of the draws.
    pub value: D,
    /// How far the truth may lie from it.
    pub doubt: Doubt,
    /// What it rests on.
    pub basis: Basis,
}

impl Doubt {
    /// The SI value at standard-normal score `z` for a middle value `value`.
    #[inline]
    pub fn at(self, value: f64, z: f64) -> f64 {
        match self {
            Doubt::Exact => value,
            Doubt::Plain(sd) => value + sd * z,
            Doubt::Factor(s) => value * (s * z).exp(),
            Doubt::Shortfall(s) => 1.0 - (1.0 - value) * (s * z).exp(),
        }
    }
}

impl<D: Dimension> Quantity<D> {
    /// A certain value.
    pub fn exact(value: D, basis: Basis) -> Self {
        Self {
            value,
            doubt: Doubt::Exact,
            basis,
        }
    }

    /// The value at standard-normal score `z`.
    #[inline]
    pub fn at(&self, z: f64) -> D {
        D::from_si(self.doubt.at(self.value.si(), z))
    }
}
