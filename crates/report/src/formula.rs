//! Pocket formulas on a terminal, as JSON, and as the book's page.

use crate::layout::wrapped;
use crate::number;
use quantity::{DimensionInfo, Ratio};
use serde_json::{Map, Value, json};
use workbench::formula::{Answer, Computed, Fault, Formula, Key, Output, Takes, Values, formulas};

/// Digits of a result without doubt.
const DIGITS: usize = 5;

/// One line for each formula.
pub fn list() -> String {
    let lines = formulas()
        .into_iter()
        .map(|formula| format!("  {:<24} {}\n", formula.name, formula.purpose));
    format!(
        "Formulas, each the very function the checks use. `fitout calc NAME` shows its keys.\n\n{}",
        lines.collect::<String>()
    )
}

/// What a formula takes, and where it comes from.
pub fn help(formula: &Formula, width: usize) -> String {
    let mut out = format!("{}: {}\n\n", formula.name, formula.purpose);
    for key in formula.keys {
        let first = format!("  {:<18} ", key.name);
        out.push_str(&format!(
            "{}
",
            wrapped(&key_text(key), width, &first, "                     ")
        ));
    }
    out.push_str(&format!(
        "\n{}\n\n  fitout calc {}\n",
        provenance(formula, width),
        formula.example
    ));
    out
}

fn key_text(key: &Key) -> String {
    let takes = match key.takes {
        Takes::Quantity(info) if info == DimensionInfo::of::<Ratio>() => {
            "a number or percent".to_owned()
        }
        Takes::Quantity(info) => format!("{}, a bare number in {}", info.noun, key.unit),
        Takes::Number => format!("a number in {}", key.unit),
        Takes::Word(_) => "a word".to_owned(),
        Takes::File => "a file".to_owned(),
    };
    let need = match (key.default, key.optional) {
        (Some(default), _) => format!("; {default} if left out"),
        (None, true) => "; may be left out".to_owned(),
        (None, false) => String::new(),
    };
    let also = if key.aliases.is_empty() {
        String::new()
    } else {
        format!("; also `{}`", key.aliases.join("`, `"))
    };
    format!("{} ({takes}{need}{also})", key.what)
}

fn provenance(formula: &Formula, width: usize) -> String {
    let mark = if formula.validated {
        ""
    } else {
        "\nnot validated: no outside numbers were found to hold it against"
    };
    format!(
        "{}\n{}{mark}",
        wrapped(formula.source, width, "source: ", "        "),
        wrapped(formula.range, width, "holds:  ", "        ")
    )
}

/// Results, notes, source.
pub fn text(formula: &Formula, values: &Values, computed: &Computed, width: usize) -> String {
    let mut out = String::new();
    let doubts: Vec<String> = computed
        .outputs
        .iter()
        .filter(|output| output.sd.is_some())
        .map(|output| format!("{}_sd", output.key))
        .collect();
    for output in computed
        .outputs
        .iter()
        .filter(|output| !doubts.contains(&output.key))
    {
        out.push_str(&format!("{:<26} {}\n", output.key, answer(output)));
    }
    for note in values.notes.iter().chain(&computed.notes) {
        out.push_str(&format!(
            "{}\n",
            wrapped(note, width, "note:   ", "        ")
        ));
    }
    out.push_str(&format!("\n{}\n", provenance(formula, width)));
    out
}

fn answer(output: &Output) -> String {
    let value = match (output.value, output.sd) {
        (Answer::Flag(flag), _) => return if flag { "yes" } else { "no" }.to_owned(),
        (Answer::Number(value), Some(sd)) if sd > 0.0 => {
            let (value, sd) = number::doubted(value, sd);
            format!("{value} ± {sd}")
        }
        (Answer::Number(value), _) => number::plain(value, DIGITS),
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
        .map(|output| {
            let value = match output.value {
                Answer::Number(value) => json!(value),
                Answer::Flag(flag) => json!(flag),
            };
            (output.key.clone(), value)
        })
        .collect();
    json!({
        "formula": formula.name,
        "inputs": inputs,
        "outputs": outputs,
        "source": formula.source,
        "range": formula.range,
        "validated": formula.validated,
        "notes": values.notes.iter().chain(&computed.notes).collect::<Vec<_>>(),
    })
}

/// An input in its key's unit.
fn input(key: &Key, values: &Values) -> Option<Value> {
    match key.takes {
        Takes::Word(_) => values.word(key.name).map(|word| json!(word)),
        Takes::File => values.word(key.name).map(|_| json!("read from the file")),
        Takes::Number => values
            .number(key.name)
            .map(|number| json!({ "value": number, "unit": key.unit })),
        Takes::Quantity(info) => {
            let si = values.number(key.name)?;
            let unit = info
                .units
                .iter()
                .find(|unit| unit.symbol == key.unit || unit.aliases.contains(&key.unit));
            let value = unit.map_or(si, |unit| (si - unit.offset) / unit.scale);
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
    let mut page = "# Formulas\n\nEach formula of `fitout calc` is the very function the checks use. This page is made from their table.\n".to_owned();
    for formula in formulas() {
        let mark = if formula.validated {
            "Held against outside numbers, see [validation](validation.md)."
        } else {
            "**Not validated**: no outside numbers were found."
        };
        page.push_str(&format!(
            "\n## {}\n\n{}.\n\n| key | what |\n|---|---|\n",
            formula.name, formula.purpose
        ));
        for key in formula.keys {
            page.push_str(&format!(
                "| `{}` | {} |\n",
                key.name,
                key_text(key).replace('|', "\\|")
            ));
        }
        page.push_str(&format!(
            "\nSource: {}.\n\nHolds: {}.\n\n{mark}\n\n```\nfitout calc {}\n```\n",
            formula.source, formula.range, formula.example
        ));
    }
    page
}
