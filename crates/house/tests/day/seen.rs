//! What is seen on the day moves the windows of all bays, the right way and by no more than it says.

use basis::{Length, Pressure, TimeSpan};
use clock::finish::Round;
use clock::observe::Seen;
use jiff::{SignedDuration, Timestamp};
use pour::forecast::{Forecast, Sight, Update, seen};

use crate::{boat_shed, forecast};

fn planned() -> Forecast {
    forecast(&boat_shed(&[]), 1).0
}

/// So many hours after the first truck.
fn hours(forecast: &Forecast, hours: f64) -> Timestamp {
    forecast.first_truck.checked_add(SignedDuration::from_secs_f64(hours * 3600.0)).expect("an instant")
}

fn print(forecast: &Forecast, bay: usize, at: f64, inches: f64) -> Sight {
    Sight::OnBay { bay, at: hours(forecast, at), seen: Seen::Print(Length::inches(inches)) }
}

fn update(forecast: &Forecast, sights: &[Sight], now: f64) -> Update {
    let report = seen(forecast, sights, hours(forecast, now));
    report.value.unwrap_or_else(|| panic!("{:?}", report.notes))
}

fn opens(forecast: &Forecast, bay: usize, round: Round) -> TimeSpan {
    let found = forecast.bays[bay - 1].rounds.iter().find(|band| band.round == round);
    found.and_then(|band| band.opens.middle).expect("the round is ahead")
}

fn width(forecast: &Forecast, bay: usize) -> f64 {
    let band = forecast.bays[bay - 1].rounds.last().expect("a round").closes;
    (band.high.expect("known") - band.low.expect("known")).in_hours()
}

#[test]
fn nothing_seen_changes_nothing() {
    let before = planned();
    let after = update(&before, &[], 0.0);
    assert!(after.forecast.bays == before.bays);
    assert_eq!(after.learned.set_factor, before.set_factor);
    assert_eq!(after.moved, Some(TimeSpan::ZERO));
}

/// A deep print late in the wait: slow set, so every bay comes later, and the bands narrow; a shallow one the other way.
#[test]
fn a_print_on_one_bay_moves_all_bays_its_way_and_narrows_the_set() {
    let before = planned();
    let slow = update(&before, &[print(&before, 1, 3.7, 1.2)], 3.7);
    let quick = update(&before, &[print(&before, 1, 3.0, 0.08)], 3.0);
    for bay in 1..=4 {
        let float = |forecast: &Forecast| opens(forecast, bay, Round::Trowel(3));
        assert!(float(&quick.forecast) < float(&before), "bay {bay}");
        assert!(float(&slow.forecast) > float(&before), "bay {bay}");
        assert!(width(&slow.forecast, bay) < width(&before, bay), "bay {bay}");
    }
    for after in [&slow, &quick] {
        assert!(after.learned.set_factor.sd < after.before.sd);
    }
    assert!(slow.learned.set_factor.mean > 1.0 && quick.learned.set_factor.mean < 1.0);
}

#[test]
fn the_order_of_what_was_seen_does_not_matter_and_the_same_gives_the_same() {
    let before = planned();
    let sights = [
        print(&before, 1, 3.2, 0.25),
        print(&before, 3, 3.4, 0.6),
        Sight::OnBay { bay: 2, at: hours(&before, 3.3), seen: Seen::Penetration(Pressure::psi(90.0)) },
        Sight::OnBay { bay: 1, at: hours(&before, 3.2), seen: Seen::SheenGone },
        Sight::Came { load: 2, at: hours(&before, 0.9) },
    ];
    let told = |sights: &[Sight]| {
        let after = update(&before, sights, 3.5);
        format!("{:?} {:?} {:?}", after.forecast.bays, after.learned, after.moved)
    };
    let first = told(&sights);
    assert_eq!(first, told(&sights));
    for turn in 1..sights.len() {
        let mut turned = sights;
        turned.rotate_left(turn);
        assert_eq!(first, told(&turned));
        turned.reverse();
        assert_eq!(first, told(&turned));
    }
}

