//! The one string in which a quantity is written: `18 ± 4 mΩ`, `18 mΩ ± 20 %`, `18 mΩ ×/÷ 1.3`,
//! `7..26 V`.
//!
//! ```
//! use quantity::{Doubt, Resistance, text};
//!
//! let written = text::read_as::<Resistance>("18 ± 4 mΩ").unwrap();
//! assert_eq!(written.value_and_doubt(), (0.018, Some(Doubt::Plain(0.004))));
//! assert_eq!(text::write(&written), "18 ± 4 mΩ");
//!
//! let fault = text::read_as::<Resistance>("18").unwrap_err();
//! assert_eq!(fault.message, "`18` needs a unit, such as mΩ");
//! ```
//!
//! `±` is one standard uncertainty and may be typed `+-` or `+/-`; `×/÷` may be typed `x/`. The space
//! before the unit may be missing or a no-break one. `± 0` says that the value is certain; no `±` at
//! all says nothing, and the value's source decides. Nothing is repaired silently: a decimal comma,
//! a space inside a number or a unit in the wrong case is a fault that names the likely correction.
//!
//! For a ratio, percent is the unit: `90 ± 5 %` is 0.90 ± 0.05, five points and not five percent of
//! ninety.

mod read;
mod write;

use std::fmt;
use std::ops::Range;

use crate::{Dimension, DimensionInfo, Doubt, Unit};

pub use write::write;

/// A quantity as it was written, with the unit that was used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// The numbers, in the SI unit.
    pub figure: Figure,
    /// The unit of the value, or of the lower end of a range.
    pub unit: &'static Unit,
    /// What is measured.
    pub dimension: DimensionInfo,
}

/// The numbers of a written quantity, in the SI unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figure {
    /// `7.4 V`: nothing is said of its doubt.
    Value {
        /// The value.
        si: f64,
    },
    /// `18 ± 4 mΩ`.
    WithDoubt {
        /// The middle.
        si: f64,
        /// One standard uncertainty; of a temperature, a difference.
        sd_si: f64,
    },
    /// `18 mΩ ± 20 %`.
    WithPercent {
        /// The middle.
        si: f64,
        /// One standard uncertainty in percent of the value.
        percent: f64,
    },
    /// `18 mΩ ×/÷ 1.3`.
    WithFactor {
        /// The median, above zero.
        si: f64,
        /// Natural logarithm of the factor of one standard uncertainty.
        log_sd: f64,
    },
    /// `7..26 V`: rated limits, or where an uncertain value lies nine times in ten.
    Range {
        /// The lower end.
        low_si: f64,
        /// The upper end.
        high_si: f64,
    },
}

/// What is wrong with a written quantity, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextFault {
    /// One line for the builder.
    pub message: String,
    /// Bytes of the string that it is about.
    pub range: Range<usize>,
    /// What those bytes were probably meant to be.
    pub suggestion: Option<String>,
}

impl fmt::Display for TextFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for TextFault {}

/// Reads a quantity of a dimension known at run time.
///
/// # Errors
/// The first thing that keeps the text from being a quantity of that dimension.
pub fn read(text: &str, dimension: DimensionInfo) -> Result<Written, TextFault> {
    read::quantity(text, dimension)
}

/// Reads a quantity of the dimension `D`.
///
/// # Errors
/// As [`read`].
pub fn read_as<D: Dimension>(text: &str) -> Result<Written, TextFault> {
    read(text, DimensionInfo::of::<D>())
}

/// Standard-normal score of the 95 % quantile.
const SCORE_95: f64 = 1.644_853_626_951_472_2;

/// Above this ratio of its ends a range between positive ends is taken as log-normal.
const WIDE_RANGE: f64 = 2.0;

impl Written {
    /// A value in the SI unit with its doubt, to be written in `unit`. `None` where there is no way
    /// to write it: not finite, a negative doubt, a factor on a value that is not above zero, or a
    /// [`Doubt::Shortfall`], which is ours and never a builder's.
    ///
    /// A doubt of exactly zero reads back as [`Doubt::Exact`].
    pub fn of(
        si: f64,
        doubt: Doubt,
        unit: &'static Unit,
        dimension: DimensionInfo,
    ) -> Option<Self> {
        let (figure, spread) = match doubt {
            Doubt::Exact => (Figure::WithDoubt { si, sd_si: 0.0 }, 0.0),
            Doubt::Plain(sd_si) => (Figure::WithDoubt { si, sd_si }, sd_si),
            Doubt::Factor(log_sd) if si > 0.0 => (Figure::WithFactor { si, log_sd }, log_sd),
            Doubt::Factor(_) | Doubt::Shortfall(_) => return None,
        };
        (si.is_finite() && spread.is_finite() && spread >= 0.0).then_some(Self {
            figure,
            unit,
            dimension,
        })
    }

    /// The middle value in the SI unit and the doubt that is stated; `None` if none is.
    ///
    /// A range is read as the central nine tenths of an uncertain value: normal, or log-normal about
    /// √(low·high) if both ends are positive and the upper is more than twice the lower.
    pub fn value_and_doubt(&self) -> (f64, Option<Doubt>) {
        match self.figure {
            Figure::Value { si } => (si, None),
            Figure::WithDoubt { si, sd_si } => (si, Some(plain(sd_si))),
            Figure::WithPercent { si, percent } => (si, Some(plain(si.abs() * (percent / 100.0)))),
            Figure::WithFactor { si, log_sd } => (si, Some(factor(log_sd))),
            Figure::Range { low_si, high_si } => middle_of_range(low_si, high_si),
        }
    }

    /// The ends of a range in the SI unit; `None` if a single value was written.
    pub fn ends(&self) -> Option<(f64, f64)> {
        match self.figure {
            Figure::Range { low_si, high_si } => Some((low_si, high_si)),
            _ => None,
        }
    }
}

impl fmt::Display for Written {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&write(self))
    }
}

fn plain(sd: f64) -> Doubt {
    if sd == 0.0 {
        Doubt::Exact
    } else {
        Doubt::Plain(sd)
    }
}

fn factor(log_sd: f64) -> Doubt {
    if log_sd == 0.0 {
        Doubt::Exact
    } else {
        Doubt::Factor(log_sd)
    }
}

fn middle_of_range(low: f64, high: f64) -> (f64, Option<Doubt>) {
    if low > 0.0 && high / low > WIDE_RANGE {
        let spread = (high / low).ln() / (2.0 * SCORE_95);
        (low.sqrt() * high.sqrt(), Some(factor(spread)))
    } else {
        let spread = (high / 2.0 - low / 2.0) / SCORE_95;
        (low / 2.0 + high / 2.0, Some(plain(spread)))
    }
}

#[cfg(test)]
mod tests;
