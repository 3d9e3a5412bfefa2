use basis::{Pressure, Share};
use proptest::prelude::*;

use super::*;
use crate::events::events;
use crate::fixture::{ENERGY, course, plain, steady, wet};
use crate::mix::Aggregate;

const TROWELLED: Finish = Finish::Trowel { rounds: 2 };

/// Codes of the notes of a bay, with no rain.
fn codes_of(history: &History, mix: &Mix, finish: Finish, rain: &[Rain]) -> Vec<&'static str> {
    all(history, mix, finish, rain).into_iter().map(|note| note.code).collect()
}

fn all(history: &History, mix: &Mix, finish: Finish, rain: &[Rain]) -> Vec<Note> {
    let spec = FinishSpec::of(finish);
    let found = events(history, mix, &spec, 1.0);
    let watch = Watch { history, mix, spec: &spec, events: &found, rain, units: UnitSystem::Us };
    notes(&watch, &Place::at("bay[0]"))
}

fn codes(history: &History) -> Vec<&'static str> {
    codes_of(history, &plain(), TROWELLED, &[])
}

/// The same slab in air that dries a wet surface so fast, kg/m²/h, and that bleeds so fast for the first two hours.
fn drying_at(demand: f64, bleeding: f64) -> History {
    let mut history = steady(70.0, 48.0, ENERGY);
    for (i, state) in history.states.iter_mut().enumerate() {
        state.demand = demand;
        state.bleeding = if i < 12 { bleeding } else { 0.0 };
    }
    history
}

#[test]
fn a_mild_day_has_nothing_to_remark() {
    assert_eq!(codes(&steady(70.0, 48.0, ENERGY)), [] as [&str; 0]);
}

/// Published thresholds: precautions from 0.2 lb/ft²/h (1.0 kg/m²/h), caution from half of that [@fhwa-hrt-05-038].
#[test]
fn drying_is_told_at_the_published_thresholds() {
    assert_eq!(codes(&drying_at(0.45, 0.0)), [] as [&str; 0]);
    assert_eq!(codes(&drying_at(0.55, 0.0)), ["evaporation-caution", "crusting-likely"]);
    assert_eq!(codes(&drying_at(1.05, 0.0)), ["evaporation-high", "crusting-likely"]);
    // Drying after final set cracks no plastic concrete.
    let mut late = drying_at(0.0, 0.0);
    late.states.iter_mut().skip(60).for_each(|state| state.demand = 2.0);
    assert_eq!(codes(&late), [] as [&str; 0]);
}

#[test]
fn bleeding_that_keeps_up_makes_no_crust_while_it_lasts() {
    let notes = all(&drying_at(0.6, 0.8), &plain(), TROWELLED, &[]);
    let crust = notes.iter().find(|note| note.code == "crusting-likely").unwrap();
    // Bleeding keeps up for two hours; then the surface dries.
    assert!(crust.message.contains("2 h after placing"), "{}", crust.message);
}

#[test]
fn trowels_on_air_are_warned_of() {
    let with = |percent: f64| Mix { air: Air::Entrained(Share::percent(percent)), ..plain() };
    let slab = steady(70.0, 48.0, ENERGY);
    let hard = Finish::HardTrowel { rounds: 3 };
    assert_eq!(codes_of(&slab, &with(6.0), hard, &[]), ["hard-trowel-on-air"]);
    assert_eq!(codes_of(&slab, &with(2.5), hard, &[]), ["hard-trowel-on-air"]);
    assert_eq!(codes_of(&slab, &with(6.0), TROWELLED, &[]), ["trowel-on-air"]);
    assert_eq!(codes_of(&slab, &with(2.5), TROWELLED, &[]), [] as [&str; 0]);
    assert_eq!(codes_of(&slab, &with(6.0), Finish::Broom, &[]), [] as [&str; 0]);
    assert_eq!(codes_of(&slab, &plain(), hard, &[]), [] as [&str; 0]);
}

#[test]
fn bleed_water_holds_or_takes_a_round() {
    assert_eq!(codes(&wet(steady(70.0, 48.0, ENERGY), 0.5, 2.0)), [] as [&str; 0]);
    assert_eq!(codes(&wet(steady(70.0, 48.0, ENERGY), 0.5, 3.2)), ["bleed-water-in-window"]);
    assert_eq!(codes(&wet(steady(70.0, 48.0, ENERGY), 0.5, 6.0)), ["round-lost"]);
}

#[test]
fn a_dry_surface_over_bleeding_concrete_is_not_to_be_sealed() {
    let mut history = steady(70.0, 48.0, ENERGY);
    history.states.iter_mut().take(24).for_each(|state| state.bleeding = 0.1);
    assert_eq!(codes(&history), ["sealing-too-early"]);
    history.states.iter_mut().for_each(|state| state.bleeding = 0.01);
    assert_eq!(codes(&history), [] as [&str; 0]);
}

