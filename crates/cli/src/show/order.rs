//! How much concrete, what to order, and the last-load call.

use basis::quantity::{money, thickness, time_span, volume};
use basis::{Area, Origin, TimeSpan, Volume};
use pour::Job;
use pour::balance::Balance;
use pour::order::{Basis, Measure, OrderRow};
use pour::pacing::spot;
use pour::plan::Plan;

use super::words::{chance, list, origin, share, share_with_doubt, some_area, with_doubt};
use crate::page::{Align, Table, heading, paragraph};

/// What the floor will take, from the slab to the need.
pub fn need(job: &Job, plan: &Plan) -> String {
    let (units, need) = (job.units, &plan.order.need);
    let dug = ground::volume::dug_volume(&plan.ground.mesh);
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right), ("", Align::Left)]);
    let slab = need.forms.mean - dug;
    table.row(["slab above the base".into(), volume(slab, units), String::new()]);
    if dug > Volume::ZERO {
        table.row(["dug below it".into(), volume(dug, units), "thickened edges, pads".into()]);
    }
    table.row(["inside the forms", &with_doubt(need.forms, units), ""]);
    table.row(["allowance".to_owned(), share_with_doubt(need.allowance), origin(need.allowance.origin)]);
    table.row(["loss".to_owned(), with_doubt(need.loss, units), origin(need.loss.origin)]);
    table.row(["the floor will take".to_owned(), with_doubt(need.total, units), String::new()]);
    let mut text = heading("Concrete") + &table.print();
    text += &paragraph("± is one standard deviation: two times in three the truth lies within.");
    let triangles = &plan.ground.by_triangles;
    if triangles.reached > 0.0 {
        text += &paragraph(&format!(
            "Check by plain triangles between the shots, which reach {} of the floor: {} of slab, against {} by \
             the surface used here.",
            share(triangles.reached),
            volume(triangles.volume, units),
            volume(triangles.by_process, units),
        ));
    }
    text + &thinnest(job, plan)
}

/// The thinnest place with its doubt, against the least thickness.
fn thinnest(job: &Job, plan: &Plan) -> String {
    let Some((thin, sd)) = plan.ground.thinnest else { return String::new() };
    let units = job.units;
    let under = if plan.ground.thin_area > Area::ZERO {
        format!("expected under that: {} of the floor", some_area(plan.ground.thin_area, units))
    } else {
        "no place is expected under that".to_owned()
    };
    paragraph(&format!(
        "Thinnest place: {} ± {}, {}. The least accepted is {}; {under}.",
        thickness(thin.thickness, units),
        thickness(sd, units),
        spot(&plan.floor, thin.at, job.units),
        thickness(job.slab.minimum, units),
    ))
}

/// Rows of an order table near the middle of the odds, the recommended one marked.
fn odds(job: &Job, rows: &[OrderRow], best: OrderRow) -> String {
    let currency = job.plant.currency;
    let mut table = Table::new(&[
        ("", Align::Left),
        ("order", Align::Right),
        ("chance short", Align::Right),
        ("short by", Align::Right),
        ("left over", Align::Right),
        ("cost", Align::Right),
    ]);
    for row in
        rows.iter().filter(|r| r.chance_short < 0.9 && r.chance_short > 0.004 || r.quantity == best.quantity)
    {
        let cost = row.cost.zip(currency).map_or("-".to_owned(), |(cost, currency)| money(cost, currency));
        table.row([
            if row.quantity == best.quantity { "=>".to_owned() } else { String::new() },
            volume(row.quantity, job.units),
            chance(row.chance_short),
            volume(row.expected_short, job.units),
            volume(row.expected_left, job.units),
            cost,
        ]);
    }
    table.print() + &paragraph("Short by, left over and cost are averages over all that may come.")
}

fn basis_words(basis: Basis) -> String {
    match basis {
        Basis::LeastCost => "least expected cost by the plant's terms".into(),
        Basis::Odds(odds) => {
            let times = 1.0 / odds;
            let odds = if (times - times.round()).abs() < 1e-9 {
                format!("1 chance in {times:.0}")
            } else {
                format!("a chance of {}", chance(odds))
            };
            format!("the least with at most {odds} of running short; the plant's terms are not all known")
        }
    }
}

/// What to order, in which loads, with or without a hold.
pub fn order(job: &Job, plan: &Plan) -> String {
    let order = &plan.order;
    let mut text = heading("Order") + &odds(job, &order.rows, order.recommended);
    text += &paragraph(&format!(
        "Order {}: {}. Loads: {}.",
        volume(order.recommended.quantity, job.units),
        basis_words(order.basis),
        list(&order.loads, job.units)
    ));
    if let Some(evened) = &order.loads_evened {
        text += &paragraph(&format!("Or with the last loads made even: {}.", list(evened, job.units)));
    }
    if let Some(hold) = &order.hold {
        let measure = match hold.measure {
            Measure::AtTruckChange => "when the last load before the hold stands unopened".to_owned(),
            Measure::LeftInDrum(left) => format!("when {} are left in the drum", volume(left, job.units)),
        };
        text += &paragraph(&format!(
            "With a hold: order up to {}, hold at {} ({}), measure {measure}, then call a balance of {} to {}.",
            volume(hold.open_order, job.units),
            volume(hold.hold, job.units),
            list(&hold.loads, job.units),
            volume(hold.balance.0, job.units),
            volume(hold.balance.1, job.units),
        ));
        if let Some((ahead, currency)) = hold.ahead.as_ref().zip(job.plant.currency) {
            let more = hold.loads.len() + 1 > order.loads.len();
            let truck = if more { " It takes a truck more." } else { "" };
            text += &paragraph(&(ahead.told(currency, job.units) + truck));
        }
    }
    text
}

/// The last-load call.
pub fn balance(job: &Job, balance: &Balance, placed: &str) -> String {
    let units = job.units;
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &heading(&format!("Last-load call: {placed}"));
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right)]);
    // What the plan would have in the drum, give or take a whole load, says nothing that the next line does not.
    let used = match balance.used.origin {
        Origin::Assumed => "no tickets".to_owned(),
        _ => with_doubt(balance.used, units),
    };
    table.row(["used so far", &used]);
    table.row(["expected for that much floor", &with_doubt(balance.expected_used, units)]);
    table.row(["allowance as this pour shows it", &share_with_doubt(balance.allowance)]);
    table.row(["forms beyond the line", &with_doubt(balance.remaining, units)]);
    table.row(["still to be called", &with_doubt(balance.need, units)]);
    text += &table.print();
    text.push('\n');
    text += &odds(job, &balance.rows, balance.recommended);
    text += &paragraph(&format!(
        "Call {}: {}. Loads: {}.",
        volume(balance.recommended.quantity, units),
        basis_words(balance.basis),
        list(&balance.loads, units)
    ));
    text += &paragraph(&format!("Concrete on site lasts {}.", time_span(balance.times.out_of_concrete)));
    match balance.times.call_by {
        Some(by) if by > TimeSpan::ZERO => text += &paragraph(&format!("Call within {}.", time_span(by))),
        Some(by) => text += &paragraph(&format!("Call now: it was due {} ago.", time_span(-by))),
        None => {}
    }
    text
}
