//! From a planned floor to the bill: loads, hours and materials, as planned or as they may turn out.

use basis::math::normal_quantile;
use basis::{Area, Length, Place, TimeSpan, Volume};
use clock::finish::Finish;
use clock::mix::{Admixture, Air};
use ground::outline::{EdgeKind, Floor};

use super::book::{LabourRates, MixPart};
use super::fill::{Bill, Needed};
use super::labour::{self, Hours, Operation, Work};
use crate::day::Day;
use crate::forecast::Forecast;
use crate::job::{Assumed, Cure, Job, Sheet};
use crate::order::{grid, split};
use crate::plan::Plan;
use crate::rounds::{Answer, RoundPlan};

/// A floor with everything figured that its price depends on.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its plan.
    pub plan: &'a Plan,
    /// The finishing of the day, when the job has weather.
    pub day: Option<&'a Day>,
    /// Joints to saw.
    pub sawn: Length,
    /// Materials but concrete.
    pub materials: &'a [Needed],
    /// Floor with mesh or bars.
    pub steel: Area,
}

/// Which turn of events a bill is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Case {
    /// The recommended order and the hours to expect.
    Planned,
    /// So many yards and hours that more come in at most one less this chance.
    At {
        /// Chance that the floor takes no more, between 0 and 1.
        yards: f64,
        /// Chance that the crew takes no longer, between 0 and 1.
        hours: f64,
    },
}

/// The bill of a floor.
///
/// Hours on the day of the pour come from trucks and clock where the job has weather and the day has a plan: everybody is paid
/// from the first truck to his last work, waiting for the concrete included. Elsewhere they come from the book's rates.
#[must_use]
pub fn bill(figures: &Figures<'_>, rates: &LabourRates, case: Case, assumed: &mut Vec<Assumed>) -> Bill {
    let (job, plan) = (figures.job, figures.plan);
    let (loads, left_over) = loads(job, plan, case);
    let ordered: Volume = loads.iter().copied().sum();
    let planned: Volume = plan.order.loads.iter().copied().sum();
    let more = if planned > Volume::ZERO { ordered / planned } else { 1.0 };
    let trucks = &plan.trucks.totals;
    let of = |band: &crate::trucks::Band| match case {
        Case::Planned => band.mean,
        Case::At { hours, .. } if hours > 0.5 => band.high,
        Case::At { .. } => band.middle,
    };
    let placing = of(&trucks.end) * more;
    let stray = strayed(case, rates, assumed);
    let mut hours = labour::hours(&work(figures), rates, assumed);
    for row in &mut hours {
        row.time = row.time * stray;
    }
    let finish = finish(job, plan);
    let clocked = figures.day.and_then(|day| Some((plan.forecast.as_ref()?, finishing_by_clock(day)?)));
    let finishing = match clocked {
        Some((forecast, by_clock)) => by_clock.after(placing, late(forecast, case)),
        None => {
            finish_assumed(job, plan, assumed);
            labour::finishing(Area::square_metres(plan.floor.area), finish, rates, assumed) * stray
        }
    };
    hours.push(Hours { operation: Operation::Place, time: placing * f64::from(job.crew.people) });
    hours.push(Hours { operation: Operation::Finish, time: finishing });
    hours.sort_by_key(|row| row.operation);
    Bill {
        units: job.units,
        materials: figures.materials.to_vec(),
        loads,
        left_over,
        standby: trucks.standby.as_ref().map(of),
        weekday: job.day.first_truck.map(jiff::civil::DateTime::weekday),
        mix: mix_parts(job),
        hours,
        placing,
        by_machine: finish.by_machine(),
    }
}

/// The finish that is priced: the forecast's, the job's, or the customary broom.
pub(super) fn finish(job: &Job, plan: &Plan) -> Finish {
    plan.forecast.as_ref().map(|forecast| forecast.finish).or(job.finishing.finish).unwrap_or(Finish::Broom)
}

/// Tells that a finish was taken because nobody stated one.
fn finish_assumed(job: &Job, plan: &Plan, assumed: &mut Vec<Assumed>) {
    if plan.forecast.is_none() && job.finishing.finish.is_none() {
        assumed.push(Assumed {
            place: Place::at("finishing.finish"),
            what: "finish, in the job file".to_owned(),
            value: "broom".to_owned(),
            source: "job file states none; common practice".to_owned(),
        });
    }
}

