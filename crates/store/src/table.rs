//! One TOML table read by its description, key by key, with a diagnostic for each fault.

use crate::nearest::{listed, nearest};
use craft::sheet::{Definite, Field, Figure, Rated, Reader, Table, TableType, Word};
use craft::worth::{self, Worth};
use craft::{Diagnostic, FileId, Place, Stated};
use quantity::text::{self, TextFault, Written};
use quantity::{Basis, Dimension, DimensionInfo, Quantity};
use std::collections::HashSet;
use std::num::IntErrorKind;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Definite quantities that may be zero or negative; every other one must be above zero.
const MAY_BE_NEGATIVE: &[&str] = &[
    "altitude",
    "x",
    "y",
    "z",
    "roll",
    "pitch",
    "yaw",
    "tilt",
    "turned",
    "motor_height",
    "duct_foot",
    "feet",
];
/// Definite quantities that may be zero.
const MAY_BE_ZERO: &[&str] = &[
    "mass_reserve",
    "landing_reserve",
    "above",
    "below",
    "standoff",
    "i",
    "d",
    "room",
];

/// Definite quantities that are a share of something, so never above one.
const SHARES: &[&str] = &["hover_command", "landing_reserve", "command_limit"];

/// Keys of the long form of a quantity, `{ value = "5.2 g", source = "measured" }`.
const LONG_FORM: &[&str] = &["value", "source", "note"];

/// The text and the diagnostics of one file while it is read.
pub struct FileReader<'a> {
    /// Which file.
    pub file: FileId,
    /// Its text.
    pub text: &'a str,
    /// What the figures rest on where nothing else is said.
    pub basis: Basis,
    /// Faults found so far.
    pub diagnostics: Vec<Diagnostic>,
    /// Keys of the tables with a fault.
    pub faulty: FaultyKeys,
}

/// Keys that are written in tables where something could not be read, so that nobody calls them
/// missing: one cause, one complaint.
#[derive(Debug, Clone, Default)]
pub struct FaultyKeys(HashSet<(Place, String)>);

impl FaultyKeys {
    /// Whether the table at `table` has `key`, readable or not.
    pub fn has(&self, table: Place, key: &str) -> bool {
        self.0.contains(&(table, key.to_owned()))
    }

    /// Takes in the keys of another file.
    pub fn append(&mut self, other: Self) {
        self.0.extend(other.0);
    }

    /// A mistyped key counts as the one it is nearest to.
    fn add(&mut self, place: Place, table: &DeTable<'_>, fields: &[Field]) {
        for key in table.keys() {
            let names = || fields.iter().map(|field| field.key);
            let word = key.get_ref().as_ref();
            let meant = match names().any(|name| name == word) {
                true => Some(word),
                false => nearest(word, names()),
            };
            self.0.extend(meant.map(|key| (place, key.to_owned())));
        }
    }
}

impl FileReader<'_> {
    /// A place in this file.
    pub fn place(&self, range: Range<usize>) -> Place {
        Place::new(self.file, range)
    }

    /// Reads one table that stands at `range` and is `called` so in faults, nothing for the whole file;
    /// keys in `tables` are sub-tables, read elsewhere.
    pub fn read<T: TableType>(
        &mut self,
        called: &str,
        table: &DeTable<'_>,
        range: Range<usize>,
        tables: &[&str],
    ) -> T {
        let (place, faults) = (self.place(range), self.diagnostics.len());
        let file = self;
        let mut reader = TableReader { file, table, place };
        let read = T::read(&mut reader);
        reader.report_missing(&T::TABLE, called);
        reader.report_unknown(&T::TABLE, tables);
        if reader.file.diagnostics.len() > faults {
            reader.file.faulty.add(place, table, T::TABLE.fields);
        }
        read
    }

    /// Adds a fault.
    pub fn report(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }
}

struct TableReader<'a, 'f, 't> {
    file: &'f mut FileReader<'t>,
    table: &'a DeTable<'a>,
    place: Place,
}

impl<'a> TableReader<'a, '_, '_> {
    fn value(&self, field: &Field) -> Option<&'a Spanned<DeValue<'a>>> {
        self.table.get(field.key)
    }

