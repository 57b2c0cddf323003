//! Reading a quantity, with faults that point at their place.

use std::ops::Range;

use super::{Figure, TextFault, Written};
use crate::dimension::DIMENSIONS;
use crate::{DimensionInfo, Temperature, Unit};

pub(super) fn quantity(text: &str, dimension: DimensionInfo) -> Result<Written, TextFault> {
    let mut cursor = Cursor {
        text,
        at: 0,
        dimension,
    };
    let first = cursor.term()?;
    let joint = cursor.joint().map_err(|later| {
        let unit = first.unit.as_ref().map(|at| cursor.known_unit(at));
        unit.and_then(Result::err).unwrap_or(later)
    })?;
    let Some(joint) = joint else {
        return cursor.single(&first);
    };
    match joint {
        Joint::Factor => cursor.with_factor(&first),
        Joint::Doubt => {
            let second = cursor.last_term("±")?;
            cursor.with_doubt(&first, &second)
        }
        Joint::Range => {
            let second = cursor.last_term("..")?;
            cursor.range(&first, &second)
        }
    }
}

/// What stands between two numbers.
#[derive(Clone, Copy)]
enum Joint {
    Doubt,
    Factor,
    Range,
}

/// Spellings of each joint; one that begins another comes after it.
const JOINTS: &[(&str, Joint)] = &[
    ("±", Joint::Doubt),
    ("+/-", Joint::Doubt),
    ("+/−", Joint::Doubt),
    ("+-", Joint::Doubt),
    ("+−", Joint::Doubt),
    ("×/÷", Joint::Factor),
    ("×÷", Joint::Factor),
    ("×/", Joint::Factor),
    ("x/÷", Joint::Factor),
    ("x/", Joint::Factor),
    ("X/", Joint::Factor),
    ("*/", Joint::Factor),
    ("..", Joint::Range),
];

/// Other ways to write a range that are understood and sent back.
const RANGE_WORDS: &[&str] = &["...", "…", "to", "-", "−", "–", "—"];

/// A number with the place of its unit.
struct Term {
    number: f64,
    at: Range<usize>,
    unit: Option<Range<usize>>,
}

impl Term {
    fn end(&self) -> usize {
        self.unit.as_ref().map_or(self.at.end, |unit| unit.end)
    }

    fn whole(&self) -> Range<usize> {
        self.at.start..self.end()
    }
}

struct Cursor<'t> {
    text: &'t str,
    at: usize,
    dimension: DimensionInfo,
}

type Units = (&'static Unit, &'static Unit);

