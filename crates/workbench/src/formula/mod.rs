//! Pocket formulas: the very functions that the checks use, one by one, with units and sources.
//!
//! A formula is an entry of a table: its keys, its source, where it holds, and the call of a kernel. Text comes in as
//! `key=value`; numbers go out with their unit in the name. Nothing is rounded here and no file is opened.

mod air;
mod battery;
mod bus;
mod channels;
mod handling;
mod link;
mod lists;
mod momentum;
mod motor;
mod point;
mod propeller;
mod space;
mod values;
mod waves;
mod wire;

#[cfg(test)]
mod asked;
#[cfg(test)]
mod tests;

pub use values::{Fault, Values, read};

use quantity::{Dimension, DimensionInfo};

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
    /// What it was held against.
    pub standing: Standing,
    /// A call to try.
    pub example: &'static str,
    compute: fn(&Values, &mut Vec<String>) -> Outputs,
}

/// What stands behind a formula; the numbers are on the book's page of validation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Held against measurements, simulations or tables of others.
    Outside(&'static str),
    /// Held against the same equation worked out elsewhere: no slip, but no proof of the equation.
    Equation(&'static str),
    /// Nobody else's numbers stand behind it; why.
    NotValidated(&'static str),
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
    /// Which values make sense.
    pub bound: Bound,
    /// Whether it must be written.
    pub need: Need,
    /// What it is.
    pub what: &'static str,
}

/// What may be written for a key.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// A quantity; a bare number is taken in [`Key::unit`], and a note says so.
    Quantity(DimensionInfo),
    /// A number in a unit that has no dimension of its own here, such as A/V.
    Number,
    /// A whole number from 1 to this.
    Count(u32),
    /// One of these words, each with its other spellings after it.
    Word(&'static [&'static [&'static str]]),
    /// The name of a file whose bytes are taken.
    File,
    /// Words that the formula reads itself, such as a list of places; what they look like.
    Words(&'static str),
}

/// Which values of a key make sense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// Every number.
    Any,
    /// Above zero.
    AboveZero,
    /// Zero or more.
    NotNegative,
    /// From 0 to 1, or 0 to 100 %.
    Share,
    /// Above 0 and up to 1.
    Efficiency,
    /// From one number to another, both in [`Key::unit`].
    Between(f64, f64),
}

/// Whether a key must be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must.
    Must,
    /// This is taken where it is not.
    Default(&'static str),
    /// It may be left out.
    May,
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
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A number in the output's unit.
    Number(f64),
    /// Numbers in the output's unit, in the order of what was asked.
    List(Vec<f64>),
    /// Yes or no.
    Flag(bool),
    /// One of a few words.
    Word(&'static str),
}

/// What a call gives.
#[derive(Debug, Clone)]
pub struct Computed {
    /// Results in order.
    pub outputs: Vec<Output>,
    /// Things to mind about this call.
    pub notes: Vec<String>,
}

/// Every formula, in the order of the book.
pub fn formulas() -> impl Iterator<Item = &'static Formula> {
    [
        air::FORMULAS,
        momentum::FORMULAS,
        propeller::FORMULAS,
        motor::FORMULAS,
        point::FORMULAS,
        battery::FORMULAS,
        bus::FORMULAS,
        wire::FORMULAS,
        space::FORMULAS,
        handling::FORMULAS,
        waves::FORMULAS,
        link::FORMULAS,
        link::antenna::FORMULAS,
        link::fading::FORMULAS,
        link::modulation::FORMULAS,
        channels::FORMULAS,
    ]
    .into_iter()
    .flatten()
}

/// The formula of a name.
pub fn formula(name: &str) -> Option<&'static Formula> {
    formulas().find(|formula| formula.name == name)
}

impl Formula {
    /// Computes from read values.
    ///
    /// # Errors
    /// Sentences on why there is no answer.
    pub fn compute(&self, values: &Values) -> Result<Computed, Vec<Fault>> {
        let mut notes = Vec::new();
        let outputs = (self.compute)(values, &mut notes)?;
        let endless = |output: &&Output| match &output.value {
            Answer::Number(value) => !value.is_finite(),
            Answer::List(values) => values.iter().any(|value| !value.is_finite()),
            Answer::Flag(_) | Answer::Word(_) => false,
        };
        match outputs.iter().find(endless) {
            Some(output) => Err(refuse(format!(
                "`{}` has no finite value for these inputs",
                output.key
            ))),
            None => Ok(Computed { outputs, notes }),
        }
    }
}

/// Results of one formula, or why there are none.
type Outputs = Result<Vec<Output>, Vec<Fault>>;

/// A key that must be written.
const fn key<D: Dimension>(name: &'static str, unit: &'static str, what: &'static str) -> Key {
    plain_key(name, Takes::Quantity(DimensionInfo::of::<D>()), unit, what)
}

/// A count that must be written.
const fn count(name: &'static str, most: u32, what: &'static str) -> Key {
    plain_key(name, Takes::Count(most), "", what)
}

/// A key that takes one of some words.
const fn word(
    name: &'static str,
    words: &'static [&'static [&'static str]],
    what: &'static str,
) -> Key {
    plain_key(name, Takes::Word(words), "", what)
}
/// A key whose words the formula reads itself.
const fn words(name: &'static str, form: &'static str, what: &'static str) -> Key {
    plain_key(name, Takes::Words(form), "", what)
}

/// A key that names a file.
const fn file(name: &'static str, what: &'static str) -> Key {
    plain_key(name, Takes::File, "", what)
}

const fn plain_key(
    name: &'static str,
    takes: Takes,
    unit: &'static str,
    what: &'static str,
) -> Key {
    Key {
        name,
        aliases: &[],
        takes,
        unit,
        bound: Bound::Any,
        need: Need::Must,
        what,
    }
}

impl Key {
    const fn or(mut self, default: &'static str) -> Self {
        self.need = Need::Default(default);
        self
    }

    const fn optional(mut self) -> Self {
        self.need = Need::May;
        self
    }

    const fn also(mut self, aliases: &'static [&'static str]) -> Self {
        self.aliases = aliases;
        self
    }

    const fn within(mut self, bound: Bound) -> Self {
        self.bound = bound;
        self
    }

    const fn above_zero(self) -> Self {
        self.within(Bound::AboveZero)
    }

    const fn not_negative(self) -> Self {
        self.within(Bound::NotNegative)
    }

    const fn share(self) -> Self {
        self.within(Bound::Share)
    }

    const fn efficiency(self) -> Self {
        self.within(Bound::Efficiency)
    }

    const fn between(self, low: f64, high: f64) -> Self {
        self.within(Bound::Between(low, high))
    }
}

/// A number without doubt.
fn number(key: &str, value: f64, unit: &'static str) -> Output {
    output(key, Answer::Number(value), unit)
}

fn output(key: &str, value: Answer, unit: &'static str) -> Output {
    Output {
        key: key.to_owned(),
        value,
        unit,
        sd: None,
    }
}

/// A number with its standard deviation, which is given once more under `key_sd`.
fn doubted(key: &str, value: f64, sd: f64, unit: &'static str) -> [Output; 2] {
    let with_sd = Output {
        sd: Some(sd),
        ..number(key, value, unit)
    };
    [with_sd, number(&format!("{key}_sd"), sd, unit)]
}

/// Standard deviation of a log-normal with this median and standard deviation of the logarithm:
/// `median·√((e^{s²} − 1)·e^{s²})`.
fn log_normal_sd(median: f64, log_sd: f64) -> f64 {
    let grown = (log_sd * log_sd).exp();
    median * ((grown - 1.0) * grown).sqrt()
}

/// One reason why there is no answer.
fn refuse(why: impl ToString) -> Vec<Fault> {
    vec![Fault(why.to_string())]
}
