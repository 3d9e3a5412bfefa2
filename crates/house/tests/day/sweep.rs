//! Every hour of a weather file tried as the start of the pour: made-up weeks whose best start is known, ends, holes, clocks
//! that change, and the clock's own likely course.

use basis::{Note, Severity, TimeSpan};
use clock::events::{Event, Milestone};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use pour::Job;
use pour::job::Weather;
use pour::sweep::{Against, Asked, Start, StartHours, Sweep, Why};

const BAKERY_YARD: &str = include_str!("../../../../demo/bakery-yard.toml");
const SHOTS: &[u8] = include_bytes!("../../../../demo/bakery-yard-shots.csv");
const DEMO_HOURS: &[u8] = include_bytes!("../../../../demo/bakery-yard-weather.csv");
const HEAD: &str = "time, temperature degC, humidity %, wind m/s, cloud %, rain mm/h\n";

/// The bakery yard on other weather, an open yard in Vienna's zone.
fn yard(weather: &str) -> Job {
    let fetch = |name: &str| {
        let shots = name.ends_with("shots.csv");
        Ok(if shots { SHOTS.to_vec() } else { weather.as_bytes().to_vec() })
    };
    let parsed = formats::read_job(BAKERY_YARD, "floor.toml", &fetch);
    parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes))
}

fn swept(job: &Job, asked: &Asked) -> basis::Report<Sweep> {
    let floor = pour::plan::plan(&Job { weather: None, ..job.clone() }, 1);
    pour::plan::swept(job, &floor.value.unwrap_or_else(|| panic!("{:?}", floor.notes)), asked, 1)
}

fn sweep(job: &Job, asked: &Asked) -> Sweep {
    let report = swept(job, asked);
    report.value.unwrap_or_else(|| panic!("{:?}", report.notes))
}

fn faults(notes: &[Note]) -> Vec<(&'static str, &str)> {
    let faults = notes.iter().filter(|note| note.severity == Severity::Fault);
    faults.map(|note| (note.code, note.place.path())).collect()
}

fn local(sweep: &Sweep, start: &Start) -> String {
    sweep.zone.to_datetime(start.at).strftime("%Y-%m-%d %H:%M").to_string()
}

/// One hour of weather: air °C, humidity %, wind m/s, cloud %, rain mm/h.
type Hour = (f64, f64, f64, f64, f64);

const MILD: Hour = (18.0, 85.0, 1.0, 100.0, 0.0);

/// Rows by the hour from midnight of a day of July 2026, each as `hour(day, hour)` says; hours may be left out.
fn july(days: std::ops::RangeInclusive<u32>, hour: impl Fn(u32, u32) -> Option<Hour>) -> String {
    let mut rows = HEAD.to_owned();
    for day in days {
        for time in 0..24 {
            if let Some((air, humidity, wind, cloud, rain)) = hour(day, time) {
                rows +=
                    &format!("2026-07-{day:02} {time:02}:00, {air}, {humidity}, {wind}, {cloud}, {rain}\n");
            }
        }
    }
    rows
}

/// Monday rains through; Tuesday is hot, dry and windy; on Wednesday all freezes; Thursday is mild and overcast, and dry
/// from 9:00 to 15:00 alone; from then on it rains.
fn week(day: u32, hour: u32) -> Option<Hour> {
    let wet = (18.0, 85.0, 1.0, 100.0, 1.0);
    Some(match day {
        14 => (35.0, 15.0, 9.0, 0.0, 0.0),
        15 => (-8.0, 60.0, 1.0, 100.0, 0.0),
        // A row has the rain of the hour before it.
        16 if (10..=15).contains(&hour) => MILD,
        _ => wet,
    })
}

