//! Sheets are well formed, to scale, on the page, and stand any input.
#![allow(clippy::unwrap_used, reason = "a test may fail so")]

mod dayline;
mod sample;

use basis::UnitSystem;
use ground::P2;
use papers::drawing::*;
use proptest::prelude::*;
use sample::ft;

fn number(node: &roxmltree::Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().trim_end_matches("mm").parse().unwrap()
}

/// Well formed, sized in millimetres, and every text within the page at 0.6 of its size for each letter.
fn check(svg: &str) {
    let xml = roxmltree::Document::parse(svg).unwrap();
    let root = xml.root_element();
    let (w, h) = (number(&root, "width"), number(&root, "height"));
    assert_eq!(root.attribute("viewBox").unwrap(), format!("0 0 {w} {h}"));
    for node in xml.descendants().filter(|node| node.has_tag_name("text")) {
        let (x, y, size) = (number(&node, "x"), number(&node, "y"), number(&node, "font-size"));
        let wide = node.text().unwrap_or("").chars().count() as f64 * size * 0.6;
        let back = if node.attribute("text-anchor").is_some() { wide * 0.5 } else { 0.0 };
        let (across, along) = if node.attribute("transform").is_some() { (y, x) } else { (x, y) };
        let (most_across, most_along) = if node.attribute("transform").is_some() { (h, w) } else { (w, h) };
        assert!(across - back >= 0.0 && across - back + wide <= most_across, "{:?}", node.text());
        assert!(along - size >= 0.0 && along <= most_along, "{:?}", node.text());
    }
}

#[test]
fn every_layer_is_well_formed_and_stays_on_the_page() {
    let mut floor = sample::floor();
    for (units, size) in [
        (UnitSystem::Us, "width=\"279.4mm\" height=\"215.9mm\""),
        (UnitSystem::Metric, "width=\"297mm\" height=\"210mm\""),
    ] {
        floor.sheet.units = units;
        for (name, layer) in sample::all() {
            let svg = draw(&floor, &layer);
            check(&svg);
            assert!(svg.contains(size), "{name}");
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{name}");
        }
    }
}

/// The first side is 40 ft; at 1:96 that is 12192 mm / 96 = 127.00 mm on paper.
#[test]
fn the_floor_is_drawn_to_the_scale_that_is_told() {
    let svg = draw(&sample::floor(), &sample::pads());
    assert!(svg.contains("1/8 in = 1 ft (1:96)"));
    let xml = roxmltree::Document::parse(&svg).unwrap();
    let side =
        xml.descendants().find(|node| node.attribute("class") == Some("form") && node.has_tag_name("path"));
    let d = side.unwrap().attribute("d").unwrap();
    let xs: Vec<f64> =
        d.trim_start_matches('M').split('L').map(|p| p.split(' ').next().unwrap().parse().unwrap()).collect();
    assert!((xs[1] - xs[0] - 127.0).abs() < 0.02, "{xs:?}");
    assert!(svg.contains("unicode-bidi"));
}

#[test]
fn each_layer_tells_what_it_is_for() {
    for (name, layer, told) in [
        ("base", sample::base(), vec!["Base as shot", "99.28", ">s3<", "shot: its elevation and its name"]),
        (
            "thickness",
            sample::thickness(),
            vec![
                "Thickness",
                "thinnest 3-3/8&quot; ± 1/8&quot;",
                "thickest 4-5/8&quot;",
                "under 3-1/2&quot;",
                "class=\"hx\"",
            ],
        ),
        (
            "fall",
            sample::fall(),
            vec![
                "Fall",
                "1/8 in/ft",
                "high 100.00'",
                "low 99.63'",
                "taper 10&quot;, 1/2&quot; down",
                "ridge:",
                "valley:",
                "class=\"ridge\"",
                "class=\"valley\"",
            ],
        ),
        (
            "loads",
            sample::loads(),
            vec![
                "Bays and loads",
                ">5<",
                "2.90 yd3",
                "load 1 | 2",
                "18' from the right edge",
                "way out: boat door",
                "18' from B-C",
            ],
        ),
        (
            "pads",
            sample::pads(),
            vec![
                "Pads",
                ">12<",
                "4' 7-3/16&quot;",
                "←24' ↓14' 6-1/2&quot;",
                "until the laser is moved",
                "2' 6-1/2&quot; A-B",
            ],
        ),
        (
            "reach",
            sample::reach(),
            vec!["Reach", "apron", "main 14'", "out of reach", "class=\"limit\"", "120 ft2", "fall enough"],
        ),
        (
            "joints",
            sample::joints(),
            vec![
                "Joints",
                "saw cut, 1&quot; deep",
                "class=\"forced\"",
                "class=\"kept\"",
                "class=\"dowel\"",
                "class=\"bars\"",
                "class=\"h2\"",
                "no joint here: tank",
                "two bars across the corner",
                "14' A-B",
                "At most 10' apart",
            ],
        ),
    ] {
        let svg = draw(&sample::floor(), &layer);
        let plain: String = svg.replace("\n", " ");
        for told in told.into_iter().chain([
            "Boat shed",
            "Laser set-up: front",
            "printed",
            ">40'<",
            "14' 0-1/8&quot;",
        ]) {
            let words = told.split(' ').all(|word| plain.contains(word));
            assert!(plain.contains(told) || (told.len() > 20 && words), "{name}: {told}");
        }
        assert!(!svg.contains("Pour:"), "a date was invented");
        assert!(svg.contains("class=\"below\""), "{name}: the thickened edge is not dashed");
    }
}

