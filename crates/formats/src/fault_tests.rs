//! Bad job files: each fault with its code, its line and column, and all at once.

use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read, rendered};
use crate::{LARGEST_FILE, Parsed, read_job_bytes};

/// Codes with line and column, in the order told.
fn told(parsed: &Parsed) -> Vec<(&'static str, usize, usize)> {
    let notes = parsed.report.notes.iter();
    notes
        .map(|note| {
            let at = parsed.source.locate(&note.place).and_then(|span| parsed.source.position(span));
            at.map_or((note.code, 0, 0), |at| (note.code, at.line, at.column))
        })
        .collect()
}

/// The patio with one piece replaced.
fn patio(from: &str, to: &str) -> String {
    assert!(PATIO.contains(from), "{from} is not in the demo");
    PATIO.replacen(from, to, 1)
}

/// Line of the patio on which this text first stands.
fn line_of(text: &str, part: &str) -> usize {
    text.lines().position(|line| line.contains(part)).expect("the part is there") + 1
}

#[test]
fn one_slip_is_one_fault_at_its_place() {
    // What is replaced, by what, the code, and the column at which the caret starts.
    let cases = [
        ("nominal = \"4 in\"", "nominal = 4", "bare-number", 11),
        ("nominal = \"4 in\"", "nominal = \"4\"", "bare-number", 11),
        ("nominal = \"4 in\"", "nominal = \"4 ft3\"", "", 11),
        ("nominal = \"4 in\"", "nominal = \"-4 in\"", "out-of-range", 11),
        ("nominal = \"4 in\"", "nominal = \"0 in\"", "out-of-range", 11),
        ("nominal = \"4 in\"", "nominal = \"4 furlongs\"", "not-a-quantity", 11),
        ("nominal = \"4 in\"", "nominal = \"1 ft 14 in\"", "not-a-quantity", 11),
        ("nominal = \"4 in\"", "nominal = \"NaN in\"", "", 11),
        ("nominal = \"4 in\"", "nominal = \"inf in\"", "", 11),
        ("nominal = \"4 in\"", "nominal = \"1e300 in\"", "", 11),
        ("nominal = \"4 in\"", "nominal = \"99999999999 ft\"", "out-of-range", 11),
        ("nominal = \"4 in\"", "nominal = true", "wrong-type", 11),
        ("nominal = \"4 in\"", "nominal = nan", "bare-number", 11),
        ("nominal = \"4 in\"", "nominal = [\"4 in\"]", "wrong-type", 11),
        ("nominal = \"4 in\"", "nominal = \"4 in\"\nnomnal = \"4 in\"", "unknown-key", 1),
        ("zone = \"America/New_York\"", "zone = \"America/New York\"", "unknown-zone", 8),
        ("units = \"us\"", "units = \"US\"", "unknown-word", 9),
        ("kind = \"wall\"", "kind = \"walls\"", "unknown-word", 8),
        ("to = \"left back\"", "to = \"nobody\"\n#", "", 1),
        ("from = \"right back\"", "from = \"nobody\"\n#", "", 1),
        ("toward = \"down\"", "toward = \"south\"", "", 10),
        ("name = \"left back\"", "name = \"left front\"", "", 1),
        ("on = \"kitchen sill\"", "on = \"kitchen sil\"", "unknown-point", 20),
        ("facing = \"left\"", "facing = 90", "bare-number", 10),
        ("at = [\"22 ft\", \"6 ft\"]", "at = [\"22 ft\"]", "wrong-count", 6),
        ("at = [\"22 ft\", \"6 ft\"]", "at = \"22 ft\"", "wrong-type", 6),
        ("increment = \"0.25 yd3\"", "increment = \"0.25 yd3\"\ntrucks = 1.5", "wrong-type", 10),
        (
            "increment = \"0.25 yd3\"",
            "increment = \"0.25 yd3\"\n[joints]\nsaw = \"chisel\"",
            "unknown-word",
            7,
        ),
        (
            "increment = \"0.25 yd3\"",
            "increment = \"0.25 yd3\"\n[joints]\nspacing = \"-8 ft\"",
            "out-of-range",
            11,
        ),
        ("increment = \"0.25 yd3\"", "increment = \"0.25 yd3\"\nhaul = \"20 min\"", "missing-spread", 8),
        (
            "increment = \"0.25 yd3\"",
            "increment = \"0.25 yd3\"\n[day]\nfirst_truck = 2026-06-12",
            "not-local-time",
            15,
        ),
        (
            "increment = \"0.25 yd3\"",
            "increment = \"0.25 yd3\"\n[day]\nfirst_truck = 2026-06-12T07:00:00Z",
            "not-local-time",
            15,
        ),
    ];
    for (from, to, code, column) in cases {
        let text = patio(from, to);
        let parsed = read(&text);
        assert!(parsed.report.value.is_none(), "{to} is taken");
        let told = told(&parsed);
        assert!(!told.is_empty() && told.iter().all(|(_, line, _)| *line > 0), "{to}: {told:?}");
        if !code.is_empty() {
            let line = line_of(&text, to.lines().last().expect("not empty"));
            assert_eq!(told, [(code, line, column)], "{to}\n{}", rendered(&parsed));
        }
        assert!(parsed.report.notes.iter().all(|note| !note.hint.is_empty()), "{to}: a fault without a hint");
    }
}

