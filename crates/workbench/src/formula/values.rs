//! `key=value` text to numbers, with every fault at once.

use super::{Bound, Formula, Key, Need, Takes};
use quantity::text;
use quantity::{Dimension, DimensionInfo, Ratio};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// One fault of a call, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault(pub String);

/// The values of one call.
#[derive(Debug, Clone, Default)]
pub struct Values {
    numbers: BTreeMap<&'static str, f64>,
    words: BTreeMap<&'static str, &'static str>,
    texts: BTreeMap<&'static str, String>,
    files: BTreeMap<&'static str, NamedBytes>,
    /// What was taken how, for the reader to see.
    pub notes: Vec<String>,
}

/// A file that was read.
#[derive(Debug, Clone)]
struct NamedBytes {
    name: String,
    bytes: Vec<u8>,
}

impl Values {
    /// The SI value of a key, where it was written or has a default.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.numbers.get(key).copied()
    }

    /// The word of a key.
    pub fn word(&self, key: &str) -> Option<&'static str> {
        self.words.get(key).copied()
    }

    /// The name of a file that was read for a key.
    pub fn file_name(&self, key: &str) -> Option<&str> {
        self.files.get(key).map(|file| file.name.as_str())
    }
    /// The bytes of that file.
    pub fn file_bytes(&self, key: &str) -> Option<&[u8]> {
        self.files.get(key).map(|file| file.bytes.as_slice())
    }

    /// The text of that file; bytes that are none are replaced, so that the fault shows at its place.
    pub fn file_text(&self, key: &str) -> Option<Cow<'_, str>> {
        self.file_bytes(key).map(String::from_utf8_lossy)
    }

    /// Words that the formula reads itself.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.texts.get(key).map(String::as_str)
    }

    /// A quantity that the reading has made sure of.
    pub(super) fn get<D: Dimension>(&self, key: &str) -> D {
        D::from_si(self.plain(key))
    }

    /// A quantity that may be left out.
    pub(super) fn find<D: Dimension>(&self, key: &str) -> Option<D> {
        self.number(key).map(D::from_si)
    }

    /// A bare number: a ratio, or a number in the key's own unit.
    pub(super) fn plain(&self, key: &str) -> f64 {
        self.number(key).unwrap_or(f64::NAN)
    }

    /// A count that the reading has made sure of.
    pub(super) fn count(&self, key: &str) -> u32 {
        self.plain(key) as u32
    }

    /// How many keys with this beginning were written.
    pub(super) fn keys_beginning(&self, with: &str) -> usize {
        self.numbers
            .keys()
            .filter(|key| key.starts_with(with))
            .count()
    }

    fn has(&self, key: &str) -> bool {
        self.numbers.contains_key(key)
            || self.words.contains_key(key)
            || self.files.contains_key(key)
            || self.texts.contains_key(key)
    }
}

/// Reads the pairs of a call against a formula's keys. `file` gives the bytes behind a file name.
///
/// # Errors
/// Everything that is wrong with the call.
pub fn read(
    formula: &Formula,
    pairs: &[String],
    file: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Result<Values, Vec<Fault>> {
    let mut values = Values::default();
    let mut faults = Vec::new();
    for pair in pairs {
        let read = read_pair(formula, pair, file, &mut values);
        faults.extend(read.err().map(Fault));
    }
    let meant = pairs.iter().filter_map(|pair| key_meant(formula, pair));
    faults.extend(missing(formula, &meant.collect::<Vec<_>>()));
    if !faults.is_empty() {
        return Err(faults);
    }
    fill_defaults(formula, &mut values);
    Ok(values)
}

/// The key that a pair is about. One cause, one complaint: a mistyped key has been named with the key
/// it was meant for, and a key with a faulty value has had its say; neither is missing on top.
fn key_meant(formula: &Formula, pair: &str) -> Option<&'static str> {
    let name = name_of(pair);
    let written = formula.keys.iter().find(|key| is_named(key, name));
    written
        .map(|key| key.name)
        .or_else(|| nearest(formula, name))
}

