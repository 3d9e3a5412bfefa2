//! The plan and the last-load call as pages of text, in the job's units.

use basis::quantity::{area, length, money, rod, slope, thickness, time_span, volume};
use basis::{Estimate, Length, Note, Origin, Severity, TimeSpan, UnitSystem, Volume};
use ground::survey::RodReading;
use pour::Job;
use pour::balance::Balance;
use pour::order::{Basis, Measure, OrderRow};
use pour::pads::{Tie, TieTo};
use pour::plan::Plan;
use pour::prep::FormMark;

use crate::page::{Align, Table, heading, paragraph};

/// The whole plan.
pub fn plan(job: &Job, plan: &Plan) -> String {
    [
        title(job, plan),
        survey(job, plan),
        yards(job, plan),
        order(job, plan),
        loads(job, plan),
        trucks(job, plan),
        bays(job, plan),
        pads(job, plan),
        reach(job, plan),
        prep(job, plan),
        next(job, plan),
        assumed(job),
        cautions(),
    ]
    .concat()
}

fn percent(share: f64) -> String {
    match 100.0 * share {
        p if p > 0.0 && p < 0.1 => "under 0.1 %".into(),
        p if p < 9.95 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}

fn with_doubt(value: Estimate<Volume>, units: UnitSystem) -> String {
    format!("{} ± {}", volume(value.mean, units), volume(value.sd, units))
}

fn origin(origin: Origin) -> String {
    if origin == Origin::Assumed { " (assumed)".into() } else { String::new() }
}

fn reading(job: &Job, value: RodReading) -> String {
    match value {
        RodReading::Rod(height) => rod(height, job.rod),
        RodReading::FromMark(off) if off >= Length::ZERO => format!("up {}", rod(off, job.rod)),
        RodReading::FromMark(off) => format!("down {}", rod(-off, job.rod)),
    }
}

fn tie(job: &Job, tie: &Tie) -> String {
    let to = match &tie.to {
        TieTo::Edge(name) => name.clone(),
        TieTo::Corner(name) => format!("corner {name}"),
    };
    format!("{} from {to}", length(tie.distance, job.units))
}

fn title(job: &Job, plan: &Plan) -> String {
    let set = plan.levelled.setups.get(plan.datum).map_or("", |s| s.name.as_str());
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &paragraph(&format!(
        "Floor {}, {} thick ({} at least), {} bays, {} pads. Readings are for the laser at set-up {set}.",
        area(basis::Area::square_metres(plan.floor.area), job.units),
        thickness(job.slab.nominal, job.units),
        thickness(job.slab.minimum, job.units),
        plan.bays.bays.len(),
        plan.pads.pads.len(),
    ));
    text
}

fn survey(job: &Job, plan: &Plan) -> String {
    let mut text = heading("Measured");
    for setup in &plan.levelled.setups {
        let closed = setup.misclosure.map_or("not closed".to_owned(), |m| {
            format!(
                "closes {} {}",
                thickness(m.abs(), job.units),
                if m >= Length::ZERO { "high" } else { "low" }
            )
        });
        text += &paragraph(&format!(
            "Set-up {}: laser plane at {}, {closed}.",
            setup.name,
            length(setup.instrument, job.units)
        ));
    }
    if let Some(walk) = &plan.walk {
        text += &paragraph(&format!(
            "The walk round the floor closes within {}.",
            thickness(walk.gap, job.units)
        ));
    }
    if !plan.ground.forms.is_empty() {
        let worst = plan.ground.forms.iter().max_by(|a, b| a.deviation.abs().total_cmp(&b.deviation.abs()));
        let worst = worst.map_or(String::new(), |f| {
            let word = if f.deviation >= Length::ZERO { "high" } else { "low" };
            format!("; the farthest off is {}, {} {word}", f.name, thickness(f.deviation.abs(), job.units))
        });
        text += &paragraph(&format!(
            "{} form tops shot{worst}. The floor follows the forms.",
            plan.ground.forms.len()
        ));
    }
    text
}

fn yards(job: &Job, plan: &Plan) -> String {
    let (units, need) = (job.units, &plan.order.need);
    let dug = ground::volume::dug_volume(&plan.ground.mesh);
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right), ("", Align::Left)]);
    let slab = need.forms.mean - dug;
    table.row(["slab above the base".into(), volume(slab, units), String::new()]);
    if dug > Volume::ZERO {
        table.row(["dug below it".into(), volume(dug, units), "thickened edges, pads".into()]);
    }
    table.row(["inside the forms", &with_doubt(need.forms, units), ""]);
    let allowance = format!("{:.1} % ± {:.1} %", 100.0 * need.allowance.mean, 100.0 * need.allowance.sd);
    table.row(["allowance".to_owned(), allowance, origin(need.allowance.origin)]);
    table.row(["loss".to_owned(), with_doubt(need.loss, units), origin(need.loss.origin)]);
    table.row(["the floor will take".to_owned(), with_doubt(need.total, units), String::new()]);
    let mut text = heading("Yards") + &table.print();
    let triangles = &plan.ground.by_triangles;
    if triangles.reached > 0.0 {
        text += &paragraph(&format!(
            "Plain triangles between the shots, which reach {} of the floor: {} of slab, against {} by the \
             surface used here.",
            percent(triangles.reached),
            volume(triangles.volume, units),
            volume(triangles.by_process, units),
        ));
    }
    if let Some((thin, sd)) = plan.ground.thinnest {
        text += &paragraph(&format!(
            "Thinnest place: {} ± {}; expected under {}: {} of the floor.",
            thickness(thin.thickness, units),
            thickness(sd, units),
            thickness(job.slab.minimum, units),
            area(plan.ground.thin_area, units),
        ));
    }
    text
}