    /// A key that is there under a mistyped name is one fault, told where it stands.
    fn mistyped(&self, table: &Table, key: &str) -> bool {
        let names = || table.fields.iter().map(|field| field.key);
        let unknown = self
            .table
            .keys()
            .map(|key| key.get_ref().as_ref())
            .filter(|key| !names().any(|name| name == *key));
        unknown
            .into_iter()
            .any(|word| nearest(word, names()) == Some(key))
    }

    fn report_missing(&mut self, table: &Table, called: &str) {
        for field in table
            .fields
            .iter()
            .filter(|field| {
                field.required
                    && !self.table.contains_key(field.key)
                    && !self.mistyped(table, field.key)
            })
            .collect::<Vec<_>>()
        {
            let what = if called.is_empty() {
                "this file".to_owned()
            } else {
                format!("`{called}`")
            };
            self.file.report(
                Diagnostic::error(
                    "missing-key",
                    self.place,
                    format!("{what} needs `{}`", field.key),
                )
                .label("missing here")
                .hint(field.doc.first().map_or("", |line| line.trim()).to_owned()),
            );
        }
    }

    fn report_unknown(&mut self, table: &Table, tables: &[&str]) {
        let known: HashSet<&str> = table
            .fields
            .iter()
            .map(|field| field.key)
            .chain(tables.iter().copied())
            .collect();
        for key in self
            .table
            .keys()
            .filter(|key| !known.contains(key.get_ref().as_ref()))
        {
            let place = self.file.place(key.span());
            self.file.report(unknown(
                "unknown-key",
                "key",
                place,
                key.get_ref(),
                known_in_order(table, tables),
            ));
        }
    }

    fn wrong_type(&mut self, value: &Spanned<DeValue<'_>>, wanted: &str) {
        let place = self.file.place(value.span());
        let found = value.get_ref().type_str();
        self.file.report(Diagnostic::error(
            "wrong-type",
            place,
            format!("this is {}, not {wanted}", article(found)),
        ));
    }

    /// The text of a quantity, where it stands, and what it rests on.
    fn quantity_text(
        &mut self,
        field: &Field,
        info: DimensionInfo,
    ) -> Option<(&'a str, Range<usize>, Basis)> {
        let value = self.value(field)?;
        match value.get_ref() {
            DeValue::String(text) => Some((text, value.span(), self.file.basis)),
            DeValue::Table(long) => self.long_form(long, value),
            DeValue::Integer(_) | DeValue::Float(_) => {
                let place = self.file.place(value.span());
                let written = self.file.text[value.span()].to_owned();
                let unit = info.units[0].symbol;
                let (message, text) = if unit == "%" {
                    (
                        format!("`{written}` is a {}: write it in quotes", info.noun),
                        format!("\"{written}\""),
                    )
                } else {
                    (
                        format!("`{written}` needs a unit, such as {unit}"),
                        format!("\"{written} {unit}\""),
                    )
                };
                self.file
                    .report(Diagnostic::error("missing-unit", place, message).mend(place, text));
                None
            }
            _ => {
                self.wrong_type(value, &format!("a {} in quotes", info.noun));
                None
            }
        }
    }

    fn long_form(
        &mut self,
        long: &'a DeTable<'a>,
        whole: &Spanned<DeValue<'_>>,
    ) -> Option<(&'a str, Range<usize>, Basis)> {
        for key in long
            .keys()
            .filter(|key| !LONG_FORM.contains(&key.get_ref().as_ref()))
        {
            let place = self.file.place(key.span());
            self.file.report(unknown(
                "unknown-key",
                "key",
                place,
                key.get_ref(),
                LONG_FORM.to_vec(),
            ));
        }
        let basis = match long.get("source") {
            None => self.file.basis,
            Some(source) => self.basis_word(source)?,
        };
        let Some(value) = long.get("value") else {
            let place = self.file.place(whole.span());
            self.file.report(Diagnostic::error(
                "missing-key",
                place,
                "the long form of a quantity needs `value`",
            ));
            return None;
        };
        match value.get_ref() {
            DeValue::String(text) => Some((text, value.span(), basis)),
            _ => {
                self.wrong_type(value, "a quantity in quotes");
                None
            }
        }
    }