/// Keys that must be written and that nothing in the call was meant for.
fn missing(formula: &Formula, meant: &[&str]) -> Vec<Fault> {
    let needed = formula.keys.iter().filter(|key| key.need == Need::Must);
    needed
        .filter(|key| !meant.contains(&key.name))
        .map(|key| {
            let unit = match key.unit {
                "" => String::new(),
                unit => format!(" [{unit}]"),
            };
            Fault(format!("`{}` is missing: {}{unit}", key.name, key.what))
        })
        .collect()
}

fn fill_defaults(formula: &Formula, values: &mut Values) {
    for key in formula.keys {
        let Need::Default(default) = key.need else {
            continue;
        };
        if !values.has(key.name) {
            let mut quiet = Values::default();
            read_value(key, default, &mut quiet)
                .unwrap_or_else(|fault| panic!("default of {}: {fault}", key.name));
            values.numbers.append(&mut quiet.numbers);
            values.words.append(&mut quiet.words);
            values.texts.append(&mut quiet.texts);
        }
    }
}

fn name_of(pair: &str) -> &str {
    pair.split('=').next().unwrap_or_default().trim()
}

fn is_named(key: &Key, name: &str) -> bool {
    key.name == name || key.aliases.contains(&name)
}

fn read_pair(
    formula: &Formula,
    pair: &str,
    file: &dyn Fn(&str) -> Result<Vec<u8>, String>,
    values: &mut Values,
) -> Result<(), String> {
    let Some((name, value)) = pair.split_once('=') else {
        return Err(format!("`{pair}` is not `key=value`"));
    };
    let (name, value) = (name.trim(), value.trim());
    let key = formula.keys.iter().find(|key| is_named(key, name));
    let key = key.ok_or_else(|| unknown_key(formula, name))?;
    if values.has(key.name) {
        return Err(format!("`{}` is given twice", key.name));
    }
    if let Takes::File = key.takes {
        let bytes = file(value).map_err(|why| format!("`{}`: {why}", key.name))?;
        let name = value.to_owned();
        values.files.insert(key.name, NamedBytes { name, bytes });
        return Ok(());
    }
    // A solid may be a mesh, whose file only the caller can open.
    if let Some(mesh) = mesh_named(key, value) {
        let bytes = file(mesh).map_err(|why| format!("`{}`: {why}", key.name))?;
        let name = mesh.to_owned();
        values.files.insert(key.name, NamedBytes { name, bytes });
        values.texts.insert(key.name, value.to_owned());
        return Ok(());
    }
    read_value(key, value, values).map_err(|why| format!("`{name}={value}`: {why}"))
}

/// The file in `mesh:FILE.stl:…`.
fn mesh_named<'v>(key: &Key, value: &'v str) -> Option<&'v str> {
    let rest = matches!(key.takes, Takes::Words(_)).then_some(value)?;
    rest.strip_prefix("mesh:")?.split(':').next()
}

/// Likeness below which two names have nothing to do with each other.
const ALIKE: f64 = 0.75;

fn unknown_key(formula: &Formula, name: &str) -> String {
    if let Some(near) = nearest(formula, name) {
        return format!("unknown key `{name}`; did you mean `{near}`?");
    }
    let names: Vec<_> = formula.keys.iter().map(|key| key.name).collect();
    let names = names.join(", ");
    format!("unknown key `{name}`; `{}` takes {names}", formula.name)
}

/// The key spelled most like a name, if any is like it.
fn nearest(formula: &Formula, name: &str) -> Option<&'static str> {
    let wanted = name.to_lowercase();
    let likeness = |spelling: &str| strsim::jaro_winkler(&wanted, &spelling.to_lowercase());
    let nearest_spelling = |key: &Key| {
        let spellings = [key.name].into_iter().chain(key.aliases.iter().copied());
        spellings.map(likeness).fold(0.0, f64::max)
    };
    let keys = formula.keys.iter();
    let (likeness, near) = keys
        .map(|key| (nearest_spelling(key), key.name))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    (likeness > ALIKE).then_some(near)
}

fn read_value(key: &Key, value: &str, values: &mut Values) -> Result<(), String> {
    let number = match key.takes {
        Takes::Quantity(info) => quantity_value(key, value, info, &mut values.notes)?,
        Takes::Number => number_value(key, value)?,
        Takes::Count(most) => count_value(value, most)?,
        Takes::Word(words) => {
            values.words.insert(key.name, word_value(value, words)?);
            return Ok(());
        }
        Takes::Words(_) => {
            values.texts.insert(key.name, value.to_owned());
            return Ok(());
        }
        // Only the caller can open one.
        Takes::File => return Err("a file cannot stand here".to_owned()),
    };
    within(key, number, value)?;
    values.numbers.insert(key.name, number);
    Ok(())
}