/// Rows of an order table near the middle of the odds, the recommended one marked.
fn odds(job: &Job, rows: &[OrderRow], best: OrderRow) -> String {
    let currency = job.plant.currency;
    let mut table = Table::new(&[
        ("", Align::Left),
        ("order", Align::Right),
        ("short", Align::Right),
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
            percent(row.chance_short),
            volume(row.expected_short, job.units),
            volume(row.expected_left, job.units),
            cost,
        ]);
    }
    table.print()
}

fn list(volumes: &[Volume], units: UnitSystem) -> String {
    volumes.iter().map(|v| volume(*v, units)).collect::<Vec<_>>().join(" + ")
}

fn basis_words(basis: Basis) -> String {
    match basis {
        Basis::LeastCost => "least expected cost by the plant's terms".into(),
        Basis::Odds(odds) => format!("at most {} short; the plant's terms are not all known", percent(odds)),
    }
}

fn order(job: &Job, plan: &Plan) -> String {
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
    }
    text
}

fn loads(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("load", Align::Right),
        ("brings", Align::Right),
        ("ends in bay", Align::Right),
        ("from its start", Align::Right),
        ("inside the forms so far", Align::Right),
    ]);
    for line in &plan.loads.lines {
        table.row([
            line.load.to_string(),
            volume(line.size, job.units),
            line.end.bay.to_string(),
            length(line.end.along, job.units),
            volume(line.covered, job.units),
        ]);
    }
    heading("Loads") + &table.print()
}

fn minutes(span: TimeSpan) -> String {
    format!("{:.0}", span.in_minutes())
}

