//! The prep sheet and what is worth doing before the pour.

use basis::quantity::{area, length, money, thickness, volume};
use basis::{Area, Length, Volume};
use ground::advice::Patch;
use pour::Job;
use pour::pacing::spot;
use pour::plan::Plan;
use pour::prep::{BasePoint, FormMark, Verdict};
use pour::stone::Exchange;

use super::off;
use super::words::{some_area, ties};
use crate::page::{Align, Table, heading, paragraph};

fn mark(mark: FormMark) -> &'static str {
    match mark {
        FormMark::Corner => "corner",
        FormMark::JambFull => "jamb, floor height",
        FormMark::JambDropped => "jamb, door form",
        FormMark::Step => "",
        FormMark::High => "high point",
        FormMark::Low => "low point",
        FormMark::Bend => "bend",
    }
}

/// What to do at a spot: nothing when that rounds to nothing.
fn work(point: &BasePoint, job: &Job) -> String {
    let Some(cut) = point.cut else { return String::new() };
    let much = thickness(cut.abs(), job.units);
    if point.dug > Length::ZERO && cut > Length::ZERO {
        return format!("dig {much}");
    }
    match cut {
        _ if much == thickness(Length::ZERO, job.units) => "on grade".to_owned(),
        cut if cut > Length::ZERO => format!("cut {much}"),
        _ => format!("fill {much}"),
    }
}

/// Readings for forms and base.
pub fn sheet(job: &Job, plan: &Plan) -> String {
    let mut forms = Table::new(&[
        ("form top", Align::Left),
        ("", Align::Left),
        ("along the edge", Align::Right),
        ("stick reads", Align::Right),
    ]);
    for point in &plan.prep.forms {
        let along = length(point.along, job.units);
        forms.row([point.label.clone(), mark(point.mark).to_owned(), along, point.reading.said(job.rod)]);
    }
    let mut base = Table::new(&[
        ("base", Align::Left),
        ("stick reads", Align::Right),
        ("to do", Align::Left),
        ("where", Align::Left),
    ]);
    for point in &plan.prep.base {
        let reading = point.reading.said(job.rod);
        base.row([point.label.clone(), reading, work(point, job), ties(job, &point.ties)]);
    }
    heading("Prep sheet") + &forms.print() + &checks(job, plan) + "\n" + &base.print()
}

/// Form tops as shot: which to reset.
fn checks(job: &Job, plan: &Plan) -> String {
    if plan.prep.checks.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("form as shot", Align::Left),
        ("stick reads", Align::Right),
        ("must read", Align::Right),
        ("stands", Align::Left),
        ("", Align::Left),
        ("where", Align::Left),
    ]);
    for check in &plan.prep.checks {
        let verdict = match check.verdict {
            Verdict::Leave => "leave",
            Verdict::Reset => "RESET",
        };
        table.row([
            check.name.clone(),
            check.reads.said(job.rod),
            check.must_read.said(job.rod),
            off(check.deviation, job).unwrap_or_else(|| "as drawn".to_owned()),
            verdict.to_owned(),
            spot(&plan.floor, check.at, job.units),
        ]);
    }
    let tolerance = format!(
        "Leave is within {}. The floor follows the forms as they stand.",
        thickness(job.forms.tolerance, job.units)
    );
    "\n".to_owned() + &table.print() + &paragraph(&tolerance)
}

/// Base work and further shots.
pub fn worth_doing(job: &Job, plan: &Plan) -> String {
    heading("Worth doing before the pour") + &base_work(job, plan) + &patches(job, plan) + &shots(job, plan)
}

/// Stone against concrete.
fn base_work(job: &Job, plan: &Plan) -> String {
    let (stone, units) = (&plan.stone, job.units);
    let mut table = Table::new(&[
        ("base", Align::Left),
        ("over", Align::Right),
        ("concrete", Align::Right),
        ("at the mix's price", Align::Right),
        ("loose stone", Align::Right),
        ("costs", Align::Right),
    ]);
    let cost = |amount: Option<basis::Money>| {
        amount.zip(job.plant.currency).map_or("-".to_owned(), |(amount, currency)| money(amount, currency))
    };
    let mut row = |what: String, over: Area, e: &Exchange, less: &str| {
        let loose = e.loose.map_or("-".to_owned(), |v| volume(v, units));
        let concrete = format!("{} {less}", volume(e.compacted, units));
        table.row([what, area(over, units), concrete, cost(e.concrete), loose, cost(e.stone)]);
    };
    let whole = &stone.patches.whole;
    row("fill the low to grade".to_owned(), whole.low_area, &stone.fill_low, "less");
    row("cut the high to grade".to_owned(), whole.high_area, &stone.cut_high, "more");
    let all = Area::square_metres(plan.floor.area);
    row(format!("raise all by {}", thickness(stone.step, units)), all, &stone.raise_all, "less");
    let mut text = table.print();
    text += &paragraph("Raising all is a yardstick: where the slab is thin, it makes it thinner.");
    if job.base.loose_per_compacted.is_none() {
        text += &paragraph("State `bulking` under [base], and `stone_price`, to see the stone.");
    }
    text
}

/// The largest patches that are thin or deep.
fn patches(job: &Job, plan: &Plan) -> String {
    let (patches, units) = (&plan.stone.patches, job.units);
    let told = |patch: &&Patch| volume(patch.volume, units) != volume(Volume::ZERO, units);
    let mut table = Table::new(&[
        ("patch", Align::Left),
        ("over", Align::Right),
        ("mean", Align::Right),
        ("worst", Align::Right),
        ("concrete", Align::Right),
        ("worst at", Align::Left),
    ]);
    let mut rows = 0;
    let mut row = |what: &str, patch: &Patch| {
        rows += 1;
        table.row([
            what.to_owned(),
            some_area(patch.area, units),
            thickness(patch.mean, units),
            thickness(patch.worst, units),
            volume(patch.volume, units),
            spot(&plan.floor, patch.worst_at, job.units),
        ]);
    };
    patches.thin.iter().for_each(|patch| row("thin: cut", patch));
    patches.deep.iter().filter(told).for_each(|patch| row("deep: fill", patch));
    if rows == 0 {
        return String::new();
    }
    let limits = format!(
        "Thin is under the least thickness of {}, deep is over {}; mean and worst are how far the base is off its grade.",
        thickness(job.slab.minimum, units),
        thickness(job.slab.nominal + plan.stone.step, units)
    );
    "\n".to_owned() + &table.print() + &paragraph(&limits)
}

/// Where further shots help most.
fn shots(job: &Job, plan: &Plan) -> String {
    let doubt = volume(plan.ground.forms_volume().sd, job.units);
    let mut text = "\n".to_owned() + &paragraph(&format!("The doubt inside the forms is now ± {doubt}."));
    if plan.ground.next_shots.is_empty() {
        return text;
    }
    let mut table = Table::new(&[
        ("best next shot", Align::Right),
        ("doubt of the base then", Align::Right),
        ("where", Align::Left),
    ]);
    for (i, shot) in plan.ground.next_shots.iter().enumerate() {
        table.row([
            (i + 1).to_string(),
            format!("± {}", volume(shot.volume_sd, job.units)),
            spot(&plan.floor, shot.at, job.units),
        ]);
    }
    text += &table.print();
    text
}