/// The best start follows by hand. A slab must be free of rain from its first truck to final set, which takes this floor
/// between five and six hours at 18 °C (held against the clock's own forecast below). Thursday has six hours without
/// rain, from 9:00 on: a truck at 9:00 makes it, one at 8:00 stands in the rain, one at 10:00 sets after 15:00. Every start
/// of the other days has rain, drying over 1 kg/m²/h, or frost against it.
#[test]
fn the_one_dry_morning_of_a_week_is_the_best_start() {
    let job = yard(&july(13..=19, week));
    let set = set_after_first_truck(&job, "2026-07-16T09:00:00");
    assert!(set > TimeSpan::hours(5.1) && set < TimeSpan::hours(5.9), "{set:?}");
    let sweep = sweep(&job, &Asked::default());
    let best = sweep.best().expect("a best start");
    assert_eq!(local(&sweep, best), "2026-07-16 09:00");
    assert_eq!((best.grave(), best.in_hours), (0, true));
    let clean: Vec<_> = sweep.starts.iter().filter(|start| start.in_hours && start.grave() == 0).collect();
    assert_eq!(clean.len(), 1, "{clean:?}");
    let at = |time: &str| {
        sweep.starts.iter().find(|start| local(&sweep, start) == time).unwrap_or_else(|| panic!("{time}"))
    };
    assert!(at("2026-07-13 09:00").against.contains(&Against::Rain));
    assert!(at("2026-07-14 09:00").against.contains(&Against::Shrinkage));
    assert!(at("2026-07-15 14:00").against.starts_with(&[Against::FrozenBase, Against::Frost]));
    assert!(at("2026-07-16 08:00").against.contains(&Against::Rain));
    assert!(at("2026-07-16 10:00").against.contains(&Against::Rain));
    // The sun sets there at 20:52 on that day: a yard that is begun at 18:00 is finished in the dark.
    assert!(at("2026-07-16 18:00").dark > TimeSpan::ZERO && at("2026-07-16 09:00").dark == TimeSpan::ZERO);
}

/// Rain on six mornings and none under a roof: the same week under a roof has no rain against it.
#[test]
fn no_rain_falls_under_a_roof() {
    let mut job = yard(&july(13..=19, week));
    job.site.as_mut().unwrap().roof = clock::weather::Roof::Over;
    let sweep = sweep(&job, &Asked::default());
    assert!(sweep.starts.iter().all(|start| !start.against.contains(&Against::Rain)));
}

/// Final set of the last bay after the first truck, by the clock's forecast for that day.
fn set_after_first_truck(job: &Job, first: &str) -> TimeSpan {
    let mut job = job.clone();
    job.day.first_truck = Some(first.parse().expect("a time"));
    let plan = pour::plan::plan(&job, 1);
    let forecast = plan.value.and_then(|plan| plan.forecast).unwrap_or_else(|| panic!("{:?}", plan.notes));
    let last = forecast.bays.last().expect("a bay");
    last.event(Event::At(Milestone::FinalSet)).and_then(|band| band.middle).expect("it sets")
}

/// The sweep's start goes as the clock's likely course of the same first truck does: its column stands for the last bay on
/// the same weather. Weather by the hour instead of the half hour moves it by a few minutes at most.
#[test]
fn a_start_goes_as_the_clocks_likely_course() {
    let demo = std::str::from_utf8(DEMO_HOURS).unwrap();
    let job = yard(demo);
    let sweep = sweep(&job, &Asked::default());
    for hour in [6, 9, 13] {
        let mut day = job.clone();
        day.day.first_truck = Some(format!("2026-07-14T{hour:02}:00:00").parse().unwrap());
        let forecast = pour::plan::plan(&day, 1).value.and_then(|plan| plan.forecast).unwrap();
        let start = sweep.starts.iter().find(|start| start.at == forecast.first_truck).unwrap();
        let anchor = forecast.draws.anchors.last().unwrap();
        let events = forecast.draws.model.events(&anchor.histories[0], forecast.set_factor.mean);
        let closes = events.time(Event::At(Milestone::LastUseful)).unwrap();
        let ends = closes.in_seconds() + anchor.placed;
        let swept = start.ends.duration_since(start.at).as_secs_f64();
        assert!((swept - ends).abs() < 240.0, "{hour}:00: {swept} {ends}");
        let struck = forecast.bays.last().unwrap().until.mean.in_seconds();
        let told = start.struck_off.duration_since(start.at).as_secs_f64();
        // The mean of two sets of 200 drawn days.
        assert!((told - struck).abs() < 180.0, "{hour}:00: {told} {struck}");
        assert_eq!(start.fresh, forecast.fresh.mean);
    }
}

