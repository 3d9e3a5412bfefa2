//! Golden: the pages a foreman reads, as the program prints them.
//!
//! Each was read through before it was accepted; a change here is a change of what people see.

use std::path::Path;
use std::process::{Command, Output};

/// Runs the program in the workspace's folder.
fn run(arguments: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Command::new(env!("CARGO_BIN_EXE_flatwright"))
        .args(arguments)
        .current_dir(root)
        .output()
        .expect("the program runs")
}

fn page(arguments: &[&str]) -> String {
    let output = run(arguments);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {errors}");
    String::from_utf8(output.stdout).expect("a page is text")
}

#[test]
fn plan_of_the_patio() {
    insta::assert_snapshot!(page(&["plan", "demo/patio.toml"]));
}

#[test]
fn plan_of_the_boat_shed() {
    insta::assert_snapshot!(page(&["plan", "demo/boat-shed.toml"]));
}

#[test]
fn plan_of_the_bakery_yard() {
    insta::assert_snapshot!(page(&["plan", "demo/bakery-yard.toml"]));
}

#[test]
fn clock_of_the_boat_shed() {
    insta::assert_snapshot!(page(&["clock", "demo/boat-shed.toml"]));
}

#[test]
fn close_of_the_boat_shed() {
    insta::assert_snapshot!(page(&[
        "close",
        "demo/boat-shed.toml",
        "--asbuilt",
        "demo/as-built/boat-shed.toml"
    ]));
}

#[test]
fn close_of_the_bakery_yard() {
    insta::assert_snapshot!(page(&[
        "close",
        "demo/bakery-yard.toml",
        "--asbuilt",
        "demo/as-built/bakery-yard.toml"
    ]));
}

#[test]
fn sweep_of_the_bakery_yard() {
    insta::assert_snapshot!(page(&["sweep", "demo/bakery-yard.toml"]));
}

/// A job without hours, mix and site is told all three, with the way out.
#[test]
fn a_sweep_without_hours_mix_and_site_is_refused_with_all_that_is_missing() {
    let output = run(&["sweep", "demo/patio.toml"]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8(output.stderr).unwrap();
    for words in ["sweep-needs-hours", "--weather", "the sweep needs [mix]", "the sweep needs [site]"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let unclear = run(&["sweep", "demo/bakery-yard.toml", "--from", "soon", "--start-hours", "dawn"]);
    let told = String::from_utf8(unclear.stderr).unwrap();
    assert!(told.contains("--from soon") && told.contains("--start-hours dawn"), "{told}");
}

const DOLLAR: &str = "demo/rates/dollar.toml";

#[test]
fn price_of_the_boat_shed() {
    let ways = ["--option", "hard trowel", "--option", "5 in", "--option", "broom, without poly"];
    let asked = [&["price", "demo/boat-shed.toml", "--rates", DOLLAR][..], &ways[..]].concat();
    insta::assert_snapshot!(page(&asked));
}

#[test]
fn price_of_the_bakery_yard() {
    insta::assert_snapshot!(page(&["price", "demo/bakery-yard.toml", "--rates", "demo/rates/euro.toml"]));
}

#[test]
fn what_the_past_pours_teach() {
    insta::assert_snapshot!(page(&["learn", "demo/past-pours.csv"]));
}

/// The patio's plant states nothing: the book's terms stand in, but the free unloading time nobody knows.
#[test]
fn price_of_the_patio() {
    insta::assert_snapshot!(page(&["price", "demo/patio.toml", "--rates", DOLLAR]));
}

#[test]
fn quote_of_the_boat_shed() {
    insta::assert_snapshot!(page(&[
        "price",
        "demo/boat-shed.toml",
        "--rates",
        DOLLAR,
        "--quote",
        "--option",
        "broom"
    ]));
}

/// A blank that the job needs: the page is shown, the quote is refused with the list and exit code 2.
#[test]
fn a_quote_with_a_blank_is_refused() {
    let asked = ["price", "demo/patio.toml", "--rates", DOLLAR];
    assert!(words(&page(&asked)).contains("No quote is made while one of these is blank"));
    let output = run(&[&asked[..], &["--quote"]].concat());
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("free unloading time") && output.stdout.is_empty(), "{told}");
    let euro = run(&["price", "demo/boat-shed.toml", "--rates", "demo/rates/euro.toml"]);
    assert_eq!(euro.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&euro.stderr).contains("EUR"));
}

