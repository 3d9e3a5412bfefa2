//! The schema, the table of keys and the reader agree, and the demos and the starter pass all three.

use std::collections::BTreeSet;

use basis::Place;
use serde_json::Value;
use toml::de::DeTable;

use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read, rendered};
use crate::job_toml::{Findings, Table};
use crate::keys::{JOB_FILE, for_each_table};
use crate::{job_schema, starter};

/// Every key of the job file at least once.
const EVERY_KEY: &str = include_str!("every_key.toml");

/// Checks the part of JSON Schema that the schema uses; gives the paths at fault.
pub(crate) fn check(schema: &Value, value: &Value, path: &str, wrong: &mut Vec<String>) {
    if let Some(constant) = schema.get("const") {
        if constant != value {
            wrong.push(format!("{path}: not {constant}"));
        }
    } else if let Some(words) = schema.get("enum").and_then(Value::as_array)
        && !words.contains(value)
    {
        wrong.push(format!("{path}: {value} is none of {words:?}"));
    }
    let types: Vec<&str> = match &schema["type"] {
        Value::String(one) => vec![one],
        Value::Array(many) => many.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    };
    let found = match value {
        Value::String(_) => "string",
        Value::Number(number) if number.is_i64() => "integer",
        Value::Number(_) => "number",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
        _ => "other",
    };
    let fits = types.contains(&found) || found == "integer" && types.contains(&"number");
    if !(types.is_empty() || fits) {
        wrong.push(format!("{path}: {found} instead of {types:?}"));
        return;
    }
    match value {
        Value::Array(items) => {
            let least = schema["minItems"].as_u64().unwrap_or(0) as usize;
            let most = schema["maxItems"].as_u64().map_or(usize::MAX, |most| most as usize);
            if !(least..=most).contains(&items.len()) {
                wrong.push(format!("{path}: {} items", items.len()));
            }
            for (index, item) in items.iter().enumerate() {
                let one = schema["prefixItems"].get(index).unwrap_or(&schema["items"]);
                check(one, item, &format!("{path}[{index}]"), wrong);
            }
        }
        Value::Object(fields) => {
            for key in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
                if !fields.contains_key(key) {
                    wrong.push(format!("{path}: no {key}"));
                }
            }
            for (key, field) in fields {
                match schema["properties"].get(key) {
                    Some(inner) => check(inner, field, &format!("{path}.{key}"), wrong),
                    None => wrong.push(format!("{path}: {key} is not known")),
                }
            }
        }
        _ => {}
    }
}

/// A TOML text as JSON, dates as text.
pub(crate) fn as_json(text: &str) -> Value {
    fn convert(value: &toml::Value) -> Value {
        match value {
            toml::Value::Datetime(time) => Value::String(time.to_string()),
            toml::Value::Array(items) => items.iter().map(convert).collect(),
            toml::Value::Table(table) => {
                Value::Object(table.iter().map(|(key, value)| (key.clone(), convert(value))).collect())
            }
            other => serde_json::to_value(other).expect("plain values are JSON"),
        }
    }
    convert(&toml::Value::Table(text.parse().expect("the text is TOML")))
}

fn faults_by_schema(text: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    check(&job_schema(), &as_json(text), "", &mut wrong);
    wrong
}

#[test]
fn demos_and_starter_pass_the_schema() {
    for text in [BOAT_SHED, BAKERY_YARD, PATIO, starter(), EVERY_KEY] {
        assert_eq!(faults_by_schema(text), Vec::<String>::new());
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    for (from, to) in [
        ("units = \"us\"", "units = \"feet\""),
        ("nominal = \"4 in\"", "nominal = 4"),
        ("width = \"14 ft\"", "widht = \"14 ft\""),
        ("people = 4", "people = \"4\""),
        ("at = [\"10 ft\", \"0 ft\"]", "at = [\"10 ft\"]"),
        ("flatwright = 1", "flatwright = 2"),
    ] {
        let text = BOAT_SHED.replacen(from, to, 1);
        assert_ne!(text, BOAT_SHED, "{from} is not in the demo");
        assert!(!faults_by_schema(&text).is_empty(), "the schema passes {to}");
        assert!(read(&text).report.value.is_none(), "the reader passes {to}");
    }
}

#[test]
fn the_starter_reads_without_a_note() {
    let parsed = read(starter());
    assert!(parsed.report.notes.is_empty(), "{}", rendered(&parsed));
}

/// The reader asks for each key of the table of keys, when every table is there.
#[test]
fn the_reader_asks_for_every_key() {
    let table = DeTable::parse(EVERY_KEY).expect("the text is TOML");
    let mut f = Findings::default();
    let root = Table::open(&JOB_FILE, table.get_ref(), Place::job(), 0..0, &mut f);
    let mut source = crate::SourceMap::default();
    let shots = |_: &str| Ok(b"x,y,reading,setup\n1 ft,1 ft,4 ft,one\n".to_vec());
    crate::job_toml::job(&root, &mut f, &mut source, &shots);
    // The table of the version is read before all others.
    f.asked.insert((JOB_FILE.doc, "flatwright"));
    let mut known = BTreeSet::new();
    for_each_table(&JOB_FILE, &mut |spec| known.extend(spec.keys.iter().map(|key| (spec.doc, key.name))));
    let idle: Vec<_> = known.difference(&f.asked).collect();
    assert!(idle.is_empty(), "in the table of keys, but never read: {idle:?}");
}

/// Editors read the file in the tree; `flatwright schema` prints the same.
#[test]
fn the_schema_in_the_tree_is_this_one() {
    let in_tree: Value = serde_json::from_str(include_str!("../../../schema/job.schema.json")).expect("JSON");
    assert!(in_tree == job_schema(), "write schema/job.schema.json anew: cargo run -p cli -- schema");
}
