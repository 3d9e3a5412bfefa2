//! What is carried out reads back as what it was.

use basis::UnitSystem;
use ground::P2;
use jiff::Timestamp;
use pour::Job;
use pour::plan::{Plan, plan};

use super::{floor_dxf, floor_land_xml, shots_csv};
use crate::brought::{Brought, OutlineWish, outline_of, read_brought};
use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read};
use crate::write_job;

fn demos() -> Vec<(Job, Plan)> {
    let planned = |text: &&str| {
        let job = read(text).report.value.unwrap();
        let plan = plan(&job, 1).value.unwrap();
        (job, plan)
    };
    [BOAT_SHED, BAKERY_YARD, PATIO].iter().map(planned).collect()
}

fn brought(text: &str) -> Brought {
    let parsed = read_brought(text.as_bytes(), "floor", &Default::default());
    let notes = parsed.report.notes.clone();
    parsed.report.value.unwrap_or_else(|| panic!("{notes:#?}"))
}

/// Lengths are written to a tenth of a nanometre or better.
const WRITTEN: f64 = 1e-9;

/// The outline comes back corner by corner and arc by arc.
#[test]
fn an_outline_comes_back_from_the_drawing() {
    let mut arcs = 0;
    for (job, plan) in demos() {
        let found = brought(&floor_dxf(&job, &plan));
        let wish = OutlineWish {
            layer: Some("OUTLINE".into()),
            openings: None,
            origin: Some(P2::default()),
            units: job.units,
        };
        let taken = outline_of(&found, &wish).value.unwrap();
        let corners: Vec<P2> = plan.outline.corners.iter().map(|corner| corner.at).collect();
        assert_eq!(taken.corners.len(), corners.len());
        let first = corners.iter().position(|corner| corner.distance(taken.corners[0]) < WRITTEN).unwrap();
        let is_left = ground::polygon::signed_area(&corners) > 0.0;
        let count = corners.len();
        for (i, corner) in taken.corners.iter().enumerate() {
            let at = if is_left { (first + i) % count } else { (first + count - i) % count };
            assert!(corner.distance(corners[at]) < WRITTEN, "{}: corner {i}", job.name);
            let edge = if is_left { at } else { (at + count - 1) % count };
            let (ours, theirs) = (plan.outline.edges[edge].shape, taken.shapes[i]);
            match (radius(ours), radius(theirs)) {
                (None, None) => {}
                (Some((a, one)), Some((b, two))) => {
                    arcs += 1;
                    assert!(
                        a == b && (one / two - 1.0).abs() < 1e-8,
                        "{}: {ours:?} and {theirs:?}",
                        job.name
                    );
                }
                _ => panic!("{}: {ours:?} and {theirs:?}", job.name),
            }
        }
    }
    assert!(arcs > 0, "no demo has an arc");
}

fn radius(shape: ground::outline::EdgeShape) -> Option<(bool, f64)> {
    match shape {
        ground::outline::EdgeShape::Straight => None,
        ground::outline::EdgeShape::ArcOut(radius) => Some((true, radius.in_metres())),
        ground::outline::EdgeShape::ArcIn(radius) => Some((false, radius.in_metres())),
    }
}

/// Pads and shots stand in the drawing at their elevations.
#[test]
fn pads_and_shots_come_back_from_the_drawing() {
    for (job, plan) in demos() {
        let found = brought(&floor_dxf(&job, &plan));
        let spots = |name: &str| found.layers.iter().find(|layer| layer.name == name).unwrap().spots.clone();
        let pads = spots("PADS");
        assert_eq!(pads.len(), plan.pads.pads.len());
        for (spot, pad) in pads.iter().zip(&plan.pads.pads) {
            assert!(
                (spot.at.z - pad.elevation.in_metres()).abs() < WRITTEN
                    && spot.at.plan().distance(pad.at) < WRITTEN
            );
        }
        assert_eq!(spots("SHOTS").len(), plan.levelled.shots.len());
        let joints = &found.layers.iter().find(|layer| layer.name == "JOINTS");
        assert_eq!(joints.is_some(), !plan.joints.joints.is_empty());
    }
}

