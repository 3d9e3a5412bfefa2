//! The JSON Schema of the job file, made from the table of keys (draft 2020-12).

use serde_json::{Map, Value, json};

use crate::keys::{AS_BUILT_FILE, JOB_FILE, Key, Kind, Need, RATE_BOOK, TableSpec};

/// The JSON Schema of the job file, for editors that check TOML while it is written.
///
/// It knows keys, types, words and counts; units and cross-references are left to the reader.
#[must_use]
pub fn job_schema() -> Value {
    titled(of_table(&JOB_FILE), "Flatwright job file, layout 1")
}

/// The JSON Schema of the rate book.
#[must_use]
pub fn rates_schema() -> Value {
    let mut schema = of_table(&RATE_BOOK);
    let_blanks(&mut schema);
    titled(schema, "Flatwright rate book, layout 1")
}

/// The JSON Schema of the file of the finished floor.
#[must_use]
pub fn as_built_file_schema() -> Value {
    titled(of_table(&AS_BUILT_FILE), "Flatwright file of the finished floor, layout 1")
}

/// A rate may be `""`: a string with an example may be empty.
fn let_blanks(schema: &mut Value) {
    match schema {
        Value::Object(fields) => {
            if fields.contains_key("examples") {
                fields.remove("minLength");
            }
            fields.values_mut().for_each(let_blanks);
        }
        Value::Array(items) => items.iter_mut().for_each(let_blanks),
        _ => {}
    }
}

fn titled(mut schema: Value, title: &str) -> Value {
    if let Value::Object(fields) = &mut schema {
        fields.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
        fields.insert("title".to_owned(), json!(title));
    }
    schema
}

fn of_table(spec: &TableSpec) -> Value {
    let properties: Map<_, _> = spec.keys.iter().map(|key| (key.name.to_owned(), of_key(key))).collect();
    let required: Vec<_> =
        spec.keys.iter().filter(|key| key.need == Need::Required).map(|key| key.name).collect();
    json!({
        "type": "object",
        "description": spec.doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn of_key(key: &Key) -> Value {
    let mut schema = of_kind(&key.kind);
    if let Value::Object(fields) = &mut schema {
        fields.insert("description".to_owned(), json!(key.doc));
    }
    schema
}

/// A string that starts with what every quantity starts with: a number, or a word such as `up`.
fn written(example: &str) -> Value {
    json!({ "type": "string", "minLength": 1, "examples": [example] })
}

fn list(items: &Value, least: usize, most: Option<usize>) -> Value {
    let mut schema = json!({ "type": "array", "items": items, "minItems": least });
    if let (Value::Object(fields), Some(most)) = (&mut schema, most) {
        fields.insert("maxItems".to_owned(), json!(most));
    }
    schema
}

fn of_kind(kind: &Kind) -> Value {
    let length = written("4 ft 7 1/4 in");
    let point = list(&length, 2, Some(2));
    let spot = list(&length, 3, Some(3));
    match kind {
        Kind::Version => json!({ "const": 1 }),
        Kind::Text => json!({ "type": "string", "minLength": 1, "maxLength": 200 }),
        Kind::Texts => {
            json!({ "type": "array", "items": { "type": "string", "minLength": 1, "maxLength": 2000 } })
        }
        Kind::Zone => written("America/New_York"),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Count => json!({ "type": "integer", "minimum": 1, "maximum": 1000 }),
        Kind::Ratio => json!({ "type": "number", "exclusiveMinimum": 0, "maximum": 10 }),
        Kind::Quantity(measure, _) => written(measure.example()),
        Kind::Estimate(measure, _) => written(&format!("{0} +- {0}", measure.example())),
        Kind::Reading => {
            json!({ "type": "string", "minLength": 1, "examples": ["4 ft 7 1/4 in", "1402 mm", "up 1/2 in"] })
        }
        Kind::Direction => {
            json!({ "type": "string", "minLength": 1, "examples": ["right", "up", "left", "down", "30 deg"] })
        }
        Kind::Turn => {
            json!({ "type": "string", "pattern": "^\\s*(left|right|straight)\\b", "examples": ["left", "right 45 deg"] })
        }
        Kind::Arc => json!({ "type": "string", "pattern": "^\\s*(out|in)\\s", "examples": ["out 20 ft"] }),
        Kind::Point => point,
        Kind::Points(least) => list(&point, *least, None),
        Kind::Spots(least, most) => list(&spot, *least, (*most < usize::MAX).then_some(*most)),
        Kind::SpotLines => list(&list(&spot, 2, None), 0, None),
        Kind::Lengths => list(&length, 0, None),
        Kind::EdgeName => list(&json!({ "type": "string", "minLength": 1 }), 2, Some(2)),
        Kind::ShotRows => {
            let name = json!({ "type": ["string", "integer"] });
            let row = json!({
                "type": "array",
                "prefixItems": [name, length, length, written("4 ft 7 1/4 in"), { "enum": ["base", "form", "turn"] }],
                "minItems": 4,
                "maxItems": 5,
            });
            list(&row, 0, None)
        }
        // TOML has dates of its own; checkers of TOML hand them over as text.
        Kind::LocalTime => {
            json!({ "type": "string", "pattern": "^\\d{4}-\\d\\d-\\d\\d[T ]\\d\\d:\\d\\d(:\\d\\d)?$" })
        }
        Kind::DayTime => json!({ "type": "string", "pattern": "^\\d\\d:\\d\\d(:\\d\\d)?$" }),
        Kind::Table(spec) => of_table(spec),
        Kind::Tables(spec) => list(&of_table(spec), 0, None),
    }
}