// The forms of a quantity.
impl Cursor<'_> {
    fn single(&self, term: &Term) -> Result<Written, TextFault> {
        let unit = self.unit_of(term)?;
        let si = self.value_si(term, unit)?;
        Ok(self.written(Figure::Value { si }, unit))
    }

    fn with_doubt(&self, value: &Term, doubt: &Term) -> Result<Written, TextFault> {
        self.refuse_negative_doubt(doubt)?;
        if let Some(percent) = self.percent_of_value(doubt) {
            return self.with_percent(value, doubt, percent);
        }
        let (unit, doubt_unit) = self.units_of(value, doubt)?;
        let si = self.value_si(value, unit)?;
        let sd_si = self.in_range(doubt, doubt_unit.difference_to_si(doubt.number))?;
        Ok(self.written(Figure::WithDoubt { si, sd_si }, unit))
    }

    fn with_percent(&self, value: &Term, doubt: &Term, percent: f64) -> Result<Written, TextFault> {
        let unit = self.unit_of(value)?;
        self.refuse_share_of_level(&doubt.whole())?;
        let si = self.value_si(value, unit)?;
        if si == 0.0 && percent > 0.0 {
            return Err(self.share_of_nothing(value, doubt, unit));
        }
        self.in_range(doubt, si.abs() * (percent / 100.0))?;
        Ok(self.written(Figure::WithPercent { si, percent }, unit))
    }

    fn with_factor(&mut self, value: &Term) -> Result<Written, TextFault> {
        let (log_sd, at) = self.factor()?;
        let unit_after = self.unit_token();
        if let (None, Some(after)) = (&value.unit, &unit_after) {
            return Err(self.unit_belongs_before(value, after));
        }
        self.finish_after(unit_after)?;
        self.refuse_share_of_level(&at)?;
        let unit = self.unit_of(value)?;
        let si = self.value_si(value, unit)?;
        if si <= 0.0 {
            let value = &self.text[value.whole()];
            return Err(fault(
                at,
                format!("a factor needs a value above zero, not `{value}`"),
            ));
        }
        Ok(self.written(Figure::WithFactor { si, log_sd }, unit))
    }

    fn range(&self, low: &Term, high: &Term) -> Result<Written, TextFault> {
        let (unit, high_unit) = self.units_of(low, high)?;
        let low_si = self.value_si(low, unit)?;
        let high_si = self.value_si(high, high_unit)?;
        let range = low.at.start..high.end();
        let written = &self.text[range.clone()];
        if low_si > 0.0 && !(high_si / low_si).is_finite() {
            return Err(fault(
                range,
                format!("the ends of `{written}` are too far apart to be meant"),
            ));
        }
        if low_si < high_si {
            return Ok(self.written(Figure::Range { low_si, high_si }, unit));
        }
        if low_si == high_si {
            return Err(fault(
                range,
                format!("both ends of `{written}` are the same"),
            ));
        }
        let swapped = super::write(&self.written(
            Figure::Range {
                low_si: high_si,
                high_si: low_si,
            },
            high_unit,
        ));
        Err(fault(
            range,
            format!("`{written}` runs downwards; the smaller end comes first"),
        )
        .with(swapped))
    }

    fn written(&self, figure: Figure, unit: &'static Unit) -> Written {
        Written {
            figure,
            unit,
            dimension: self.dimension,
        }
    }
}