fn trucks(job: &Job, plan: &Plan) -> String {
    let trucks = &plan.trucks;
    let mut table = Table::new(&[
        ("truck", Align::Right),
        ("asked for", Align::Right),
        ("starts 10-50-90 %", Align::Right),
        ("empty by 90 %", Align::Right),
        ("waits, mean", Align::Right),
        ("crew idles, mean", Align::Right),
    ]);
    for (i, truck) in trucks.trucks.iter().enumerate() {
        let start = format!(
            "{} {} {}",
            minutes(truck.start.low),
            minutes(truck.start.middle),
            minutes(truck.start.high)
        );
        table.row([
            (i + 1).to_string(),
            minutes(truck.asked),
            start,
            minutes(truck.done.high),
            minutes(truck.wait.mean),
            minutes(truck.idle.mean),
        ]);
    }
    let mut text = heading("Trucks (minutes from when the first is asked for)") + &table.print();
    if let Some(best) = trucks.spacings.get(trucks.best_spacing) {
        text += &paragraph(&format!(
            "A load takes about {} to place; the spacing that loses least is {}.",
            time_span(trucks.matched),
            time_span(best.spacing)
        ));
    }
    if let Some(needed) = trucks.trucks_needed {
        text += &paragraph(&format!("{needed} trucks keep the crew going."));
    }
    if let Some(chance) = trucks.totals.chance_cold_joint {
        text += &paragraph(&format!("Chance that an open edge gets too old: {}.", percent(chance)));
    }
    if let Some((charge, currency)) = trucks.standby_charge.zip(job.plant.currency) {
        text += &paragraph(&format!("Standby to expect: {}.", money(charge, currency)));
    }
    text
}

fn bays(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("bay", Align::Right),
        ("wide", Align::Right),
        ("long", Align::Right),
        ("area", Align::Right),
        ("takes", Align::Right),
    ]);
    for (bay, takes) in plan.bays.bays.iter().zip(&plan.loads.bays) {
        table.row([
            bay.number.to_string(),
            length(bay.width, job.units),
            length(bay.length, job.units),
            area(bay.area, job.units),
            volume(*takes, job.units),
        ]);
    }
    let mut text = heading("Bays, in order of placing") + &table.print();
    text += &paragraph(&format!("No bay is wider than {}.", length(plan.bays.widest, job.units)));
    if let Some(exit) = &plan.bays.exit {
        text += &paragraph(&format!("The last one ends at {}.", exit.name));
    }
    text
}

fn pads(job: &Job, plan: &Plan) -> String {
    let mut table = Table::new(&[
        ("pad", Align::Right),
        ("bay", Align::Right),
        ("stick reads", Align::Right),
        ("where", Align::Left),
    ]);
    for pad in &plan.pads.pads {
        let place = format!("{}, {}", tie(job, &pad.ties[0]), tie(job, &pad.ties[1]));
        table.row([pad.number.to_string(), pad.bay.to_string(), reading(job, pad.reading), place]);
    }
    if plan.pads.pads.is_empty() {
        return heading("Pads") + &paragraph("None: every line rides on forms.");
    }
    heading("Pads") + &table.print()
}

fn reach(job: &Job, plan: &Plan) -> String {
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
        let gains = area(added.gains.area, job.units);
        text +=
            &paragraph(&format!("{} more chute would reach {gains} of it.", length(added.length, job.units)));
    }
    if let Some(carried) = &reach.carried {
        text += &paragraph(&format!("Carried by {}: {} loads.", carried.by, carried.loads));
    }
    text
}

fn mark(mark: FormMark) -> &'static str {
    match mark {
        FormMark::Corner => "corner",
        FormMark::JambFull => "jamb, floor height",
        FormMark::JambDropped => "jamb, door form",
        FormMark::Step => "along",
        FormMark::High => "high point",
        FormMark::Low => "low point",
        FormMark::Bend => "bend",
    }
}