/// The base comes back from the survey: the same volume under the triangles as under the facets.
#[test]
fn surfaces_come_back_from_the_survey() {
    for (job, plan) in demos() {
        let text = floor_land_xml(&job, &plan, Timestamp::UNIX_EPOCH);
        let found = brought(&text);
        for (name, facets) in
            [("surface base", plan.ground.base.facets()), ("surface finish", plan.ground.finish.facets())]
        {
            let faces = &found.layers.iter().find(|layer| layer.name == name).unwrap().faces;
            let volume: f64 = faces
                .iter()
                .map(|[a, b, c]| {
                    ground::point::turn(a.plan(), b.plan(), c.plan()) / 2.0 * (a.z + b.z + c.z) / 3.0
                })
                .sum();
            let truth: f64 = facets
                .iter()
                .map(|facet| {
                    let middle = ground::polygon::centroid(&facet.ring);
                    ground::polygon::signed_area(&facet.ring) * facet.plane.z(middle)
                })
                .sum();
            assert!((volume / truth - 1.0).abs() < 1e-8, "{name} of {}: {volume} against {truth}", job.name);
        }
        let shots = &found.layers.iter().find(|layer| layer.name == "points shots").unwrap().spots;
        assert_eq!(shots.len(), plan.levelled.shots.len());
        for (spot, shot) in shots.iter().zip(&plan.levelled.shots) {
            assert!((spot.at.z - shot.z).abs() < WRITTEN && spot.at.plan().distance(shot.at) < WRITTEN);
        }
    }
}

/// Elements stand in the order in which the published schema lists them.
#[test]
fn elements_stand_in_the_published_order() {
    let (job, plan) = demos().remove(0);
    let text = floor_land_xml(&job, &plan, "2026-06-12T12:40:05Z".parse().unwrap());
    let at = |word: &str| text.find(word).unwrap_or_else(|| panic!("no {word}"));
    let order = [
        "<LandXML",
        "<Units>",
        "<Project",
        "<Application",
        "<CgPoints",
        "<Surfaces>",
        "<Surface ",
        "<Definition",
        "<Pnts>",
        "<P id",
        "<Faces>",
        "<F>",
    ];
    assert!(order.windows(2).all(|pair| at(pair[0]) < at(pair[1])), "{text}");
    assert!(text.contains("date=\"2026-06-12\" time=\"12:40:05\"") && text.contains("linearUnit=\"foot\""));
    assert_eq!(text, floor_land_xml(&job, &plan, "2026-06-12T12:40:05Z".parse().unwrap()));
}

/// Shots as a table read back to the last bit, whatever they are called.
#[test]
fn shots_come_back_from_the_table() {
    for text in [BOAT_SHED, BAKERY_YARD, PATIO] {
        let mut job = read(text).report.value.unwrap();
        job.survey.setups[0].name = "by the \"gate\", noon; second".into();
        job.survey.setups[0].shots[1].name = " a,b".into();
        let table = shots_csv(&job);
        let mut bare = job.clone();
        bare.survey.setups.iter_mut().for_each(|setup| setup.shots.clear());
        let renamed = crate::brought::put_shots_file(&write_job(&bare), "made.csv").unwrap();
        let parsed = crate::read_job(&renamed, "job.toml", &|name| match name {
            "made.csv" => Ok(table.clone().into_bytes()),
            _ => Ok(crate::demo_tests::BAKERY_WEATHER.as_bytes().to_vec()),
        });
        let again = parsed.report.value.unwrap_or_else(|| panic!("{:#?}\n{table}", parsed.report.notes));
        for (one, two) in job.survey.setups.iter().zip(&again.survey.setups) {
            assert_eq!(one.shots.len(), two.shots.len());
            for (a, b) in one.shots.iter().zip(&two.shots) {
                assert_eq!((a.name.trim(), a.at, a.reading, a.on), (b.name.as_str(), b.at, b.reading, b.on));
            }
        }
    }
}

#[test]
fn names_that_xml_cannot_hold_are_made_safe() {
    let (mut job, plan) = demos().remove(0);
    job.name = "a<b>&\"c\u{7}\u{ffff}".into();
    let text = floor_land_xml(&job, &plan, Timestamp::UNIX_EPOCH);
    assert!(text.contains("name=\"a&lt;b&gt;&amp;&quot;c??\""));
    assert!(read_brought(text.as_bytes(), "floor", &Default::default()).report.value.is_some());
    job.name = "line\nend \u{bd}\u{e9}".into();
    assert!(floor_dxf(&job, &plan).starts_with("999\nline?end 1/2?\n"));
    assert_eq!(job.units, UnitSystem::Us);
}
