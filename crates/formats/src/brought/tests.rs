//! Drawings and surveys as other programs write them, and such as none should.

use basis::{Length, Severity, UnitSystem};
use ground::outline::EdgeShape;
use ground::survey::ShotOn;
use ground::{P2, P3};

use super::{
    Brought, LARGEST_BROUGHT, LengthUnit, OutlineWish, ParsedBrought, ReadOptions, ShotWish, TakenOutline,
    outline_of, put_outline, put_shots, read_brought, shots_of,
};
use crate::demo_tests::{PATIO, read};
use crate::{NoteStyle, render_notes};

fn groups(pairs: &[(i32, &str)]) -> String {
    pairs.iter().map(|(code, value)| format!("{code:3}\r\n{value}\r\n")).collect()
}

/// A drawing of entities, in a unit by its header number.
fn drawing(unit: &str, entities: &[(i32, &str)]) -> String {
    let head = [
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$INSUNITS"),
        (70, unit),
        (0, "ENDSEC"),
        (0, "SECTION"),
        (2, "ENTITIES"),
    ];
    groups(&head) + &groups(entities) + &groups(&[(0, "ENDSEC"), (0, "EOF")])
}

fn parsed(text: &str) -> ParsedBrought {
    read_brought(text.as_bytes(), "test.dxf", &ReadOptions::default())
}

fn good(text: &str) -> Brought {
    let parsed = parsed(text);
    let told = render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default());
    parsed.report.value.unwrap_or_else(|| panic!("{told}"))
}

fn codes(parsed: &ParsedBrought) -> Vec<&'static str> {
    parsed.report.notes.iter().filter(|note| note.severity == Severity::Fault).map(|note| note.code).collect()
}

fn wish() -> OutlineWish {
    OutlineWish { layer: None, openings: None, origin: None, units: UnitSystem::Us }
}

fn outline(text: &str) -> TakenOutline {
    let report = outline_of(&good(text), &wish());
    report.value.unwrap_or_else(|| panic!("{:#?}", report.notes))
}

const LIGHT: &[(i32, &str)] = &[
    (0, "LWPOLYLINE"),
    (8, "SLAB"),
    (90, "4"),
    (70, "1"),
    (10, "0.0"),
    (20, "0.0"),
    (10, "20.0"),
    (20, "0.0"),
    (42, "0.2679491924311227"),
    (10, "20.0"),
    (20, "10.0"),
    (10, "0.0"),
    (20, "10.0"),
];

/// An arc of 60 degrees has the bulge tan 15 degrees; over a chord of 10 ft its radius is 10 ft. By hand.
#[test]
fn a_light_polyline_with_an_arc_is_an_outline() {
    let taken = outline(&drawing("2", LIGHT));
    assert_eq!(taken.corners.len(), 4);
    assert!(taken.corners[2].distance(P2::new(6.096, 3.048)) < 1e-12);
    let EdgeShape::ArcOut(radius) = taken.shapes[1] else { panic!("{:?}", taken.shapes) };
    assert!((radius.in_feet() - 10.0).abs() < 1e-9);
    assert_eq!(taken.shapes[0], EdgeShape::Straight);
}

/// Walked the other way round, with the bulge on the other side, it is the same floor.
#[test]
fn the_way_round_does_not_matter() {
    let back: &[(i32, &str)] = &[
        (0, "LWPOLYLINE"),
        (8, "SLAB"),
        (70, "1"),
        (10, "0"),
        (20, "0"),
        (10, "0"),
        (20, "10"),
        (10, "20"),
        (20, "10"),
        (42, "-0.2679491924311227"),
        (10, "20"),
        (20, "0"),
    ];
    let (one, two) = (outline(&drawing("2", LIGHT)), outline(&drawing("2", back)));
    let at = |taken: &TakenOutline| {
        let i = taken.shapes.iter().position(|shape| *shape != EdgeShape::Straight).unwrap();
        (taken.corners[i], taken.corners[(i + 1) % 4], taken.shapes[i])
    };
    let (a, b) = (at(&one), at(&two));
    assert!(a.0.distance(b.0) < 1e-12 && a.1.distance(b.1) < 1e-12, "{a:?} {b:?}");
    assert!(matches!(b.2, EdgeShape::ArcOut(_)), "{b:?}");
    assert!(ground::polygon::signed_area(&two.corners) > 0.0);
}

