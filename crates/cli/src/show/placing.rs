//! Placing: bays, loads, trucks, pads, reach.

use basis::quantity::{area, length, money, slope, time_span, volume};
use ground::P2;
use ground::polygon::distance_to_segment;
use pour::Job;
use pour::pacing::rough;
use pour::plan::Plan;

use super::words::{count, days, minutes, rough_up, ties};
use crate::page::{Align, Table, heading, paragraph};

/// An end of a bay farther from every edge than this lies inside, m.
const BESIDE: f64 = 0.1;

/// The edge at which a bay begins or ends.
fn edge_at(plan: &Plan, p: P2) -> String {
    let off = |s: &&ground::outline::BoundarySegment| distance_to_segment(p, s.a, s.b);
    let nearest = plan.floor.segments.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    match nearest {
        Some(segment) if off(&segment) < BESIDE => {
            ground::floor::edge_name(&plan.floor.corners, segment.edge)
        }
        _ => "inside".to_owned(),
    }
}

/// The bays in order of placing.
pub fn bays(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("bay", Align::Right),
        ("from", Align::Left),
        ("to", Align::Left),
        ("wide", Align::Right),
        ("long", Align::Right),
        ("area", Align::Right),
        ("takes", Align::Right),
    ]);
    for (bay, takes) in plan.bays.bays.iter().zip(&plan.loads.bays) {
        table.row([
            bay.number.to_string(),
            edge_at(plan, bay.start),
            edge_at(plan, bay.start + bay.axis * bay.length.in_metres()),
            length(bay.width, job.units),
            length(bay.length, job.units),
            area(bay.area, job.units),
            volume(*takes, job.units),
        ]);
    }
    let mut text = heading("Bays, in order of placing") + &table.print();
    text += &paragraph(&format!(
        "The straightedge, less its laps, strikes {} at most.",
        length(plan.bays.widest, job.units)
    ));
    if let Some(exit) = &plan.bays.exit {
        text += &paragraph(&format!("The way out at the end is {}.", exit.name));
    }
    text
}

/// Where each load ends.
pub fn loads(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("load", Align::Right),
        ("brings", Align::Right),
        ("ends in bay", Align::Right),
        ("past its start", Align::Right),
        ("inside the forms so far", Align::Right),
    ]);
    for line in &plan.loads.lines {
        table.row([
            line.load.to_string(),
            volume(line.size, job.units),
            line.end.bay.to_string(),
            rough(line.end.along, job.units),
            volume(line.covered, job.units),
        ]);
    }
    heading("Loads") + &table.print()
}

/// The trucks over many days.
pub fn trucks(job: &Job, plan: &Plan) -> String {
    let trucks = &plan.trucks;
    let mut table = Table::new(&[
        ("truck", Align::Right),
        ("asked for", Align::Right),
        ("starts early", Align::Right),
        ("usual", Align::Right),
        ("late", Align::Right),
        ("empty by", Align::Right),
        ("truck waits", Align::Right),
        ("crew waits", Align::Right),
    ]);
    for (i, truck) in trucks.trucks.iter().enumerate() {
        table.row([
            (i + 1).to_string(),
            minutes(truck.asked),
            minutes(truck.start.low),
            minutes(truck.start.middle),
            minutes(truck.start.high),
            minutes(truck.done.high),
            minutes(truck.wait.mean),
            minutes(truck.idle.mean),
        ]);
    }
    let mut text = heading("Trucks, in minutes from when the first is asked for") + &table.print();
    text += &paragraph(
        "One day in ten it starts earlier than early, one in ten later than late; nine in ten it is empty by then. \
         Waits are averages.",
    );
    let loads = trucks.trucks.len();
    if let Some(best) = trucks.spacings.get(trucks.best_spacing) {
        text += &paragraph(&format!(
            "A load takes about {} to place; the spacing that loses least is {}.",
            time_span(trucks.matched),
            time_span(best.spacing)
        ));
    }
    text + &turns(trucks.trucks_needed, loads) + &chances(job, plan, loads)
}

/// How many trucks it takes, and how many this pour has work for.
fn turns(needed: Option<u32>, loads: usize) -> String {
    let Some(needed) = needed.map(|n| n as usize).filter(|_| loads > 1) else { return String::new() };
    let turn = format!("{} in turn keep the crew going", count(needed, "truck"));
    let enough = if needed > loads {
        format!("; here are no more than {}", count(loads, "load"))
    } else {
        String::new()
    };
    paragraph(&format!("{turn}{enough}."))
}

fn chances(job: &Job, plan: &Plan, loads: usize) -> String {
    let trucks = &plan.trucks;
    let mut text = String::new();
    if let Some(chance) = trucks.totals.chance_cold_joint.filter(|_| loads > 1) {
        text += &paragraph(&format!("Chance that an open edge gets too old: {}.", days(chance)));
    }
    if let Some(chance) = trucks.totals.chance_over_limit {
        text += &paragraph(&format!("Chance that concrete passes its discharge limit: {}.", days(chance)));
    }
    if let Some((charge, currency)) = trucks.standby_charge.zip(job.plant.currency) {
        text += &paragraph(&format!("Standby to expect: {}.", money(charge, currency)));
    }
    text
}

/// Pads with their readings.
pub fn pads(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("pad", Align::Right),
        ("bay", Align::Right),
        ("stick reads", Align::Right),
        ("where", Align::Left),
    ]);
    for pad in &plan.pads.pads {
        let row =
            [pad.number.to_string(), pad.bay.to_string(), pad.reading.said(job.rod), ties(job, &pad.ties)];
        table.row(row);
    }
    if plan.pads.pads.is_empty() {
        return heading("Pads") + &paragraph("None: every line rides on forms.");
    }
    heading("Pads") + &table.print()
}

/// What the chutes reach.
pub fn reach(job: &Job, plan: &Plan) -> String {
    let Some(reach) = &plan.reach else { return String::new() };
    let mut text = heading("Reach");
    for stand in &reach.stands {
        let furthest = stand.areas.last().copied().unwrap_or(basis::Area::ZERO);
        let flattest =
            stand.flattest.map_or(String::new(), |s| format!(", flattest chute {}", slope(s, job.units)));
        text +=
            &paragraph(&format!("{}: {} with all chutes{flattest}.", stand.name, area(furthest, job.units)));
    }
    if reach.beyond.area <= basis::Area::ZERO {
        return text + &paragraph("The whole floor is reached.");
    }
    text += &paragraph(&format!(
        "Out of reach: {} of {}, {} of concrete.",
        area(reach.beyond.area, job.units),
        area(reach.whole.area, job.units),
        volume(reach.beyond.volume, job.units)
    ));
    if let Some(added) = reach.added {
        text += &paragraph(&format!(
            "{} more chute would reach {} of it.",
            rough_up(added.length, job.units),
            area(added.gains.area, job.units)
        ));
    }
    if let Some(raise) = reach.raise {
        text += &paragraph(&format!(
            "A stand {} higher would let chutes fall to what is only too flat.",
            rough_up(raise, job.units)
        ));
    }
    if let Some(carried) = &reach.carried {
        let loads = count(usize::try_from(carried.loads).unwrap_or(usize::MAX), "load");
        text += &paragraph(&format!("Carried by {}: {loads}.", carried.by));
    }
    text
}