#[test]
fn rain_is_told_with_the_rounds_that_it_meets() {
    let rain = |from: f64, until: f64, mm: f64| Rain {
        from: TimeSpan::hours(from),
        until: TimeSpan::hours(until),
        depth: Length::millimetres(mm),
    };
    let slab = steady(70.0, 48.0, ENERGY);
    let notes = |spell: Rain| all(&slab, &plain(), TROWELLED, &[spell]);
    let met = notes(rain(2.9, 3.1, 2.0));
    assert_eq!(met.len(), 1);
    assert!(
        met[0].code == "rain-on-fresh-slab" && met[0].message.contains("the float"),
        "{}",
        met[0].message
    );
    assert!(
        !met[0].message.contains("trowel"),
        "the first trowel opens after 3 h 15 min: {}",
        met[0].message
    );
    assert!(notes(rain(5.0, 5.5, 2.0))[0].message.contains("before it has set"));
    assert!(notes(rain(8.0, 9.0, 2.0)).is_empty(), "rain on a set slab cures it");
    assert!(notes(rain(-2.0, -1.0, 2.0)).is_empty());
    assert!(notes(rain(2.9, 3.1, 0.0)).is_empty());
}

#[test]
fn frost_before_strength_is_told_and_after_it_is_not() {
    // 60 °F, falling to 28 °F over the evening; and the same cold only after three days.
    let evening = course(|h| (60.0 - 3.0 * h).max(28.0), 96.0, ENERGY);
    let found = all(&evening, &plain(), Finish::Broom, &[]);
    let frost = found.iter().find(|note| note.code == "frost-before-500-psi").unwrap();
    // 60 - 3 h reaches 32 °F after 9 h 20 min.
    assert!(frost.message.contains("9 h 20 min") && frost.message.contains("28"), "{}", frost.message);
    assert!(!frost.message.contains("freezes"));
    let hard = course(|h| (60.0 - 3.0 * h).max(20.0), 96.0, ENERGY);
    assert!(
        all(&hard, &plain(), Finish::Broom, &[])
            .iter()
            .any(|note| note.message.contains("fresh concrete freezes"))
    );
    let late = course(|h| if h < 72.0 { 60.0 } else { 25.0 }, 120.0, ENERGY);
    assert!(!codes_of(&late, &plain(), Finish::Broom, &[]).contains(&"frost-before-500-psi"));
}

#[test]
fn a_shut_saw_window_names_the_way_out() {
    // A warm afternoon and a cold night: the slab pulls before limestone stops ravelling.
    let night = course(|h| 80.0 - 3.0 * (h - 6.0).clamp(0.0, 12.0), 72.0, ENERGY);
    let found = all(&night, &plain(), TROWELLED, &[]);
    let shut = found.iter().find(|note| note.code == "saw-window-shut").unwrap();
    assert!(shut.hint.contains("early-entry"), "{}", shut.hint);
    let mild = course(|h| 80.0 - 0.2 * (h - 6.0).clamp(0.0, 12.0), 72.0, ENERGY);
    assert!(!codes(&mild).contains(&"saw-window-shut"));
}

/// "When to saw control joints": 4 h in heat to three days in the cold.
#[test]
fn hours_unlike_the_published_ones_are_remarked() {
    let hard = Mix { aggregate: Aggregate::Hard, ..plain() };
    assert!(
        codes_of(&steady(45.0, 240.0, ENERGY), &hard, TROWELLED, &[])
            .contains(&"saw-outside-published-hours")
    );
    let strong = Mix { aggregate: Aggregate::Soft, strength: Pressure::psi(6000.0), ..plain() };
    assert!(
        codes_of(&steady(95.0, 48.0, ENERGY), &strong, TROWELLED, &[])
            .contains(&"saw-outside-published-hours")
    );
    assert!(!codes(&steady(70.0, 48.0, ENERGY)).contains(&"saw-outside-published-hours"));
}

#[test]
fn weather_that_ends_before_the_finish_is_told() {
    assert_eq!(codes(&steady(70.0, 3.0, ENERGY)), ["history-ends-before-finish"]);
}

#[test]
fn cautions_come_with_the_work() {
    let codes = |finish| {
        cautions(&FinishSpec::of(finish), &Place::job()).into_iter().map(|n| n.code).collect::<Vec<_>>()
    };
    assert_eq!(codes(Finish::Broom), ["caution-cement-burns", "caution-silica"]);
    assert_eq!(codes(TROWELLED), ["caution-cement-burns", "caution-silica", "caution-carbon-monoxide"]);
}

proptest! {
    /// No history, however odd, makes a panic.
    #[test]
    fn odd_histories_never_panic(
        values in prop::collection::vec((-50.0..90.0_f64, 0.0..60.0_f64, -1.0..3.0_f64, 0.0..2.0_f64), 0..30),
        from in -5.0..20.0_f64, span in -1.0..5.0_f64,
    ) {
        let states = values.iter().map(|&(at, age, demand, water)| State {
            surface: at, middle: at, bottom: at, mean: at, age_surface: age, age_middle: age, age_bottom: age,
            demand, water, ..State::default()
        }).collect();
        let history = History { states, ..steady(70.0, 1.0, ENERGY) };
        let spell = Rain { from: TimeSpan::hours(from), until: TimeSpan::hours(from + span), depth: Length::millimetres(1.0) };
        for note in all(&history, &plain(), Finish::HardTrowel { rounds: 3 }, &[spell]) {
            prop_assert!(!note.message.is_empty() && !note.message.contains("NaN"));
        }
    }
}
