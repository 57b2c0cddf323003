//! What parts of a class usually are, each with its spread and where it comes from.
//!
//! For the builder who knows only what is printed on the part. None of this is validated in the
//! sense of the kernels: most of it is what builders agree on, and the spread says how little
//! that is. A range "a to b" of the trade is read as one standard uncertainty either side of its
//! geometric middle, unless a spread of its own is stated.

mod battery;
mod load;
mod path;
mod regulator;

use quantity::{Basis, Dimension, Doubt, Quantity, Ratio};

pub use battery::*;
pub use load::*;
pub use path::*;
pub use regulator::*;

/// A usual value and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical<D> {
    /// The value with its spread.
    pub quantity: Quantity<D>,
    /// Where it comes from, in words.
    pub source: &'static str,
    /// What kind of knowledge that is.
    pub marked: Mark,
}

/// What kind of knowledge a usual value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Builders agree on it; no single traceable source.
    CommonPractice,
    /// Remembered figures, not checked against a text.
    Memory,
    /// Fitted to a stated number of stated values.
    Fit,
    /// Read off a simulation of laboratory cells.
    Simulation,
    /// Our own proposal, taken wide.
    Proposal,
}

impl<D: Dimension> Typical<D> {
    fn new(value: D, doubt: Doubt, source: &'static str, marked: Mark) -> Self {
        Self {
            quantity: Quantity {
                value,
                doubt,
                basis: match marked {
                    Mark::Proposal => Basis::Assumed,
                    _ => Basis::Typical,
                },
            },
            source,
            marked,
        }
    }

    /// Between two figures of the trade: geometric middle, one standard uncertainty to either.
    fn between(low: D, high: D, source: &'static str, marked: Mark) -> Self {
        let (low, high) = (low.si(), high.si());
        Self::new(
            D::from_si((low * high).sqrt()),
            Doubt::Factor(0.5 * (high / low).ln()),
            source,
            marked,
        )
    }
}

/// A plain factor, as a quantity.
fn factor(value: f64, doubt: Doubt, source: &'static str, marked: Mark) -> Typical<Ratio> {
    Typical::new(Ratio::of_one(value), doubt, source, marked)
}