#[test]
fn all_faults_are_told_at_once_in_the_order_of_the_file() {
    let text = PATIO
        .replace("rod = \"eighths\"", "rod = \"thirds\"")
        .replace("nominal = \"4 in\"", "nominal = 4")
        .replace("fall = \"1/4 in/ft\"", "fall = \"1/4 in\"")
        .replace("increment = \"0.25 yd3\"", "increment = \"0.25 yd\"");
    let parsed = read(&text);
    let lines: Vec<usize> = told(&parsed).iter().map(|(_, line, _)| *line).collect();
    let expected: Vec<usize> =
        ["thirds", "fall = ", "nominal", "0.25 yd\""].map(|part| line_of(&text, part)).into();
    assert_eq!(lines, expected, "{}", rendered(&parsed));
}

#[test]
fn missing_keys_point_at_their_table() {
    let text = patio("increment = \"0.25 yd3\"\n", "");
    let line = line_of(&text, "[plant]");
    assert_eq!(told(&read(&text)), [("missing-key", line, 1)]);
}

#[test]
fn files_that_are_no_job_are_refused_with_a_reason() {
    for (bytes, code) in [
        (&b""[..], "empty-file"),
        (b"  \n\t\n", "empty-file"),
        (b"\xef\xbb\xbf", "empty-file"),
        (b"name = \"\xff\xfe\"", "not-utf-8"),
        (b"name = 4", "missing-version"),
        (b"flatwright = 2\nanything = 1", "wrong-version"),
        (b"flatwright = \"1\"", "wrong-version"),
        (b"flatwright = 1\n[job\nname = \"x\"", "not-toml"),
        (b"\0\0\0\0", "not-toml"),
    ] {
        let parsed = read_job_bytes(bytes, "job.toml", &|_| Err(String::new()));
        assert!(parsed.report.value.is_none());
        let codes: Vec<_> = parsed.report.notes.iter().map(|note| note.code).collect();
        assert!(codes.contains(&code), "{bytes:?}: {codes:?}");
        assert!(!rendered(&parsed).is_empty());
    }
}

#[test]
fn syntax_faults_have_their_line() {
    let text = patio("nominal = \"4 in\"", "nominal = \"4 in");
    let line = line_of(&text, "nominal");
    let told = told(&read(&text));
    assert!(told.iter().any(|(code, at, _)| *code == "not-toml" && *at == line), "{told:?}");
}

#[test]
fn a_file_of_50_megabytes_is_refused_at_once() {
    let parsed = read_job_bytes(&vec![b'#'; 50_000_000], "job.toml", &|_| Err(String::new()));
    assert_eq!(parsed.report.notes[0].code, "file-too-large");
    assert!(parsed.report.notes[0].message.contains("50 MB"));
    const { assert!(LARGEST_FILE < 50_000_000) };
}

#[test]
fn deep_nesting_is_a_fault_and_no_overflow() {
    let text = format!("flatwright = 1\nx = {}", "[".repeat(100_000));
    let parsed = read(&text);
    assert!(parsed.report.notes.iter().all(|note| note.code == "not-toml"));
    assert!(!parsed.report.notes.is_empty() && parsed.report.notes.len() <= 50);
}

#[test]
fn a_byte_order_mark_does_not_shift_columns() {
    let text = format!("\u{feff}flatwrite = 1\n{PATIO}");
    let parsed = read(&text);
    assert_eq!(told(&parsed), [("unknown-key", 1, 1)], "{}", rendered(&parsed));
}

