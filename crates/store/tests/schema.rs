//! The schemas accept what we ship and refuse what is wrong.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use quantity::{DIMENSIONS, DimensionInfo};
use serde_json::{Value, json};

/// A TOML file as JSON, for a validator that knows only JSON.
fn as_json(text: &str) -> Value {
    fn plain(value: &toml::de::DeValue<'_>) -> Value {
        use toml::de::DeValue;
        match value {
            DeValue::String(text) => json!(text),
            DeValue::Integer(number) => json!(number.as_str().parse::<i64>().expect("a number")),
            DeValue::Float(number) => json!(number.as_str().parse::<f64>().expect("a number")),
            DeValue::Boolean(flag) => json!(flag),
            DeValue::Array(items) => items.iter().map(|item| plain(item.get_ref())).collect(),
            DeValue::Table(table) => object(table),
            DeValue::Datetime(date) => json!(date.to_string()),
        }
    }
    fn object(table: &toml::de::DeTable<'_>) -> Value {
        Value::Object(
            table
                .iter()
                .map(|(key, item)| (key.get_ref().to_string(), plain(item.get_ref())))
                .collect(),
        )
    }
    object(toml::de::DeTable::parse(text).expect("TOML").get_ref())
}

fn accepts(schema: &Value, text: &str) -> bool {
    jsonschema::validator_for(schema)
        .expect("a schema")
        .is_valid(&as_json(text))
}

#[test]
fn checked_every_shipped_file_fits_its_schema() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../benches");
    let demos = ["loft-75", "hedge-3", "hull-85", "reed-gps"]
        .into_iter()
        .flat_map(|demo| store::disk::read_folder(&root.join(demo)).expect("a demo"));
    let (part, craft, refit) = (
        store::schema::part(),
        store::schema::craft(),
        store::schema::refit(),
    );
    for file in store::typical::files().chain(demos) {
        let schema = if file.path.ends_with(store::text::CRAFT_ENDING) {
            &craft
        } else if file.path.ends_with(store::text::REFIT_ENDING) {
            &refit
        } else {
            &part
        };
        assert!(accepts(schema, &file.text), "{}", file.path);
    }
}

#[test]
fn checked_wrong_files_do_not_fit() {
    let part = store::schema::part();
    assert!(accepts(&part, "[body]\nmass = \"5 g\"\n"));
    for wrong in [
        "[body]\nmass = 5\n",
        "[body]\nmass = \"5 V\"\n",
        "[body]\nmas = \"5 g\"\n",
        "[bdy]\n",
        "[plug]\nsize = \"xt31\"\n",
        "[frame]\nrotors = 0\n",
    ] {
        assert!(!accepts(&part, wrong), "{wrong}");
    }
}

/// A definition of a schema: its name, its schema, the dimension it is about.
type Definition = (String, Value, DimensionInfo);

/// Every quantity that a part, craft or refit file asks for.
fn definitions() -> Vec<Definition> {
    let schemas = [
        store::schema::part(),
        store::schema::craft(),
        store::schema::refit(),
    ];
    let named = |schema: &Value| schema["$defs"].as_object().expect("definitions").clone();
    let mut all: Vec<Definition> = Vec::new();
    for (name, schema) in schemas.iter().flat_map(named) {
        let noun = name
            .trim_start_matches("one-")
            .trim_start_matches("range-of-")
            .replace('-', " ");
        let info = DIMENSIONS.iter().find(|info| info.noun == noun);
        all.push((name, schema, *info.expect("a dimension")));
    }
    all
}

/// Whether the reader takes this text where the definition is asked for.
fn reader_takes(name: &str, info: DimensionInfo, text: &str) -> bool {
    let Ok(written) = quantity::text::read(text, info) else {
        return false;
    };
    if name.starts_with("range-of-") {
        written.ends().is_some()
    } else {
        !name.starts_with("one-") || written.value_and_doubt().1.is_none()
    }
}

