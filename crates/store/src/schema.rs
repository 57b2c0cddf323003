//! JSON Schemas of the three kinds of file, made from the tables that read them.

use craft::airframe::{CraftHeader, FeedTable, FittedTable, LinkTable, RefitHeader, WireTable};
use craft::part::{PartHeader, SheetSource};
use craft::sheet::{Field, FieldKind, Table, TableType, Word};
use craft::space::PlaceTable;
use quantity::{DIMENSIONS, DimensionInfo, Ratio};
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
    let tables = below_the_top(FittedTable::TABLE.key);
    document("A craft: what flies today", &CraftHeader::TABLE, tables)
}

/// Schema of a refit file.
pub fn refit() -> Value {
    document(
        "A refit: the change that is planned",
        &RefitHeader::TABLE,
        below_the_top("add"),
    )
}

/// The tables that craft and refit share, with the parts under `parts`.
fn below_the_top(parts: &'static str) -> Vec<(&'static str, Value)> {
    let schema = |table: &Table| match table.key {
        key if key == FittedTable::TABLE.key => {
            (parts, named(table, Some("the name of a part sheet")))
        }
        key if key == FeedTable::TABLE.key => (
            key,
            twice_named(table, "`pack`, or a part and its rail: `board.5v`"),
        ),
        key if key == LinkTable::TABLE.key => {
            (key, twice_named(table, "a part and its port: `board.2`"))
        }
        key if key == WireTable::TABLE.key => {
            (key, twice_named(table, "a part and its pad: `board.R2`"))
        }
        key if key == PlaceTable::TABLE.key => (
            key,
            named(table, Some("a part and its seat: `frame.stack`")),
        ),
        key if table.named => (key, named(table, None)),
        key => (key, object(table)),
    };
    crate::text::CRAFT_TABLES.iter().map(schema).collect()
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
    let mut named = Map::new();
    gather(&Value::Object(whole.clone()), &mut named);
    whole.insert("$defs".into(), Value::Object(named));
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

/// A table whose entries are named twice: by a part, then by one of its inputs, signals or pads.
fn twice_named(table: &Table, short: &str) -> Value {
    let inner = named(table, Some(short));
    json!({ "type": "object", "description": prose(table.doc), "additionalProperties": inner })
}

/// The definitions that a schema refers to, in the order in which it does.
fn gather(schema: &Value, definitions: &mut Map<String, Value>) {
    match schema {
        Value::Object(entries) => {
            if let Some(name) = entries.get("$ref").and_then(Value::as_str) {
                let name = name.trim_start_matches(DEFINITIONS);
                if let Some(one) = FORMS.iter().find_map(|kind| kind.named(name)) {
                    definitions.entry(name).or_insert(one);
                }
            }
            entries.values().for_each(|one| gather(one, definitions));
        }
        Value::Array(items) => items.iter().for_each(|one| gather(one, definitions)),
        _ => {}
    }
}

/// Where the definitions of a schema stand.
const DEFINITIONS: &str = "#/$defs/";

fn property(field: &Field) -> Value {
    let mut property = match field.kind {
        FieldKind::Doubted(info, _) => Form::Doubted.reference(info),
        FieldKind::Definite(info) => Form::Definite.reference(info),
        FieldKind::Rated(info) => Form::Rated.reference(info),
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

/// What may be said of a quantity where it is asked for.
#[derive(Clone, Copy)]
enum Form {
    /// A value, with or without its doubt.
    Doubted,
    /// One value.
    Definite,
    /// Two ends.
    Rated,
}

const FORMS: &[Form] = &[Form::Doubted, Form::Definite, Form::Rated];

impl Form {
    fn reference(self, info: DimensionInfo) -> Value {
        json!({ "$ref": format!("{DEFINITIONS}{}", self.name(info)) })
    }

    fn name(self, info: DimensionInfo) -> String {
        let noun = info.noun.replace(' ', "-");
        match self {
            Self::Doubted => noun,
            Self::Definite => format!("one-{noun}"),
            Self::Rated => format!("range-of-{noun}"),
        }
    }

    fn named(self, name: &str) -> Option<Value> {
        let info = DIMENSIONS.iter().find(|info| self.name(**info) == name)?;
        Some(self.quantity(*info))
    }

    /// A quantity in quotes, or its long form.
    fn quantity(self, info: DimensionInfo) -> Value {
        let short = json!({ "type": "string", "pattern": self.pattern(info), "examples": self.examples(info) });
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

    /// Never stricter than `quantity::text`; where that looks at the numbers themselves (a range
    /// that runs downwards, a percent that can be read two ways) the pattern lets pass.
    fn pattern(self, info: DimensionInfo) -> String {
        let unit = spelled(info);
        let bare = if is_ratio(info) { "?" } else { "" };
        let value = format!("{NUMBER}\\s*{unit}{bare}");
        let range = format!("{NUMBER}\\s*{unit}?\\s*\\.\\.(?!\\.)\\s*{value}");
        let doubt = format!(
            "{value}\\s*{DOUBT}\\s*{NUMBER}\\s*(%|{unit}){bare}|{NUMBER}\\s*{DOUBT}\\s*{value}"
        );
        let factor = format!("{value}\\s*{FACTOR}\\s*(e\\^)?{NUMBER}");
        let whole = match self {
            Self::Doubted => format!("{value}|{doubt}|{factor}|{range}"),
            Self::Definite => value,
            Self::Rated => range,
        };
        format!("^\\s*({whole})\\s*$")
    }

    fn examples(self, info: DimensionInfo) -> Vec<String> {
        let (value, doubt, range) = usual(info);
        let with_unit = |number: &str| format!("{number} {}", info.units[0].symbol);
        match self {
            Self::Doubted => vec![
                with_unit(&format!("{value} ± {doubt}")),
                with_unit(value),
                with_unit(range),
            ],
            Self::Definite => vec![with_unit(value)],
            // Cells are the ratio that is rated, and they are counted.
            Self::Rated if is_ratio(info) => vec!["2..6".to_owned()],
            Self::Rated => vec![with_unit(range)],
        }
    }
}

/// A number as `quantity::text` reads it.
const NUMBER: &str = "[+\\-−]?([0-9]+(\\.[0-9]+)?|\\.[0-9]+)([eE][+\\-]?[0-9]+)?";
/// Spellings of `±`.
const DOUBT: &str = "(±|\\+\\/?[\\-−])";
/// Spellings of `×/÷`.
const FACTOR: &str = "(×\\/÷|×÷|×\\/|x\\/÷|x\\/|X\\/|\\*\\/)";

fn is_ratio(info: DimensionInfo) -> bool {
    info == DimensionInfo::of::<Ratio>()
}

/// Every spelling of the units of a dimension, the longer ones first.
fn spelled(info: DimensionInfo) -> String {
    let mut spellings: Vec<String> = info
        .units
        .iter()
        .flat_map(|unit| {
            [unit.symbol]
                .into_iter()
                .chain(unit.aliases.iter().copied())
        })
        .filter(|spelling| !spelling.is_empty())
        .map(escaped)
        .collect();
    spellings.sort_by_key(|unit| std::cmp::Reverse(unit.len()));
    format!("({})", spellings.join("|"))
}

/// A value, its doubt and a range as they are met at a bench, in the usual unit.
fn usual(info: DimensionInfo) -> (&'static str, &'static str, &'static str) {
    match info.noun {
        "mass" => ("28.4", "0.2", "26..30"),
        "length" => ("50", "5", "40..60"),
        "time" => ("20", "5", "10..35"),
        "force" => ("0.32", "0.02", "0.25..0.35"),
        "power" => ("4.5", "0.5", "3..5.5"),
        "voltage" => ("6.8", "0.05", "7..26"),
        "current" => ("12", "1", "10..15"),
        "charge" => ("450", "15", "420..460"),
        "rotation speed" => ("25000", "200", "23000..27000"),
        "velocity constant" => ("19500", "600", "18000..21000"),
        "ratio" => ("85", "3", "80..92"),
        "wire gauge" => ("22", "1", "20..24"),
        "bit rate" => ("115200", "100", "9600..115200"),
        "discharge rate" => ("75", "10", "60..90"),
        _ => ("18", "4", "14..25"),
    }
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