/// Days of 23 and 25 hours have as many starts: no hour is skipped, none counted twice.
#[test]
fn days_on_which_the_clocks_change_have_as_many_starts_as_hours() {
    let zone = TimeZone::get("Europe/Vienna").unwrap();
    for (from, day, hours) in
        [("2026-03-28T00:00:00Z", "2026-03-29", 23), ("2026-10-24T00:00:00Z", "2026-10-25", 25)]
    {
        let first: Timestamp = from.parse().unwrap();
        let mut rows = HEAD.to_owned();
        for hour in 0..96 {
            let at = first.checked_add(SignedDuration::from_hours(hour)).unwrap();
            // With its offset, as a table must be written where the clocks show an hour twice.
            let local = zone.to_datetime(at).strftime("%Y-%m-%dT%H:%M");
            let ahead = zone.to_offset(at).seconds() / 3600;
            rows += &format!("{local}+{ahead:02}:00, 15, 80, 1, 100, 0\n");
        }
        let asked =
            Asked { from: Some(day.parse().unwrap()), until: Some(day.parse().unwrap()), ..Asked::default() };
        let sweep = sweep(&yard(&rows), &asked);
        assert_eq!(sweep.starts.len(), hours, "{day}");
        assert!(sweep.starts.windows(2).all(|pair| pair[1].at.duration_since(pair[0].at).as_hours() == 1));
        let at_two = sweep.starts.iter().filter(|start| local(&sweep, start).ends_with("02:00")).count();
        assert_eq!(at_two, if hours == 23 { 0 } else { 2 });
        // The crew's hours are those of the clock on the wall, before and after it has changed.
        let in_hours = sweep.starts.iter().filter(|start| start.in_hours);
        assert_eq!(
            in_hours.map(|start| local(&sweep, start)[11..].to_owned()).next(),
            Some("05:00".to_owned())
        );
    }
}

/// The weather ends on the 15th at 23:00: starts up to where their last round closes are scored, the rest are refused.
#[test]
fn starts_that_the_weather_does_not_cover_are_refused_and_told() {
    let job = yard(&july(13..=15, |_, _| Some(MILD)));
    let sweep = sweep(&job, &Asked::default());
    let Some(Weather::Hourly { series, .. }) = &job.weather else { panic!("a file") };
    assert_eq!(sweep.starts.len() + sweep.unscored.len(), 72);
    assert!(sweep.starts.iter().all(|start| start.ends <= series.end()), "nothing beyond the end");
    let last = sweep.starts.last().unwrap();
    assert!(!sweep.unscored.is_empty());
    assert!(sweep.unscored.iter().all(|start| start.why == Why::WeatherEnds && start.at > last.at));
    // Mild to the end, so all starts go alike: final set of the last bay comes within six hours, and an hour more goes by
    // before the next start is tried.
    let left = series.end().duration_since(sweep.unscored[0].at).as_secs_f64() / 3600.0;
    assert!(left < 7.0, "{left}");
    // Near the end the strength is not seen, which is told.
    assert!(last.against.contains(&Against::NotFollowed));
    assert!(!sweep.starts[5].against.contains(&Against::NotFollowed));
}

/// From 10:00 to 17:00 of the second day no weather is known.
#[test]
fn a_hole_refuses_the_starts_before_it_and_in_it() {
    let gap = |day: u32, hour: u32| (day != 14 || !(10..=17).contains(&hour)).then_some(MILD);
    let sweep = sweep(&yard(&july(13..=17, gap)), &Asked::default());
    let hours = |at: &Timestamp| sweep.zone.to_datetime(*at).strftime("%d %H").to_string();
    let refused: Vec<String> =
        sweep.unscored.iter().filter(|start| start.why == Why::Hole).map(|start| hours(&start.at)).collect();
    assert!(
        refused.len() >= 8 && refused.contains(&"14 10".to_owned()) && refused.contains(&"14 17".to_owned())
    );
    assert!(!refused.contains(&"14 18".to_owned()) && !refused.contains(&"13 12".to_owned()));
    let before: Timestamp = "2026-07-14T07:00:00Z".parse().unwrap();
    assert!(sweep.starts.iter().all(|start| start.at > before || start.ends <= before));
}