/// Labels do not lie on one another: the white grounds cut for them are apart.
#[test]
fn labels_keep_apart() {
    for (name, layer) in sample::all() {
        let svg = draw(&sample::floor(), &layer);
        let xml = roxmltree::Document::parse(&svg).unwrap();
        let boxes: Vec<[f64; 4]> = xml
            .descendants()
            .filter(|node| node.attribute("class") == Some("box"))
            .skip(1)
            .map(|node| ["x", "y", "width", "height"].map(|name| number(&node, name)))
            .collect();
        assert!(boxes.len() > 8, "{name}: {} labels", boxes.len());
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[..i] {
                let apart =
                    a[0] + a[2] <= b[0] || b[0] + b[2] <= a[0] || a[1] + a[3] <= b[1] || b[1] + b[3] <= a[1];
                assert!(apart, "{name}: {a:?} {b:?}");
            }
        }
    }
}

#[test]
fn texts_of_any_kind_are_tamed() {
    let mut floor = sample::floor();
    let long = "wide ".repeat(2000);
    let rough = "<b>&\"'\u{0}\u{1b}[31m\u{202e}\u{fffe}\r\nשלום 床 🧱";
    floor.sheet.job = format!("{rough}{long}");
    floor.sheet.notes = vec![long.clone(), "x".repeat(10_000)];
    floor.sides[0].label = rough.into();
    floor.doors[0].label = "y".repeat(10_000);
    let shot = |x: f64, label: &str| ShotMark { at: ft(x, 10.0), name: String::new(), label: label.into() };
    let spots = vec![shot(20.0, &long), shot(10.0, rough)];
    let svg =
        draw(&floor, &Layer::Base(BaseLayer { field: Field::default(), shots: spots, next: Vec::new() }));
    check(&svg);
    assert!(svg.contains("&lt;b&gt;&amp;&quot;'") && svg.contains('…') && svg.contains("שלום"));
    assert!(!svg.contains(['\u{0}', '\u{1b}', '\u{202e}', '\u{fffe}', '\r']));
    assert!(svg.len() < 40_000);
}

#[test]
fn no_numbers_and_far_points_are_told_and_not_drawn() {
    let mut floor = sample::floor();
    floor.boundary.push(P2::new(f64::NAN, 1e300));
    floor.sides[3].run = vec![P2::new(f64::INFINITY, 0.0), P2::new(0.0, f64::NAN)];
    let spots = [f64::NAN, f64::INFINITY, 1e300, 1e5].map(|x| ShotMark {
        at: P2::new(x, 1.0),
        name: "n".into(),
        label: "bad".into(),
    });
    let svg = draw(
        &floor,
        &Layer::Base(BaseLayer { field: Field::default(), shots: spots.to_vec(), next: Vec::new() }),
    );
    check(&svg);
    assert!(svg.contains("4 points are not drawn") && svg.contains("1:96"));
    let nothing = FloorDrawing { sheet: floor.sheet, ..FloorDrawing::default() };
    for (_, layer) in sample::all() {
        check(&draw(&nothing, &layer));
    }
}

#[test]
fn a_hundred_thousand_shots_make_a_sheet_of_modest_size() {
    let shots = (0..100_000).map(|i| ShotMark {
        at: ft(f64::from(i % 400) * 0.1, f64::from(i / 400) * 0.07),
        name: String::new(),
        label: "99.28".into(),
    });
    let svg = draw(
        &sample::floor(),
        &Layer::Base(BaseLayer { field: Field::default(), shots: shots.collect(), next: Vec::new() }),
    );
    check(&svg);
    assert!(svg.len() < 600_000, "{}", svg.len());
    assert!(svg.contains("98000 points are not drawn") && svg.contains("more"));
}

#[test]
fn limits_are_neat_and_few() {
    assert_eq!(neat_limits(3.4, 4.6, &[0.125, 0.25, 0.5]), [3.5, 3.75, 4.0, 4.25, 4.5]);
    assert_eq!(neat_limits(0.0, 1000.0, &[1.0]).len(), 3);
    assert_eq!(neat_limits(4.0, 4.0, &[0.25]), Vec::<f64>::new());
    for (low, high) in [(f64::NAN, 1.0), (1.0, f64::INFINITY), (2.0, 1.0), (-1e300, 1e300)] {
        assert!(neat_limits(low, high, &[0.25]).len() < MOST_BANDS);
    }
    assert!(neat_limits(0.0, 1.0, &[]).is_empty() && neat_limits(0.0, 1.0, &[f64::NAN]).is_empty());
}

