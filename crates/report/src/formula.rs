//! Pocket formulas on a terminal, as JSON, and as the book's page.

use crate::layout::wrapped;
use crate::number;
use quantity::{DimensionInfo, Ratio};
use serde_json::{Map, Value, json};
use workbench::formula::{
    Answer, Bound, Computed, Fault, Formula, Key, Need, Output, Standing, Takes, Values, formulas,
};

/// Digits of a result without doubt.
const DIGITS: usize = 5;
/// Columns of a name in a list.
const NAME_COLUMNS: usize = 26;
/// Columns of a heading such as `source:`.
const HEADING_COLUMNS: usize = 9;

/// One line for each formula.
pub fn list(width: usize) -> String {
    let opening =
        "Formulas, each the very function the checks use. `fitout calc NAME` shows its keys.\n\n";
    let lines = formulas()
        .map(|formula| indented("  ", formula.name, NAME_COLUMNS, formula.purpose, width));
    opening.to_owned() + &lines.collect::<String>()
}

/// The same for a program.
pub fn list_json() -> Value {
    let each = |formula: &Formula| {
        let keys: Vec<_> = formula.keys.iter().map(|key| key.name).collect();
        json!({ "name": formula.name, "purpose": formula.purpose, "keys": keys })
    };
    json!({ "formulas": formulas().map(each).collect::<Vec<_>>() })
}

/// What a formula takes, and where it comes from.
pub fn help(formula: &Formula, width: usize) -> String {
    let keys: String = formula
        .keys
        .iter()
        .map(|key| indented("  ", key.name, NAME_COLUMNS, &key_text(key), width))
        .collect();
    let foot = provenance(formula, width);
    // The example stays on one line, to be copied.
    format!(
        "{}: {}\n\n{keys}\n{foot}\n  fitout calc {}\n",
        formula.name, formula.purpose, formula.example
    )
}

fn key_text(key: &Key) -> String {
    let mut parts = vec![takes(key)];
    parts.extend(bound(key));
    match key.need {
        Need::Must => {}
        Need::Default(default) => parts.push(format!("{default} if left out")),
        Need::May => parts.push("may be left out".to_owned()),
    }
    if !key.aliases.is_empty() {
        parts.push(format!("also `{}`", key.aliases.join("`, `")));
    }
    let parts: Vec<_> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    match parts.as_slice() {
        [] => key.what.to_owned(),
        some => format!("{} ({})", key.what, some.join("; ")),
    }
}

fn takes(key: &Key) -> String {
    match key.takes {
        Takes::Quantity(info) if info == DimensionInfo::of::<Ratio>() => {
            "a number or percent".to_owned()
        }
        Takes::Quantity(info) => format!("{}, a bare number in {}", info.noun, key.unit),
        Takes::Number => format!("a number in {}", key.unit),
        Takes::Count(_) => "a whole number".to_owned(),
        // The words themselves say it.
        Takes::Word(_) => String::new(),
        Takes::File => "a file".to_owned(),
        Takes::Words(form) => form.to_owned(),
    }
}

fn bound(key: &Key) -> Option<String> {
    let words = match key.bound {
        Bound::Any => return None,
        Bound::AboveZero => "above zero",
        Bound::NotNegative => "not negative",
        Bound::Share => "0 to 1",
        Bound::Efficiency => "above 0, up to 1",
        Bound::Between(low, high) => {
            let (low, high) = (number::setting(low), number::setting(high));
            return Some(
                format!("{low} to {high} {}", key.unit)
                    .trim_end()
                    .to_owned(),
            );
        }
    };
    Some(words.to_owned())
}

/// Source, range and standing, one paragraph each.
fn provenance(formula: &Formula, width: usize) -> String {
    let line = |heading, text: &str| indented("", heading, HEADING_COLUMNS, text, width);
    line("source:", formula.source)
        + &line("holds:", formula.range)
        + &line("checked:", &standing(formula.standing))
}

fn standing(standing: Standing) -> String {
    match standing {
        Standing::Outside(what) => format!("held against {what}"),
        Standing::Equation(what) => {
            format!("as an equation only, {what}")
        }
        Standing::NotValidated(why) => format!("not validated: {why}"),
    }
}

/// `name` in a column of its own, `text` beside it however many lines it takes.
fn indented(before: &str, name: &str, columns: usize, text: &str, width: usize) -> String {
    let first = format!("{before}{name:<columns$}");
    let rest = " ".repeat(before.len() + columns);
    wrapped(text, width, &first, &rest) + "\n"
}

/// Results, notes, source.
pub fn text(formula: &Formula, values: &Values, computed: &Computed, width: usize) -> String {
    let mut out = String::new();
    // A deviation stands beside its value, not on a line of its own.
    let has_value = |output: &&Output| {
        let of = output.key.strip_suffix("_sd");
        !of.is_some_and(|of| computed.outputs.iter().any(|other| other.key == of))
    };
    for output in computed.outputs.iter().filter(has_value) {
        out.push_str(&format!(
            "{:<NAME_COLUMNS$}{}\n",
            output.key,
            answer(output)
        ));
    }
    for note in values.notes.iter().chain(&computed.notes) {
        out.push_str(&indented("", "note:", HEADING_COLUMNS, note, width));
    }
    format!("{out}\n{}", provenance(formula, width))
}