// Units and ranges of numbers.
impl Cursor<'_> {
    fn unit_of(&self, term: &Term) -> Result<&'static Unit, TextFault> {
        match &term.unit {
            Some(at) => self.known_unit(at),
            None => self.no_unit(term.at.clone()),
        }
    }

    /// Units of two numbers that belong together: the last unit counts for both if the first is bare.
    fn units_of(&self, first: &Term, second: &Term) -> Result<Units, TextFault> {
        let both = first.at.start..second.end();
        match (&first.unit, &second.unit) {
            (None, None) => self.no_unit(both).map(|unit| (unit, unit)),
            (Some(a), Some(b)) => Ok((self.known_unit(a)?, self.known_unit(b)?)),
            (Some(a), None) => {
                let symbol = self.known_unit(a)?.symbol;
                let number = &self.text[second.at.clone()];
                Err(fault(
                    second.at.clone(),
                    format!("`{number}` needs a unit as well, such as {symbol}"),
                )
                .with(format!("{number} {symbol}")))
            }
            (None, Some(b)) => {
                let unit = self.known_unit(b)?;
                if unit.symbol == "%" && first.number.abs() <= 1.0 {
                    return Err(self.percent_in_doubt(first, both));
                }
                Ok((unit, unit))
            }
        }
    }

    fn percent_in_doubt(&self, first: &Term, both: Range<usize>) -> TextFault {
        let number = &self.text[first.at.clone()];
        let whole = &self.text[both.clone()];
        fault(
            both,
            format!(
                "`{whole}` can be read two ways; write `{number} %` if the first is in percent, else no %"
            ),
        )
    }

    fn no_unit(&self, at: Range<usize>) -> Result<&'static Unit, TextFault> {
        let bare = self
            .dimension
            .units
            .iter()
            .find(|unit| unit.symbol.is_empty());
        bare.ok_or_else(|| {
            let number = &self.text[at.clone()];
            let usual = self.dimension.units[0].symbol;
            fault(at, format!("`{number}` needs a unit, such as {usual}"))
        })
    }

    fn known_unit(&self, at: &Range<usize>) -> Result<&'static Unit, TextFault> {
        let token = &self.text[at.clone()];
        find_unit(self.dimension, token)
            .ok_or_else(|| unknown_unit(self.dimension, token, at.clone()))
    }

    /// The percentage, if percent here means a share of the value.
    fn percent_of_value(&self, doubt: &Term) -> Option<f64> {
        let token = &self.text[doubt.unit.clone()?];
        (token == "%" && find_unit(self.dimension, "%").is_none()).then_some(doubt.number)
    }

    fn value_si(&self, term: &Term, unit: &Unit) -> Result<f64, TextFault> {
        let scaled = self.in_range(term, unit.difference_to_si(term.number))?;
        let si = if unit.offset == 0.0 {
            scaled
        } else {
            scaled + unit.offset
        };
        if self.is_temperature() && si < 0.0 {
            let written = &self.text[term.whole()];
            return Err(fault(
                term.whole(),
                format!("`{written}` is below absolute zero"),
            ));
        }
        Ok(si)
    }

    fn in_range(&self, term: &Term, si: f64) -> Result<f64, TextFault> {
        let written = &self.text[term.whole()];
        if !si.is_finite() {
            return Err(fault(
                term.whole(),
                format!("`{written}` is too large to be meant"),
            ));
        }
        if si == 0.0 && term.number != 0.0 {
            return Err(fault(
                term.whole(),
                format!("`{written}` is too small to be meant"),
            ));
        }
        Ok(si)
    }

    /// Whether a share of the value has no meaning, because its zero is a convention.
    fn is_temperature(&self) -> bool {
        self.dimension == DimensionInfo::of::<Temperature>()
    }

    /// Where zero is a matter of the unit, as with °C and dBm, a share of the value means nothing.
    fn refuse_share_of_level(&self, at: &Range<usize>) -> Result<(), TextFault> {
        let has_own_zero = self.dimension.units.iter().any(|unit| unit.offset != 0.0);
        if !has_own_zero {
            return Ok(());
        }
        let noun = self.dimension.noun;
        let example = if self.is_temperature() {
            "in degrees, such as ± 2 °C"
        } else {
            "in decibels, such as ± 2 dBm"
        };
        let message = format!("a share of a {noun} has no meaning; write the doubt {example}");
        Err(fault(at.clone(), message))
    }

    fn refuse_negative_doubt(&self, doubt: &Term) -> Result<(), TextFault> {
        if doubt.number >= 0.0 {
            return Ok(());
        }
        let written = &self.text[doubt.at.clone()];
        Err(fault(
            doubt.at.clone(),
            format!("a doubt cannot be negative: `{written}`"),
        )
        .with(written.trim_start_matches(['-', '−'])))
    }

    fn share_of_nothing(&self, value: &Term, share: &Term, unit: &Unit) -> TextFault {
        let (value, symbol) = (&self.text[value.whole()], unit.symbol);
        let written = &self.text[share.whole()];
        fault(
            share.whole(),
            format!("`{written}` of `{value}` is no doubt at all; write the doubt in {symbol}"),
        )
    }

    fn unit_belongs_before(&self, value: &Term, unit: &Range<usize>) -> TextFault {
        let token = &self.text[unit.clone()];
        let number = &self.text[value.at.clone()];
        fault(
            value.at.clone(),
            format!("the unit belongs to the value: `{number} {token} ×/÷ …`"),
        )
    }
}

