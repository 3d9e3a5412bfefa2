//! The drawings of the finishing clock of every demonstration with weather, read back against its forecast.

use basis::TimeSpan;
use clock::Round;
use papers::FloorsAsked;
use pour::day::{FloorOfDay, day};
use pour::forecast::state::state_at;
use pour::rounds::{Answer, Budget};

use crate::drawings::{Drawn, demos, misplaced, number};

fn with_weather() -> Vec<Drawn> {
    let found: Vec<Drawn> = demos().into_iter().filter(|demo| demo.plan.forecast.is_some()).collect();
    assert!(!found.is_empty(), "no demonstration has weather");
    found
}

/// Where the hours stand on the sheet: the first line and the step from hour to hour.
fn axis(xml: &roxmltree::Document<'_>) -> (f64, f64) {
    let hours: Vec<f64> = xml
        .descendants()
        .filter(|n| n.attribute("class") == Some("hour"))
        .map(|n| number(&n, "x1"))
        .collect();
    (hours[0], (hours[hours.len() - 1] - hours[0]) / (hours.len() - 1) as f64)
}

#[test]
fn the_day_line_shows_every_bay_with_its_windows_in_their_places() {
    for demo in with_weather() {
        let floors = [FloorOfDay { job: &demo.job, plan: &demo.plan }];
        let day = day(&floors, 1, Budget::default()).value.expect("a day");
        let sheets = papers::day_line(&floors, &day, "Sheet 7 of 7");
        assert_eq!(sheets, papers::day_line(&floors, &day, "Sheet 7 of 7"), "{}", demo.name);
        assert_eq!(sheets[0].0, "day-line.svg");
        let forecast = demo.plan.forecast.as_ref().expect("a forecast");
        let mut bays = 0;
        let mut cores: Vec<(f64, f64)> = Vec::new();
        let mut works = 0;
        for (name, svg) in &sheets {
            let wrong = misplaced(&format!("{} {name}", demo.name), svg);
            assert!(wrong.is_empty(), "{}", wrong.join("\n"));
            bays += forecast.bays.iter().filter(|bay| svg.contains(&format!(">bay {}<", bay.number))).count();
            let xml = roxmltree::Document::parse(svg).expect("a drawing parses");
            let (first, hour) = axis(&xml);
            // The first hour line is the first full hour of local time from the first truck on.
            let local = forecast.zone.to_datetime(forecast.first_truck);
            let until_full = f64::from((60 - i32::from(local.minute())) % 60) / 60.0;
            let time = |x: f64| (x - first) / hour + until_full;
            let is = |n: &roxmltree::Node<'_, '_>, class: &str| n.attribute("class") == Some(class);
            for bar in xml.descendants().filter(|n| is(n, "open") || is(n, "failing")) {
                let (x, wide) = (number(&bar, "x"), number(&bar, "width"));
                cores.push((time(x), time(x + wide)));
            }
            works += xml.descendants().filter(|n| is(n, "work")).count();
        }
        assert_eq!(bays, forecast.bays.len(), "{}", demo.name);
        for bay in &forecast.bays {
            for round in &bay.rounds {
                let (Some(opens), Some(closes)) = (round.opens.middle, round.closes.middle) else { continue };
                let (opens, closes) = (opens.in_hours(), closes.in_hours());
                let is_it = |(from, until): &&(f64, f64)| {
                    (from - opens).abs() < 0.005 && (until - closes).abs() < 0.005
                };
                let told = format!("{} bay {} {:?} {opens} {closes}", demo.name, bay.number, round.round);
                assert!(opens >= closes || cores.iter().any(|core| is_it(&core)), "{told}");
            }
        }
        assert_eq!(works > 0, matches!(day.answer, Answer::Plan(_)), "{}", demo.name);
    }
}

#[test]
fn the_floor_at_an_instant_says_what_each_bay_is_like() {
    for demo in with_weather() {
        let forecast = demo.plan.forecast.as_ref().expect("a forecast");
        let drawn = papers::telling_floors(&demo.job, &demo.plan, FloorsAsked::Only);
        assert!((3..=6).contains(&drawn.len()), "{}: {}", demo.name, drawn.len());
        for (name, svg) in &drawn {
            let wrong = misplaced(&format!("{} {name}", demo.name), svg);
            assert!(wrong.is_empty(), "{}", wrong.join("\n"));
            assert!(!svg.contains("No room"), "{} {name}", demo.name);
        }
        let first = &forecast.bays[0];
        let opens = first
            .rounds
            .iter()
            .find(|band| band.round != Round::BullFloat)
            .and_then(|band| band.opens.middle);
        let at = TimeSpan::minutes(opens.expect("a window").in_minutes().ceil());
        let instant = forecast.first_truck + jiff::SignedDuration::from_mins(at.in_minutes() as i64);
        let (name, svg) =
            papers::floor_at(&demo.job, &demo.plan, FloorsAsked::Numbered(2), instant).expect("a floor");
        let local = forecast.zone.to_datetime(instant);
        assert_eq!(name, format!("floor-2-{:02}{:02}.svg", local.hour(), local.minute()));
        // All words of a bay stand in its table row, whole.
        let flat = |text: &str| text.split_whitespace().collect::<String>();
        let xml = roxmltree::Document::parse(&svg).expect("a drawing parses");
        let words: String =
            xml.descendants().filter(|n| n.has_tag_name("text")).filter_map(|n| n.text()).map(flat).collect();
        for bay in &forecast.bays {
            let state = state_at(bay, at).state.to_string();
            assert!(
                words.contains(&flat(&format!("{state}bay {}", bay.number))),
                "{} bay {}: {state}",
                demo.name,
                bay.number
            );
        }
        assert!(svg.contains("class=\"hx\""), "{}: the bay that is due is hatched", demo.name);
    }
}