fn answer(output: &Output) -> String {
    let value = match (&output.value, output.sd) {
        (Answer::Flag(flag), _) => return if *flag { "yes" } else { "no" }.to_owned(),
        (Answer::Word(word), _) => return (*word).to_owned(),
        (Answer::List(values), _) => {
            let each: Vec<_> = values
                .iter()
                .map(|value| number::plain(*value, DIGITS))
                .collect();
            each.join(", ")
        }
        (Answer::Number(value), Some(sd)) if sd > 0.0 => {
            let (value, sd) = number::doubted(*value, sd);
            format!("{value} ± {sd}")
        }
        (Answer::Number(value), _) => number::plain(*value, DIGITS),
    };
    format!("{value} {}", output.unit).trim_end().to_owned()
}

/// Inputs, outputs and source, full precision.
pub fn json(formula: &Formula, values: &Values, computed: &Computed) -> Value {
    let inputs: Map<String, Value> = formula
        .keys
        .iter()
        .filter_map(|key| Some((key.name.to_owned(), input(key, values)?)))
        .collect();
    let outputs: Map<String, Value> = computed
        .outputs
        .iter()
        .map(|output| (output.key.clone(), answer_json(&output.value)))
        .collect();
    json!({
        "formula": formula.name,
        "inputs": inputs,
        "outputs": outputs,
        "source": formula.source,
        "range": formula.range,
        "validated": matches!(formula.standing, Standing::Outside(_)),
        "checked": standing(formula.standing),
        "notes": values.notes.iter().chain(&computed.notes).collect::<Vec<_>>(),
    })
}

/// What a formula takes, for a program.
pub fn help_json(formula: &Formula) -> Value {
    json!({
        "formula": formula.name,
        "purpose": formula.purpose,
        "keys": formula.keys.iter().map(key_json).collect::<Vec<_>>(),
        "source": formula.source,
        "range": formula.range,
        "validated": matches!(formula.standing, Standing::Outside(_)),
        "checked": standing(formula.standing),
        "example": formula.example,
    })
}

fn key_json(key: &Key) -> Value {
    let default = match key.need {
        Need::Default(default) => Some(default),
        Need::Must | Need::May => None,
    };
    let words = match key.takes {
        Takes::Word(words) => Some(words.iter().map(|word| word[0]).collect::<Vec<_>>()),
        _ => None,
    };
    json!({
        "name": key.name,
        "aliases": key.aliases,
        "what": key.what,
        "takes": takes(key),
        "words": words,
        "unit": key.unit,
        "bound": bound(key),
        "required": key.need == Need::Must,
        "default": default,
    })
}

/// What kept a call from an answer.
pub fn faults_json(name: &str, faults: &[Fault]) -> Value {
    let faults: Vec<_> = faults.iter().map(|fault| &fault.0).collect();
    json!({ "formula": name, "faults": faults })
}

fn answer_json(answer: &Answer) -> Value {
    match answer {
        Answer::Number(value) => json!(value),
        Answer::List(values) => json!(values),
        Answer::Flag(flag) => json!(flag),
        Answer::Word(word) => json!(word),
    }
}

/// An input in its key's unit.
fn input(key: &Key, values: &Values) -> Option<Value> {
    match key.takes {
        Takes::Word(_) => values.word(key.name).map(|word| json!(word)),
        Takes::File => values.file_name(key.name).map(|name| json!(name)),
        Takes::Words(_) => values.text(key.name).map(|text| json!(text)),
        Takes::Count(_) => values.number(key.name).map(|count| json!(count as u32)),
        Takes::Number => values
            .number(key.name)
            .map(|number| json!({ "value": number, "unit": key.unit })),
        Takes::Quantity(info) => {
            let si = values.number(key.name)?;
            let unit = info.units.iter().find(|unit| unit.symbol == key.unit);
            let value = unit.map_or(si, |unit| unit.value_from_si(si));
            Some(json!({ "value": value, "unit": key.unit }))
        }
    }
}

/// Faults, one a line.
pub fn faults(formula: &Formula, faults: &[Fault]) -> String {
    let lines: String = faults
        .iter()
        .map(|fault| format!("  {}\n", fault.0))
        .collect();
    format!(
        "fitout calc {}:\n{lines}`fitout calc {}` shows its keys\n",
        formula.name, formula.name
    )
}

/// The book's page of formulas.
pub fn page() -> String {
    let opening = "<!-- Written by `cargo xtask pages`; edits here are lost. -->\n# Formulas\n\nEach formula of `fitout calc` is the very \
                   function the checks use. What a check is worth is told under [validation](validation.md).\n";
    opening.to_owned() + &formulas().map(section).collect::<String>()
}

fn section(formula: &Formula) -> String {
    let keys: String = formula
        .keys
        .iter()
        .map(|key| format!("| `{}` | {} |\n", key.name, cell(&key_text(key))))
        .collect();
    let outputs: String = outputs_of_example(formula)
        .iter()
        .map(|output| format!("| `{}` | {} |\n", output.key, cell(&answer(output))))
        .collect();
    format!(
        "\n## {}\n\n{}.\n\n| key | what |\n|---|---|\n{keys}\n```\nfitout calc {}\n```\n\n| gives | |\n|---|---|\n{outputs}\n\
         - **Source**: {}.\n- **Holds**: {}.\n- **Checked**: {}.\n",
        formula.name,
        capital(formula.purpose),
        formula.example,
        formula.source,
        formula.range,
        standing(formula.standing),
    )
}

/// What the example gives; no example reads a file, and a test holds that each has an answer.
fn outputs_of_example(formula: &Formula) -> Vec<Output> {
    let pairs: Vec<String> = formula
        .example
        .split_whitespace()
        .skip(1)
        .map(str::to_owned)
        .collect();
    let no_file = |_: &str| Err("an example reads no file".to_owned());
    let computed = workbench::formula::read(formula, &pairs, &no_file)
        .and_then(|values| formula.compute(&values));
    computed.map_or_else(|_| Vec::new(), |computed| computed.outputs)
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