#[test]
fn a_series_too_short_for_any_start_is_a_fault() {
    let short = july(13..=13, |_, hour| (hour < 3).then_some(MILD));
    let report = swept(&yard(&short), &Asked::default());
    assert!(report.value.is_none());
    assert_eq!(faults(&report.notes), [("sweep-nothing-scored", "weather")]);
    assert!(
        report
            .notes
            .iter()
            .any(|note| note.message.contains("the weather ends before last round and final set (3 starts)"))
    );
}

#[test]
fn days_that_the_file_does_not_have_are_a_fault() {
    let job = yard(&july(13..=15, |_, _| Some(MILD)));
    let asked = Asked { from: Some("2026-08-01".parse().unwrap()), ..Asked::default() };
    let report = swept(&job, &asked);
    assert_eq!(faults(&report.notes), [("sweep-empty", "weather")]);
    assert!(report.notes.iter().any(|note| note.message.contains("from 2026-07-13 to 2026-07-15")));
}

#[test]
fn a_job_without_mix_site_or_hours_is_told_all_that_is_missing() {
    let mut job = yard(&july(13..=15, |_, _| Some(MILD)));
    (job.mix, job.site) = (None, None);
    assert_eq!(
        faults(&swept(&job, &Asked::default()).notes),
        [("missing-table", "mix"), ("missing-table", "site")]
    );
    job.weather = None;
    let told = swept(&job, &Asked::default());
    assert_eq!(
        faults(&told.notes),
        [("sweep-needs-hours", "weather"), ("missing-table", "mix"), ("missing-table", "site")]
    );
}

/// A week of frost that no concrete sets in: every start is slow or spoilt, none is guessed, nothing panics.
#[test]
fn a_week_of_deep_frost_has_no_clean_start() {
    let job = yard(&july(13..=19, |_, _| Some((-25.0, 60.0, 4.0, 0.0, 0.0))));
    let report = swept(&job, &Asked::default());
    match report.value {
        Some(sweep) => assert!(sweep.starts.iter().all(|start| start.grave() > 0)),
        None => assert_eq!(faults(&report.notes), [("sweep-nothing-scored", "weather")]),
    }
}

/// The crew's hours decide before all else: asked for the night, the best start is one of the night.
#[test]
fn start_hours_are_the_crews() {
    let time = |hour| jiff::civil::Time::constant(hour, 0, 0, 0);
    let asked = Asked { hours: StartHours { from: time(22), until: time(2) }, ..Asked::default() };
    let sweep = sweep(&yard(&july(13..=17, |_, _| Some(MILD))), &asked);
    let best = sweep.best().unwrap();
    assert!(["22:00", "23:00", "00:00", "01:00", "02:00"].contains(&&local(&sweep, best)[11..]));
    assert!(sweep.starts.iter().any(|start| !start.in_hours), "the other hours are scored too");
}

/// A caution that the clock gains or renames must not drop out of the sweep unseen: each is a reason or stands here.
#[test]
fn every_caution_of_the_clock_is_a_reason_or_is_left_out_on_purpose() {
    // The same for all starts of a job, of the whole time that the sweep does not follow, or told by a reason of its own.
    const LEFT_OUT: [&str; 6] = [
        "hard-trowel-on-air",
        "trowel-on-air",
        "bleed-water-in-window",
        "saw-window-shut",
        "saw-outside-published-hours",
        "history-ends-before-finish",
    ];
    let mut codes = Vec::new();
    for text in [
        include_str!("../../../clock/src/risk.rs"),
        include_str!("../../../clock/src/limits.rs"),
        include_str!("../../../clock/src/evaporation.rs"),
    ] {
        for kind in ["Note::warning(", "Note::remark("] {
            for call in text.split(kind).skip(1) {
                codes.extend(call.split('"').nth(1).map(str::to_owned));
            }
        }
    }
    assert!(codes.len() > 15, "{codes:?}");
    for code in &codes {
        let reason = Against::of_caution(code).is_some();
        assert!(reason != LEFT_OUT.contains(&code.as_str()), "{code}");
    }
}
