use basis::Place;

use super::*;

const JOB: &str = include_str!("../../../../demo/boat-shed.toml");

fn job() -> Job {
    crate::read_job(JOB, "boat-shed.toml", &|_| Err("none".into())).report.value.unwrap()
}

const FILE: &str = r#"as_built = 1
[survey]
lines_file = "lines.csv"
[[setup]]
name = "after"
backsight = { on = "spike in the oak", reading = "4 ft" }
shots = [["1", "4 ft", "6 ft", "4 ft 7 1/4 in"]]
[[line]]
name = "a"
from = ["4 ft", "22 ft"]
to = ["36 ft", "22 ft"]
spacing = "1 ft"
setup = "after"
[[line]]
name = "b"
from = ["4 ft", "26 ft"]
to = ["36 ft", "26 ft"]
spacing = "1 ft"
heights = ["0 in", "1/8 in", "1/16 in"]
noise = "0.01 in"
"#;
const LINES: &str = "line,station [ft],reading [in]\na,0,55.25\na,1,55.5\na,2,55\n";

fn read(text: &str, lines: &str) -> ParsedAsBuilt {
    let lines = lines.to_owned();
    read_as_built(text.as_bytes(), "after.toml", &job(), &move |_| Ok(lines.clone().into_bytes()))
}

fn codes(text: &str, lines: &str) -> Vec<&'static str> {
    read(text, lines).report.notes.iter().map(|n| n.code).filter(|c| *c != "misclosure-spread").collect()
}

#[test]
fn lines_are_read_from_file_and_table() {
    let survey = read(FILE, LINES).report.value.unwrap();
    assert_eq!((survey.setups.len(), survey.lines.len()), (1, 2));
    let LineReadings::Rod { setup: 0, readings } = &survey.lines[0].readings else { panic!("{survey:?}") };
    assert_eq!(readings[1].0, RodReading::Rod(Length::inches(55.5)));
    assert_eq!(readings[1].1, Place::at("survey.lines_file[1]"));
    let LineReadings::Heights { heights, noise } = &survey.lines[1].readings else { panic!("{survey:?}") };
    assert_eq!((heights.len(), *noise), (3, Some(Length::inches(0.01))));
}

#[test]
fn bad_lines_are_told_with_their_place() {
    for (from, to, code) in [
        ("a,1,", "a,2,", "line-spacing-off"),
        ("a,2,", "a,1,", "stations-out-of-order"),
        ("a,1,", "c,1,", "unknown-line"),
        ("a,1,55.5", "a,1", "wrong-count"),
        ("a,1,55.5", "a,1,", "empty-cell"),
        ("a,1,55.5", "a,1,5 lb", "not-a-quantity"),
        ("station [ft]", "station [acre]", "unknown-unit"),
        ("station [ft]", "sation [ft]", "unknown-column"),
    ] {
        let parsed = read(FILE, &LINES.replacen(from, to, 1));
        let note = parsed.report.notes.iter().find(|n| n.code == code);
        let note = note.unwrap_or_else(|| panic!("{from} for {to}: {:?}", parsed.report.notes));
        assert!(parsed.report.value.is_none());
        let at = parsed.source.locate(&note.place).and_then(|span| parsed.source.position(span)).unwrap();
        assert_eq!(at.file, "lines.csv", "{code}");
    }
}

#[test]
fn bad_files_are_told() {
    for (from, to, code) in [
        ("as_built = 1", "as_built = 2", "wrong-version"),
        ("as_built = 1", "", "missing-version"),
        ("setup = \"after\"", "setup = \"afer\"", "unknown-setup"),
        ("setup = \"after\"", "", "line-unclear"),
        ("heights = [\"0 in\", \"1/8 in\", \"1/16 in\"]", "", "line-unclear"),
        ("name = \"b\"", "name = \"a\"", "double-name"),
        ("to = [\"36 ft\", \"26 ft\"]", "to = [\"4 ft\", \"26 ft\"]", "line-without-direction"),
        ("spacing = \"1 ft\"", "spacing = \"1 m\"", "unknown-word"),
        ("spike in the oak", "spike in the ok", "unknown-point"),
        ("\"1/8 in\"", "0.125", "bare-number"),
    ] {
        assert!(codes(&FILE.replacen(from, to, 1), LINES).contains(&code), "{to} for {from}");
    }
    let none = read_as_built(FILE.as_bytes(), "after.toml", &job(), &|_| Err("gone".into()));
    assert_eq!(none.report.notes[0].code, "no-lines-file");
    assert!(codes("", LINES).contains(&"empty-file"));
}

/// A demonstration floor as built, read with what stands beside it.
fn demo(name: &str) -> (Job, pour::plan::Plan, AsBuiltSurvey) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let text = |path: String| std::fs::read(folder.join(path)).map_err(|why| why.to_string());
    let bytes = text(format!("{name}.toml")).unwrap();
    let job = crate::read_job_bytes(&bytes, name, &|n| text(n.to_owned())).report.value.unwrap();
    let plan = pour::plan::plan(&Job { weather: None, ..job.clone() }, 1).value.unwrap();
    let parsed = read_as_built(&text(format!("as-built/{name}.toml")).unwrap(), name, &job, &|n| {
        text(format!("as-built/{n}"))
    });
    (job, plan, parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes)))
}

fn codes_of(report: &Report<pour::asbuilt::AsBuilt>) -> Vec<&'static str> {
    report.notes.iter().map(|n| n.code).collect()
}

