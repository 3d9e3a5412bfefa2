use basis::{Share, TimeSpan};
use proptest::prelude::*;

use super::*;
use crate::events::Milestone;
use crate::finish::{Finish, FinishSpec};
use crate::fixture::{ENERGY, plain, steady, wet};
use crate::windows::Window;

const INITIAL: Event = Event::At(Milestone::InitialSet);

/// A draw in which initial set comes at an hour, or never.
fn draw(hours: Option<f64>, weight: f64) -> Weighted {
    let milestones = vec![(Milestone::InitialSet, hours.map(TimeSpan::hours))];
    Weighted { events: Events { windows: Vec::new(), milestones }, weight }
}

fn one(draws: &[Weighted]) -> EventBand {
    bands(draws)[0]
}

#[test]
fn points_of_ten_even_draws_are_the_first_fifth_and_ninth() {
    // By hand: the stepped distribution reaches 0.1, 0.5, 0.9 at the 1st, 5th, 9th of ten.
    let draws: Vec<Weighted> = (1..=10).rev().map(|hour| draw(Some(f64::from(hour)), 1.0)).collect();
    let band = one(&draws);
    let hour = |value: f64| Some(TimeSpan::hours(value));
    assert_eq!((band.low, band.middle, band.high), (hour(1.0), hour(5.0), hour(9.0)));
    assert_eq!(band.absent, Share::ZERO);
}

#[test]
fn weights_count_like_repeated_draws() {
    let weighted = one(&[draw(Some(1.0), 3.0), draw(Some(2.0), 5.0), draw(Some(3.0), 2.0)]);
    let hours = [1.0, 1.0, 1.0, 2.0, 2.0, 2.0, 2.0, 2.0, 3.0, 3.0];
    let repeated: Vec<Weighted> = hours.iter().map(|hour| draw(Some(*hour), 1.0)).collect();
    assert_eq!(weighted, one(&repeated));
}

#[test]
fn what_does_not_come_is_told_and_not_averaged_away() {
    let band = one(&[draw(Some(1.0), 1.0), draw(Some(2.0), 5.0), draw(None, 4.0)]);
    assert_eq!(band.middle, Some(TimeSpan::hours(2.0)));
    assert_eq!(band.high, None, "four in ten do not come: no instant has nine in ten before it");
    assert!((band.absent.in_percent() - 40.0).abs() < 1e-9);
    let never = one(&[draw(None, 1.0)]);
    assert_eq!((never.low, never.absent), (None, Share::percent(100.0)));
}

#[test]
fn without_draws_or_weight_there_is_no_band() {
    assert_eq!(bands(&[]), []);
    assert_eq!(bands(&[draw(Some(1.0), 0.0)]), []);
    assert_eq!(bands(&[draw(Some(1.0), f64::NAN)]), []);
    assert_eq!(round_bands(&[], &[]), []);
}

#[test]
fn a_round_is_lost_as_often_as_its_window_is_shut() {
    let window = |opens: f64| Window {
        round: Round::Float,
        stiff: Some(TimeSpan::hours(opens)),
        opens: Some(TimeSpan::hours(opens)),
        closes: Some(TimeSpan::hours(4.0)),
    };
    let draws = [3.0, 3.5, 4.0, 5.0].map(|opens| Weighted {
        events: Events { windows: vec![window(opens)], milestones: Vec::new() },
        weight: 1.0,
    });
    let rounds = round_bands(&draws, &bands(&draws));
    assert_eq!(rounds[0].lost, Share::ratio(0.5));
    assert_eq!(rounds[0].closes.low, Some(TimeSpan::hours(4.0)));
}

#[test]
fn a_forecast_takes_one_history_for_all_or_one_each() {
    let model = EventModel::new(&plain(), &FinishSpec::of(Finish::Float));
    let draws = crate::observe::set_draws(&plain().set_factor, 3);
    let (warm, cold) = (steady(80.0, 24.0, ENERGY), steady(50.0, 24.0, ENERGY));
    let one = forecast(&model, std::slice::from_ref(&warm), &draws);
    let each = forecast(&model, &[warm.clone(), cold.clone(), warm.clone()], &draws);
    assert_eq!((&one[0], &one[2]), (&each[0], &each[2]));
    assert_eq!(each[1].events, model.events(&cold, draws[1].set_factor));
    assert_eq!(forecast(&model, &[], &draws), []);
}

proptest! {
    #[test]
    fn points_are_in_order_and_order_of_draws_does_not_matter(
        times in prop::collection::vec((prop::option::of(0.0..50.0_f64), 0.01..5.0_f64), 1..40),
    ) {
        let draws: Vec<Weighted> = times.iter().map(|(hour, weight)| draw(*hour, *weight)).collect();
        let band = one(&draws);
        let at = |time: Option<TimeSpan>| time.map_or(f64::INFINITY, TimeSpan::in_hours);
        prop_assert!(at(band.low) <= at(band.middle) && at(band.middle) <= at(band.high));
        let back: Vec<Weighted> = draws.iter().rev().cloned().collect();
        let reversed = one(&back);
        prop_assert_eq!((band.low, band.middle, band.high), (reversed.low, reversed.middle, reversed.high));
        prop_assert_eq!(band.event, INITIAL);
    }

    /// Wet until later never opens the float sooner.
    #[test]
    fn longer_water_never_opens_sooner(until in 0.5..8.0_f64, more in 0.0..3.0_f64) {
        let opens = |until: f64| {
            let history = wet(steady(70.0, 24.0, ENERGY), 0.0, until);
            crate::events(&history, &plain(), &FinishSpec::of(Finish::Float), 1.0)
                .time(Event::Opens(Round::Float)).unwrap()
        };
        prop_assert!(opens(until + more) >= opens(until));
    }
}