#[test]
fn places_of_the_engine_are_found() {
    let parsed = read(BOAT_SHED);
    let found = |path: &str| {
        let span = parsed.source.locate(&basis::Place::at(path)).expect("found");
        BOAT_SHED[span.start..span.end].to_owned()
    };
    assert_eq!(found("door[0].width"), "\"14 ft\"");
    assert_eq!(found("setup[1].shots[4].reading"), "\"5 ft 0 3/4 in\"");
    assert_eq!(found("setup[1].shots[4].at"), "\"31 ft\"");
    assert_eq!(found("setup[0].backsight.reading"), "\"4 ft 1 1/2 in\"");
    assert_eq!(found("slab.minimum"), "\"3 1/2 in\"");
    assert_eq!(found("corner[3]"), "[[corner]]");
    assert_eq!(found("corner[3].at.y"), "\"18 ft\"");
    // What is not in the file falls back to the longest part that is.
    assert_eq!(found("door[0].hinge"), "[[door]]");
    assert_eq!(found("plant.spacing"), "[plant]");
    assert!(parsed.source.locate(&basis::Place::job()).is_none());
    assert!(parsed.source.locate(&basis::Place::at("nowhere[3].x")).is_none());
}

#[test]
fn doors_named_backward_and_doubles_are_told() {
    let text = BOAT_SHED.replacen("edge = [\"G\", \"H\"]", "edge = [\"H\", \"G\"]", 1);
    assert_eq!(told(&read(&text))[0].0, "edge-named-backward");
    let text = BOAT_SHED.replacen("name = \"side door\"", "name = \"boat door\"", 1);
    assert_eq!(told(&read(&text))[0].0, "double-name");
    let text = BOAT_SHED.replacen("edge = [\"G\", \"H\"]", "edge = [\"A\", \"H\", \"G\"]", 1);
    assert_eq!(told(&read(&text))[0].0, "wrong-count");
    let text = BOAT_SHED.replacen("edge = [\"G\", \"H\"]", "edge = [\"A\", \"G\"]", 1);
    assert_eq!(told(&read(&text))[0].0, "no-such-edge");
    let text = BOAT_SHED.replacen("disposal = \"60 USD/yd3\"", "disposal = \"60 EUR/yd3\"", 1);
    assert_eq!(told(&read(&text))[0].0, "mixed-currencies");
}

/// The bakery with one piece replaced must tell these; what follows from them may be told as well.
#[track_caller]
fn bakery(from: &str, to: &str, codes: &[&str]) {
    assert!(BAKERY_YARD.contains(from), "{from} is not in the demo");
    let parsed = read(&BAKERY_YARD.replacen(from, to, 1));
    let told: Vec<_> = parsed.report.notes.iter().map(|note| note.code).collect();
    assert!(codes.iter().all(|code| told.contains(code)), "{to}: {told:?}");
    assert!(parsed.report.value.is_none());
}

#[test]
fn walks_that_make_no_outline_are_told() {
    bakery("to = \"S\"\nturn", "to = \"E\"\nturn", &["walk-not-closed"]);
    bakery("toward = \"right\"", "turn = \"right\"", &["no-heading"]);
    bakery("toward = \"right\"", "toward = \"right\"\nturn = \"right\"", &["two-headings"]);
    bakery("turn = \"left 55 deg\"\n", "", &["no-heading"]);
    bakery("turn = \"left 55 deg\"", "turn = \"north 55 deg\"", &["unknown-word"]);
    bakery("arc = \"out 9 m\"", "arc = \"9 m\"", &["unknown-word"]);
    bakery("arc = \"out 9 m\"", "arc = \"out 0 m\"", &["out-of-range"]);
    bakery("to = \"C\"\nturn", "to = \"S\"\nturn", &["double-name", "double-name", "unknown-corner"]);
    bakery("to = \"D\"\nlength", "to = \"A\"\nlength", &["measure-to-itself"]);
    bakery("kind = \"wall\"", "kind = \"wall\"\narc = \"in 9 m\"", &["arc-of-a-walked-edge"]);
    bakery(
        "[walk]",
        "[[corner]]\nname = \"X\"\nat = [\"0 m\", \"0 m\"]\n[walk]",
        &["too-few-corners", "two-outlines"],
    );
}

#[test]
fn places_and_shapes_that_are_not_clear_are_told() {
    bakery(
        "size = [\"300 mm\", \"300 mm\"]",
        "diameter = \"300 mm\"\nsize = [\"300 mm\", \"300 mm\"]",
        &["unclear-extent"],
    );
    bakery("size = [\"300 mm\", \"300 mm\"]", "size = [\"300 mm\", \"0 mm\"]", &["out-of-range"]);
    bakery("name = \"yard drain\"\nlow", "name = \"other drain\"\nlow", &["drain-without-place"]);
    bakery("[finish.level]", "[finish.warp]\n[finish.level]", &["missing-key", "unclear-finish"]);
    bakery("setup = \"noon\"", "setup = \"non\"", &["unknown-name"]);
    bakery("minimum = \"105 mm\"", "minimum = \"205 mm\"", &["minimum-over-nominal"]);
}

