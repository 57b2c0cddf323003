//! The schemas accept what we ship and refuse what is wrong.

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
    let demos = ["loft-75", "hedge-3", "hull-85"]
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
