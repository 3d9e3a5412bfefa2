//! Logs of a floor of four bays, told in any order, with slips.

use basis::{Length, Origin, Report, Temperature, UnitSystem, Volume};
use clock::finish::Round;
use clock::observe::Seen;
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;

use super::*;
use crate::bays::test_floors::{crew, tee};
use crate::bays::{Bay, BayInput, bays};
use crate::forecast::Sight;
use crate::loads::PlacedBay;

fn four_bays() -> Vec<Bay> {
    let pair = tee();
    let crew = crew(12.0, 1.0);
    let input =
        BayInput { floor: &pair.0, outline: &pair.1, crew: &crew, stands: &[], units: UnitSystem::Us };
    bays(&input).value.unwrap().bays
}

fn minute(minute: i64) -> Timestamp {
    let first: Timestamp = "2026-06-12T12:00:00Z".parse().unwrap();
    first + SignedDuration::from_mins(minute)
}

fn entry(at: i64, what: What) -> Entry {
    Entry { at: minute(at), what }
}

fn truck(at: i64, load: usize, step: TruckStep, ticket: Option<f64>) -> Entry {
    entry(at, What::Truck { load, step, ticket: ticket.map(Volume::cubic_yards) })
}

fn line(at: i64, bay: usize, feet: f64) -> Entry {
    entry(at, What::Line { bay, reached: Extent::To(Length::feet(feet)) })
}

fn read(entries: &[Entry], now: i64) -> (DaySoFar, Vec<&'static str>) {
    let bays = four_bays();
    let loads = [Volume::cubic_yards(8.0), Volume::cubic_yards(8.0), Volume::cubic_yards(4.5)];
    let input = LogInput {
        entries,
        now: minute(now),
        bays: &bays,
        loads: &loads,
        first_truck: Some(minute(0)),
        units: UnitSystem::Us,
    };
    let Report { value, notes } = so_far(&input);
    (value.unwrap(), notes.iter().map(|note| note.code).collect())
}

/// The hour of a pour: the first load is placed, the second unloads, one look into its drum.
fn an_hour() -> Vec<Entry> {
    use TruckStep::{Arrived, Discharging, Done};
    let one = Extent::Done;
    vec![
        truck(2, 1, Arrived, Some(8.0)),
        truck(6, 1, Discharging, None),
        truck(44, 1, Done, None),
        truck(46, 2, Arrived, Some(7.75)),
        truck(49, 2, Discharging, None),
        line(30, 1, 20.0),
        entry(43, What::Line { bay: 1, reached: one }),
        line(60, 2, 14.5),
        entry(60, What::Drum { load: 2, left: Volume::cubic_yards(5.0) }),
        entry(8, What::Water { load: 1, added: Volume::litres(20.0) }),
        entry(9, What::Slump { load: Some(1), slump: Length::inches(5.0) }),
        entry(10, What::Warmth { of: WarmthOf::Air, temperature: Temperature::fahrenheit(63.0) }),
        entry(58, What::OnBay { bay: 1, seen: Seen::SheenGone }),
        entry(59, What::RoundDone { bay: 1, round: Round::BullFloat }),
        entry(59, What::Remark { words: "form at the wall gave way a little".into() }),
    ]
}

#[test]
fn an_hour_gives_line_tickets_drum_and_sights() {
    let (day, notes) = read(&an_hour(), 61);
    assert_eq!(notes, Vec::<&str>::new());
    assert_eq!(
        day.placed,
        [
            PlacedBay { bay: 1, extent: Extent::Done },
            PlacedBay { bay: 2, extent: Extent::To(Length::feet(14.5)) },
        ]
    );
    let steps: Vec<_> = day.loads.iter().map(|load| (load.number, load.step())).collect();
    assert_eq!(steps, [(1, TruckStep::Done), (2, TruckStep::Discharging)]);
    assert_eq!(day.loads[0].water, Volume::litres(20.0));
    let at = day.at_the_line(&four_bays()).unwrap();
    assert_eq!(at.delivered, [Volume::cubic_yards(8.0), Volume::cubic_yards(7.75)]);
    assert_eq!(at.in_drum.mean, Volume::cubic_yards(5.0));
    assert_eq!(at.in_drum.sd, Volume::cubic_yards(5.0) * crate::defaults::DRUM_DOUBT);
    assert_eq!(at.open_width, four_bays()[1].width);
    assert_eq!(
        day.sights,
        [
            Sight::Came { load: 1, at: minute(2) },
            Sight::Came { load: 2, at: minute(46) },
            Sight::OnBay { bay: 1, at: minute(58), seen: Seen::SheenGone },
            Sight::Done { bay: 1, at: minute(59), round: Round::BullFloat },
        ]
    );
}

#[test]
fn what_is_still_to_come_is_left_out_until_then() {
    let (day, notes) = read(&an_hour(), 45);
    assert_eq!(day.loads.len(), 1);
    assert_eq!(notes, ["log-ahead-of-time"; 7]);
    assert_eq!(day.placed, [PlacedBay { bay: 1, extent: Extent::Done }]);
}

#[test]
fn nothing_logged_is_no_call() {
    let (day, notes) = read(&[], 10);
    assert!(day.at_the_line(&four_bays()).is_none() && notes.is_empty() && day.placed.is_empty());
}