/// Seen from below, right and left change sides and an arc turns the other way.
#[test]
fn a_polyline_seen_from_below_is_turned() {
    let mut below = LIGHT.to_vec();
    below.splice(4..4, [(210, "0"), (220, "0"), (230, "-1")]);
    let taken = outline(&drawing("2", &below));
    assert!(taken.corners.iter().all(|corner| corner.x <= 1e-12));
    assert!(taken.shapes.iter().any(|shape| matches!(shape, EdgeShape::ArcOut(_))));
}

const LINES: &[(i32, &str)] = &[
    (0, "LINE"),
    (8, "SLAB"),
    (10, "0"),
    (20, "0"),
    (11, "20"),
    (21, "0"),
    (0, "LINE"),
    (8, "SLAB"),
    (10, "0"),
    (20, "10"),
    (11, "0.004"),
    (21, "0"),
    (0, "ARC"),
    (8, "SLAB"),
    (10, "20"),
    (20, "5"),
    (40, "5"),
    (50, "270"),
    (51, "90"),
    (0, "LINE"),
    (8, "SLAB"),
    (10, "20"),
    (20, "10"),
    (11, "0"),
    (21, "10"),
];

/// Lines in any order and direction with a half circle: the ring closes, the gap of 0.004 ft is told, the half circle comes in two.
#[test]
fn lines_and_arcs_close_to_a_ring() {
    let found = good(&drawing("2", LINES));
    assert_eq!((found.layers[0].rings.len(), found.layers[0].open), (1, 0));
    let report = outline_of(&found, &wish());
    let taken = report.value.unwrap();
    assert_eq!(taken.corners.len(), 5);
    assert!(report.notes.iter().any(|note| note.code == "gaps-joined"), "{:#?}", report.notes);
    // A rectangle of 20 by 10 ft and half a circle of 5 ft: 200 + 12.5 pi ft2.
    let top = taken
        .shapes
        .iter()
        .filter(|shape| matches!(shape, EdgeShape::ArcOut(r) if (r.in_feet() - 5.0).abs() < 1e-6));
    assert_eq!(top.count(), 2);
    assert!(taken.corners.iter().any(|corner| corner.distance(P2::new(7.62, 1.524)) < 1e-3));
}

#[test]
fn a_wider_gap_leaves_the_ring_open() {
    let options = ReadOptions { close: Length::millimetres(0.5), ..ReadOptions::default() };
    let found = read_brought(drawing("2", LINES).as_bytes(), "a", &options).report.value.unwrap();
    assert_eq!((found.layers[0].rings.len(), found.layers[0].open), (0, 1));
    assert_eq!(outline_of(&found, &wish()).notes[0].code, "no-ring");
}

/// At a fork nobody can say which way the ring goes on.
#[test]
fn a_fork_closes_nothing() {
    let mut forked = LINES.to_vec();
    forked.extend([(0, "LINE"), (8, "SLAB"), (10, "20"), (20, "0"), (11, "30"), (21, "0")]);
    let found = good(&drawing("2", &forked));
    assert_eq!((found.layers[0].rings.len(), found.layers[0].open), (0, 1));
}

