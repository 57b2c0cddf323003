//! Pocket formulas: the very functions that the checks use, one by one, with units and sources.
//!
//! A formula is an entry of a table: its keys, its source, where it holds, and the call of a kernel. Text comes in as
//! `key=value`; numbers go out with their unit in the name. Rounding is left to `report`.

mod air;
mod battery;
mod motor;
mod point;
mod rotor;
mod values;
mod wire;

pub use values::{Fault, Values, read};

use quantity::DimensionInfo;

/// What may be written for a key.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// A quantity; a bare number is taken in [`Key::unit`], and a note says so.
    Quantity(DimensionInfo),
    /// A number in a unit that has no dimension of its own here, such as A/V.
    Number,
    /// One of these words; the first is the one shown.
    Word(&'static [&'static [&'static str]]),
    /// The text of a file.
    File,
}

/// One key of a formula.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// As written: `mass`.
    pub name: &'static str,
    /// Other spellings.
    pub aliases: &'static [&'static str],
    /// What it takes.
    pub takes: Takes,
    /// Unit of a bare number and of the echo; empty for a ratio.
    pub unit: &'static str,
    /// Value where nothing is written; none where it must be.
    pub default: Option<&'static str>,
    /// Whether it may be left out without a default.
    pub optional: bool,
    /// What it is.
    pub what: &'static str,
}

/// One result.
#[derive(Debug, Clone, PartialEq)]
pub struct Output {
    /// Name with its unit: `thrust_n`.
    pub key: String,
    /// The value.
    pub value: Answer,
    /// Unit as shown; empty for a ratio.
    pub unit: &'static str,
    /// Standard deviation, where the model has an honest one; also given as an output of its own.
    pub sd: Option<f64>,
}

/// A value that comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    /// A number in the output's unit.
    Number(f64),
    /// Yes or no.
    Flag(bool),
}

/// A formula.
pub struct Formula {
    /// Its name on the command line.
    pub name: &'static str,
    /// One line on what it answers.
    pub purpose: &'static str,
    /// Its keys.
    pub keys: &'static [Key],
    /// Equation and source.
    pub source: &'static str,
    /// Where it holds and what it leaves out.
    pub range: &'static str,
    /// Whether it is held against outside numbers in the book's table of cases.
    pub validated: bool,
    /// A call to try.
    pub example: &'static str,
    compute: fn(&Values, &mut Vec<String>) -> Result<Vec<Output>, String>,
}

/// What a call gives.
#[derive(Debug, Clone)]
pub struct Computed {
    /// Results in order.
    pub outputs: Vec<Output>,
    /// Things to mind about this call.
    pub notes: Vec<String>,
}

impl Formula {
    /// Computes from read values; the error is a sentence on why there is no answer.
    pub fn compute(&self, values: &Values) -> Result<Computed, String> {
        let mut notes = Vec::new();
        let outputs = (self.compute)(values, &mut notes)?;
        let broken = outputs
            .iter()
            .find(|output| matches!(output.value, Answer::Number(value) if value.is_nan()));
        match broken {
            Some(output) => Err(format!("{} has no value for these inputs", output.key)),
            None => Ok(Computed { outputs, notes }),
        }
    }
}

/// Every formula, in the order of the book.
pub fn formulas() -> Vec<&'static Formula> {
    [
        air::FORMULAS,
        rotor::FORMULAS,
        motor::FORMULAS,
        point::FORMULAS,
        battery::FORMULAS,
        wire::FORMULAS,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The formula of a name.
pub fn formula(name: &str) -> Option<&'static Formula> {
    formulas().into_iter().find(|formula| formula.name == name)
}

/// A number without doubt.
fn number(key: &str, value: f64, unit: &'static str) -> Output {
    Output {
        key: key.to_owned(),
        value: Answer::Number(value),
        unit,
        sd: None,
    }
}

/// A number with its standard deviation, which is given once more under `key_sd`.
fn doubted(key: &str, value: f64, sd: f64, unit: &'static str) -> [Output; 2] {
    [
        Output {
            sd: Some(sd),
            ..number(key, value, unit)
        },
        number(&format!("{key}_sd"), sd, unit),
    ]
}

/// A key that must be there.
const fn key(
    name: &'static str,
    info: DimensionInfo,
    unit: &'static str,
    what: &'static str,
) -> Key {
    Key {
        name,
        aliases: &[],
        takes: Takes::Quantity(info),
        unit,
        default: None,
        optional: false,
        what,
    }
}

impl Key {
    const fn or(self, default: &'static str) -> Self {
        Self {
            default: Some(default),
            ..self
        }
    }

    const fn optional(self) -> Self {
        Self {
            optional: true,
            ..self
        }
    }

    const fn also(self, aliases: &'static [&'static str]) -> Self {
        Self { aliases, ..self }
    }
}
