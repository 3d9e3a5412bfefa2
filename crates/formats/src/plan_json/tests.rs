use std::collections::BTreeSet;

use pour::plan::plan;
use serde_json::Value;

use super::{plan_json, plan_schema, units};
use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read};

fn report(text: &str) -> Value {
    let job = read(text).report.value.expect("the demo reads");
    let planned = plan(&job, 1);
    let notes = planned.notes;
    plan_json(&job, &planned.value.expect("the demo plans"), &notes)
}

/// Follows a reference into the definitions.
fn resolved<'a>(schema: &'a Value, root: &'a Value) -> &'a Value {
    match schema["$ref"].as_str() {
        Some(path) => root.pointer(path.trim_start_matches('#')).expect("the definition is there"),
        None => schema,
    }
}

/// Holds keys, units and kinds of a value against the schema, both ways; gives the paths at fault.
fn differences(value: &Value, schema: &Value, root: &Value, path: &str, wrong: &mut Vec<String>) {
    let mut schema = resolved(schema, root);
    if let Some(choices) = schema["anyOf"].as_array() {
        if value.is_null() {
            return;
        }
        schema = resolved(&choices[0], root);
    }
    match value {
        Value::Object(fields) => {
            let named: BTreeSet<_> =
                schema["properties"].as_object().into_iter().flat_map(|p| p.keys()).collect();
            let found: BTreeSet<_> = fields.keys().collect();
            if named != found {
                wrong.push(format!("{path}: {found:?} against {named:?}"));
            }
            for (key, field) in fields {
                differences(field, &schema["properties"][key], root, &format!("{path}.{key}"), wrong);
            }
        }
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                differences(item, &schema["items"], root, &format!("{path}[{i}]"), wrong);
            }
        }
        single => single_differs(single, schema, path, wrong),
    }
}

/// Panics with the paths at which a report does not keep to a schema.
pub(crate) fn keeps_to(report: &Value, schema: &Value) {
    let mut wrong = Vec::new();
    differences(report, schema, schema, "", &mut wrong);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn single_differs(value: &Value, schema: &Value, path: &str, wrong: &mut Vec<String>) {
    if schema.get("const").is_some_and(|constant| constant != value) {
        wrong.push(format!("{path}: {value} is not {}", schema["const"]));
    }
    if schema["enum"].as_array().is_some_and(|words| !words.contains(value)) {
        wrong.push(format!("{path}: {value} is none of {}", schema["enum"]));
    }
    if value.is_null() && !schema["type"].as_array().is_some_and(|types| types.contains(&"null".into())) {
        wrong.push(format!("{path}: null"));
    }
}

#[test]
fn the_demos_have_exactly_the_keys_of_the_schema() {
    let schema = plan_schema();
    for text in [BOAT_SHED, BAKERY_YARD, PATIO] {
        let mut wrong = Vec::new();
        differences(&report(text), &schema, &schema, "", &mut wrong);
        assert_eq!(wrong, Vec::<String>::new());
    }
}

#[test]
fn the_walker_finds_what_is_wrong() {
    let schema = plan_schema();
    let good = report(PATIO);
    let count = |report: &Value| {
        let mut wrong = Vec::new();
        differences(report, &schema, &schema, "", &mut wrong);
        wrong.len()
    };
    for (path, bad) in [
        ("/order/need/total/unit", Value::from("yd3")),
        ("/bays/bays/0/way_out", Value::from("ladder")),
        ("/report", Value::from(2)),
        ("/floor/area", serde_json::json!({ "value": 1.0 })),
    ] {
        let mut report = good.clone();
        *report.pointer_mut(path).expect("the path is in the report") = bad;
        assert_eq!(count(&report), 1, "{path}");
    }
}

/// The report tells the engine's own numbers: in m³, and in metres with the words for the stick.
#[test]
fn numbers_are_those_of_the_plan() {
    let job = read(BOAT_SHED).report.value.expect("the demo reads");
    let planned = plan(&job, 1).value.expect("the demo plans");
    let report = plan_json(&job, &planned, &[]);
    let total = planned.order.need.total.mean.in_cubic_metres();
    assert_eq!(report["order"]["need"]["total"]["value"].as_f64(), Some(total));
    let words = report["pads"]["pads"][0]["reading"]["text"].as_str().expect("words");
    assert!(!words.is_empty() && words.chars().any(|c| c.is_ascii_digit()), "{words}");
    assert_eq!(report["assumed"].as_array().map(Vec::len), Some(job.assumed.len()));
    assert_eq!(report["shots"].as_array().map(Vec::len), Some(planned.levelled.shots.len()));
}

#[test]
fn what_is_no_number_is_null() {
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(units::number(value).is_null());
    }
    assert_eq!(units::number(-0.0).to_string(), "0.0");
}

#[test]
fn the_same_job_gives_the_same_text() {
    assert_eq!(report(PATIO).to_string(), report(PATIO).to_string());
}

/// Other programs read the file in the tree; `flatwright schema plan` prints the same.
#[test]
fn the_schema_in_the_tree_is_this_one() {
    let in_tree: Value =
        serde_json::from_str(include_str!("../../../../schema/plan.schema.json")).expect("JSON");
    assert!(in_tree == plan_schema(), "write schema/plan.schema.json anew: cargo run -p cli -- schema plan");
}

#[test]
fn the_sweeps_schema_in_the_tree_is_this_one_and_a_report_keeps_to_it() {
    let in_tree: Value =
        serde_json::from_str(include_str!("../../../../schema/sweep.schema.json")).expect("JSON");
    let schema = super::sweep_schema();
    assert!(in_tree == schema, "write schema/sweep.schema.json anew: cargo run -p cli -- schema sweep");
    let job = read(BAKERY_YARD).report.value.expect("the demo");
    let floor = pour::plan::plan(&pour::Job { weather: None, ..job.clone() }, 1).value.expect("its plan");
    let swept = pour::plan::swept(&job, &floor, &pour::sweep::Asked::default(), 1);
    let report = super::sweep_json(&job, swept.value.as_ref().expect("a sweep"), &swept.notes);
    let mut wrong = Vec::new();
    differences(&report, &schema, &schema, "", &mut wrong);
    assert!(wrong.is_empty(), "{wrong:#?}");
    // The demo has 55 hours; its last ones are not covered to the finish.
    let count = |list: &str| report[list].as_array().map_or(0, Vec::len);
    assert_eq!(count("starts") + count("unscored"), 55);
    assert!(count("unscored") > 0 && report["best"].is_string());
    assert_eq!(report["starts"][0]["finishing"]["unit"], "s");
}

#[test]
fn the_schemas_of_take_off_and_price_in_the_tree_are_those_printed() {
    let in_tree = |text: &str| -> Value { serde_json::from_str(text).expect("JSON") };
    let kept = in_tree(include_str!("../../../../schema/takeoff.schema.json"));
    assert!(
        kept == super::takeoff_schema(),
        "cargo run -p cli -- schema takeoff > schema/takeoff.schema.json"
    );
    let kept = in_tree(include_str!("../../../../schema/price.schema.json"));
    assert!(kept == super::price_schema(), "cargo run -p cli -- schema price > schema/price.schema.json");
}

#[test]
fn the_clocks_schema_in_the_tree_is_this_one() {
    let in_tree: Value =
        serde_json::from_str(include_str!("../../../../schema/clock.schema.json")).expect("JSON");
    assert!(
        in_tree == super::clock_schema(),
        "write schema/clock.schema.json anew: cargo run -p cli -- schema clock"
    );
}