/// The old polyline has its vertices after it; points that a curve was fitted by are no corners.
#[test]
fn an_old_polyline_is_read() {
    let old: &[(i32, &str)] = &[
        (0, "POLYLINE"),
        (8, "SLAB"),
        (66, "1"),
        (70, "1"),
        (0, "VERTEX"),
        (8, "SLAB"),
        (10, "0"),
        (20, "0"),
        (0, "VERTEX"),
        (8, "SLAB"),
        (10, "4"),
        (20, "0"),
        (0, "VERTEX"),
        (8, "SLAB"),
        (10, "9"),
        (20, "9"),
        (70, "16"),
        (0, "VERTEX"),
        (8, "SLAB"),
        (10, "4"),
        (20, "3"),
        (0, "VERTEX"),
        (8, "SLAB"),
        (10, "0"),
        (20, "3"),
        (0, "SEQEND"),
        (8, "SLAB"),
        (0, "POINT"),
        (8, "GRADES"),
        (10, "1"),
        (20, "2"),
        (30, "-0.1"),
    ];
    let found = good(&drawing("6", old));
    assert_eq!(found.unit, LengthUnit::Metre);
    assert_eq!(found.layers[0].rings[0].corners.len(), 4);
    assert_eq!(found.layers[1].spots[0].at, P3 { x: 1.0, y: 2.0, z: -0.1 });
}

#[test]
fn rings_within_are_openings() {
    let mut with = LIGHT.to_vec();
    with.extend([(0, "CIRCLE"), (8, "SLAB"), (10, "15"), (20, "5"), (40, "0.5")]);
    with.extend([
        (0, "LWPOLYLINE"),
        (8, "SLAB"),
        (70, "1"),
        (10, "2"),
        (20, "2"),
        (10, "3"),
        (20, "2"),
        (10, "3"),
        (20, "3"),
    ]);
    with.extend([(0, "CIRCLE"), (8, "SLAB"), (10, "55"), (20, "5"), (40, "0.5")]);
    let report = outline_of(&good(&drawing("2", &with)), &wish());
    let taken = report.value.unwrap();
    assert_eq!((taken.openings.len(), taken.round.len()), (1, 1));
    assert!((taken.round[0].1 - 0.3048).abs() < 1e-12);
    assert!(report.notes.iter().any(|note| note.code == "ring-outside"));
    // Put in twice, they are there once.
    let once = put_outline(PATIO, &taken, UnitSystem::Us).unwrap();
    assert_eq!(once.matches("[[opening]]").count(), 2);
    assert_eq!(put_outline(&once, &taken, UnitSystem::Us).unwrap(), once);
}

#[test]
fn with_two_layers_of_rings_one_must_be_named() {
    let mut two = LIGHT.to_vec();
    two.extend([
        (0, "LWPOLYLINE"),
        (8, "HOUSE"),
        (70, "1"),
        (10, "2"),
        (20, "2"),
        (10, "3"),
        (20, "2"),
        (10, "3"),
        (20, "3"),
    ]);
    let found = good(&drawing("2", &two));
    let report = outline_of(&found, &wish());
    assert!(report.notes[0].code == "which-layer" && report.notes[0].hint.contains("\"SLAB\", \"HOUSE\""));
    let named = OutlineWish { layer: Some("SLAB".into()), ..wish() };
    assert_eq!(outline_of(&found, &named).value.unwrap().corners.len(), 4);
    let wrong = OutlineWish { layer: Some("ROOF".into()), ..wish() };
    assert_eq!(outline_of(&found, &wrong).notes[0].code, "which-layer");
}

/// Far from the drawing's origin the plan gets one of its own, in whole feet, and says so in the job.
#[test]
fn a_far_outline_is_brought_near() {
    let far: &[(i32, &str)] = &[
        (0, "LWPOLYLINE"),
        (8, "S"),
        (70, "1"),
        (10, "2000000.5"),
        (20, "700000.25"),
        (10, "2000020.5"),
        (20, "700000.25"),
        (10, "2000020.5"),
        (20, "700010.25"),
        (10, "2000000.5"),
        (20, "700010.25"),
    ];
    let report = outline_of(&good(&drawing("2", far)), &wish());
    let taken = report.value.unwrap();
    assert!(report.notes.iter().any(|note| note.code == "origin-moved"));
    assert!(taken.corners.iter().all(|corner| corner.norm() < 10.0));
    assert!((taken.origin.x / 0.3048 - 2_000_000.0).abs() < 1e-6);
    let text = put_outline(PATIO, &taken, UnitSystem::Us).unwrap();
    assert!(
        text.contains("# Origin of the plan in the drawing: 2000000 ft, 700000 ft")
            && text.contains("[\"6 in\", \"3 in\"]"),
        "{text}"
    );
}

