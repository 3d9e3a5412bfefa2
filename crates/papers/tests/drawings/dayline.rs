//! The day line: true to its axis, readable, and fit for any input.

use basis::UnitSystem;
use papers::drawing::Sheet;
use papers::drawing::dayline::*;
use proptest::prelude::*;

/// Two bays of an invented day from 7:00 to 17:00, in hours of the day.
fn day() -> DayLine {
    let bar = |kind, label: &str, [low, from, until, high]: [f64; 4]| Bar {
        kind,
        name: label.to_owned(),
        label: format!("{label} as told"),
        low,
        from,
        until,
        high,
        work: Vec::new(),
    };
    let bay = |number: usize, later: f64| {
        let work = |from: f64, until: f64, part: &str| Work {
            from: from + later,
            until: until + later,
            who: "A B".to_owned(),
            with: "M1".to_owned(),
            part: part.to_owned(),
        };
        let moved = |times: [f64; 4]| times.map(|time| time + later);
        let mut float = bar(BarKind::Window, "float", moved([8.0, 9.0, 10.5, 12.0]));
        float.work = vec![work(9.25, 10.25, "1a"), work(9.5, 9.6, "1b")];
        let bars = vec![
            bar(BarKind::Placing, "placed", moved([7.0, 7.2, 7.5, 7.8])),
            float,
            bar(BarKind::Failing, "trowel 1", moved([9.5, 10.0, 11.0, 13.0])),
            bar(BarKind::Milestone, "saw", moved([11.0, 12.0, 12.0, 14.0])),
        ];
        let beside = vec![["vehicles".to_owned(), "Sat 7:00".to_owned()]];
        BayLane { name: format!("bay {number}"), bars, beside }
    };
    let truck = bar(BarKind::Truck, "no. 1", [7.0, 7.1, 7.6, 7.9]);
    DayLine {
        sheet: Sheet {
            job: "Boat shed".into(),
            date: "Fri 2026-06-12".into(),
            units: UnitSystem::Us,
            notes: vec!["An invented day.".into()],
            ..Sheet::default()
        },
        from: 7.0,
        until: 17.0,
        hours: (7..=17).map(|hour| HourMark { at: f64::from(hour), label: format!("{hour}:00") }).collect(),
        nights: vec![(-5.0, 5.0), (16.0, 29.0)],
        sun: vec![(5.0, "up 5:00".into()), (16.0, "down 16:00".into())],
        weather: (7..=17)
            .map(|hour| WeatherMark {
                at: f64::from(hour),
                air: 20.0 + f64::from(hour % 5),
                air_label: format!("{} °C", 20 + hour % 5),
                sky: if hour % 4 == 0 { "3 m/s, cloud 30 %".into() } else { String::new() },
            })
            .collect(),
        floors: vec![FloorLane {
            name: String::new(),
            trucks: vec![truck],
            bays: vec![bay(1, 0.0), bay(2, 0.5)],
        }],
        keys: vec![("M1".into(), "36 in. walk-behind".into())],
    }
}

fn number(node: &roxmltree::Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().trim_end_matches("mm").parse().unwrap()
}

fn of_class<'a>(xml: &'a roxmltree::Document<'_>, class: &str) -> Vec<roxmltree::Node<'a, 'a>> {
    xml.descendants().filter(|node| node.attribute("class") == Some(class)).collect()
}

/// Every text within the page, none on another, at 0.56 of its size for each letter.
fn check(svg: &str) {
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    let xml = roxmltree::Document::parse(svg).unwrap();
    let (w, h) = (number(&xml.root_element(), "width"), number(&xml.root_element(), "height"));
    let mut boxes: Vec<(&str, [f64; 4])> = Vec::new();
    for node in xml.descendants().filter(|node| node.has_tag_name("text")) {
        let (x, y, size) = (number(&node, "x"), number(&node, "y"), number(&node, "font-size"));
        let told = node.text().unwrap_or("");
        let wide = told.chars().count() as f64 * size * 0.56;
        let left = if node.attribute("text-anchor").is_some() { x - 0.5 * wide } else { x };
        let here = [left, y - 0.72 * size, left + wide, y + 0.15 * size];
        assert!(
            here[0] >= 5.0 && here[1] >= 5.0 && here[2] <= w - 5.0 && here[3] <= h - 5.0,
            "{told} leaves the page"
        );
        assert!(size >= 2.55, "{told}: type of {size} mm");
        for (other, b) in &boxes {
            let meets = here[0] < b[2] && b[0] < here[2] && here[1] < b[3] && b[1] < here[3];
            assert!(!meets, "{told:?} lies on {other:?}");
        }
        boxes.push((told, here));
    }
}

