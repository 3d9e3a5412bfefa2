//! Ranking and start hours, by hand.

use super::*;

fn start(hour: i64, in_hours: bool, against: &[Against], finishing: f64) -> Start {
    let at = Timestamp::from_second(1_780_000_000 + 3600 * hour).unwrap();
    Start {
        at,
        in_hours,
        struck_off: at,
        ends: at,
        finishing: TimeSpan::hours(finishing),
        dark: TimeSpan::ZERO,
        fresh: Temperature::celsius(20.0),
        evaporation: 0.3,
        against: against.to_vec(),
    }
}

/// Each rule decides only when those before it do not: every start here is better than the next, though the next one is
/// better by all the rules that come later.
#[test]
fn the_rules_decide_one_after_the_other() {
    let ranked = [
        start(5, true, &[Against::Cold], 3.0),
        start(4, true, &[Against::Cold], 4.0),
        start(3, true, &[Against::Dark, Against::Cold], 2.0),
        start(2, true, &[Against::Rain], 1.0),
        start(1, true, &[Against::Frost, Against::Rain], 0.5),
        start(0, false, &[], 0.2),
    ];
    for (i, better) in ranked.iter().enumerate() {
        for worse in &ranked[i + 1..] {
            assert!(better.is_better(worse) && !worse.is_better(better), "{better:?} {worse:?}");
        }
    }
    assert_eq!(best(&ranked), Some(&ranked[0]));
    let backward: Vec<Start> = ranked.iter().rev().cloned().collect();
    assert_eq!(best(&backward), Some(&ranked[0]));
}

#[test]
fn of_equals_the_earliest_is_the_best() {
    let equals = [start(3, true, &[], 2.0), start(4, true, &[], 2.0)];
    assert_eq!(best(&equals), Some(&equals[0]));
    assert_eq!(best(&[]), None);
}

#[test]
fn start_hours_hold_both_ends_and_run_past_midnight() {
    let time = |hour, minute| Time::constant(hour, minute, 0, 0);
    let day = StartHours::CUSTOMARY;
    assert!(day.hold(time(5, 0)) && day.hold(time(15, 0)));
    assert!(!day.hold(time(4, 59)) && !day.hold(time(15, 1)));
    let night = StartHours { from: time(20, 0), until: time(2, 0) };
    assert!(night.hold(time(23, 0)) && night.hold(time(0, 0)) && night.hold(time(2, 0)));
    assert!(!night.hold(time(3, 0)) && !night.hold(time(19, 0)));
}

/// The list is complete and in the order of weight, the grave ones first.
#[test]
fn reasons_stand_in_order_of_weight() {
    assert!(Against::ALL.is_sorted());
    let graves: Vec<bool> = Against::ALL.iter().map(|reason| !reason.is_grave()).collect();
    assert!(graves.is_sorted());
}
