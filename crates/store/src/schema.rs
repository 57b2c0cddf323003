//! JSON Schemas of the three kinds of file, made from the tables that read them.

use craft::airframe::{CraftHeader, FeedTable, FittedTable, RefitHeader};
use craft::need::{Conditions, Needs};
use craft::part::{PartHeader, SheetSource};
use craft::sheet::{Field, FieldKind, Table, TableType, Word};
use quantity::{DimensionInfo, Ratio};
use serde_json::{Map, Value, json};

/// The dialect that editors read.
const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// Schema of a part sheet.
pub fn part() -> Value {
    let tables = crate::text::FACET_TABLES.iter().map(|table| {
        (
            table.key,
            if table.named {
                named(table, None)
            } else {
                object(table)
            },
        )
    });
    document(
        "A part sheet: one thing you can hold, and what it can do",
        &PartHeader::TABLE,
        tables,
    )
}

/// Schema of a craft file.
pub fn craft() -> Value {
    let tables = [
        (
            FittedTable::TABLE.key,
            named(&FittedTable::TABLE, Some("the name of a part sheet")),
        ),
        (FeedTable::TABLE.key, feeds()),
        (Needs::TABLE.key, object(&Needs::TABLE)),
        (Conditions::TABLE.key, object(&Conditions::TABLE)),
    ];
    document("A craft: what flies today", &CraftHeader::TABLE, tables)
}

/// Schema of a refit file.
pub fn refit() -> Value {
    let tables = [
        (
            "add",
            named(&FittedTable::TABLE, Some("the name of a part sheet")),
        ),
        (FeedTable::TABLE.key, feeds()),
        (Needs::TABLE.key, object(&Needs::TABLE)),
        (Conditions::TABLE.key, object(&Conditions::TABLE)),
    ];
    document(
        "A refit: the change that is planned",
        &RefitHeader::TABLE,
        tables,
    )
}

/// A schema as the text of its file.
pub fn text(schema: &Value) -> String {
    format!("{schema:#}\n")
}

fn document<'a>(
    title: &str,
    header: &Table,
    tables: impl IntoIterator<Item = (&'a str, Value)>,
) -> Value {
    let mut schema = object(header);
    let properties = schema["properties"]
        .as_object_mut()
        .expect("an object schema has properties");
    properties.extend(
        tables
            .into_iter()
            .map(|(key, table)| (key.to_owned(), table)),
    );
    let mut whole = Map::new();
    whole.insert("$schema".into(), json!(DIALECT));
    whole.insert("title".into(), json!(title));
    whole.extend(schema.as_object().expect("an object").clone());
    Value::Object(whole)
}

fn object(table: &Table) -> Value {
    let properties: Map<String, Value> = table
        .fields
        .iter()
        .map(|field| (field.key.to_owned(), property(field)))
        .collect();
    let required: Vec<&str> = table
        .fields
        .iter()
        .filter(|field| field.required)
        .map(|field| field.key)
        .collect();
    json!({
        "type": "object",
        "description": prose(table.doc),
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// A table of tables with names of the builder's own; `short` is the short form where one is read.
fn named(table: &Table, short: Option<&str>) -> Value {
    let long = object(table);
    let one = match short {
        Some(short) => json!({ "anyOf": [{ "type": "string", "description": short }, long] }),
        None => long,
    };
    json!({ "type": "object", "description": prose(table.doc), "additionalProperties": one })
}

/// Feeds are named twice: by the part, then by its input or rail.
fn feeds() -> Value {
    let sockets = named(
        &FeedTable::TABLE,
        Some("`pack`, or a part and its rail: `board.5v`"),
    );
    json!({ "type": "object", "description": prose(FeedTable::TABLE.doc), "additionalProperties": sockets })
}

fn property(field: &Field) -> Value {
    let mut property = match field.kind {
        FieldKind::Doubted(info, _) => quantity(info, &["18 ± 4", "18", "15..21"]),
        FieldKind::Definite(info) => quantity(info, &["18"]),
        FieldKind::Rated(info) => quantity(info, &["7..26"]),
        FieldKind::Whole => json!({ "type": "integer", "minimum": 1 }),
        FieldKind::Text => json!({ "type": "string" }),
        FieldKind::Flag => json!({ "type": "boolean" }),
        FieldKind::Choice(words) => choice(words),
        FieldKind::Names => json!({ "type": "array", "items": { "type": "string" } }),
    };
    property["description"] = json!(prose(field.doc));
    property
}

fn choice(words: &[Word]) -> Value {
    let each: Vec<Value> = words
        .iter()
        .map(|word| json!({ "const": word.text, "description": word.meaning.trim() }))
        .collect();
    json!({ "oneOf": each })
}

/// A quantity in quotes, or its long form. The pattern asks for a number and one of the dimension's units; the finer
/// points are left to the reader, whose messages say more than a pattern can.
fn quantity(info: DimensionInfo, examples: &[&str]) -> Value {
    let mut spellings: Vec<String> = info
        .units
        .iter()
        .flat_map(|unit| {
            [unit.symbol]
                .into_iter()
                .chain(unit.aliases.iter().copied())
        })
        .map(escaped)
        .collect();
    spellings.sort_by_key(|unit| std::cmp::Reverse(unit.len()));
    spellings.dedup();
    let bare = info == DimensionInfo::of::<Ratio>();
    let unit = format!("({}){}", spellings.join("|"), if bare { "?" } else { "" });
    let pattern = format!("^[^A-Za-z]*[0-9].*{unit}.*$");
    let symbol = info.units[0].symbol;
    let examples: Vec<String> = examples
        .iter()
        .map(|number| format!("{number} {symbol}"))
        .collect();
    let short = json!({ "type": "string", "pattern": pattern, "examples": examples });
    let long = json!({
        "type": "object",
        "properties": {
            "value": short,
            "source": choice(SheetSource::WORDS),
            "note": { "type": "string" },
        },
        "required": ["value"],
        "additionalProperties": false,
    });
    json!({ "anyOf": [short, long] })
}

fn escaped(unit: &str) -> String {
    unit.chars()
        .flat_map(|sign| {
            if "/.*+?()[]^$|\\".contains(sign) {
                vec!['\\', sign]
            } else {
                vec![sign]
            }
        })
        .collect()
}

fn prose(doc: &[&str]) -> String {
    doc.iter()
        .map(|line| line.trim())
        .collect::<Vec<_>>()
        .join(" ")
}
