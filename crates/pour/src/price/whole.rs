//! The whole price of a job: planned, taken off and priced, in doubt and in other ways to build it.

use basis::{Area, Money, Note, Place, Report, TimeSpan, UnitSystem, Volume, has_fault};

use super::book::{MaterialRate, Rate, RateBook};
use super::fill::{Bill, Needed, for_one, plant_terms, sheet};
use super::gather::{Case, Figures, bill};
use super::options::{Asked, Change, changed};
use super::sheet::{Difference, Sheet, differences};
use crate::day::{Day, FloorOfDay, day};
use crate::job::{Assumed, Job, ReinforcementKind};
use crate::plan::{Plan, plan};
use crate::rounds::{Answer, Budget};
use crate::takeoff::{ITEMS, TakeOff, TakeOffInput, takeoff};
use crate::unit::Unit;

/// What is asked of a price.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceOptions {
    /// Seed of the plan's draws.
    pub seed: u64,
    /// How much the finishing of the day is searched.
    pub budget: Budget,
    /// Other ways to build the floor.
    pub ways: Vec<Asked>,
}

/// The price of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Priced {
    /// What there is to pay for, as planned.
    pub bill: Bill,
    /// The sheet, as planned.
    pub sheet: Sheet,
    /// What doubt costs: the middle, more yards, more hours, more of both.
    pub doubt: Vec<Doubtful>,
    /// Other ways to build the floor.
    pub ways: Vec<Way>,
    /// Rates that stand in for what the book leaves out.
    pub assumed: Vec<Assumed>,
}

/// The price if yards and hours turn out so.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubtful {
    /// Chance that the floor takes no more.
    pub yards: f64,
    /// Chance that the crew takes no longer.
    pub hours: f64,
    /// Concrete to buy.
    pub concrete: Volume,
    /// Hours of one person.
    pub work: TimeSpan,
    /// What the job costs the crew, overhead included; absent when a rate is blank.
    pub cost: Option<Money>,
    /// The price by the book; absent when a rate is blank.
    pub total: Option<Money>,
}

/// The floor built another way.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What the user calls it.
    pub name: String,
    /// What is changed.
    pub changes: Vec<Change>,
    /// Its sheet; absent when it cannot be planned, the notes say why.
    pub sheet: Option<Sheet>,
    /// The lines that differ from the sheet as planned.
    pub differences: Vec<Difference>,
}

/// The chances at which doubt is priced: yards, hours.
pub const DOUBTS: [(f64, f64); 4] = [(0.5, 0.5), (0.9, 0.5), (0.5, 0.9), (0.9, 0.9)];

/// Plans, takes off and prices a job by a rate book, in doubt and in the other ways asked for.
///
/// Method, sources and limits: `docs/methods/price.md`. The same job, book, options and seed give the same price. Refused with the faults
/// of the plan, and when the job's prices are in another currency than the book's. A way that cannot be planned is told and has no
/// sheet.
#[must_use]
pub fn price(job: &Job, book: &RateBook, asked: &PriceOptions) -> Report<Priced> {
    let mut notes = Vec::new();
    currencies(job, book, &mut notes);
    let book = &with_stone_of(job, book);
    let floor = floor(job, asked).unload(&mut notes);
    let Some(floor) = floor.filter(|_| !has_fault(&notes)) else { return Report::refused(notes) };
    let mut assumed = floor.assumed.clone();
    let planned = priced(job, book, &floor, Case::Planned, &mut assumed);
    let doubt = DOUBTS.map(|doubt| doubtful(job, book, &floor, doubt, &mut assumed)).to_vec();
    let ways = asked.ways.iter().map(|way| built(job, book, way, asked, &planned.1, &mut notes)).collect();
    let mut told: Vec<Assumed> = Vec::new();
    for one in assumed {
        if !told.contains(&one) {
            told.push(one);
        }
    }
    let (bill, sheet) = planned;
    if !sheet.blanks.is_empty() {
        notes.push(Note::warning(
            "rate-blank",
            Place::job(),
            format!("rates that this job needs and the rate book leaves blank: {}", sheet.blanks.len()),
            "fill them in; a charge that there is not is written as 0",
        ));
    }
    Report::with(Priced { bill, sheet, doubt, ways, assumed: told }, notes)
}

/// A floor figured for its price.
struct Floor {
    plan: Plan,
    day: Option<Day>,
    materials: Vec<Needed>,
    /// What the take-off took by default.
    assumed: Vec<Assumed>,
}

/// What the take-off buys, as lines of the bill.
fn needed(taken: &TakeOff) -> Vec<Needed> {
    let one = |line: &crate::takeoff::Line| Needed {
        item: line.item.to_owned(),
        what: line.what.clone(),
        amount: line.bought,
    };
    taken.lines.iter().map(one).collect()
}