#[test]
fn takeoff_of_the_boat_shed() {
    insta::assert_snapshot!(page(&["takeoff", "demo/boat-shed.toml"]));
}

#[test]
fn takeoff_of_the_bakery_yard() {
    insta::assert_snapshot!(page(&["takeoff", "demo/bakery-yard.toml"]));
}

/// What cannot be laid is refused with its place; what is only odd is told under the page. All at once.
#[test]
fn a_takeoff_tells_what_cannot_be_laid() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let patio = std::fs::read_to_string(root.join("demo/patio.toml")).unwrap();
    let told = |more: &str| {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.toml");
        std::fs::write(&path, format!("{patio}\n{more}\n")).unwrap();
        let output = run(&["takeoff", path.to_str().unwrap()]);
        let text = [output.stdout, output.stderr].concat();
        (output.status.code(), words(&String::from_utf8(text).unwrap()))
    };
    for (more, code) in [
        ("[reinforcement]\nkind = \"mesh\"\nwidth = \"5 ft\"\nlap = \"6 ft\"", "lap-over-half"),
        ("[reinforcement]\nkind = \"bars\"\nlap = \"15 ft\"", "lap-over-half"),
        (
            "[reinforcement]\nkind = \"mesh\"\nwidth = \"1 in\"\nlength = \"1 in\"\nlap = \"0 in\"",
            "too-many-pieces",
        ),
        ("[reinforcement]\nkind = \"bars\"\nspacing = \"0.01 mm\"", "length-unusable"),
        ("[takeoff]\nboards = [\"1 mm\"]", "too-many-pieces"),
        ("[takeoff]\nstakes = \"-3 ft\"", "out-of-range"),
        ("[takeoff]\nstakes = \"NaN ft\"", "not-a-quantity"),
        ("[takeoff]\nbars = [20]", "bare-number"),
        ("[reinforcement]\nkind = \"chain\"", "unknown-word"),
        ("[reinforcement]\nwire = \"W1.4\"", "missing-key"),
    ] {
        let (status, text) = told(more);
        assert_eq!(status, Some(2), "{more}: {text}");
        assert!(text.contains(code), "{more}: {text}");
    }
    for (more, words) in [
        ("[reinforcement]\nkind = \"mesh\"\nwidth = \"50 ft\"\nlength = \"50 ft\"", "larger than the floor"),
        ("[reinforcement]\nkind = \"bars\"\ncover = \"20 ft\"", "no steel has room"),
        ("[reinforcement]\nkind = \"fiber\"", "how much fiber goes into the mix is not stated"),
    ] {
        let (status, text) = told(more);
        assert_eq!(status, Some(0), "{more}: {text}");
        assert!(text.contains(words), "{more}: {text}");
    }
}

/// A page's words without its line ends.
fn words(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The row of a page that opens with these words.
fn row<'a>(page: &'a str, words: &str) -> &'a str {
    page.lines().find(|line| line.trim_start().starts_with(words)).expect("the page has the row")
}