// The pieces of the text.
impl Cursor<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn skip_space(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    fn term(&mut self) -> Result<Term, TextFault> {
        let (number, at) = self.number()?;
        let unit = self.unit_token();
        Ok(Term { number, at, unit })
    }

    /// The second number, after which nothing may follow.
    fn last_term(&mut self, joint: &str) -> Result<Term, TextFault> {
        self.refuse_end(joint)?;
        let term = self.term()?;
        self.finish()?;
        Ok(term)
    }

    fn refuse_end(&self, joint: &str) -> Result<(), TextFault> {
        if self.rest().trim().is_empty() {
            let end = self.text.trim_end().len();
            return Err(fault(
                end..end,
                format!("a number is missing after `{joint}`"),
            ));
        }
        Ok(())
    }

    fn finish(&self) -> Result<(), TextFault> {
        let left = self.rest().trim();
        if left.is_empty() {
            return Ok(());
        }
        let start = self.text.len() - self.rest().trim_start().len();
        Err(fault(
            start..start + left.len(),
            format!("`{left}` is not part of a quantity"),
        ))
    }

    fn finish_after(&self, unit: Option<Range<usize>>) -> Result<(), TextFault> {
        match unit {
            Some(at) => {
                let token = &self.text[at.clone()];
                Err(fault(
                    at,
                    format!("`{token}` is not part of a quantity; a factor has no unit"),
                ))
            }
            None => self.finish(),
        }
    }

    fn joint(&mut self) -> Result<Option<Joint>, TextFault> {
        self.skip_space();
        if let Some(fault) = self.range_word() {
            return Err(fault);
        }
        let rest = self.rest();
        let found = JOINTS
            .iter()
            .find(|(spelling, _)| rest.starts_with(spelling));
        match found {
            Some((spelling, joint)) => {
                self.at += spelling.len();
                Ok(Some(*joint))
            }
            None => self.finish().map(|()| None),
        }
    }

    fn range_word(&self) -> Option<TextFault> {
        let rest = self.rest();
        let word = RANGE_WORDS.iter().find(|word| rest.starts_with(**word))?;
        let next = rest[word.len()..].trim_start().chars().next()?;
        if !(next.is_ascii_digit() || matches!(next, '.' | '+' | '-' | '−')) {
            return None;
        }
        let message = "a range is written with two dots, such as `7..26`";
        Some(fault(self.at..self.at + word.len(), message.into()).with(".."))
    }

    fn factor(&mut self) -> Result<(f64, Range<usize>), TextFault> {
        self.refuse_end("×/÷")?;
        self.skip_space();
        let start = self.at;
        if self.rest().starts_with("e^") {
            self.at += 2;
            let (log_sd, at) = self.number()?;
            if log_sd < 0.0 {
                return Err(fault(
                    at,
                    "the power of e in a factor of doubt is zero or more".into(),
                ));
            }
            return Ok((log_sd, start..self.at));
        }
        let (factor, at) = self.number()?;
        if factor < 1.0 {
            let written = &self.text[at.clone()];
            return Err(fault(
                at,
                format!("a factor of doubt is 1 or more, not `{written}`"),
            ));
        }
        Ok((factor.ln(), at))
    }

    /// The characters up to a space, a joint or a sign; `None` if there are none.
    fn unit_token(&mut self) -> Option<Range<usize>> {
        let rest = self.rest().trim_start();
        let start = self.text.len() - rest.len();
        let length = rest
            .char_indices()
            .find(|(at, c)| ends_unit(*c, &rest[*at..]))
            .map_or(rest.len(), |(at, _)| at);
        if length == 0 || &rest[..length] == "to" {
            return None;
        }
        self.at = start + length;
        Some(start..self.at)
    }
}

fn ends_unit(c: char, rest: &str) -> bool {
    c.is_whitespace()
        || matches!(c, '±' | '+' | '-' | '−' | '–' | '—' | '×' | '…')
        || ["..", "x/", "X/", "*/"]
            .iter()
            .any(|joint| rest.starts_with(joint))
}

