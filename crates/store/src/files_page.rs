//! The book's page on files, made from the tables that read them.

use crate::text::{CRAFT_TABLES, FACET_TABLES};
use craft::airframe::{CraftHeader, RefitHeader};
use craft::part::PartHeader;
use craft::sheet::{Field, FieldKind, Table, TableType};
use craft::worth::{self, Worth};
use quantity::{DimensionInfo, Doubt, Ratio};

/// The page.
pub fn page() -> String {
    let mut page = INTRODUCTION.to_owned();
    page.push_str("\n## Part sheets: `parts/NAME.toml`\n");
    page.push_str(&section("Top of the file", &PartHeader::TABLE));
    for table in FACET_TABLES {
        page.push_str(&section(&heading(table), table));
    }
    page.push_str("\n## Craft: `NAME.craft.toml`\n");
    page.push_str(&section("Top of the file", &CraftHeader::TABLE));
    for table in CRAFT_TABLES {
        page.push_str(&section(&heading(table), table));
    }
    page.push_str("\n## Refit: `NAME.refit.toml`\n");
    page.push_str(&section("Top of the file", &RefitHeader::TABLE));
    page.push_str("\nParts put on stand under `[add.NAME]`, written as `[parts]` of a craft; the other tables as there. What the refit does not say is taken from the craft.\n");
    page.push_str("\n## What a figure is worth\n\nWithout a `±` a figure gets the usual doubt of its kind and source. Common practice; write a `±` to overrule it.\n\n| figure | label: true over printed | label | measured | typical |\n|---|---|---|---|---|\n");
    for worth in worth::ALL {
        page.push_str(&worth_row(worth));
    }
    page
}

const INTRODUCTION: &str = "# Files

A bench is a folder: part sheets in `parts/`, a `NAME.craft.toml` for what flies today, a `NAME.refit.toml` for the change. Your own \
sheets stand before typical ones of the same name.

A quantity is one string: `\"18 ± 4 mΩ\"` (± is one standard uncertainty; `+-`, `+/-` and `± 20 %` are read too), `\"5.2 g\"` with the usual doubt \
of its source, `\"2.6..4.0 g\"` for an uncertain value whose central nine tenths are known, `\"7..26 V\"` for a rated range. Each can be written at \
length: `{ value = \"5.2 g\", source = \"measured\", note = \"kitchen scale\" }`. Sources are `measured`, `label`, `typical` and `assumed`.

Limits: a file is read up to 1024 KiB. JSON Schemas for editors are in `schemas/`. This page is made from the tables that read the files.
";

fn heading(table: &Table) -> String {
    if table.named {
        format!("`[{}.NAME]`", table.key)
    } else {
        format!("`[{}]`", table.key)
    }
}

fn section(heading: &str, table: &Table) -> String {
    let rows: String = table.fields.iter().map(row).collect();
    let words: String = table.fields.iter().filter_map(words).collect();
    format!(
        "\n### {heading}\n\n{}\n\n| key | takes | what |\n|---|---|---|\n{rows}{words}",
        prose(table.doc)
    )
}

fn row(field: &Field) -> String {
    let need = if field.required { " (needed)" } else { "" };
    format!(
        "| `{}`{need} | {} | {} |\n",
        field.key,
        takes(field.kind),
        prose(field.doc).replace('|', "\\|")
    )
}

/// What each word of a choice means, below the table.
fn words(field: &Field) -> Option<String> {
    let FieldKind::Choice(words) = field.kind else {
        return None;
    };
    let lines: String = words
        .iter()
        .map(|word| format!("- `{}`: {}\n", word.text, word.meaning.trim()))
        .collect();
    Some(format!("\nWords for `{}`:\n\n{lines}", field.key))
}

fn takes(kind: FieldKind) -> String {
    match kind {
        FieldKind::Doubted(info, worth) => format!("{}, doubt as {}", unit_list(info), worth.name),
        FieldKind::Definite(info) => format!("{}, one value", unit_list(info)),
        FieldKind::Rated(info) if is_ratio(info) => "range of plain numbers".to_owned(),
        FieldKind::Rated(info) => format!("range of {}", unit_list(info)),
        FieldKind::Whole => "whole number".to_owned(),
        FieldKind::Text => "words".to_owned(),
        FieldKind::Flag => "`true` or `false`".to_owned(),
        FieldKind::Choice(_) => "a word, see below".to_owned(),
        FieldKind::Names => "list of names".to_owned(),
    }
}

/// "mass in g, kg, mg"; a ratio is the one that needs no unit.
fn unit_list(info: DimensionInfo) -> String {
    let units: Vec<_> = info
        .units
        .iter()
        .map(|unit| unit.symbol)
        .filter(|unit| !unit.is_empty())
        .collect();
    let plain = if is_ratio(info) {
        "in quotes, plain or "
    } else {
        ""
    };
    format!("{} {plain}in {}", info.noun, units.join(", "))
}

fn is_ratio(info: DimensionInfo) -> bool {
    info == DimensionInfo::of::<Ratio>()
}

fn worth_row(worth: &Worth) -> String {
    let bias = if worth.label_bias == 0.0 {
        "1".to_owned()
    } else {
        format!("{:.2}", 1.0 + worth.label_bias)
    };
    let info = dimension(worth);
    format!(
        "| {} | {bias} | {} | {} | {} |\n",
        worth.name,
        doubt(worth.label, info),
        doubt(worth.measured, info),
        doubt(worth.typical, info)
    )
}

/// The dimension of the figures that are worth this much, from the first key that says so.
fn dimension(worth: &Worth) -> DimensionInfo {
    let headers = [PartHeader::TABLE, CraftHeader::TABLE, RefitHeader::TABLE];
    let tables = headers.iter().chain(FACET_TABLES).chain(CRAFT_TABLES);
    tables
        .flat_map(|table| table.fields)
        .find_map(|field| match field.kind {
            FieldKind::Doubted(info, of) if of == worth => Some(info),
            _ => None,
        })
        .expect("every kind of figure is asked for somewhere")
}

fn doubt(doubt: Doubt, info: DimensionInfo) -> String {
    match doubt {
        Doubt::Exact => "certain".to_owned(),
        Doubt::Plain(sd) => {
            let unit = &info.units[0];
            format!("± {} {}", unit.difference_from_si(sd), unit.symbol)
        }
        Doubt::Factor(s) => format!("± {:.0} %", 100.0 * s),
        Doubt::Shortfall(s) => format!("what is lost ×/÷ {:.2}", s.exp()),
    }
}

fn prose(doc: &[&str]) -> String {
    doc.iter()
        .map(|line| line.trim())
        .collect::<Vec<_>>()
        .join(" ")
}