/// What is ordered and what is left of it.
fn loads(job: &Job, plan: &Plan, case: Case) -> (Vec<Volume>, Volume) {
    let order = &plan.order;
    let Case::At { yards, .. } = case else { return (order.loads.clone(), order.recommended.expected_left) };
    let law = order.need.law();
    let takes = law.quantile(yards).max(0.0);
    let Ok(grid) = grid(&job.plant, takes, job.units) else {
        return (order.loads.clone(), order.recommended.expected_left);
    };
    let steps = grid.up(takes);
    let loads: Vec<Volume> =
        split(steps, grid.limits).full_first.into_iter().map(|load| grid.quantity(load)).collect();
    (loads, grid.quantity(steps) - Volume::cubic_metres(takes))
}

/// How many times longer work by rates takes.
fn strayed(case: Case, rates: &LabourRates, assumed: &mut Vec<Assumed>) -> f64 {
    let Case::At { hours, .. } = case else { return 1.0 };
    let doubt = labour::doubt(rates, assumed).in_ratio();
    (1.0 + normal_quantile(hours) * doubt).max(0.0)
}

/// Length of the edges that stand against forms.
fn form_length(floor: &Floor) -> Length {
    let formed = floor.segments.iter().filter(|segment| segment.kind == EdgeKind::Free);
    Length::metres(formed.map(|segment| segment.a.distance(segment.b)).sum())
}

/// What there is to do beside placing and finishing.
fn work(figures: &Figures<'_>) -> Work {
    let (job, floor) = (figures.job, &figures.plan.floor);
    let area = Area::square_metres(floor.area);
    let cured = !matches!(job.finishing.cure, None | Some(Cure::None));
    Work {
        floor: area,
        stone: job.bed.stone.map_or(Volume::ZERO, |depth| area * depth),
        forms: form_length(floor),
        sheet: if job.bed.sheet == Some(Sheet::UnderSlab) { area } else { Area::ZERO },
        steel: figures.steel,
        sawn: figures.sawn,
        cured: if cured { area } else { Area::ZERO },
    }
}

fn mix_parts(job: &Job) -> Vec<MixPart> {
    let Some(ordered) = &job.mix else { return Vec::new() };
    let air = matches!(ordered.mix.air, Air::Entrained(_)).then_some(MixPart::Air);
    let others = ordered.mix.admixtures.iter().map(|admixture| match admixture {
        Admixture::CalciumChloride(_) => MixPart::Chloride,
        Admixture::Accelerator(_) => MixPart::Accelerator,
        Admixture::Retarder(_) => MixPart::Retarder,
    });
    air.into_iter().chain(others).collect()
}

/// When each person of a planned day has done his last work, from the first truck.
struct LastWork(Vec<TimeSpan>);

/// The last work of everybody, or nothing when the day has no plan.
fn finishing_by_clock(day: &Day) -> Option<LastWork> {
    let Answer::Plan(plan) = &day.answer else { return None };
    let people = day.problem.crew.people;
    Some(LastWork((0..people).map(|person| last_work(plan, day, person)).collect()))
}

fn last_work(plan: &RoundPlan, day: &Day, person: u32) -> TimeSpan {
    let rounds = plan.assignments.iter().filter(|a| a.people.contains(&person)).map(|a| a.end);
    let placing = day.problem.crew.busy.iter().zip(&plan.busy);
    let placing = placing.filter(|(_, people)| people.contains(&person)).map(|(busy, _)| busy.until);
    rounds.chain(placing).fold(TimeSpan::ZERO, TimeSpan::max)
}

impl LastWork {
    /// Time of all people on site after placing; `late` is how much later those who stay last get away.
    fn after(&self, placing: TimeSpan, late: TimeSpan) -> TimeSpan {
        self.0.iter().filter(|last| **last > placing).map(|last| *last - placing + late).sum()
    }
}

/// How much later the last round opens in this case than in the middle of its band.
fn late(forecast: &Forecast, case: Case) -> TimeSpan {
    let Case::At { hours, .. } = case else { return TimeSpan::ZERO };
    if hours <= 0.5 {
        return TimeSpan::ZERO;
    }
    let last = |of: fn(&clock::band::EventBand) -> Option<TimeSpan>| {
        let opens = forecast.bays.iter().filter_map(|bay| of(&bay.rounds.last()?.opens));
        opens.fold(TimeSpan::ZERO, TimeSpan::max)
    };
    (last(|band| band.high) - last(|band| band.middle)).max(TimeSpan::ZERO)
}
