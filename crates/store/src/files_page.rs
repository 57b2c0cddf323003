//! The book's page on files, made from the tables that read them.

use crate::text::FACET_TABLES;
use craft::airframe::{CraftHeader, FeedTable, FittedTable, RefitHeader};
use craft::need::{Conditions, Needs};
use craft::part::PartHeader;
use craft::sheet::{Field, FieldKind, Table, TableType};
use craft::worth::{self, Worth};
use quantity::{DimensionInfo, Doubt};

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
    for table in [
        &FittedTable::TABLE,
        &FeedTable::TABLE,
        &Needs::TABLE,
        &Conditions::TABLE,
    ] {
        page.push_str(&section(&heading(table), table));
    }
    page.push_str("\n## Refit: `NAME.refit.toml`\n");
    page.push_str(&section("Top of the file", &RefitHeader::TABLE));
    page.push_str("\nParts put on stand under `[add.NAME]`, written as `[parts]` of a craft; `[feeds]`, `[needs]` and `[conditions]` as there. What the refit does not say is taken from the craft.\n");
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
    format!(
        "\n### {heading}\n\n{}\n\n| key | takes | what |\n|---|---|---|\n{rows}",
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

fn takes(kind: FieldKind) -> String {
    let units = |info: DimensionInfo| {
        info.units
            .iter()
            .map(|unit| unit.symbol)
            .filter(|unit| !unit.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    };
    match kind {
        FieldKind::Doubted(info, worth) => {
            format!("{} in {}, doubt as {}", info.noun, units(info), worth.name)
        }
        FieldKind::Definite(info) => format!("{} in {}, one value", info.noun, units(info)),
        FieldKind::Rated(info) => format!("range of {} in {}", info.noun, units(info)),
        FieldKind::Whole => "whole number".to_owned(),
        FieldKind::Text => "words".to_owned(),
        FieldKind::Flag => "`true` or `false`".to_owned(),
        FieldKind::Choice(words) => words
            .iter()
            .map(|word| format!("`{}`", word.text))
            .collect::<Vec<_>>()
            .join(", "),
        FieldKind::Names => "list of names".to_owned(),
    }
}

fn worth_row(worth: &Worth) -> String {
    format!(
        "| {} | {} | {} | {} | {} |\n",
        worth.name,
        if worth.label_bias == 0.0 {
            "1".to_owned()
        } else {
            format!("{:.2}", 1.0 + worth.label_bias)
        },
        doubt(worth.label),
        doubt(worth.measured),
        doubt(worth.typical)
    )
}

fn doubt(doubt: Doubt) -> String {
    match doubt {
        Doubt::Exact => "certain".to_owned(),
        Doubt::Plain(sd) => format!("± {sd} (SI)"),
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