fn floor(job: &Job, asked: &PriceOptions) -> Report<Floor> {
    let mut notes = Vec::new();
    let Some(plan) = plan(job, asked.seed).unload(&mut notes) else { return Report::refused(notes) };
    let day = plan
        .forecast
        .as_ref()
        .and_then(|_| day(&[FloorOfDay { job, plan: &plan }], asked.seed, asked.budget).unload(&mut notes));
    if let Some(day) = &day
        && !matches!(day.answer, Answer::Plan(_))
    {
        notes.push(Note::warning(
            "no-rounds-to-price",
            Place::at("finishing"),
            "the day has no plan of its rounds: finishing is priced by the rate book, without the waiting",
            "see the finishing clock for what would mend the day",
        ));
    }
    let input = TakeOffInput { job, plan: &plan };
    let Some(taken) = takeoff(&input).unload(&mut notes) else { return Report::refused(notes) };
    Report::with(Floor { plan, day, materials: needed(&taken), assumed: taken.assumed }, notes)
}

/// Floor on which mesh or bars are laid.
fn steel(job: &Job, plan: &Plan) -> Area {
    match job.reinforcement.kind {
        ReinforcementKind::Mesh | ReinforcementKind::Bars => Area::square_metres(plan.floor.area),
        ReinforcementKind::None | ReinforcementKind::Fiber => Area::ZERO,
    }
}

fn figured<'a>(job: &'a Job, floor: &'a Floor) -> Figures<'a> {
    Figures {
        job,
        plan: &floor.plan,
        day: floor.day.as_ref(),
        sawn: floor.plan.joints.sawn,
        materials: &floor.materials,
        steel: steel(job, &floor.plan),
    }
}

fn priced(
    job: &Job,
    book: &RateBook,
    floor: &Floor,
    case: Case,
    assumed: &mut Vec<Assumed>,
) -> (Bill, Sheet) {
    let bill = bill(&figured(job, floor), &book.labour, case, assumed);
    let sheet = sheet(&bill, &plant_terms(&job.plant, &book.plant), book);
    (bill, sheet)
}

fn doubtful(
    job: &Job,
    book: &RateBook,
    floor: &Floor,
    (yards, hours): (f64, f64),
    assumed: &mut Vec<Assumed>,
) -> Doubtful {
    let (bill, sheet) = priced(job, book, floor, Case::At { yards, hours }, assumed);
    Doubtful {
        yards,
        hours,
        concrete: bill.loads.iter().copied().sum(),
        work: bill.hours.iter().map(|row| row.time).sum(),
        cost: sheet.cost(),
        total: sheet.total(),
    }
}

fn built(
    job: &Job,
    book: &RateBook,
    way: &Asked,
    asked: &PriceOptions,
    planned: &Sheet,
    notes: &mut Vec<Note>,
) -> Way {
    let job = changed(job, &way.changes);
    let report = floor(&job, asked);
    let floor = report.value;
    if floor.is_none() {
        let why: Vec<String> = report
            .notes
            .into_iter()
            .filter(|note| note.severity == basis::Severity::Fault)
            .map(|note| note.message)
            .collect();
        let message = format!("\"{}\" cannot be planned: {}", way.name, why.join("; "));
        notes.push(Note::warning("way-not-planned", Place::job(), message, "plan it as a job of its own"));
    }
    if let Some(day) = floor.as_ref().and_then(|floor| floor.day.as_ref())
        && !matches!(day.answer, Answer::Plan(_))
    {
        let message = format!(
            "\"{}\": the day has no plan of its rounds, so its finishing is priced by the rate book's rates, which \
             does not compare with hours by the clock",
            way.name
        );
        let hint = "plan it as a job of its own and see what mends its day";
        notes.push(Note::warning("no-rounds-to-price", Place::at("finishing"), message, hint));
    }
    let sheet = floor.map(|floor| priced(&job, book, &floor, Case::Planned, &mut Vec::new()).1);
    let differences = sheet.as_ref().map_or(Vec::new(), |sheet| differences(planned, sheet));
    Way { name: way.name.clone(), changes: way.changes.clone(), sheet, differences }
}

/// The book with the price of stone that the job states, which goes before its own.
fn with_stone_of(job: &Job, book: &RateBook) -> RateBook {
    let mut book = book.clone();
    if let Some(price) = job.base.stone_price {
        book.materials.retain(|material| material.item != ITEMS[0]);
        let unit = if job.units == UnitSystem::Us { Unit::CubicYard } else { Unit::CubicMetre };
        let rate = Some(Rate { money: for_one(price, unit), unit });
        book.materials.push(MaterialRate { item: ITEMS[0].to_owned(), rate, place: Place::at("material") });
    }
    book
}

/// Prices of the job and of the book are in one currency.
fn currencies(job: &Job, book: &RateBook, notes: &mut Vec<Note>) {
    if let Some(other) = job.plant.currency.filter(|other| *other != book.currency) {
        let message =
            format!("the rate book is in {}, the job's prices are in {}", book.currency.code(), other.code());
        let hint = "take the rate book of the job's currency, or write the job's prices in the book's";
        notes.push(Note::fault("mixed-currencies", Place::at("book.currency"), message, hint));
    }
}
