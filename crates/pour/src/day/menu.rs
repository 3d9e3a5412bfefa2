//! What can be changed when a day cannot be finished: each change makes a day of its own, forecast anew.

use basis::{Share, TimeSpan};
use clock::mix::Admixture;
use jiff::{SignedDuration, Timestamp};

use super::FloorOfDay;
use super::windows::posed;
use crate::forecast::Forecast;
use crate::job::Job;
use crate::plan::forecast_again;
use crate::rounds::{Change, Machine, Offer, Problem, more_people, one_more_machine};

/// Starts that are tried for the last floor, in minutes; earlier ones are negative.
const STARTS: [f64; 9] = [-30.0, -60.0, -90.0, -120.0, -180.0, 30.0, 60.0, 90.0, 120.0];
/// Spacings of the trucks that are tried, in minutes more than now.
const SPACINGS: [f64; 2] = [15.0, 30.0];

/// The menu, small changes before large within each kind: start, spacing, machine, people, mix.
pub(super) fn menu<'a>(
    floors: &'a [FloorOfDay<'a>],
    forecasts: &'a [&'a Forecast],
    start: Timestamp,
    seed: u64,
) -> Vec<Offer<'a>> {
    let again = move |change: &dyn Fn(&mut Job) -> Option<()>| -> Option<Problem> {
        let last = floors.len().checked_sub(1)?;
        let mut job = floors[last].job.clone();
        change(&mut job)?;
        let forecast = forecast_again(&job, floors[last].plan, seed).value?;
        let mut changed = floors.to_vec();
        changed[last] = FloorOfDay { job: &job, plan: floors[last].plan };
        let all: Vec<&Forecast> =
            forecasts[..last].iter().copied().chain(std::iter::once(&forecast)).collect();
        Some(posed(&changed, &all, start).problem)
    };
    // On a day under way the trucks and the mix are what they are.
    let under_way = forecasts.iter().any(|forecast| forecast.now.is_some());
    let mut menu = Vec::new();
    if !under_way {
        menu.extend(STARTS.map(|minutes| another_start(minutes, again)));
    }
    let Some(last) = floors.last() else { return menu };
    if last.plan.loads.lines.len() > 1 && !under_way {
        for more in SPACINGS {
            let spacing =
                last.job.plant.spacing.unwrap_or(last.plan.trucks.matched) + TimeSpan::minutes(more);
            let make = move |_: &Problem| {
                again(&|job| {
                    job.plant.spacing = Some(spacing);
                    Some(())
                })
            };
            menu.push(Offer { change: Change::Spacing(spacing), make: Box::new(make) });
        }
    }
    let second =
        floors.iter().find_map(|floor| floor.job.finishing.machines.first()).map(|machine| Machine {
            name: format!("another {}", machine.name),
            kind: machine.name.clone(),
            floor: floors.len() - 1,
            moving: TimeSpan::ZERO,
        });
    // A rented machine is brought to the floor that lacks it.
    for floor in 0..floors.len() {
        menu.extend(second.clone().map(|machine| one_more_machine(Machine { floor, ..machine })));
    }
    menu.extend([1, 2].map(more_people));
    if !under_way {
        menu.extend(mixes(again));
        menu.extend(pairs(second, again));
    }
    menu
}

/// Pairs, for days that no single change mends: a machine or a person with an early start or a slower mix.
fn pairs<'a>(
    second: Option<Machine>,
    again: impl Fn(&dyn Fn(&mut Job) -> Option<()>) -> Option<Problem> + Copy + 'a,
) -> Vec<Offer<'a>> {
    let mut pairs = Vec::new();
    let both = |one: Offer<'a>, other: Offer<'a>| Offer {
        change: Change::Both(Box::new(one.change.clone()), Box::new(other.change.clone())),
        make: Box::new(move |problem: &Problem| (one.make)(&(other.make)(problem)?))
            as Box<dyn Fn(&_) -> _ + 'a>,
    };
    let hands = || -> Vec<Offer<'a>> {
        let machine = second.clone().map(one_more_machine);
        machine.into_iter().chain(std::iter::once(more_people(1))).collect()
    };
    if let Some(machine) = second.clone() {
        pairs.push(both(one_more_machine(machine), more_people(1)));
    }
    for minutes in [-60.0, -120.0] {
        pairs.extend(hands().into_iter().map(|hand| both(hand, another_start(minutes, again))));
    }
    for mix in 0..mixes(again).len() {
        let offer = || mixes(again).into_iter().nth(mix);
        pairs.extend(hands().into_iter().filter_map(|hand| Some(both(hand, offer()?))));
    }
    pairs
}

/// Another start of the last floor.
fn another_start<'a>(
    minutes: f64,
    again: impl Fn(&dyn Fn(&mut Job) -> Option<()>) -> Option<Problem> + Copy + 'a,
) -> Offer<'a> {
    let make = move |_: &Problem| {
        again(&|job| {
            let first = job.day.first_truck?;
            job.day.first_truck = first.checked_add(SignedDuration::from_mins(minutes as i64)).ok();
            job.day.first_truck.map(|_| ())
        })
    };
    Offer { change: Change::Start(TimeSpan::minutes(minutes)), make: Box::new(make) }
}

fn mixes<'a>(
    again: impl Fn(&dyn Fn(&mut Job) -> Option<()>) -> Option<Problem> + Copy + 'a,
) -> Vec<Offer<'a>> {
    let admixtures = [
        (
            "1 % accelerator (calcium chloride, or the plant's non-chloride equal where there is steel)",
            Admixture::CalciumChloride(Share::percent(1.0)),
        ),
        ("a retarder that gives one hour", Admixture::Retarder(TimeSpan::hours(1.0))),
        ("a retarder that gives two hours", Admixture::Retarder(TimeSpan::hours(2.0))),
    ];
    let offer = |(name, admixture): (&str, Admixture)| {
        let make = move |_: &Problem| {
            again(&|job| {
                let ordered = job.mix.as_mut()?;
                if !ordered.mix.admixtures.is_empty() || ordered.mix.stated_set.is_some() {
                    return None;
                }
                ordered.mix.admixtures.push(admixture);
                Some(())
            })
        };
        Offer {
            change: Change::Mix(name.to_owned()),
            make: Box::new(make) as Box<dyn Fn(&Problem) -> Option<Problem>>,
        }
    };
    admixtures.into_iter().map(offer).collect()
}