// Numbers.
impl Cursor<'_> {
    fn number(&mut self) -> Result<(f64, Range<usize>), TextFault> {
        self.skip_space();
        let start = self.at;
        if self.rest().starts_with(['+', '-', '−']) {
            self.at += self.rest().chars().next().map_or(0, char::len_utf8);
        }
        let digits = self.at;
        self.skip_digits();
        if self.rest().starts_with('.') && count_digits(&self.rest()[1..]) > 0 {
            self.at += 1;
            self.skip_digits();
        }
        if self.at == digits {
            return Err(self.not_a_number(start));
        }
        self.refuse_separators(start)?;
        self.refuse_bare_point(start)?;
        self.skip_exponent();
        let at = start..self.at;
        Ok((self.parsed(&at)?, at))
    }

    fn skip_digits(&mut self) {
        self.at += count_digits(self.rest());
    }

    fn skip_exponent(&mut self) {
        let Some(after) = self.rest().strip_prefix(['e', 'E']) else {
            return;
        };
        let unsigned = after.strip_prefix(['+', '-']).unwrap_or(after);
        let digits = count_digits(unsigned);
        if digits > 0 {
            self.at += 1 + (after.len() - unsigned.len()) + digits;
        }
    }

    fn parsed(&self, at: &Range<usize>) -> Result<f64, TextFault> {
        let written = &self.text[at.clone()];
        let number: f64 = written.replace('−', "-").parse().map_err(|_| {
            fault(
                at.clone(),
                format!("`{written}` cannot be read as a number"),
            )
        })?;
        let mantissa = written.split(['e', 'E']).next().unwrap_or_default();
        let is_zero = !mantissa.contains(|c: char| ('1'..='9').contains(&c));
        if !number.is_finite() {
            return Err(fault(
                at.clone(),
                format!("`{written}` is too large to be meant"),
            ));
        }
        if number == 0.0 && !is_zero {
            return Err(fault(
                at.clone(),
                format!("`{written}` is too small to be meant"),
            ));
        }
        Ok(number)
    }

    /// A comma, an apostrophe or a space between digits.
    fn refuse_separators(&self, start: usize) -> Result<(), TextFault> {
        let end = self.end_of_grouped_number();
        if end == self.at {
            return Ok(());
        }
        let written = &self.text[start..end];
        let (message, suggestion) = match Grouping::of(written) {
            Grouping::DecimalComma(point) => (
                format!("`{written}` has a decimal comma; write a point"),
                Some(point),
            ),
            Grouping::EitherWay(whole, point) => (
                format!("`{written}` may be {whole} or {point}; write it without the comma"),
                None,
            ),
            Grouping::Thousands(whole) => (
                format!("`{written}` has a separator inside the number"),
                Some(whole),
            ),
            Grouping::Unclear => (format!("`{written}` cannot be read as a number"), None),
        };
        Err(TextFault {
            message,
            range: start..end,
            suggestion,
        })
    }

    /// `5.`, which some languages read.
    fn refuse_bare_point(&self, start: usize) -> Result<(), TextFault> {
        let rest = self.rest();
        if !rest.starts_with('.') || rest.starts_with("..") {
            return Ok(());
        }
        let number = &self.text[start..self.at];
        Err(fault(
            start..self.at + 1,
            format!("`{number}.` has no digit after its point"),
        )
        .with(number))
    }

    fn end_of_grouped_number(&self) -> usize {
        let mut end = self.at;
        while let Some(c) = self.text[end..].chars().next() {
            let after = &self.text[end + c.len_utf8()..];
            let digits = count_digits(after);
            let joins = match c {
                ',' | '\'' | '’' | '_' | '.' => digits > 0,
                _ => c.is_whitespace() && digits == 3,
            };
            if !joins {
                break;
            }
            end += c.len_utf8() + digits;
        }
        end
    }

    fn not_a_number(&self, start: usize) -> TextFault {
        let rest = &self.text[start..];
        let word = rest.split_whitespace().next().unwrap_or_default();
        let range = start..start + word.len();
        if word.is_empty() {
            let usual = self.dimension.units[0].symbol;
            return fault(
                0..self.text.len(),
                format!(
                    "nothing is written here; a number with a unit is needed, such as 5 {usual}"
                ),
            );
        }
        let plain = word.trim_start_matches(['+', '-', '−']).to_lowercase();
        if ["nan", "inf", "infinity", "∞"].contains(&plain.as_str()) {
            return fault(
                range,
                format!("`{word}` is not a number that a part can have"),
            );
        }
        if let Some((unit, turned)) = self.unit_first(rest) {
            return fault(
                start..self.text.trim_end().len(),
                format!("`{unit}` comes after the number"),
            )
            .with(turned);
        }
        fault(range, format!("a number is needed where `{word}` stands"))
    }

    /// `AWG 22` or `AWG22` the usual way round.
    fn unit_first(&self, rest: &str) -> Option<(String, String)> {
        let digits = rest.find(|c: char| c.is_ascii_digit())?;
        let (unit, number) = (rest[..digits].trim(), rest[digits..].trim());
        find_unit(self.dimension, unit)?;
        number
            .parse::<f64>()
            .is_ok_and(f64::is_finite)
            .then(|| (unit.to_owned(), format!("{number} {unit}")))
    }
}