#[test]
fn faults_of_a_drawing_are_told_all_at_once_at_their_lines() {
    let bad: &[(i32, &str)] = &[
        (0, "LINE"),
        (8, "S"),
        (10, "NaN"),
        (20, "0"),
        (11, "inf"),
        (21, "0"),
        (0, "CIRCLE"),
        (8, "S"),
        (10, "1"),
        (20, "1"),
        (40, "-3"),
        (0, "POINT"),
        (8, "S"),
        (10, "1e300"),
        (20, "0"),
        (0, "ARC"),
        (8, "S"),
        (10, "1"),
        (20, "1"),
        (0, "LWPOLYLINE"),
        (8, "S"),
        (70, "1"),
        (10, "0"),
        (20, "x"),
    ];
    let parsed = parsed(&drawing("2", bad));
    assert!(parsed.report.value.is_none());
    let told = render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default());
    assert!(told.contains("test.dxf:20:1") && told.contains("\"NaN\" is no number"), "{told}");
    let codes = codes(&parsed);
    for code in ["drawing-number", "arc-impossible", "spot-out-of-range", "group-missing"] {
        assert!(codes.contains(&code), "{code}: {codes:?}");
    }
    assert!(codes.len() >= 7, "{told}");
}

#[test]
fn files_that_are_none_are_refused_with_words() {
    let cases: [(&[u8], &str); 9] = [
        (b"", "empty-file"),
        (b"x,y,reading\n1 ft,2 ft,3 ft\n", "unknown-file"),
        (b"AutoCAD Binary DXF\r\n\x1a\0\0\0", "binary-drawing"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLI", "drawing-cut-off"),
        (b"0\nSECTION\n2\nENTITIES\nzero\nLINE\n", "not-a-group"),
        (b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "unit-not-stated"),
        (b"<LandXML", "not-xml"),
        (b"<kml/>", "unknown-file"),
        (b"<LandXML/>", "unit-not-stated"),
    ];
    for (bytes, code) in cases {
        let parsed = read_brought(bytes, "x", &ReadOptions::default());
        assert!(
            codes(&parsed).contains(&code),
            "{}: {:?}",
            String::from_utf8_lossy(bytes),
            parsed.report.notes
        );
        assert!(parsed.report.value.is_none());
    }
}

#[test]
fn a_stated_unit_goes_before_the_files_own() {
    let options = ReadOptions { unit: Some(LengthUnit::Inch), ..ReadOptions::default() };
    let found = read_brought(drawing("0", LIGHT).as_bytes(), "x", &options).report.value.unwrap();
    assert!((found.layers[0].rings[0].corners[1].x - 20.0 * 0.0254).abs() < 1e-12);
}

/// 200 MB are refused by their size, unread.
#[test]
fn a_file_of_200_mb_is_refused() {
    let bytes = vec![b'0'; 200_000_000];
    let parsed = read_brought(&bytes, "huge.dxf", &ReadOptions::default());
    assert_eq!(codes(&parsed), ["file-too-large"]);
    assert!(bytes.len() > LARGEST_BROUGHT);
}

/// A million vertices, as short as they can be written, are over a bound; what fits into the bytes but not into the count is told.
#[test]
fn a_drawing_of_too_many_vertices_is_refused() {
    let vertices = "10\n1\n20\n1\n".repeat(1_000_000);
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nS\n70\n1\n{vertices}0\nENDSEC\n0\nEOF\n"
    );
    assert_eq!(codes(&parsed(&text)), ["file-too-large"]);
    let vertices = "10\n1\n20\n1\n".repeat(150_000);
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nS\n70\n1\n{vertices}0\nENDSEC\n0\nEOF\n"
    );
    assert_eq!(codes(&parsed(&text)), ["too-many-spots"]);
}