fn quantity_value(
    key: &Key,
    value: &str,
    info: DimensionInfo,
    notes: &mut Vec<String>,
) -> Result<f64, String> {
    let needs_unit = info != DimensionInfo::of::<Ratio>();
    let bare = needs_unit && value.parse::<f64>().is_ok_and(f64::is_finite);
    let spelled = if bare {
        format!("{value} {}", key.unit)
    } else {
        value.to_owned()
    };
    let written = text::read(&spelled, info).map_err(with_suggestion)?;
    if bare {
        notes.push(format!("`{}={value}` taken as {spelled}", key.name));
    }
    if written.ends().is_some() {
        return Err("a formula takes one value; try each end by itself".to_owned());
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

fn with_suggestion(fault: text::TextFault) -> String {
    match fault.suggestion {
        Some(better) => format!("{}; write `{better}`", fault.message),
        None => fault.message,
    }
}

fn number_value(key: &Key, value: &str) -> Result<f64, String> {
    let bare = value.strip_suffix(key.unit).unwrap_or(value).trim();
    let number = bare.parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| format!("a number in {} is needed", key.unit))
}

fn count_value(value: &str, most: u32) -> Result<f64, String> {
    // `4.0`, as a table may have it, is as good as `4`.
    let number = value.parse::<f64>().ok();
    let whole = number.filter(|n| n.fract() == 0.0 && (1.0..=f64::from(most)).contains(n));
    whole.ok_or_else(|| format!("a whole number from 1 to {most} is needed"))
}

fn word_value(
    value: &str,
    words: &'static [&'static [&'static str]],
) -> Result<&'static str, String> {
    let wanted = letters(value);
    let spelled = |spellings: &&&[&str]| spellings.iter().any(|one| letters(one) == wanted);
    let found = words.iter().find(spelled).map(|spellings| spellings[0]);
    found.ok_or_else(|| {
        let shown: Vec<_> = words.iter().map(|spellings| spellings[0]).collect();
        format!("it can be {}", shown.join(", "))
    })
}

/// A word without the differences that mean nothing: case, hyphens, spaces.
fn letters(word: &str) -> String {
    let kept = word.chars().filter(|c| c.is_alphanumeric());
    kept.flat_map(char::to_lowercase).collect()
}

fn within(key: &Key, number: f64, value: &str) -> Result<(), String> {
    let bound = key.bound;
    let (holds, should) = match bound {
        Bound::Any => (true, ""),
        Bound::AboveZero => (number > 0.0, "it must be above zero"),
        Bound::NotNegative => (number >= 0.0, "it must not be negative"),
        Bound::Between(low, high) => {
            let holds = (to_si(key, low)..=to_si(key, high)).contains(&number);
            let low = low.to_string().replace('-', "−");
            let should = format!("it lies from {low} to {high} {}", key.unit);
            return holds.then_some(()).ok_or(should.trim_end().to_owned());
        }
        Bound::Share => (
            (0.0..=1.0).contains(&number),
            "it lies from 0 to 1, or 0 to 100 %",
        ),
        Bound::Efficiency => (
            number > 0.0 && number <= 1.0,
            "it lies above 0 and up to 1, or 100 %",
        ),
    };
    let percent = matches!(bound, Bound::Share | Bound::Efficiency)
        && number > 1.0
        && number <= 100.0
        && !value.ends_with('%');
    match (holds, percent) {
        (true, _) => Ok(()),
        (false, true) => Err(format!("{should}; did you mean `{value}%`?")),
        (false, false) => Err(should.to_owned()),
    }
}

/// The SI value of a number in a key's unit; by the way it is read, so that an end itself is within.
fn to_si(key: &Key, number: f64) -> f64 {
    let Takes::Quantity(info) = key.takes else {
        return number;
    };
    let unit = info.units.iter().find(|unit| unit.symbol == key.unit);
    unit.map_or(number, |unit| unit.value_to_si(number))
}