/// Any part of a load may be left while it unloads and nobody has looked: a rectangle's mean and spread.
#[test]
fn a_drum_that_nobody_looked_into_holds_half_give_or_take_its_twelfth_s_root() {
    let (day, _) = read(&[truck(0, 1, TruckStep::Discharging, Some(6.0))], 20);
    let drum = day.in_drums();
    assert_eq!((drum.mean, drum.origin), (Volume::cubic_yards(3.0), Origin::Assumed));
    assert!((drum.sd.in_cubic_yards() - 6.0 / 12.0_f64.sqrt()).abs() < 1e-12);
    let (day, _) = read(&[truck(0, 1, TruckStep::Arrived, Some(6.0))], 20);
    assert_eq!((day.in_drums().mean, day.in_drums().sd), (Volume::cubic_yards(6.0), Volume::ZERO));
}

#[test]
fn what_goes_home_was_not_delivered() {
    let home = entry(50, What::Drum { load: 3, left: Volume::cubic_yards(0.5) });
    let (day, notes) = read(&[truck(40, 3, TruckStep::Done, Some(4.5)), home], 60);
    assert_eq!(day.loads[0].delivered(), Some(Volume::cubic_yards(4.0)));
    assert_eq!(day.in_drums().mean, Volume::ZERO);
    assert_eq!(notes, Vec::<&str>::new());
}

#[test]
fn contradictions_are_told_and_the_later_is_taken() {
    use TruckStep::{Arrived, Done};
    for (entries, code) in [
        (vec![truck(30, 1, Arrived, Some(8.0)), truck(20, 1, Done, None)], "log-load-out-of-order"),
        (vec![truck(1, 1, Arrived, Some(8.0)), truck(5, 1, Done, Some(7.0))], "log-ticket-contradicts"),
        (vec![line(10, 1, 9.0), line(20, 1, 7.0)], "log-line-backward"),
        (vec![line(10, 1, 200.0)], "log-line-beyond"),
        (vec![line(10, 9, 2.0)], "log-bay-unknown"),
        (vec![line(10, 1, -2.0)], "log-impossible"),
        (vec![truck(1, 1, Arrived, None)], "log-ticket-missing"),
        (vec![truck(1, 7, Arrived, None)], "log-ticket-missing"),
        (vec![entry(1, What::Drum { load: 2, left: Volume::cubic_yards(1.0) })], "log-load-not-there"),
        (vec![truck(-800, 1, Arrived, Some(8.0))], "log-other-day"),
        (vec![line(5, 2, 3.0)], "placed-out-of-order"),
        (
            vec![
                truck(1, 1, Arrived, Some(3.0)),
                entry(2, What::Drum { load: 1, left: Volume::cubic_yards(4.0) }),
            ],
            "log-drum-over-ticket",
        ),
    ] {
        let (_, notes) = read(&entries, 100);
        assert_eq!(notes, [code], "{entries:?}");
    }
    let (day, _) = read(&[line(10, 1, 9.0), line(20, 1, 7.0)], 100);
    assert_eq!(day.placed[0].extent, Extent::To(Length::feet(7.0)));
    let (day, _) = read(&[truck(1, 7, Arrived, None)], 100);
    assert_eq!(day.at_the_line(&four_bays()), None);
}

proptest! {
    /// The order of a log whose entries are of different instants says nothing.
    #[test]
    fn the_order_of_the_entries_does_not_matter(order in Just((0..13_usize).collect::<Vec<_>>()).prop_shuffle()) {
        let told = an_hour();
        let mut entries: Vec<Entry> = told[..13].to_vec();
        entries[8].at = minute(61);
        let shuffled: Vec<Entry> = order.iter().map(|&i| entries[i].clone()).collect();
        prop_assert_eq!(read(&shuffled, 70).0, read(&entries, 70).0);
    }

    /// No entry, however far off, stops the reading.
    #[test]
    fn nothing_stops_the_reading(
        all in prop::collection::vec((-9000_i64..9000, 0_usize..1200, -1e6_f64..1e6, 0_usize..7), 0..20)
    ) {
        let entries: Vec<Entry> = all.iter().map(|&(at, number, figure, kind)| entry(at, match kind {
            0 => What::Truck { load: number, step: TruckStep::Arrived, ticket: Some(Volume::cubic_metres(figure)) },
            1 => What::Truck { load: number % 5, step: TruckStep::Done, ticket: None },
            2 => What::Drum { load: number % 5, left: Volume::cubic_metres(figure / 1e5) },
            3 => What::Line { bay: number % 5, reached: Extent::To(Length::metres(figure / 1e5)) },
            4 => What::OnBay { bay: number % 5, seen: Seen::Print(Length::metres(figure)) },
            5 => What::Slump { load: None, slump: Length::metres(f64::NAN) },
            _ => What::RoundDone { bay: number, round: Round::Trowel(1) },
        })).collect();
        let (day, _) = read(&entries, 500);
        prop_assert!(day.loads.iter().all(|load| load.delivered().is_none_or(|v| v >= Volume::ZERO)));
        prop_assert!(day.placed.iter().all(|placed| (1..=4).contains(&placed.bay)));
    }
}