#[test]
fn a_window_lies_at_its_time_on_the_axis() {
    let [svg] = &draw_day_line(&day())[..] else { panic!("one sheet") };
    check(svg);
    let xml = roxmltree::Document::parse(svg).unwrap();
    // The axis by its own hour lines: eleven of them, ten hours.
    let hours: Vec<f64> = of_class(&xml, "hour").iter().map(|line| number(line, "x1")).collect();
    assert_eq!(hours.len(), 11);
    let at = |hour: f64| hours[0] + (hour - 7.0) * (hours[10] - hours[0]) / 10.0;
    let is_at = |node: &roxmltree::Node<'_, '_>, from: f64, until: f64| {
        let (x, wide) = (number(node, "x"), number(node, "width"));
        (x - at(from)).abs() < 0.02 && (x + wide - at(until)).abs() < 0.03
    };
    let has = |class: &str, from: f64, until: f64| {
        let found = of_class(&xml, class);
        assert!(found.iter().any(|node| is_at(node, from, until)), "{class} from {from} to {until}");
    };
    has("open", 9.0, 10.5);
    has("open", 9.5, 11.0);
    has("failing", 10.0, 11.0);
    has("placing", 7.2, 7.5);
    has("truck", 7.1, 7.6);
    has("work", 9.25, 10.25);
    // Its line goes from 10 to 90 %.
    let is_line = |line: &roxmltree::Node<'_, '_>| {
        (number(line, "x1") - at(8.0)).abs() < 0.02 && (number(line, "x2") - at(12.0)).abs() < 0.02
    };
    assert!(of_class(&xml, "whisker").iter().any(is_line));
    // The night begins with sunset and ends with the axis; the night before is not on it.
    has("hn", 16.0, 17.0);
    let nights = of_class(&xml, "hn").iter().filter(|night| number(night, "y") < 100.0).count();
    assert_eq!(nights, 1);
}

#[test]
fn what_must_be_told_apart_differs_in_hatch_dash_or_words() {
    let svg = draw_day_line(&day()).concat();
    for told in [
        "bay 1",
        "bay 2",
        "7:00",
        "17:00",
        "down 16:00",
        "trucks",
        ">vehicles<",
        ">Sat 7:00<",
        "A B M1",
        "page",
    ] {
        assert_eq!(svg.contains(told), told != "page", "{told}");
    }
    // Work at the same time as other work stands in a row of its own and says which part it is.
    assert!(svg.contains(">float 1b: A B M1<"), "{svg}");
    assert!(svg.contains(".failing{fill:url(#px);stroke-width:.6;stroke-dasharray"));
    for hatched in ["#dp", "#dn", "#px"] {
        assert!(
            svg.contains(&format!("url({hatched})")) && svg.contains(&format!("id=\"{}\"", &hatched[1..]))
        );
    }
    // Without colour: all inks are greys.
    for colour in
        svg.split(['#', '"', ';', '}']).filter(|t| t.len() == 6 && t.chars().all(|c| c.is_ascii_hexdigit()))
    {
        assert!(colour[..2] == colour[2..4] && colour[2..4] == colour[4..], "{colour}");
    }
    assert_eq!(svg, draw_day_line(&day()).concat());
}

#[test]
fn a_long_day_takes_more_sheets_and_loses_nothing() {
    let mut long = day();
    let bay = long.floors[0].bays[0].clone();
    for units in [UnitSystem::Us, UnitSystem::Metric] {
        long.sheet.units = units;
        for (i, name) in ["Shop", "Yard"].into_iter().enumerate() {
            let bays = (1..=9).map(|n| BayLane { name: format!("bay {i}{n}"), ..bay.clone() });
            let floor =
                FloorLane { name: name.into(), trucks: long.floors[0].trucks.clone(), bays: bays.collect() };
            if long.floors.len() > i + 1 { long.floors[i + 1] = floor } else { long.floors.push(floor) }
        }
        let sheets = draw_day_line(&long);
        assert!(sheets.len() > 2, "{} sheets", sheets.len());
        let all = sheets.concat();
        for i in 0..2 {
            for n in 1..=9 {
                assert_eq!(all.matches(&format!(">bay {i}{n}<")).count(), 1, "bay {i}{n}");
            }
        }
        for (i, sheet) in sheets.iter().enumerate() {
            check(sheet);
            assert!(sheet.contains(&format!("page {} of {}", i + 1, sheets.len())));
            assert!(sheet.contains(">12:00<"), "every sheet has the hours");
        }
    }
}

#[test]
fn what_is_no_time_is_left_out() {
    let mut broken = day();
    broken.from = f64::NAN;
    broken.floors[0].bays[0].bars[0].high = f64::INFINITY;
    broken.floors[0].bays[0].bars[1].from = f64::NAN;
    broken.floors[0].bays[0].bars[2].work =
        vec![Work { from: f64::NAN, ..broken.floors[0].bays[0].bars[1].work[0].clone() }];
    broken.weather[0].air = f64::NAN;
    broken.nights.push((f64::NAN, 1.0));
    broken.hours.push(HourMark { at: f64::NAN, label: "<&\u{202e}".into() });
    draw_day_line(&broken).iter().for_each(|svg| check(svg));
    draw_day_line(&DayLine::default()).iter().for_each(|svg| check(svg));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Whatever the day, words stay on the page and off one another.
    #[test]
    fn any_day_is_readable(
        times in prop::collection::vec((6.0..18.0_f64, 0.0..3.0_f64, 0.0..2.0_f64, 0.0..4.0_f64, 0.0..1.0_f64), 1..14),
        name in "[a-z]{1,18} [0-9]{1,2}",
        until in 8.0..40.0_f64,
    ) {
        let mut day = day();
        day.until = until;
        day.floors[0].bays[1].bars = times
            .iter()
            .map(|(low, a, b, c, share)| {
                let work = Work { from: low + a, until: low + a + b * share, who: "C".into(), with: "M2".into(), part: "2".into() };
                Bar {
                    kind: BarKind::Window,
                    name: name.clone(),
                    label: name.clone(),
                    low: *low,
                    from: low + a,
                    until: low + a + b,
                    high: low + a + b + c,
                    work: vec![work.clone(), Work { from: work.from + 0.1, until: work.until + 0.1, ..work }],
                }
            })
            .collect();
        for sheet in draw_day_line(&day) {
            check(&sheet);
        }
    }
}