#[test]
fn checked_every_example_is_read_and_fits_its_own_pattern() {
    let definitions = definitions();
    // Mass, length, voltage and ratio at least, in more than one form.
    assert!(definitions.len() > 10, "{}", definitions.len());
    for (name, schema, info) in definitions {
        let validator = jsonschema::validator_for(&schema).expect("a schema");
        let examples = schema["anyOf"][0]["examples"].as_array().expect("examples");
        for example in examples {
            let text = example.as_str().expect("text");
            assert!(reader_takes(&name, info, text), "{name}: {text}");
            assert!(validator.is_valid(example), "{name}: {text}");
            assert!(validator.is_valid(&json!({ "value": text, "source": "measured" })));
        }
    }
}

#[test]
fn checked_a_pattern_refuses_what_the_reader_refuses() {
    let schemas: Vec<_> = definitions();
    let refused = |name: &str, text: &str| {
        let (_, schema, info) = schemas
            .iter()
            .find(|definition| definition.0 == name)
            .expect("a definition");
        assert!(!reader_takes(name, *info, text), "the reader takes {text}");
        let validator = jsonschema::validator_for(schema).expect("a schema");
        assert!(!validator.is_valid(&json!(text)), "{name} takes {text}");
    };
    for text in [
        "5",
        "5 V",
        "5 gibberish",
        "g 5",
        "5 g g",
        "5 ± g",
        "5 g ± 4 g ± 1 g",
        "1,5 g",
        "",
        "5 G",
        "4 to 5 g",
    ] {
        refused("mass", text);
    }
    for text in ["7..26 V", "18 ± 4 V", "5 V ×/÷ 1.2"] {
        refused("one-voltage", text);
    }
    for text in ["7 V", "7 ± 1 V", "7...26 V", "7-26 V"] {
        refused("range-of-voltage", text);
    }
}

/// A quantity as a builder may type it, rightly or not quite.
fn typed(info: DimensionInfo) -> impl Strategy<Value = String> {
    let units: Vec<&str> = info
        .units
        .iter()
        .flat_map(|unit| {
            [unit.symbol]
                .into_iter()
                .chain(unit.aliases.iter().copied())
        })
        .chain(["", "", "%"])
        .collect();
    let number = || {
        prop::sample::select(vec![
            "18", "4", "0.5", ".5", "+3", "-3", "−3", "1e3", "2.5E-2", "7.", "1,5", "e^0.2",
        ])
    };
    let space = || prop::sample::select(vec!["", " ", "  ", "\u{a0}"]);
    let joint = prop::sample::select(vec![
        "", "", "±", "+-", "+/-", "+−", "×/÷", "x/", "*/", "..", "..", "..", "...", "to",
    ]);
    let unit = move || prop::sample::select(units.clone());
    (
        number(),
        space(),
        unit(),
        space(),
        joint,
        space(),
        number(),
        space(),
        unit(),
    )
        .prop_map(|(a, s1, u, s2, joint, s3, b, s4, v)| {
            if joint.is_empty() {
                format!("{a}{s1}{u}{s2}")
            } else {
                format!("{a}{s1}{u}{s2}{joint}{s3}{b}{s4}{v}")
            }
        })
}

/// An editor must never underline what the program reads.
#[test]
fn checked_no_pattern_is_stricter_than_the_reader() {
    for (name, schema, info) in definitions() {
        let validator = jsonschema::validator_for(&schema).expect("a schema");
        let mut taken = 0;
        let mut runner = proptest::test_runner::TestRunner::deterministic();
        for _ in 0..2000 {
            let text = typed(info).new_tree(&mut runner).expect("a text").current();
            if reader_takes(&name, info, &text) {
                taken += 1;
                assert!(validator.is_valid(&json!(text)), "{name}: `{text}`");
            }
        }
        // The comparison means something only if the reader took a fair number of them.
        assert!(taken > 20, "{name}: {taken}");
    }
}

#[test]
fn checked_a_starter_of_every_class_fits_the_schemas() {
    for class in craft::AirframeClass::ALL {
        for (path, text) in store::starter::bench(*class, "mine", &store::starter::Known::default())
        {
            let schema = if path.ends_with(store::text::CRAFT_ENDING) {
                store::schema::craft()
            } else if path.ends_with(store::text::REFIT_ENDING) {
                store::schema::refit()
            } else {
                store::schema::part()
            };
            assert!(accepts(&schema, &text), "{} {path}", class.word());
        }
    }
}