/// Elements 100,000 deep are refused before the reader of XML sees them.
#[test]
fn deep_xml_is_refused() {
    let deep = format!("<LandXML>{}{}</LandXML>", "<a>".repeat(100_000), "</a>".repeat(100_000));
    assert_eq!(codes(&parsed(&deep)), ["not-xml"]);
    let cut = "<a>".repeat(1_000_000);
    assert_eq!(codes(&parsed(&cut)), ["not-xml"]);
}

/// A document type with entities that call each other is refused, not expanded.
#[test]
fn entities_are_not_expanded() {
    let bomb = "<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c SYSTEM \"file:///etc/hostname\">]>\n<LandXML><Units><Metric linearUnit=\"meter\"/></Units><CgPoints><CgPoint name=\"&b;&c;\">1 2 3</CgPoint></CgPoints></LandXML>";
    let parsed = parsed(bomb);
    assert_eq!(codes(&parsed), ["not-xml"]);
    assert!(parsed.report.notes[0].message.contains("document type"));
}

const SURVEY: &str = "<?xml version=\"1.0\"?>\n<LandXML xmlns=\"http://www.landxml.org/schema/LandXML-1.2\" version=\"1.2\">\n<Units><Imperial linearUnit=\"USSurveyFoot\"/></Units>\n\
<CgPoints name=\"grades\"><CgPoint name=\"p1\">10 20 99.5</CgPoint><CgPoint name=\"p1\">11 21 99.25</CgPoint><CgPoint>12 22</CgPoint><CgPoint name=\"r\" pntRef=\"p1\"/></CgPoints>\n\
<Surfaces><Surface name=\"base\"><Definition surfType=\"TIN\"><Pnts><P id=\"1\">0 0 99</P><P id=\"2\">0 3 99.5</P><P id=\"3\">4 0 98.75</P><P id=\"9\">50 50 9</P></Pnts>\
<Faces><F>1 2 3</F><F i=\"1\">1 2 9</F></Faces></Definition></Surface></Surfaces>\n</LandXML>";

/// Northing comes first: the point 10 20 stands 20 to the right and 10 up. Survey feet are 1200/3937 m.
#[test]
fn a_survey_has_northings_first_and_survey_feet() {
    let found = good(SURVEY);
    let foot = 1200.0 / 3937.0;
    let spot = found.layers[0].spots[0].at;
    assert!(
        (spot.x - 20.0 * foot).abs() < 1e-12
            && (spot.y - 10.0 * foot).abs() < 1e-12
            && (spot.z - 99.5 * foot).abs() < 1e-12
    );
    assert_eq!(
        found.layers[0].spots.len(),
        2,
        "a point without elevation, and one that refers to another, are no shots"
    );
    assert_eq!(found.layers[1].faces.len(), 1, "an invisible face is none");
}

#[test]
fn faults_of_a_survey_are_told_at_their_lines() {
    let bad = SURVEY
        .replace("10 20 99.5", "10 NaN 99.5")
        .replace("<F>1 2 3</F>", "<F>1 2 7</F><F>1 2</F>")
        .replace("id=\"2\"", "id=\"1\"");
    let parsed = parsed(&bad);
    let told = render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default());
    assert!(told.contains("test.dxf:4:") && told.contains("test.dxf:5:"), "{told}");
    let codes = codes(&parsed);
    assert!(
        codes.contains(&"drawing-number")
            && codes.contains(&"face-impossible")
            && codes.contains(&"double-name"),
        "{told}"
    );
}

fn shots(layers: &[&str]) -> ShotWish {
    ShotWish {
        layers: layers.iter().map(|name| (*name).to_owned()).collect(),
        origin: None,
        on: ShotOn::Base,
        setup: "survey".into(),
        units: UnitSystem::Us,
    }
}