/// Without tickets the load being placed is not taken to be empty: no alarm, and the job's allowance of 3 % ± 2 % stands.
#[test]
fn without_tickets_a_pour_teaches_no_allowance() {
    for placed in ["1 done", "1 done, 2 to 20 ft", "1-3 done, 4 to 12 ft"] {
        let page = page(&["balance", "demo/boat-shed.toml", "--placed", placed]);
        assert!(words(&page).contains("no tickets are given"), "{page}");
        assert!(!words(&page).contains("was expected"), "{page}");
        assert!(row(&page, "allowance as this pour shows it").ends_with("3.0 % ± 2.0 %"), "{page}");
        assert!(row(&page, "used so far").ends_with("no tickets"), "{page}");
        assert!(row(&page, "still to be called").ends_with(" yd3"), "{page}");
    }
}

/// With tickets a slip of a whole load is told.
#[test]
fn a_forgotten_ticket_is_told() {
    let page = page(&["balance", "demo/boat-shed.toml", "--placed", "1-2 done", "--delivered", "8 yd3"]);
    assert!(words(&page).contains("was expected: 10.5 standard deviations"), "{page}");
}

/// A part of the base that nobody shot is told, with its place; the rest of the base gives its level.
#[test]
fn a_part_of_the_base_without_shots_is_told() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let job = std::fs::read_to_string(root.join("demo/patio.toml")).unwrap();
    let zone = |corners: &str| format!("{job}\n[[base.zone]]\nname = \"step\"\ncorners = {corners}\n");
    let told = |text: String| {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.toml");
        std::fs::write(&path, text).unwrap();
        words(&page(&["plan", path.to_str().unwrap()]))
    };
    let corner =
        zone("[[\"0 ft\", \"0 ft\"], [\"6 in\", \"0 ft\"], [\"6 in\", \"6 in\"], [\"0 ft\", \"6 in\"]]");
    assert!(told(corner).contains("no shot of the base lies in this part"));
    let whole = zone(
        "[[\"-1 ft\", \"-1 ft\"], [\"20 ft\", \"-1 ft\"], [\"20 ft\", \"20 ft\"], [\"-1 ft\", \"20 ft\"]]",
    );
    assert!(!told(whole).contains("no shot of the base lies in this part"));
}

/// A folder saved and brought back, and what is said when it cannot be.
#[test]
fn a_folder_of_jobs_is_saved_and_brought_back() {
    let at = tempfile::tempdir().unwrap();
    let path = |name: &str| at.path().join(name).display().to_string();
    let (jobs, file, new) = (path("jobs"), path("monday.backup"), path("new"));
    let nothing = run(&["backup", "--data", &jobs, "--to", &file]);
    assert_eq!(nothing.status.code(), Some(1));
    let told = String::from_utf8(nothing.stderr).unwrap();
    assert!(told.contains("fault[store-not-there]") && told.contains("holds no jobs"), "{told}");
    let now = "2026-06-12T12:00:00Z".parse().unwrap();
    let store = store::Store::open(Path::new(&jobs), "a test", now).unwrap();
    let job = store.import(include_str!("../../../../demo/patio.toml"), &[], "Ada", now).unwrap();
    let told = page(&["backup", "--data", &jobs, "--to", &file]);
    assert!(told.contains("1 job, 1 event, 0 photos"), "{told}");
    let told = page(&["restore", &file, "--data", &new]);
    assert!(told.contains("1 job, 1 event, 0 photos"), "{told}");
    let over = run(&["restore", &file, "--data", &new]);
    assert_eq!(over.status.code(), Some(2));
    let told = String::from_utf8(over.stderr).unwrap();
    assert!(told.contains("fault[store-in-the-way]") && told.contains("--replace"), "{told}");
    assert!(page(&["restore", &file, "--data", &new, "--replace"]).contains("put aside"));
    let restored = store::Store::open(Path::new(&new), "a test", now).unwrap();
    assert_eq!(restored.state(job).unwrap(), store.state(job).unwrap());
    let busy = run(&["restore", &file, "--data", &new, "--replace"]);
    let told = String::from_utf8(busy.stderr).unwrap();
    assert!(told.contains("fault[store-locked]") && told.contains("in use by a test"), "{told}");
}