fn count_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn is_separator(c: char) -> bool {
    matches!(c, ',' | '\'' | '’' | '_') || c.is_whitespace()
}

/// What separators inside a number were probably meant to say.
enum Grouping {
    /// `7,4` or `1 000,5`, with the number as it should be written.
    DecimalComma(String),
    /// `1,500`: without the comma and with a point.
    EitherWay(String, String),
    /// `1 500` or `1,500.5`, without separators.
    Thousands(String),
    /// `1.500,5`, `1'0`, `1,000 000`: more than two ways, or none.
    Unclear,
}

impl Grouping {
    fn of(written: &str) -> Self {
        let (whole, fraction) = match written.split_once('.') {
            Some((whole, fraction)) => (whole, Some(fraction)),
            None => (written, None),
        };
        if fraction.is_some_and(|digits| !digits.bytes().all(|b| b.is_ascii_digit())) {
            return Self::Unclear;
        }
        let without = |text: &str| text.replace(is_separator, "");
        if fraction.is_none()
            && let Some((before, after)) = whole.rsplit_once(',')
            && !before.contains(',')
            && !after.contains(is_separator)
        {
            let point = format!("{}.{after}", without(before));
            let grouped = before.contains(is_separator);
            let digits = before.trim_start_matches(['+', '-', '−']);
            return match (grouped, after.len()) {
                (true, _) if in_thousands(before) => Self::DecimalComma(point),
                (true, _) => Self::Unclear,
                (false, 3) if digits != "0" => Self::EitherWay(without(whole), point),
                (false, _) => Self::DecimalComma(point),
            };
        }
        match in_thousands(whole) {
            true => Self::Thousands(without(written)),
            false => Self::Unclear,
        }
    }
}

/// Whether one kind of separator, and only that, cuts off every third digit.
fn in_thousands(whole: &str) -> bool {
    let mut separators = whole.chars().filter(|c| is_separator(*c));
    let first = separators.next();
    separators.all(|c| Some(c) == first)
        && whole
            .split(is_separator)
            .skip(1)
            .all(|group| group.len() == 3)
}

// Units.

fn find_unit(dimension: DimensionInfo, token: &str) -> Option<&'static Unit> {
    dimension
        .units
        .iter()
        .find(|unit| !token.is_empty() && (unit.symbol == token || unit.aliases.contains(&token)))
}

