//! The JSON Schemas of the job file and the plan's report by jsonschema, and whether they judge as our own code does.

use house::{program, python, tree};
use serde_json::{Value, json};

fn faults(texts: &[String]) -> Vec<Vec<String>> {
    let forms = vec!["toml"; texts.len()];
    let question = json!({"schema": formats::job_schema(), "texts": texts, "forms": forms});
    let answer = python::ask("schema", &question);
    serde_json::from_value(answer["faults"].clone()).expect("a list of faults for each text")
}

#[test]
fn every_demo_and_the_starter_meet_the_schema() {
    let mut texts: Vec<String> = tree::demo_jobs().iter().map(|path| tree::text(path)).collect();
    assert!(texts.len() >= 3, "only {} demos", texts.len());
    texts.push(formats::starter().to_owned());
    for (text, faults) in texts.iter().zip(faults(&texts)) {
        assert!(faults.is_empty(), "{}: {faults:?}", text.lines().next().unwrap_or_default());
    }
}

/// The demonstration rate books and the blank one that `new --rates` writes, by the schema of rate books; spoilt ones not.
#[test]
fn every_rate_book_meets_its_schema_and_a_spoilt_one_does_not() {
    let mut texts: Vec<String> =
        tree::files("demo/rates", &["toml"]).iter().map(|path| tree::text(path)).collect();
    assert!(texts.len() >= 2, "only {} rate books", texts.len());
    texts.push(formats::starter_rates().to_owned());
    let sound = texts.len();
    let spoil = |from: &str, to: &str| {
        assert!(texts[0].contains(from), "{from} is not in the book");
        texts[0].replacen(from, to, 1)
    };
    let spoilt = [spoil("[book]", "[books]"), spoil("price = \"", "price = 4 #\"")];
    texts.extend(spoilt);
    let forms = vec!["toml"; texts.len()];
    let answer =
        python::ask("schema", &json!({"schema": formats::rates_schema(), "texts": texts, "forms": forms}));
    let faults: Vec<Vec<String>> = serde_json::from_value(answer["faults"].clone()).expect("a list a text");
    for (i, faults) in faults.iter().enumerate() {
        assert_eq!(faults.is_empty(), i < sound, "book {i}: {faults:?}");
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let good = tree::text(&tree::root().join("demo/patio.toml"));
    let bad: Vec<String> = [
        ("nominal = \"4 in\"", "nominal = 4"),
        ("flatwright = 1", ""),
        ("units = \"us\"", "units = \"cubits\""),
        ("[slab]", "[slabs]"),
        ("truck = \"9 yd3\"", "truck = true"),
        ("at = [\"0 ft\", \"0 ft\"]", "at = [\"0 ft\"]"),
    ]
    .map(|(from, to)| good.replacen(from, to, 1))
    .to_vec();
    for (text, faults) in bad.iter().zip(faults(&bad)) {
        assert_ne!(*text, good);
        let parsed = formats::read_job(text, "patio.toml", &|_| Err(String::new()));
        assert!(basis::report::has_fault(&parsed.report.notes), "the reader takes:\n{text}");
        assert!(!faults.is_empty(), "the schema takes what the reader refuses: {:?}", parsed.report.notes);
    }
}

#[test]
fn the_schema_in_the_tree_is_the_one_that_the_program_prints() {
    let kept: Value = serde_json::from_str(&tree::text(&tree::root().join("schema/job.schema.json")))
        .expect("schema/job.schema.json is JSON");
    let printed: Value = serde_json::to_value(formats::job_schema()).expect("a schema is JSON");
    assert_eq!(kept, printed);
}

fn planned(demo: &str) -> Value {
    let text = tree::text(&tree::root().join("demo").join(demo));
    let fetch = |name: &str| Ok(tree::text(&tree::root().join("demo").join(name)).into_bytes());
    let job = formats::read_job(&text, demo, &fetch).report.value.expect("the demo reads");
    let plan = pour::plan::plan(&job, 1);
    let value = plan.value.expect("the demo plans");
    formats::plan_json(&job, &value, &plan.notes)
}

#[test]
fn every_demos_report_meets_its_schema_and_a_spoilt_one_does_not() {
    let demos = ["boat-shed.toml", "bakery-yard.toml", "patio.toml"];
    let mut reports: Vec<Value> = demos.iter().map(|demo| planned(demo)).collect();
    let mut spoilt = reports[0].clone();
    spoilt["order"]["need"]["total"]["unit"] = json!("yd3");
    reports.push(spoilt);
    let texts: Vec<String> = reports.iter().map(Value::to_string).collect();
    let question =
        json!({"schema": formats::plan_schema(), "texts": texts, "forms": vec!["json"; texts.len()]});
    let told: Vec<Vec<String>> = serde_json::from_value(python::ask("schema", &question)["faults"].clone())
        .expect("a list of faults for each text");
    for (demo, faults) in demos.iter().zip(&told) {
        assert!(faults.is_empty(), "{demo}: {faults:?}");
    }
    assert_eq!(told[3].len(), 1, "{:?}", told[3]);
}

#[test]
fn the_report_of_every_demo_meets_its_schema_and_a_spoilt_one_does_not() {
    let printed = |arguments: &[&str]| {
        let output = program::run(arguments);
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let schema: Value = serde_json::from_str(&printed(&["schema", "plan"])).expect("a schema is JSON");
    let demos = tree::demo_jobs();
    let mut texts: Vec<String> =
        demos.iter().map(|path| printed(&["plan", &tree::shown(path), "--json"])).collect();
    let mut spoilt: Value = serde_json::from_str(&texts[0]).expect("a report is JSON");
    let first =
        spoilt.as_object().and_then(|report| report.keys().next().cloned()).expect("a report has fields");
    spoilt.as_object_mut().expect("a report has fields").remove(&first);
    texts.push(spoilt.to_string());
    let forms = vec!["json"; texts.len()];
    let answer = python::ask("schema", &json!({"schema": schema, "texts": texts, "forms": forms}));
    let mut faults: Vec<Vec<String>> =
        serde_json::from_value(answer["faults"].clone()).expect("lists of faults");
    assert!(faults.pop().is_some_and(|found| !found.is_empty()), "a report without `{first}` passes");
    for (path, found) in demos.iter().zip(faults) {
        assert!(found.is_empty(), "{}: {found:#?}", tree::shown(path));
    }
}

/// The clock's report, as planned, on a day under way and of two floors.
#[test]
fn the_report_of_the_clock_meets_its_schema_and_a_spoilt_one_does_not() {
    let printed = |arguments: &[&str]| {
        let output = program::run(arguments);
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let schema: Value = serde_json::from_str(&printed(&["schema", "clock"])).expect("a schema is JSON");
    let shed = "demo/boat-shed.toml";
    let seen = ["--seen", "10:40 bay 1 print 1/4 in", "--seen", "load 2 at 7:58", "--now", "11:05"];
    let under_way: Vec<&str> = ["clock", shed, "--json"].into_iter().chain(seen).collect();
    let mut texts = vec![
        printed(&["clock", shed, "--json"]),
        printed(&under_way),
        printed(&["clock", shed, shed, "--json"]),
    ];
    let mut spoilt: Value = serde_json::from_str(&texts[0]).expect("a report is JSON");
    spoilt["day"]["answer"] = json!("perhaps");
    texts.push(spoilt.to_string());
    let forms = vec!["json"; texts.len()];
    let answer = python::ask("schema", &json!({"schema": schema, "texts": texts, "forms": forms}));
    let faults: Vec<Vec<String>> = serde_json::from_value(answer["faults"].clone()).expect("lists of faults");
    assert!(faults[..3].iter().all(Vec::is_empty), "{:?}", &faults[..3]);
    assert_eq!(faults[3].len(), 1, "{:?}", faults[3]);
    let told: Value = serde_json::from_str(&texts[1]).expect("a report is JSON");
    assert!(
        told["floors"][0]["learned"]["after"]["value"].as_f64()
            > told["floors"][0]["learned"]["before"]["value"].as_f64()
    );
}

/// The reports of the take-off and of the price, of every demo, as printed.
#[test]
fn the_reports_of_take_off_and_price_meet_their_schemas_and_spoilt_ones_do_not() {
    let printed = |arguments: &[&str]| {
        let output = program::run(arguments);
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let jobs: Vec<String> = tree::demo_jobs().iter().map(|path| tree::shown(path)).collect();
    let book = |job: &str| {
        let dollar = !job.contains("bakery");
        if dollar { "demo/rates/dollar.toml" } else { "demo/rates/euro.toml" }
    };
    let judged = |of: &str, texts: &[String]| -> Vec<Vec<String>> {
        let schema: Value = serde_json::from_str(&printed(&["schema", of])).expect("a schema is JSON");
        let forms = vec!["json"; texts.len()];
        let answer = python::ask("schema", &json!({"schema": schema, "texts": texts, "forms": forms}));
        serde_json::from_value(answer["faults"].clone()).expect("lists of faults")
    };
    let spoil = |text: &str, at: &str| {
        let mut report: Value = serde_json::from_str(text).expect("a report is JSON");
        *report.pointer_mut(at).expect("a field of the report") = json!("much");
        report.to_string()
    };
    let mut texts: Vec<String> = jobs.iter().map(|job| printed(&["takeoff", job, "--json"])).collect();
    texts.push(spoil(&texts[0], "/lines/0/bought/m3"));
    let mut faults = judged("takeoff", &texts);
    assert_eq!(faults.pop().map(|found| found.len()), Some(1));
    assert!(faults.iter().all(Vec::is_empty), "{faults:#?}");
    let price = |job: &String| printed(&["price", job, "--rates", book(job), "--option", "5 in", "--json"]);
    let mut texts: Vec<String> = jobs.iter().map(price).collect();
    texts.push(spoil(&texts[0], "/sheet/lines/0/amount"));
    let mut faults = judged("price", &texts);
    assert_eq!(faults.pop().map(|found| !found.is_empty()), Some(true));
    assert!(faults.iter().all(Vec::is_empty), "{faults:#?}");
}