/// The bands between limits tile the surface: a ramp of 10 over 10 m, cut at 3, fills 3 and 7 parts.
#[test]
fn bands_end_at_their_limits() {
    let ring = [(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0)].map(|(x, y)| P2::new(x, y));
    let field = Field {
        pieces: vec![ring.iter().map(|p| p.at(p.x)).collect()],
        limits: vec![3.0],
        names: vec!["a".into(), "b".into()],
        levels: vec!["3".into()],
    };
    let mut floor = sample::floor();
    floor.sheet.units = UnitSystem::Metric;
    floor.boundary = ring.to_vec();
    floor.sides.clear();
    let svg = draw(&floor, &Layer::Base(BaseLayer { field, shots: Vec::new(), next: Vec::new() }));
    let xml = roxmltree::Document::parse(&svg).unwrap();
    let wide = |class: &str| {
        let node = xml
            .descendants()
            .find(|node| node.attribute("class") == Some(class) && node.has_tag_name("path"))
            .unwrap();
        let d = node.attribute("d").unwrap().replace(['M', 'Z'], "");
        let xs: Vec<f64> = d.split('L').map(|p| p.split(' ').next().unwrap().parse().unwrap()).collect();
        xs.iter().fold(f64::MIN, |m, x| m.max(*x)) - xs.iter().fold(f64::MAX, |m, x| m.min(*x))
    };
    assert!((wide("h1") / wide("h0") - 7.0 / 3.0).abs() < 1e-3, "{} {}", wide("h0"), wide("h1"));
}

/// A regression value: the smallest sheet, without its style.
#[test]
fn the_smallest_sheet_looks_as_before() {
    let sheet =
        Sheet { job: "Patio".into(), setup: "corner".into(), date: "2026-06-12".into(), ..Sheet::default() };
    let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)].map(|(x, y)| P2::new(x, y));
    let side = Side { run: corners[..2].to_vec(), label: "4.000 m".into(), kind: SideKind::Form };
    let floor =
        FloorDrawing { sheet, boundary: corners.to_vec(), sides: vec![side], ..FloorDrawing::default() };
    let pad = PadMark {
        at: P2::new(3.0, 1.0),
        number: 1,
        reading: "1402 mm".into(),
        tapes: vec![Tape { from: P2::new(3.0, 0.0), label: "1.000 m".into() }],
    };
    let svg = draw(&floor, &Layer::Pads(PadsLayer { pads: vec![pad], ..PadsLayer::default() }));
    let drawn = svg.split("clip-path=\"url(#area)\">").nth(1).unwrap();
    insta::assert_snapshot!(drawn);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn any_numbers_make_a_sheet(bits in proptest::collection::vec(any::<u64>(), 12), label in any::<String>()) {
        let v: Vec<f64> = bits.iter().map(|b| f64::from_bits(*b)).collect();
        let p = |i: usize| P2::new(v[i], v[i + 1]);
        let mut floor = sample::floor();
        floor.boundary = vec![p(0), p(2), p(4), ft(3.0, 3.0)];
        floor.sides[0] = Side { run: vec![p(6), p(8), p(0)], label: label.clone(), kind: SideKind::Wall };
        floor.doors[0] = DoorMark { a: p(2), b: p(4), label: label.clone(), more: vec![label.clone()] };
        let stand = StandMark { at: p(4), label: label.clone(), facing: p(6), half_swing: v[0], arcs: vec![ReachArc { radius: v[1], label: label.clone() }] };
        let bay = BayMark { rings: vec![Vec::new(), vec![p(0), p(2), p(4)]], toward: p(8), label: label.clone() };
        for layer in [
            Layer::Reach(ReachLayer { stands: vec![stand], beyond: vec![vec![p(0), p(2), p(4)]], limit: vec![(p(0), p(2))], beyond_label: label.clone(), table: Table { head: vec![label.clone()], rows: vec![vec![label.clone()]] }, notes: vec![label.clone()] }),
            Layer::Joints(JointsLayer { joints: vec![JointMark { a: p(0), b: p(2), is_forced: true }], depth: label.clone(), panels: vec![PanelMark { ring: vec![p(0), p(2), p(4)], is_over: true }], strips: vec![vec![p(0), p(2), p(4)]], strip: label.clone(), dowels: vec![(p(0), p(4))], dowel: label.clone(), bars: vec![(p(2), p(4))], bar: label.clone(), kept_off: vec![NamedRing { ring: vec![p(0), p(2), p(4)], label: label.clone(), more: Vec::new() }], table: Table::default(), notes: vec![label.clone()] }),
            Layer::Loads(LoadsLayer { bays: vec![bay], lines: vec![LoadLine { a: p(0), b: p(2), label: label.clone(), tape: label.clone() }], exit: None, table: Table::default() }),
            Layer::Thickness(ThicknessLayer { field: Field { pieces: vec![vec![p(0).at(v[0]), p(2).at(v[1]), p(4).at(v[2])]], limits: vec![v[3], v[4]], names: vec![label.clone()], levels: vec![label.clone(), label.clone()] }, thinnest: Some(Spot { at: p(0), label: label.clone() }), ..ThicknessLayer::default() }),
        ] {
            prop_assert!(roxmltree::Document::parse(&draw(&floor, &layer)).is_ok());
        }
    }
}