    fn basis_word(&mut self, source: &Spanned<DeValue<'_>>) -> Option<Basis> {
        use craft::part::SheetSource;
        let Some(word) = source.get_ref().as_str() else {
            self.wrong_type(source, "a word in quotes");
            return None;
        };
        let found = SheetSource::from_word(word).map(Basis::from);
        if found.is_none() {
            let place = self.file.place(source.span());
            let words = SheetSource::WORDS.iter().map(|word| word.text).collect();
            self.file
                .report(unknown("unknown-word", "source", place, word, words));
        }
        found
    }

    fn written(&mut self, text: &str, range: Range<usize>, info: DimensionInfo) -> Option<Written> {
        match text::read(text, info) {
            Ok(written) => Some(written),
            Err(fault) => {
                let diagnostic = self.text_fault(text, range, fault);
                self.file.report(diagnostic);
                None
            }
        }
    }

    /// Points at the faulty piece inside the string where the string has no escapes, else at all of it.
    fn text_fault(&self, text: &str, range: Range<usize>, fault: TextFault) -> Diagnostic {
        let raw = self.file.text.get(range.clone()).unwrap_or_default();
        let plain = raw.len() == text.len() + 2 && raw.get(1..raw.len() - 1) == Some(text);
        let place = if plain {
            self.file
                .place(range.start + 1 + fault.range.start..range.start + 1 + fault.range.end)
        } else {
            self.file.place(range)
        };
        let diagnostic = Diagnostic::error("bad-quantity", place, fault.message);
        match fault.suggestion {
            Some(text) if plain => diagnostic.mend(place, text),
            Some(text) => diagnostic.hint(format!("write `{text}`")),
            None => diagnostic,
        }
    }

    fn refuse(&mut self, place: Place, message: String) {
        self.file
            .report(Diagnostic::error("impossible-value", place, message));
    }
}

