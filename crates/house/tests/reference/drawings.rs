//! Drawings against ezdxf, an open library that many people read and write them with.

use basis::UnitSystem;
use formats::brought::{LengthUnit, OutlineWish, ReadOptions, outline_of, read_brought};
use formats::carried::floor_dxf;
use ground::outline::{Corner, Edge, EdgeKind, Outline};
use house::{python, tree};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

/// The demo floors with their drawings.
fn ours() -> Vec<(pour::Job, pour::plan::Plan, String)> {
    let mut found = Vec::new();
    for path in tree::demo_jobs() {
        let beside = |name: &str| std::fs::read(path.with_file_name(name)).map_err(|why| why.to_string());
        let parsed = formats::read_job(&tree::text(&path), "job", &beside);
        let job = parsed.report.value.unwrap_or_else(|| panic!("{}", path.display()));
        let plan = pour::plan::plan(&job, 1).value.unwrap_or_else(|| panic!("{}", path.display()));
        let drawing = floor_dxf(&job, &plan);
        found.push((job, plan, drawing));
    }
    found
}

/// Rings of 5 to 9 corners about a middle, some edges bowed either way, in any release, unit and way round.
fn cases() -> Vec<Value> {
    let mut rng = ChaCha12Rng::seed_from_u64(20);
    let releases = ["R12", "R2000", "R2010", "R2018"];
    let cases = (0..12).map(|case| {
        let count = rng.random_range(5..10);
        let turn = if case % 2 == 0 { 1.0 } else { -1.0 };
        let corners: Vec<[f64; 3]> = (0..count)
            .map(|i| {
                let angle = turn * std::f64::consts::TAU * f64::from(i) / f64::from(count);
                let radius = rng.random_range(20.0..30.0);
                let bulge = if rng.random_bool(0.5) { rng.random_range(-0.25..0.25) } else { 0.0 };
                [40.0 + radius * basis::math::cos(angle), 35.0 + radius * basis::math::sin(angle), bulge]
            })
            .collect();
        let spot = |rng: &mut ChaCha12Rng| [0, 1, 2].map(|_| rng.random_range(-50.0..50.0));
        let points: Vec<[f64; 3]> = (0..6).map(|_| spot(&mut rng)).collect();
        let face = [spot(&mut rng), spot(&mut rng), spot(&mut rng)];
        let (release, unit) = (releases[case % 4], [2, 6, 1][case / 4]);
        json!({ "release": release, "unit": unit, "corners": corners, "points": points, "faces": [face] })
    });
    cases.collect()
}

#[test]
fn ours_are_read_and_theirs_too() {
    let ours = ours();
    let cases = cases();
    let texts: Vec<&String> = ours.iter().map(|(_, _, text)| text).collect();
    let answer = python::ask("drawings", &json!({ "ours": texts, "cases": cases }));
    for ((job, plan, _), read) in ours.iter().zip(answer["read"].as_array().expect("a list")) {
        check_ours(job, plan, read);
    }
    for (case, written) in cases.iter().zip(answer["written"].as_array().expect("a list")) {
        check_theirs(case, written);
    }
}

fn check_ours(job: &pour::Job, plan: &pour::plan::Plan, read: &Value) {
    assert_eq!(read["errors"], json!([]), "{}", job.name);
    assert_eq!(read["release"], "AC1009");
    assert_eq!(read["units"], if job.units == UnitSystem::Us { 2 } else { 6 });
    assert_eq!(read["outlines"], 1);
    let unit = if job.units == UnitSystem::Us { 0.3048 } else { 1.0 };
    // Ours draws arcs with chords of 1 mm sagitta inside, theirs of a ten-millionth: over an edge of so many metres the
    // areas may differ by that times 2/3 of the length of all arcs; straight floors agree to rounding.
    let arcs = plan.floor.segments.len() > plan.outline.corners.len() + 2 * plan.floor.doors.len();
    let ours = plan.floor.boundary.area();
    let theirs = python::number(read, "area").abs() * unit * unit;
    let may = if arcs { 0.001 * plan.floor.boundary.perimeter() } else { 1e-7 * ours };
    assert!((ours - theirs).abs() <= may, "{}: {ours} and {theirs}", job.name);
    for (name, count) in [("PADS", plan.pads.pads.len()), ("SHOTS", plan.levelled.shots.len())] {
        assert_eq!(read["points"][name].as_array().map(Vec::len), Some(count), "{}", job.name);
    }
    let pad = &plan.pads.pads[0];
    let z = read["points"]["PADS"][0][2].as_f64().expect("a number") * unit;
    assert!((z - pad.elevation.in_metres()).abs() < 1e-9);
}

fn check_theirs(case: &Value, written: &Value) {
    let text = written["text"].as_str().expect("a text");
    // Their drawings of release 12 say no unit, as that release knows none: it is stated.
    let unit = match case["unit"].as_u64() {
        Some(1) => LengthUnit::Inch,
        Some(2) => LengthUnit::Foot,
        _ => LengthUnit::Metre,
    };
    let stated = (case["release"] == "R12").then_some(unit);
    let parsed =
        read_brought(text.as_bytes(), "theirs.dxf", &ReadOptions { unit: stated, ..ReadOptions::default() });
    let found = parsed.report.value.unwrap_or_else(|| panic!("{case}: {:#?}", parsed.report.notes));
    assert_eq!(found.unit, unit, "{case}");
    let metres = unit.one().in_metres();
    let theirs = python::number(written, "area").abs() * metres * metres;
    for layer in ["SLAB", "PIECES"] {
        let wish = OutlineWish {
            layer: Some(layer.into()),
            openings: None,
            origin: Some(ground::P2::default()),
            units: UnitSystem::Metric,
        };
        let report = outline_of(&found, &wish);
        let taken = report.value.unwrap_or_else(|| panic!("{layer} of {case}: {:#?}", report.notes));
        let corners = taken.corners.iter().enumerate().map(|(i, at)| Corner {
            name: format!("c{i}"),
            at: *at,
            place: basis::Place::job(),
        });
        let edges = taken.shapes.iter().map(|shape| Edge {
            shape: *shape,
            kind: EdgeKind::Free,
            place: basis::Place::job(),
        });
        let outline = Outline { corners: corners.collect(), edges: edges.collect(), ..Outline::default() };
        let laid = ground::floor::lay_out(&outline);
        let floor = laid.value.unwrap_or_else(|| panic!("{layer} of {case}: {:#?}", laid.notes));
        // Chords of at most 1 mm sagitta: the area between arc and chord is under 2/3 of that times the length.
        let may = 0.001 * floor.boundary.perimeter() + 1e-9;
        assert!((floor.area - theirs).abs() <= may, "{layer} of {case}: {} and {theirs}", floor.area);
    }
    let layer = |name: &str| {
        found.layers.iter().find(|layer| layer.name == name).unwrap_or_else(|| panic!("no {name}"))
    };
    for (spot, point) in layer("GRADES").spots.iter().zip(case["points"].as_array().expect("points")) {
        let z = point[2].as_f64().expect("a number") * metres;
        assert!((spot.at.z - z).abs() < 1e-12 * z.abs().max(1.0));
    }
    assert_eq!((layer("GRADES").spots.len(), layer("TIN").faces.len()), (6, 1));
    assert!(
        parsed
            .report
            .notes
            .iter()
            .any(|note| note.code == "drawing-in-part" && note.message.contains("1 TEXT"))
    );
}