/// What can be wrong with mix, site, weather and finish; each fault stands at its line.
#[test]
fn faults_of_the_clocks_tables_are_told_at_their_place() {
    for (from, to, code) in [
        ("water_cementitious = 0.50", "water_cementitious = \"0.50\"", "wrong-type"),
        ("water_cementitious = 0.50", "water_cementitious = 0.0", "out-of-range"),
        ("cement = \"II\"", "cement = \"IV\"", "unknown-word"),
        ("cement = \"II\"", "cement = \"II\"\nash = \"20 %\"", "missing-key"),
        ("cement = \"II\"", "cement = \"II\"\nash = \"120 %\"\nash_class = \"F\"", "out-of-range"),
        ("cement = \"II\"", "cement = \"II\"\ninitial_set = \"5 h\"", "missing-key"),
        (
            "cement = \"II\"",
            "cement = \"II\"\ninitial_set = \"7 h\"\nfinal_set = \"5 h\"\nset_at = \"70 degF\"",
            "set-times-impossible",
        ),
        ("temperature = \"68 degF\"", "temperature = \"68\"", "bare-number"),
        ("latitude = \"43.4 deg\"", "latitude = \"143.4 deg\"", "out-of-range"),
        ("roof = \"over\"", "shade = [{ from = 13:00:00, until = 09:00:00 }]", "shade-backward"),
        ("roof = \"over\"", "shade = [{ from = 13:00:00, until = \"noon\" }]", "wrong-type"),
        ("roof = \"over\"", "shade = [{ from = 2026-06-12, until = 09:00:00 }]", "no-such-time"),
        ("low = \"58 degF\"", "low = \"88 degF\"", "low-over-high"),
        ("low = \"58 degF\"\n", "", "missing-key"),
        ("humidity = \"60 %\"", "humidity = \"160 %\"", "out-of-range"),
        ("low = \"58 degF\"", "file = \"w.csv\"\nlow = \"58 degF\"", "weather-twice"),
        ("trowel_rounds = 3", "trowel_rounds = 30", "out-of-range"),
        ("trowel = \"1500 ft2/h\"", "trowel = \"1500 ft2\"", "not-a-quantity"),
        ("[site]", "[sight]", "missing-table"),
    ] {
        let text = BOAT_SHED.replacen(from, to, 1);
        assert_ne!(text, BOAT_SHED, "{from} is not in the demo");
        let parsed = read(&text);
        assert!(parsed.report.value.is_none(), "{to} is accepted");
        let note = parsed.report.notes.iter().find(|note| note.code == code);
        assert!(note.is_some(), "{to}: no {code} in {:?}", parsed.report.notes);
        assert!(rendered(&parsed).contains('^'), "{to}: no caret");
    }
}

/// Five joints, each wrong in its own way, and a sixth that doubles a name: all told at once, each at its table.
#[test]
fn all_that_is_wrong_with_the_joints_is_told_at_once() {
    let joints = r#"
[[joint]]
name = "neither"
[[joint]]
name = "both"
line = [["1 ft", "1 ft"], ["1 ft", "5 ft"]]
keep_off = [["1 ft", "1 ft"], ["1 ft", "5 ft"]]
[[joint]]
name = "three ends"
line = [["1 ft", "1 ft"], ["1 ft", "5 ft"], ["1 ft", "9 ft"]]
[[joint]]
name = "no length"
line = [["1 ft", "1 ft"], ["12 in", "12 in"]]
[[joint]]
name = "no area"
keep_off = [["1 ft", "1 ft"], ["1 ft", "5 ft"], ["1 ft", "9 ft"]]
[[joint]]
name = "twice"
line = [["1 ft", "1 ft"], ["1 ft", "5 ft"]]
[[joint]]
name = "twice"
keep_off = [["2 ft", "1 ft"], ["3 ft", "5 ft"]]
[joints]
stone = "3/4"
"#;
    let parsed = read(&format!("{PATIO}{joints}"));
    let codes: Vec<&str> = told(&parsed).iter().map(|t| t.0).filter(|c| *c != "missing-key").collect();
    let unclear = codes.iter().filter(|code| **code == "unclear-joint").count();
    assert_eq!(unclear, 5, "{}", rendered(&parsed));
    assert!(codes.contains(&"double-name") && codes.contains(&"bare-number"), "{codes:?}");
    assert!(parsed.report.value.is_none());
    assert!(told(&parsed).iter().all(|(_, line, _)| *line > 0), "{:?}", told(&parsed));
}