/// The demonstration floors were made with a birdbath and a roughness of their own: both are found, figured from the design because
/// both floors fall, and the report keeps to its schema.
#[test]
fn demos_are_figured() {
    for (name, dip) in
        [("boat-shed", ground::P2::new(8.534, 10.058)), ("bakery-yard", ground::P2::new(9.4, 2.2))]
    {
        let (job, plan, survey) = demo(name);
        let report = pour::asbuilt::as_built(&job, &plan, &survey);
        let built = report.value.clone().unwrap_or_else(|| panic!("{:?}", report.notes));
        let (top, profiles) = (built.top.as_ref().unwrap(), built.profiles.as_ref().unwrap());
        let near = top.ponding.birdbaths.iter().any(|b| b.lowest.distance(dip) < 0.7);
        assert!(near, "{name}: {:?}", top.ponding.birdbaths);
        // Shots in a dip bear each other out.
        assert!(!report.notes.iter().any(|note| note.code == "wild-shot"), "{name}: {:?}", report.notes);
        assert_eq!(profiles.figured, pour::asbuilt::Figured::FromDesign);
        let flatness = profiles.section.flatness;
        assert!(flatness.range.low < flatness.number && flatness.number < flatness.ceiling, "{flatness:?}");
        let ways: f64 =
            top.drains.ways.iter().map(|w| w.1).sum::<f64>() + top.drains.into_birdbaths + top.drains.stands;
        assert!((ways - 1.0).abs() < 1e-9, "{name}: {:?}", top.drains);
        let json = crate::as_built_json(&job, &built, &report.notes);
        assert_eq!(json["profiles"]["flatness"]["number"]["value"], flatness.number);
        crate::plan_json::keeps_to(&json, &crate::as_built_schema());
    }
}

/// Slips of a hand in the file of the finished floor: each is told, none breaks.
#[test]
fn slips_on_the_floor_are_told() {
    let (job, plan, survey) = demo("boat-shed");
    let figured = |change: &dyn Fn(&mut AsBuiltSurvey)| {
        let mut slipped = survey.clone();
        change(&mut slipped);
        pour::asbuilt::as_built(&job, &plan, &slipped)
    };
    let rod = |s: &mut AsBuiltSurvey, i: usize, by: f64| {
        if let RodReading::Rod(reading) = &mut s.setups[0].shots[i].reading {
            *reading += Length::inches(by);
        }
    };
    // A reading 2 in. too small puts a shot high; 8 in. too large puts it below the base.
    assert!(codes_of(&figured(&|s| rod(s, 30, -2.0))).contains(&"wild-shot"));
    assert!(codes_of(&figured(&|s| rod(s, 30, 8.0))).contains(&"as-built-below-base"));
    let all_low = figured(&|s| {
        (0..s.setups[0].shots.len()).for_each(|i| rod(s, i, 8.0));
    });
    assert!(all_low.value.is_none() && codes_of(&all_low).contains(&"floor-below-base"));
    let wild = figured(&|s| {
        if let LineReadings::Heights { heights, .. } = &mut s.lines[2].readings {
            heights[15] += Length::inches(1.0);
        }
    });
    assert!(codes_of(&wild).contains(&"wild-reading"));
    let told = &wild.value.unwrap().profiles.unwrap();
    assert_eq!((told.wild[0].line.as_str(), told.wild[0].reading), ("across 3", 16));
    assert!(told.wild[0].flatness_without > 1.2 * told.section.flatness.number);
    assert!(codes_of(&figured(&|s| s.lines[0].spacing = Spacing::Metric)).contains(&"spacings-mixed"));
    assert!(
        codes_of(&figured(&|s| s.setups[0].shots[3].at = ground::P2::new(-3.0, -3.0)))
            .contains(&"as-built-shot-off-the-floor")
    );
    let nothing = pour::asbuilt::as_built(&job, &plan, &AsBuiltSurvey::default());
    assert_eq!(codes_of(&nothing), ["nothing-as-built"]);
    let lines_only = figured(&|s| s.setups.clear());
    assert!(lines_only.value.is_some_and(|b| b.top.is_none() && b.profiles.is_some()));
    let shots_only = figured(&|s| s.lines.clear());
    assert!(shots_only.value.is_some_and(|b| b.top.is_some() && b.profiles.is_none()));
    let no_noise = figured(&|s| {
        s.lines.iter_mut().for_each(|l| {
            if let LineReadings::Heights { noise, .. } = &mut l.readings {
                *noise = None;
            }
        });
    });
    assert!(codes_of(&no_noise).contains(&"line-noise-unknown"));
    assert!(no_noise.value.unwrap().profiles.unwrap().section.flatness.ceiling.is_infinite());
}

/// The page tells every key of the file; the schemas in the tree are those printed.
#[test]
fn page_and_schemas_keep_up() {
    let page = include_str!("../../../../docs/as-built-file.md");
    for key in [
        "as_built",
        "shots_file",
        "lines_file",
        "setup",
        "name",
        "from",
        "to",
        "spacing",
        "readings",
        "heights",
        "noise",
    ] {
        assert!(page.contains(key), "docs/as-built-file.md does not tell {key}");
    }
    let in_tree = |text: &str| -> serde_json::Value { serde_json::from_str(text).unwrap() };
    let kept = in_tree(include_str!("../../../../schema/as-built.schema.json"));
    assert!(
        kept == crate::as_built_file_schema(),
        "cargo run -p cli -- schema as-built > schema/as-built.schema.json"
    );
    let kept = in_tree(include_str!("../../../../schema/close.schema.json"));
    assert!(kept == crate::as_built_schema(), "cargo run -p cli -- schema close > schema/close.schema.json");
}
