//! `key=value` text to numbers, with every fault at once.

use super::{Formula, Key, Takes};
use quantity::text;
use quantity::{Dimension, DimensionInfo, Ratio};
use std::collections::BTreeMap;

/// One fault of a call, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault(pub String);

/// The values of one call.
#[derive(Debug, Clone, Default)]
pub struct Values {
    numbers: BTreeMap<&'static str, f64>,
    words: BTreeMap<&'static str, String>,
    /// What was taken how, for the reader to see.
    pub notes: Vec<String>,
}

impl Values {
    /// A quantity that the reading has made sure of.
    pub(super) fn get<D: Dimension>(&self, key: &str) -> D {
        D::from_si(self.number(key).unwrap_or(f64::NAN))
    }

    /// A bare number: a ratio, a count, or a number in the key's own unit.
    pub(super) fn plain(&self, key: &str) -> f64 {
        self.number(key).unwrap_or(f64::NAN)
    }

    /// The SI value of a key, where it was written.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.numbers.get(key).copied()
    }

    /// The word or file text of a key, where it was written.
    pub fn word(&self, key: &str) -> Option<&str> {
        self.words.get(key).map(String::as_str)
    }

    /// A count of at least one.
    pub(super) fn count(&self, key: &str) -> Result<u32, String> {
        let value = self.plain(key);
        let whole = value.round();
        if (value - whole).abs() > 1e-9 || !(1.0..=64.0).contains(&whole) {
            return Err(format!(
                "`{key}` must be a whole number from 1 to 64, this is {value}"
            ));
        }
        Ok(whole as u32)
    }
}

/// Reads the pairs of a call against a formula's keys. `file` gives the text behind a file name.
pub fn read(
    formula: &Formula,
    pairs: &[String],
    file: &dyn Fn(&str) -> Result<String, String>,
) -> Result<Values, Vec<Fault>> {
    let mut values = Values::default();
    let mut faults = Vec::new();
    for pair in pairs {
        if let Err(fault) = read_pair(formula, pair, file, &mut values) {
            faults.push(Fault(fault));
        }
    }
    fill_defaults(formula, &mut values);
    // A key with a faulty value has had its say.
    let named = |key: &Key| {
        pairs
            .iter()
            .any(|pair| matches(key, pair.split('=').next().unwrap_or_default().trim()))
    };
    let missing = formula
        .keys
        .iter()
        .filter(|key| key.default.is_none() && !key.optional && !named(key));
    for key in missing {
        let unit = if key.unit.is_empty() {
            String::new()
        } else {
            format!(" in {}", key.unit)
        };
        faults.push(Fault(format!(
            "`{}` is missing: {}{unit}",
            key.name, key.what
        )));
    }
    if faults.is_empty() {
        Ok(values)
    } else {
        Err(faults)
    }
}

fn fill_defaults(formula: &Formula, values: &mut Values) {
    for key in formula.keys {
        let Some(default) = key.default else { continue };
        if !values.numbers.contains_key(key.name) && !values.words.contains_key(key.name) {
            let mut quiet = Values::default();
            read_value(key, default, &mut quiet)
                .unwrap_or_else(|fault| panic!("default of {}: {fault}", key.name));
            values.numbers.append(&mut quiet.numbers);
            values.words.append(&mut quiet.words);
        }
    }
}

fn matches(key: &Key, name: &str) -> bool {
    key.name == name || key.aliases.contains(&name)
}

fn read_pair(
    formula: &Formula,
    pair: &str,
    file: &dyn Fn(&str) -> Result<String, String>,
    values: &mut Values,
) -> Result<(), String> {
    let Some((name, value)) = pair.split_once('=') else {
        return Err(format!("`{pair}` is not `key=value`"));
    };
    let (name, value) = (name.trim(), value.trim());
    let Some(key) = formula.keys.iter().find(|key| matches(key, name)) else {
        return Err(unknown_key(formula, name));
    };
    if values.numbers.contains_key(key.name) || values.words.contains_key(key.name) {
        return Err(format!("`{}` is given twice", key.name));
    }
    if let Takes::File = key.takes {
        values.words.insert(key.name, file(value)?);
        return Ok(());
    }
    read_value(key, value, values)
}

fn unknown_key(formula: &Formula, name: &str) -> String {
    let names = formula.keys.iter().map(|key| key.name);
    let near = names
        .clone()
        .map(|key| (strsim::jaro_winkler(&name.to_lowercase(), key), key))
        .max_by(|one, other| one.0.total_cmp(&other.0));
    match near {
        Some((likeness, near)) if likeness > 0.75 => {
            format!("unknown key `{name}`; did you mean `{near}`?")
        }
        _ => format!(
            "unknown key `{name}`; `{}` takes {}",
            formula.name,
            names.collect::<Vec<_>>().join(", ")
        ),
    }
}

fn read_value(key: &Key, value: &str, values: &mut Values) -> Result<(), String> {
    match key.takes {
        Takes::Quantity(info) => {
            let si = quantity_value(key, value, info, &mut values.notes)?;
            values.numbers.insert(key.name, si);
        }
        Takes::Number => {
            let bare = value.strip_suffix(key.unit).unwrap_or(value).trim();
            let number = bare.parse::<f64>().ok().filter(|number| number.is_finite());
            let number = number
                .ok_or_else(|| format!("`{}={value}` is not a number in {}", key.name, key.unit))?;
            values.numbers.insert(key.name, number);
        }
        Takes::Word(words) => {
            let wanted = value.to_lowercase();
            let found = words
                .iter()
                .find(|spellings| spellings.contains(&wanted.as_str()));
            let shown = || {
                words
                    .iter()
                    .map(|spellings| spellings[0])
                    .collect::<Vec<_>>()
                    .join(", ")
            };
            let found =
                found.ok_or_else(|| format!("`{}={value}`: it can be {}", key.name, shown()))?;
            values.words.insert(key.name, found[0].to_owned());
        }
        Takes::File => unreachable!("files are read before"),
    }
    Ok(())
}

fn quantity_value(
    key: &Key,
    value: &str,
    info: DimensionInfo,
    notes: &mut Vec<String>,
) -> Result<f64, String> {
    let bare = value.parse::<f64>().is_ok_and(f64::is_finite);
    let dimensionless = info == DimensionInfo::of::<Ratio>();
    let spelled = if bare && !dimensionless {
        format!("{value} {}", key.unit)
    } else {
        value.to_owned()
    };
    let written = text::read(&spelled, info).map_err(|fault| {
        let better = fault
            .suggestion
            .map_or(String::new(), |text| format!("; write `{text}`"));
        format!("`{}={value}`: {}{better}", key.name, fault.message)
    })?;
    if bare && !dimensionless {
        notes.push(format!(
            "`{}={value}` taken as {value} {}",
            key.name, key.unit
        ));
    }
    let (si, doubt) = written.value_and_doubt();
    if doubt.is_some() {
        notes.push(format!(
            "the doubt of `{}` is not carried on here; `fitout check` does that",
            key.name
        ));
    }
    Ok(si)
}
