//! The drawings of every demonstration job, read back: to scale, on the page, labels apart, nothing missing.

use house::tree;

/// Width of a letter in sizes of type: the digits of the common sans-serif faces.
const LETTER: f64 = 0.56;

pub struct Drawn {
    pub name: String,
    pub job: pour::Job,
    pub plan: pour::plan::Plan,
    sheets: Vec<(String, String)>,
}

pub fn demos() -> Vec<Drawn> {
    let paths = tree::demo_jobs();
    assert!(paths.len() >= 4, "only {} demonstration jobs", paths.len());
    let drawn = paths.into_iter().map(|path| {
        let name = tree::shown(&path);
        let beside = |file: &str| {
            let shots = path.parent().expect("a folder").join(file);
            Ok(tree::text(&shots).into_bytes())
        };
        let parsed = formats::read_job_bytes(tree::text(&path).as_bytes(), &name, &beside);
        let job = parsed.report.value.expect("a demonstration reads");
        let plan = pour::plan::plan(&job, 1).value.expect("a demonstration has a plan");
        let sheets = papers::sheets(&job, &plan, None);
        assert_eq!(sheets, papers::sheets(&job, &plan, None), "{name}: two drawings of one plan differ");
        Drawn { name, job, plan, sheets }
    });
    drawn.collect()
}

pub fn number(node: &roxmltree::Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).expect(name).trim_end_matches("mm").parse().expect("a number")
}

/// The upright box around a text: letters of [`LETTER`], 0.72 of the size above the line and 0.15 below.
fn box_of(node: &roxmltree::Node<'_, '_>) -> [f64; 4] {
    let (x, y, size) = (number(node, "x"), number(node, "y"), number(node, "font-size"));
    let wide = node.text().unwrap_or("").chars().count() as f64 * size * LETTER;
    let left = if node.attribute("text-anchor").is_some() { -0.5 * wide } else { 0.0 };
    let flat = [left, -0.72 * size, left + wide, 0.15 * size];
    let turn = node.attribute("transform").map_or(0.0, |t| {
        let angle = t.trim_start_matches("rotate(").split(' ').next().expect("an angle");
        angle.parse::<f64>().expect("a number").to_radians()
    });
    let (sin, cos) = (basis::math::sin(turn), basis::math::cos(turn));
    let corners = [(0, 1), (2, 1), (2, 3), (0, 3)]
        .map(|(i, j)| (x + flat[i] * cos - flat[j] * sin, y + flat[i] * sin + flat[j] * cos));
    let least = |get: fn(&(f64, f64)) -> f64| corners.iter().map(get).fold(f64::INFINITY, f64::min);
    let most = |get: fn(&(f64, f64)) -> f64| corners.iter().map(get).fold(f64::NEG_INFINITY, f64::max);
    [least(|c| c.0), least(|c| c.1), most(|c| c.0), most(|c| c.1)]
}

/// What is wrong with the texts of a sheet: off the page, on another, or too small.
pub fn misplaced(sheet: &str, svg: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let xml = roxmltree::Document::parse(svg).expect("a drawing parses");
    let (w, h) = (number(&xml.root_element(), "width"), number(&xml.root_element(), "height"));
    let texts: Vec<_> = xml.descendants().filter(|n| n.has_tag_name("text")).collect();
    assert!(texts.len() > 15, "{sheet}: {} texts", texts.len());
    let boxes: Vec<_> = texts.iter().map(|n| (n.text().unwrap_or(""), box_of(n))).collect();
    for (i, (told, a)) in boxes.iter().enumerate() {
        if a[0] < 5.0 || a[1] < 5.0 || a[2] > w - 5.0 || a[3] > h - 5.0 {
            wrong.push(format!("{sheet}: {told:?} leaves the page"));
        }
        for (other, b) in &boxes[..i] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] {
                wrong.push(format!("{sheet}: {told:?} lies on {other:?}"));
            }
        }
    }
    for size in texts.iter().map(|n| number(n, "font-size")).filter(|size| *size < 2.55) {
        wrong.push(format!("{sheet}: type of {size} mm"));
    }
    wrong
}