fn unknown_unit(dimension: DimensionInfo, token: &str, at: Range<usize>) -> TextFault {
    let article = article(dimension.noun);
    let noun = dimension.noun;
    if token.starts_with(|c: char| c.is_ascii_digit()) {
        return fault(at, format!("`{token}` stands where a unit belongs"));
    }
    if let Some(symbol) = near_unit(dimension, token) {
        return fault(at, format!("unknown unit `{token}` for {article} {noun}")).with(symbol);
    }
    let other = DIMENSIONS
        .iter()
        .find(|other| find_unit(**other, token).is_some());
    if let Some(other) = other {
        let theirs = other.noun;
        return fault(
            at,
            format!("`{token}` is a unit of {theirs}, this field is {article} {noun}"),
        );
    }
    let symbols: Vec<&str> = dimension
        .units
        .iter()
        .map(|unit| unit.symbol)
        .filter(|s| !s.is_empty())
        .collect();
    fault(
        at,
        format!(
            "unknown unit `{token}` for {article} {noun}; write {}",
            symbols.join(", ")
        ),
    )
}

/// Spelled-out units and the symbols they mean.
const WORDS: &[(&str, &str)] = &[
    ("volt", "V"),
    ("millivolt", "mV"),
    ("amp", "A"),
    ("ampere", "A"),
    ("milliamp", "mA"),
    ("watt", "W"),
    ("milliwatt", "mW"),
    ("milliohm", "mΩ"),
    ("minute", "min"),
    ("second", "s"),
    ("hour", "h"),
    ("metre", "m"),
    ("meter", "m"),
    ("millimetre", "mm"),
    ("millimeter", "mm"),
    ("kilogram", "kg"),
    ("celsius", "°C"),
    ("percent", "%"),
    ("degree", "°"),
    ("degree", "°C"),
    ("kelvin", "K"),
    ("gr", "g"),
    ("gramme", "g"),
    ("inches", "in"),
    ("\"", "in"),
    ("''", "in"),
    ("hertz", "Hz"),
];

/// The unit of this dimension that was probably meant: spelled out, or in the wrong case.
fn near_unit(dimension: DimensionInfo, token: &str) -> Option<&'static str> {
    let plural = token.to_lowercase();
    let singular = plural.strip_suffix('s').unwrap_or(&plural);
    let spelled = WORDS
        .iter()
        .filter(|(word, _)| [singular, plural.as_str()].contains(word))
        .find_map(|(_, symbol)| find_unit(dimension, symbol));
    if let Some(unit) = spelled {
        return Some(unit.symbol);
    }
    let looks_like = |spelling: &str| {
        plain_spelling(spelling) == plain_spelling(token)
            && !is_mega_for_milli(dimension, token, spelling)
    };
    dimension
        .units
        .iter()
        .filter(|unit| !unit.symbol.is_empty())
        .find(|unit| looks_like(unit.symbol) || unit.aliases.iter().any(|alias| looks_like(alias)))
        .map(|unit| unit.symbol)
}

fn plain_spelling(token: &str) -> String {
    let kept = token
        .chars()
        .filter(|c| !matches!(c, '°' | '^' | '·' | '*' | '.'));
    kept.collect::<String>()
        .to_lowercase()
        .replace(['µ', 'μ'], "u")
        .replace('ω', "ohm")
}

/// `MV` for `mV` would be a guess off by a thousand million. All capitals, as in `MAH`, are a way
/// to print labels.
fn is_mega_for_milli(dimension: DimensionInfo, token: &str, spelling: &str) -> bool {
    let (Some(token), Some(spelling)) = (token.strip_prefix('M'), spelling.strip_prefix('m'))
    else {
        return false;
    };
    let one_ohm = |text: &str| {
        text.replace(['\u{3a9}', '\u{2126}'], "ohm")
            .replace("Ohm", "ohm")
    };
    one_ohm(token) == one_ohm(spelling) && find_unit(dimension, spelling).is_some()
}

fn article(noun: &str) -> &'static str {
    if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    }
}

fn fault(range: Range<usize>, message: String) -> TextFault {
    TextFault {
        message,
        range,
        suggestion: None,
    }
}

impl TextFault {
    fn with(self, suggestion: impl Into<String>) -> Self {
        Self {
            suggestion: Some(suggestion.into()),
            ..self
        }
    }
}