/// The second load half an hour late: bays before it stay, those after come about as much later.
#[test]
fn a_late_load_moves_the_bays_after_it() {
    let before = planned();
    let asked = before.bays[3].until.middle;
    let after = update(&before, &[Sight::Came { load: 2, at: hours(&before, 1.5) }], 1.5);
    let first = |forecast: &Forecast| (forecast.bays[0].from, forecast.bays[0].until);
    assert_eq!(first(&after.forecast), first(&before));
    let later = (after.forecast.bays[3].until.middle - asked).in_minutes();
    assert!((10.0..60.0).contains(&later), "{later} min");
    let float = (opens(&after.forecast, 4, Round::Float) - opens(&before, 4, Round::Float)).in_minutes();
    assert!(float > 0.3 * later && float < 1.5 * later, "float {float} min for {later} min");
    assert_eq!(after.learned.set_factor, before.set_factor);
}

#[test]
fn a_sheen_seen_gone_opens_its_own_bay_no_earlier_and_stands_in_the_milestones() {
    let before = planned();
    let at = hours(&before, 3.6);
    let after = update(&before, &[Sight::OnBay { bay: 2, at, seen: Seen::SheenGone }], 3.6);
    let gone = clock::events::Event::At(clock::events::Milestone::SheenGone);
    let band = after.forecast.bays[1].event(gone).expect("the milestone");
    for time in [band.low, band.middle, band.high] {
        assert!((time.expect("seen").in_hours() - 3.6).abs() < 1e-9);
    }
    let wet = |forecast: &Forecast| forecast.bays[1].dragged.last().map(|wet| wet.in_ratio());
    assert!(wet(&after.forecast) < wet(&before), "{:?} {:?}", wet(&after.forecast), wet(&before));
    assert_ne!(after.forecast.bays[0].event(gone).and_then(|band| band.middle), Some(TimeSpan::hours(3.6)));
}

#[test]
fn done_and_past_rounds_are_left_out() {
    let before = planned();
    let sights = [
        Sight::Done { bay: 1, at: hours(&before, 3.5), round: Round::Trowel(1) },
        Sight::OnBay { bay: 2, at: hours(&before, 3.5), seen: Seen::FloatStart },
    ];
    let after = update(&before, &sights, 3.5);
    let left = |bay: usize| -> Vec<Round> {
        let bay = &after.forecast.bays[bay - 1];
        assert_eq!(bay.rounds.len(), bay.dragged.len());
        bay.rounds.iter().map(|band| band.round).collect()
    };
    assert_eq!(left(1), [Round::Trowel(2), Round::Trowel(3)]);
    assert_eq!(left(2), [Round::Trowel(1), Round::Trowel(2), Round::Trowel(3)]);
    assert_eq!(left(4)[0], Round::Edges);
}

#[test]
fn what_cannot_be_is_refused_at_its_place_and_contradictions_are_told() {
    let before = planned();
    let sights = [
        print(&before, 9, 3.0, 0.25),
        Sight::Came { load: 7, at: hours(&before, 1.0) },
        print(&before, 1, 5.0, 0.25),
        Sight::Came { load: 1, at: hours(&before, -14.0) },
    ];
    let report = seen(&before, &sights, hours(&before, 4.0));
    assert!(report.value.is_none());
    let found: Vec<_> = report.notes.iter().map(|note| (note.code, note.place.path().to_owned())).collect();
    let expected = [("seen-nowhere", 0), ("seen-nowhere", 1), ("seen-too-late", 2), ("seen-too-late", 3)];
    assert_eq!(found, expected.map(|(code, at)| (code, format!("seen[{at}]"))));
    // Looked at before it was there on any day; the place is the one given, not the one sorted.
    let sights = [print(&before, 2, 3.0, 0.25), print(&before, 1, -1.0, 0.25)];
    let report = seen(&before, &sights, hours(&before, 4.0));
    let found: Vec<_> = report.notes.iter().map(|note| (note.code, note.place.path())).collect();
    assert_eq!(found, [("observation-outside-history", "seen[1].at")]);
    // Hard at once on one bay, soup on the next.
    let sights = [print(&before, 1, 3.0, 0.065), print(&before, 2, 3.1, 1.45), print(&before, 2, 3.2, 1.45)];
    let report = seen(&before, &sights, hours(&before, 4.0));
    assert!(report.value.is_some());
    assert!(report.notes.iter().any(|note| note.code == "observations-disagree"), "{:?}", report.notes);
}