fn prep(job: &Job, plan: &Plan) -> String {
    let mut forms = Table::new(&[
        ("form top", Align::Left),
        ("", Align::Left),
        ("along the edge", Align::Right),
        ("stick reads", Align::Right),
    ]);
    for point in &plan.prep.forms {
        let along = length(point.along, job.units);
        forms.row([point.label.clone(), mark(point.mark).to_owned(), along, reading(job, point.reading)]);
    }
    let mut base = Table::new(&[
        ("base", Align::Left),
        ("stick reads", Align::Right),
        ("", Align::Left),
        ("where", Align::Left),
    ]);
    for point in &plan.prep.base {
        let work = point.cut.map_or(String::new(), |cut| {
            let word = if cut > Length::ZERO { "cut" } else { "fill" };
            format!("{word} {}", thickness(cut.abs(), job.units))
        });
        let place = format!("{}, {}", tie(job, &point.ties[0]), tie(job, &point.ties[1]));
        base.row([point.label.clone(), reading(job, point.reading), work, place]);
    }
    heading("Prep sheet") + &forms.print() + "\n" + &base.print()
}

fn next(job: &Job, plan: &Plan) -> String {
    let (work, units) = (&plan.ground.work, job.units);
    let mut text = heading("Worth doing before the pour");
    text += &paragraph(&format!(
        "Base low by {} over {}: filling it with compacted stone saves that much concrete. Base high by {} over {}: \
         cutting it to grade takes that much more.",
        volume(work.low, units),
        area(work.low_area, units),
        volume(work.high, units),
        area(work.high_area, units)
    ));
    if let Some(factor) = job.base.loose_per_compacted {
        text += &paragraph(&format!("Loose stone for the fill: {}.", volume(work.low * factor, units)));
    }
    let doubt = plan.ground.forms_volume().sd;
    for (i, shot) in plan.ground.next_shots.iter().enumerate() {
        let ties = ground::floor::tape_from(&plan.floor, shot.at);
        let place: Vec<String> =
            ties.iter().map(|t| format!("{} from {}", length(t.distance, units), t.name)).collect();
        text += &paragraph(&format!(
            "Next best shot {}: {}. The doubt of the base goes to ± {}.",
            i + 1,
            place.join(", "),
            volume(shot.volume_sd, units)
        ));
    }
    text + &paragraph(&format!("The doubt inside the forms is now ± {}.", volume(doubt, units)))
}

fn assumed(job: &Job) -> String {
    if job.assumed.is_empty() {
        return String::new();
    }
    let mut table =
        Table::new(&[("assumed", Align::Left), ("", Align::Right), ("in the job file", Align::Left)]);
    for a in &job.assumed {
        table.row([a.what.clone(), a.value.clone(), a.place.path().to_owned()]);
    }
    heading("Assumed, until you state it") + &table.print()
}

fn cautions() -> String {
    heading("Take care")
        + &paragraph(
            "Wet concrete burns skin: waterproof gloves and boots, rinse at once. One spotter for backing trucks; \
             keep out from under chutes and between truck and form. Chutes, booms and float handles stay 10 ft or \
             more from overhead lines. Have buried lines marked before any stake. Cap rebar and stakes.",
        )
        + &paragraph(
            "Structure, soil, frost and drainage are for local codes and licensed practice to decide.",
        )
}

/// Warnings and remarks under the page, in a few words each.
pub fn notes(notes: &[Note], _job: &Job) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let mut text = heading("Notes");
    for least in [Severity::Warning, Severity::Remark] {
        for note in notes.iter().filter(|n| n.severity == least) {
            let hint = if note.hint.is_empty() { String::new() } else { format!(" ({})", note.hint) };
            text += &paragraph(&format!("{}: {}{hint}", note.severity, note.message));
        }
    }
    text
}

/// The last-load call.
pub fn balance(job: &Job, _plan: &Plan, balance: &Balance, placed: &str) -> String {
    let units = job.units;
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &heading(&format!("Last-load call: {placed}"));
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right)]);
    table.row(["used so far", &with_doubt(balance.used, units)]);
    table.row(["expected for that much floor", &with_doubt(balance.expected_used, units)]);
    let allowance =
        format!("{:.1} % ± {:.1} %", 100.0 * balance.allowance.mean, 100.0 * balance.allowance.sd);
    table.row(["allowance as this pour shows it", &allowance]);
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