/// Shots come in as readings under a level plane, and the job levels them back to their elevations.
#[test]
fn shots_become_a_set_up_that_levels_to_their_elevations() {
    let found = good(SURVEY);
    assert_eq!(shots_of(&found, &shots(&[])).notes[0].code, "which-layer");
    let report = shots_of(&found, &shots(&["points grades", "surface base"]));
    let taken = report.value.unwrap();
    assert_eq!(
        taken.shots.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(),
        ["p1", "1", "2", "3", "4"]
    );
    assert!(report.notes.iter().any(|note| note.code == "triangles-as-spots"));
    let deep = shots_of(&good(&SURVEY.replace("4 0 98.75", "4 0 9.875")), &shots(&["surface base"]));
    assert!(deep.value.is_none() && deep.notes.iter().any(|note| note.code == "not-one-base"));
    let text = put_shots(PATIO, &taken, UnitSystem::Us).unwrap();
    let job = read(&text).report.value.unwrap_or_else(|| panic!("{text}"));
    let levelled = ground::survey::level(&job.survey).value.unwrap();
    // The laser's own set-up stays the last, from which forms and pads are read.
    assert_eq!(
        job.survey.setups.iter().map(|setup| setup.name.as_str()).collect::<Vec<_>>(),
        ["survey", "lawn"]
    );
    assert!(report.notes.iter().any(|note| note.code == "level-plane"));
    let ours: Vec<_> = levelled.shots.iter().filter(|shot| shot.setup == 0).collect();
    assert_eq!(ours.len(), taken.shots.len());
    for (shot, (_, at)) in ours.iter().zip(&taken.shots) {
        // Lengths are written to a ten-thousandth of a millimetre; an elevation is a benchmark and two readings.
        assert!((shot.z - at.z).abs() < 2e-7 && shot.at.distance(at.plan()) < 2e-7, "{shot:?} {at:?}");
    }
    // Taken again, they stand in the place of the first.
    assert_eq!(put_shots(&text, &taken, UnitSystem::Us).unwrap(), text);
    assert!(text.contains("# A patio behind a house"));
}

/// An outline put into a job keeps remarks, names of corners that stand where they stood, and what hangs on them.
#[test]
fn an_outline_put_in_keeps_names_and_remarks() {
    let near: &[(i32, &str)] = &[
        (0, "LWPOLYLINE"),
        (8, "S"),
        (70, "1"),
        (10, "0.1"),
        (20, "0"),
        (10, "14"),
        (20, "0.2"),
        (10, "14"),
        (20, "12"),
        (10, "7"),
        (20, "15"),
        (10, "0"),
        (20, "12"),
    ];
    let taken = outline(&drawing("2", near));
    let text = put_outline(PATIO, &taken, UnitSystem::Us).unwrap();
    for kept in [
        "name = \"left front\"",
        "name = \"right back\"",
        "name = \"A\"",
        "# Away from the house",
        "kind = \"wall\"",
    ] {
        assert!(text.contains(kept), "{kept}\n{text}");
    }
    // The wall ran between corners that are no neighbours any more: the job says so.
    let parsed = read(&text);
    assert!(parsed.report.notes.iter().any(|note| note.code == "no-such-edge"), "{:#?}", parsed.report.notes);
    let bent = outline(&drawing("2", LIGHT));
    let text = put_outline(
        &PATIO.replace("[[edge]]\nfrom = \"right back\"\nto = \"left back\"\nkind = \"wall\"\n", ""),
        &bent,
        UnitSystem::Us,
    )
    .unwrap();
    let job = read(&text).report.value.unwrap_or_else(|| panic!("{text}"));
    assert!(
        matches!(job.outline.edges[1].shape, EdgeShape::ArcOut(radius) if (radius.in_feet() - 10.0).abs() < 1e-9)
    );
}

#[test]
fn names_of_layers_in_a_code_page_stay_apart() {
    let mut bytes = drawing("2", LIGHT).replace("SLAB", "S?").into_bytes();
    let at = bytes.windows(2).position(|pair| pair == b"S?").unwrap();
    bytes[at + 1] = 0xe9;
    let found = read_brought(&bytes, "x", &ReadOptions::default()).report.value.unwrap();
    assert_eq!(found.layers[0].name, "S\u{e9}");
}