impl Reader for TableReader<'_, '_, '_> {
    fn doubted<D: Dimension>(
        &mut self,
        field: &Field,
        worth: &'static Worth,
    ) -> Option<Stated<Figure<D>>> {
        let info = DimensionInfo::of::<D>();
        let (text, range, basis) = self.quantity_text(field, info)?;
        let written = self.written(text, range.clone(), info)?;
        let place = self.file.place(range);
        let (value, stated) = written.value_and_doubt();
        let share = worth == &worth::EFFICIENCY;
        let signed = MAY_BE_NEGATIVE.contains(&field.key)
            || (value == 0.0 && MAY_BE_ZERO.contains(&field.key));
        if (value <= 0.0 && !signed) || (share && value >= 1.0) {
            let wanted = if share {
                "between 0 and 1"
            } else {
                "above zero"
            };
            self.refuse(
                place,
                format!("`{}` must be {wanted}, this is {text}", field.key),
            );
            return None;
        }
        let (bias, usual) = worth.of(basis);
        let (middle, doubt) = match stated {
            None => (value * bias, usual),
            Some(given) => (value, given),
        };
        let quantity = Quantity {
            value: D::from_si(middle),
            doubt,
            basis,
        };
        Some(Stated::new(
            Figure {
                written: D::from_si(value),
                quantity,
            },
            place,
        ))
    }

    fn definite<D: Dimension>(&mut self, field: &Field) -> Option<Stated<Definite<D>>> {
        let info = DimensionInfo::of::<D>();
        let (text, range, _) = self.quantity_text(field, info)?;
        let written = self.written(text, range.clone(), info)?;
        let place = self.file.place(range);
        let (value, doubt) = written.value_and_doubt();
        if doubt.is_some() {
            self.refuse(
                place,
                format!(
                    "`{}` is a setting or a nominal size: one value, no spread",
                    field.key
                ),
            );
            return None;
        }
        let allowed = MAY_BE_NEGATIVE.contains(&field.key)
            || value > 0.0
            || (value == 0.0 && MAY_BE_ZERO.contains(&field.key));
        if !allowed {
            self.refuse(
                place,
                format!("`{}` must be above zero, this is {text}", field.key),
            );
            return None;
        }
        if value > 1.0 && SHARES.contains(&field.key) {
            let wanted = format!("`{}` is a share: at most 100 %, this is {text}", field.key);
            self.refuse(place, wanted);
            return None;
        }
        Some(Stated::new(Definite(D::from_si(value)), place))
    }

    fn rated<D: Dimension>(&mut self, field: &Field) -> Option<Stated<Rated<D>>> {
        let info = DimensionInfo::of::<D>();
        let (text, range, _) = self.quantity_text(field, info)?;
        let written = self.written(text, range.clone(), info)?;
        let place = self.file.place(range);
        let Some((low, high)) = written.ends() else {
            let unit = info.units[0].symbol;
            self.refuse(
                place,
                format!(
                    "`{}` is a range: write it as `7..26 {}`, this is {text}",
                    field.key,
                    unit.trim()
                ),
            );
            return None;
        };
        if low < 0.0 {
            self.refuse(place, format!("`{}` starts below zero: {text}", field.key));
            return None;
        }
        Some(Stated::new(
            Rated {
                low: D::from_si(low),
                high: D::from_si(high),
            },
            place,
        ))
    }

    fn whole(&mut self, field: &Field) -> Option<Stated<u32>> {
        let value = self.value(field)?;
        let place = self.file.place(value.span());
        let Some(number) = value.get_ref().as_integer() else {
            self.wrong_type(value, "a whole number");
            return None;
        };
        let whole = u32::from_str_radix(number.as_str(), number.radix());
        let wanted = match &whole {
            Ok(0) => "at least 1",
            Ok(whole) => return Some(Stated::new(*whole, place)),
            Err(fault) if *fault.kind() == IntErrorKind::PosOverflow => "not that large",
            Err(_) => "at least 1",
        };
        let message = format!("`{}` must be a whole number, {wanted}", field.key);
        self.refuse(place, message);
        None
    }

    fn text(&mut self, field: &Field) -> Option<Stated<String>> {
        let value = self.value(field)?;
        let Some(text) = value.get_ref().as_str() else {
            self.wrong_type(value, "words in quotes");
            return None;
        };
        Some(Stated::new(text.to_owned(), self.file.place(value.span())))
    }

    fn flag(&mut self, field: &Field) -> Option<Stated<bool>> {
        let value = self.value(field)?;
        let Some(flag) = value.get_ref().as_bool() else {
            self.wrong_type(value, "`true` or `false`");
            return None;
        };
        Some(Stated::new(flag, self.file.place(value.span())))
    }

    fn choice(&mut self, field: &Field, words: &'static [Word]) -> Option<Stated<usize>> {
        let text = self.text(field)?;
        let found = words.iter().position(|word| word.text == text.value);
        if found.is_none() {
            let list = words.iter().map(|word| word.text).collect();
            self.file.report(unknown(
                "unknown-word",
                field.key,
                text.place,
                &text.value,
                list,
            ));
        }
        found.map(|at| Stated::new(at, text.place))
    }

    fn names(&mut self, field: &Field) -> Option<Stated<Vec<Stated<String>>>> {
        let value = self.value(field)?;
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(value, "a list of names, `[\"one\", \"two\"]`");
            return None;
        };
        let mut names = Vec::new();
        for item in array {
            match item.get_ref().as_str() {
                Some(name) => {
                    names.push(Stated::new(name.to_owned(), self.file.place(item.span())))
                }
                None => self.wrong_type(item, "a name in quotes"),
            }
        }
        Some(Stated::new(names, self.file.place(value.span())))
    }

    fn place(&self) -> Place {
        self.place
    }
}

fn known_in_order<'a>(table: &Table, tables: &[&'a str]) -> Vec<&'a str> {
    table
        .fields
        .iter()
        .map(|field| field.key)
        .chain(tables.iter().copied())
        .collect()
}

/// "unknown key `x`", with the nearest name or the list of names.
pub fn unknown(
    id: &'static str,
    what: &str,
    place: Place,
    word: &str,
    known: Vec<&str>,
) -> Diagnostic {
    let diagnostic = Diagnostic::error(id, place, format!("unknown {what} `{word}`"));
    match nearest(word, known.iter().copied()) {
        Some(near) => diagnostic.label(format!("did you mean `{near}`?")),
        None if known.is_empty() => diagnostic.hint("there is none to name here"),
        None => diagnostic.hint(format!("it can be {}", listed(known))),
    }
}

/// "an integer", "a table".
pub(crate) fn article(noun: &str) -> String {
    let vowel = noun.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {noun}", if vowel { "an" } else { "a" })
}