#[test]
fn every_text_is_on_the_page_and_no_two_lie_on_one_another() {
    let mut wrong = Vec::new();
    for demo in demos() {
        for (sheet, svg) in &demo.sheets {
            wrong.extend(misplaced(&format!("{} {sheet}", demo.name), svg));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The first side on paper, times the scale that the sheet tells, is the side of the plan.
#[test]
fn sides_are_drawn_to_the_scale_that_is_told() {
    for demo in demos() {
        let (a, b) = (demo.plan.outline.corners[0].at, demo.plan.outline.corners[1].at);
        for (sheet, svg) in &demo.sheets {
            let xml = roxmltree::Document::parse(svg).expect("a drawing parses");
            let scale = xml.descendants().filter_map(|n| n.text()).find(|t| t.starts_with("Scale "));
            let told = scale.and_then(|t| t.split("1:").nth(1)).expect("a scale");
            let ratio: f64 = told.trim_end_matches(')').parse().expect("a number");
            let classes = ["form", "wall", "slab"];
            let side = xml.descendants().find(|n| {
                n.has_tag_name("path") && n.attribute("class").is_some_and(|c| classes.contains(&c))
            });
            let d = side.and_then(|n| n.attribute("d")).expect("a side");
            let points: Vec<f64> = d
                .split(['M', 'L', ' '])
                .filter(|t| !t.is_empty())
                .map(|t| t.parse().expect("a number"))
                .collect();
            let on_paper = ((points[2] - points[0]).powi(2) + (points[3] - points[1]).powi(2)).sqrt();
            let told = on_paper * ratio / 1000.0;
            assert!((told - a.distance(b)).abs() < 2e-5 * ratio, "{} {sheet}: {told}", demo.name);
        }
    }
}

fn sheet<'a>(demo: &'a Drawn, name: &str) -> &'a str {
    &demo.sheets.iter().find(|(n, _)| *n == name).expect("a sheet").1
}

/// Each sheet shows what the plan knows: every shot, pad, load and stand by name; thickened edges dashed; breaks.
#[test]
fn nothing_of_the_plan_is_missing() {
    for demo in demos() {
        let escaped = |t: &str| t.replace('"', "&quot;");
        let has = |name: &str, told: &str| {
            let svg = sheet(&demo, name);
            assert!(svg.contains(&format!(">{}<", escaped(told))), "{} {name}: {told}", demo.name);
        };
        let base = demo.plan.levelled.shots.iter().filter(|s| s.on == ground::survey::ShotOn::Base);
        base.for_each(|s| has("base.svg", &s.name));
        for corner in &demo.plan.outline.corners {
            demo.sheets.iter().for_each(|(name, _)| has(name, &corner.name));
        }
        for pad in &demo.plan.pads.pads {
            has("pads.svg", &pad.number.to_string());
        }
        for line in demo.plan.loads.lines.iter().rev().skip(1) {
            let told = format!(">load {} ends, ", line.load);
            assert!(sheet(&demo, "loads.svg").contains(&told), "{} loads.svg: {told}", demo.name);
        }
        for stand in &demo.job.stands {
            has("reach.svg", &stand.name);
        }
        for number in 1..=demo.plan.joints.joints.len() {
            let told = format!("class=\"w\" text-anchor=\"middle\" unicode-bidi=\"isolate\">{number}<");
            assert!(sheet(&demo, "joints.svg").contains(&told), "{} joints.svg: cut {number}", demo.name);
        }
        for number in 1..=demo.plan.joints.panels.len() {
            has("joints.svg", &number.to_string());
        }
        for (name, svg) in &demo.sheets {
            let dashed = svg.contains("class=\"below\"");
            assert_eq!(dashed, !demo.plan.outline.thickened.is_empty(), "{} {name}", demo.name);
            assert!(!svg.contains("more rows"), "{} {name}: the table is cut", demo.name);
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{} {name}", demo.name);
        }
        assert!(sheet(&demo, "thickness.svg").contains("thinnest "), "{}", demo.name);
        assert!(sheet(&demo, "thickness.svg").contains("thickest "), "{}", demo.name);
        let hatched = sheet(&demo, "reach.svg").contains("class=\"hx\"");
        let reach = demo.plan.reach.as_ref().expect("a stand");
        assert_eq!(hatched, reach.beyond.area.in_square_metres() > 0.0, "{}", demo.name);
    }
}

/// The bakery's floor falls to its drain from five sides and a curve: at least four valleys run from the drain.
/// One plane has no break, and a door taper is none.
#[test]
fn break_lines_are_drawn_where_the_fall_changes() {
    for demo in demos() {
        let svg = sheet(&demo, "fall.svg");
        let count = |class: &str| svg.matches(&format!("<path class=\"{class}\"")).count();
        if demo.name.contains("bakery") {
            assert!(count("valley") >= 4, "{} valleys", count("valley"));
            assert_eq!(count("ridge"), 0);
        } else {
            assert_eq!((count("valley"), count("ridge")), (0, 0), "{}", demo.name);
        }
        assert!(svg.matches("class=\"head\"").count() > 3, "{}: no arrows", demo.name);
    }
}
