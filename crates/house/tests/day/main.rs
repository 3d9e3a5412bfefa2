//! The finishing clock of a demo floor, from the job file to the windows.

mod bad_input;
mod pours;
mod seen;
mod surface;
mod sweep;

use basis::{Note, TimeSpan};
use clock::events::{Event, Milestone};
use clock::finish::Round;
use pour::forecast::Forecast;

const BOAT_SHED: &str = include_str!("../../../../demo/boat-shed.toml");

/// The boat shed with some lines replaced.
fn boat_shed(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(BOAT_SHED.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from} is not in the demo");
        text.replacen(from, to, 1)
    })
}

fn forecast(text: &str, seed: u64) -> (Forecast, Vec<Note>) {
    let none = |_: &str| Err("none".to_owned());
    let parsed = formats::read_job(text, "floor.toml", &none);
    let job = parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    let report = pour::plan::plan(&job, seed);
    let plan = report.value.unwrap_or_else(|| panic!("{:?}", report.notes));
    (plan.forecast.expect("the job states the weather"), report.notes)
}

/// Hours from the middle of placing the first bay to an event of it: 10, 50 and 90 %.
fn after_placing(forecast: &Forecast, event: Event) -> [f64; 3] {
    let bay = &forecast.bays[0];
    let placed = f64::midpoint(bay.from.mean.in_hours(), bay.until.mean.in_hours());
    let band = bay.event(event).expect("the finish has it");
    [band.low, band.middle, band.high].map(|time| time.map_or(f64::NAN, TimeSpan::in_hours) - placed)
}

fn at(low: &str, high: &str, concrete: &str) -> String {
    boat_shed(&[
        ("sheet = \"under slab\"", "sheet = \"none\""),
        ("low = \"58 degF\"", &format!("low = \"{low} degF\"")),
        ("high = \"76 degF\"", &format!("high = \"{high} degF\"")),
        ("temperature = \"68 degF\"", &format!("temperature = \"{concrete} degF\"")),
    ])
}

/// Fifty contractors on when the power float goes on, about the air's temperature [ASCC Position Statement 15]: 4 1/4 h at
/// 50 °F, 2 3/4 h at 70 °F, 1 3/4 h at 90 °F. A floor under a roof on stone, hardly any wind; concrete comes warmer than
/// cold air. The survey's wait must lie within the 10 to 90 % band, but for the heat, where its edge is allowed a quarter of
/// an hour: the survey gives waits to the quarter hour.
#[test]
fn the_float_starts_within_the_surveyed_waits() {
    for (air, concrete, survey) in [((46, 54), 62, 4.25), ((66, 74), 70, 2.75), ((86, 94), 85, 1.75)] {
        let text = at(&air.0.to_string(), &air.1.to_string(), &concrete.to_string());
        let (forecast, _) = forecast(&text, 1);
        let [low, middle, high] = after_placing(&forecast, Event::Opens(Round::Float));
        assert!(
            low - 0.25 <= survey && survey <= high + 0.25,
            "air about {} °F: {low:.2} - {middle:.2} - {high:.2} h, survey {survey}",
            (air.0 + air.1) / 2
        );
    }
}

#[test]
fn warmer_concrete_and_a_quicker_mix_never_come_later() {
    let float = |text: &str| after_placing(&forecast(text, 1).0, Event::Opens(Round::Float))[1];
    let plain = float(&boat_shed(&[]));
    let warmer = float(&boat_shed(&[("temperature = \"68 degF\"", "temperature = \"78 degF\"")]));
    let quicker = float(&boat_shed(&[("cement = \"II\"", "cement = \"II\"\nchloride = \"1 %\"")]));
    let slower = float(&boat_shed(&[("cement = \"II\"", "cement = \"II\"\nlater = \"1 h\"")]));
    assert!(warmer < plain && quicker < plain && plain < slower, "{warmer} {quicker} {plain} {slower}");
}

#[test]
fn bays_come_in_order_and_their_windows_too() {
    let (forecast, _) = forecast(&boat_shed(&[]), 3);
    for pair in forecast.bays.windows(2) {
        assert!(pair[0].until.middle <= pair[1].until.middle);
        for (before, after) in pair[0].rounds.iter().zip(&pair[1].rounds) {
            assert!(before.opens.middle <= after.opens.middle, "{:?}", before.round);
        }
    }
    for bay in &forecast.bays {
        for band in bay.rounds.iter().flat_map(|round| [round.opens, round.closes]) {
            assert!(band.low <= band.middle && (band.high.is_none() || band.middle <= band.high));
        }
        let worked = bay.rounds.iter().filter(|round| round.round != Round::BullFloat);
        assert!(worked.clone().all(|round| round.opens.middle < round.closes.middle));
        let opens: Vec<_> = worked.map(|round| round.opens.middle).collect();
        assert!(opens.is_sorted(), "{opens:?}");
        let saw = |milestone| bay.event(Event::At(milestone)).and_then(|band| band.middle);
        assert!(saw(Milestone::EarlyEntryFrom) < saw(Milestone::SawFrom));
    }
}

#[test]
fn the_same_seed_gives_the_same_clock_and_another_a_like_one() {
    let text = boat_shed(&[]);
    let told = |seed| format!("{:?}", forecast(&text, seed).0.bays);
    assert_eq!(told(5), told(5));
    assert_ne!(told(5), told(6));
    let float = |seed| after_placing(&forecast(&text, seed).0, Event::Opens(Round::Float))[1];
    // The middle of 200 draws of a spread of some 0.8 h strays by about 0.07 h; four times that.
    assert!((float(5) - float(6)).abs() < 0.28);
}

fn plan_of(text: &str) -> pour::plan::Plan {
    let none = |_: &str| Err("none".to_owned());
    let job = formats::read_job(text, "floor.toml", &none).report.value.expect("a job");
    pour::plan::plan(&job, 1).value.expect("a plan")
}

#[test]
fn the_weather_does_not_move_the_trucks() {
    let with = plan_of(BOAT_SHED);
    let start = BOAT_SHED.find("[weather]").expect("weather");
    let end = BOAT_SHED.find("[finishing]").expect("finishing");
    let without = plan_of(&format!("{}{}", &BOAT_SHED[..start], &BOAT_SHED[end..]));
    assert!(without.forecast.is_none());
    assert_eq!(with.trucks, without.trucks);
}
