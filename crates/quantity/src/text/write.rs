//! Writing a quantity so that reading it gives the very same numbers.

use super::{Figure, Written};
use crate::Unit;

/// The text of a quantity, in the unit that it was written in. Reading it back gives the same
/// quantity, bit for bit; nothing is rounded.
///
/// Where a number cannot be hit exactly in that unit, which happens only to numbers that were not
/// read from text, the SI unit is used.
pub fn write(written: &Written) -> String {
    match written.figure {
        Figure::Value { si } => written.value(si).in_full(),
        Figure::WithDoubt { si, sd_si } => written.pair(" ± ", si, sd_si, Written::difference),
        Figure::WithPercent { si, percent } => {
            format!("{} ± {} %", written.value(si).in_full(), number(percent))
        }
        Figure::WithFactor { si, log_sd } => {
            format!("{} ×/÷ {}", written.value(si).in_full(), factor(log_sd))
        }
        Figure::Range { low_si, high_si } => written.pair("..", low_si, high_si, Written::value),
    }
}

/// A number and its unit.
struct Term {
    number: String,
    unit: &'static Unit,
}

impl Term {
    fn in_full(&self) -> String {
        match self.unit.symbol {
            "" => self.number.clone(),
            symbol => format!("{} {symbol}", self.number),
        }
    }

    /// The unit once if both have it, except percent: `0.9 ± 5 %` would be read two ways.
    fn joined(&self, joint: &str, other: Term) -> String {
        if self.unit == other.unit && self.unit.symbol != "%" {
            format!("{}{joint}{}", self.number, other.in_full())
        } else {
            format!("{}{joint}{}", self.in_full(), other.in_full())
        }
    }
}

impl Written {
    /// Two numbers, both bare or both with a unit: one bare ratio beside a percentage is not read.
    fn pair(&self, joint: &str, a: f64, b: f64, second: fn(&Self, f64) -> Term) -> String {
        let (first, second) = (self.value(a), second(self, b));
        if first.unit.symbol.is_empty() == second.unit.symbol.is_empty() {
            first.joined(joint, second)
        } else {
            self.in_si(a).joined(joint, self.in_si(b))
        }
    }

    fn value(&self, si: f64) -> Term {
        let unit = self.unit;
        self.term(
            si,
            shortest(si, |x| unit.value_to_si(x), unit.value_from_si(si)),
        )
    }

    fn difference(&self, si: f64) -> Term {
        let unit = self.unit;
        self.term(
            si,
            shortest(
                si,
                |x| unit.difference_to_si(x),
                unit.difference_from_si(si),
            ),
        )
    }

    fn term(&self, si: f64, in_unit: Option<String>) -> Term {
        match in_unit {
            Some(number) => Term {
                number,
                unit: self.unit,
            },
            None => self.in_si(si),
        }
    }

    fn in_si(&self, si: f64) -> Term {
        Term {
            number: number(si),
            unit: self.si_unit(),
        }
    }

    fn si_unit(&self) -> &'static Unit {
        self.dimension
            .units
            .iter()
            .find(|unit| unit.scale == 1.0 && unit.offset == 0.0)
            .expect("every dimension can be written in its SI unit")
    }
}

/// The factor whose logarithm is exactly `log_sd`, or that logarithm as a power of e.
fn factor(log_sd: f64) -> String {
    shortest(log_sd, f64::ln, log_sd.exp()).unwrap_or_else(|| format!("e^{}", number(log_sd)))
}

/// The shortest decimal near `guess` that `forward` takes exactly to `target`.
fn shortest(target: f64, forward: impl Fn(f64) -> f64, guess: f64) -> Option<String> {
    if !guess.is_finite() {
        return None;
    }
    let rounded = (0..17).filter_map(|digits| format!("{guess:.digits$e}").parse().ok());
    let next_to = |up: fn(f64) -> f64| {
        std::iter::successors(Some(guess), move |x| Some(up(*x)))
            .skip(1)
            .take(4)
    };
    rounded
        .chain(next_to(f64::next_up))
        .chain(next_to(f64::next_down))
        .find(|x| x.is_finite() && forward(*x) == target)
        .map(number)
}

/// The shortest text that parses to this number, with an exponent only where zeros would pile up.
fn number(x: f64) -> String {
    let magnitude = x.abs();
    if x == 0.0 || (1e-5..1e15).contains(&magnitude) {
        format!("{x}")
    } else {
        format!("{x:e}")
    }
}
