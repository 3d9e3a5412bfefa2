//! The take-off as a page: what is bought, how it is cut, what was taken by default.

use basis::quantity::{area, mass, size, volume};
use basis::{Length, Mass, UnitSystem, Volume};
use pour::Job;
use pour::takeoff::cut::{CutPlan, Proof};
use pour::takeoff::{BarLayout, CutList, SheetLayout, TakeOff};
use pour::unit::Amount;

use super::words::count;
use crate::page::{Align, Table, heading, paragraph};

/// The whole page.
pub fn page(job: &Job, taken: &TakeOff) -> String {
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &bought(job, taken);
    for (words, layout) in [("Mesh", &taken.mesh), ("Poly", &taken.poly)] {
        if let Some(layout) = layout {
            text += &sheets(job, words, layout);
        }
    }
    if let Some(bars) = &taken.bars {
        text += &laid_bars(job, bars);
    }
    for list in &taken.cuts {
        text += &cut_list(job, list);
    }
    text + &assumed(taken) + &cautions()
}

fn bought(job: &Job, taken: &TakeOff) -> String {
    let mut table = Table::new(&[
        ("", Align::Left),
        ("floor takes", Align::Right),
        ("buy", Align::Right),
        ("in all", Align::Left),
    ]);
    for line in &taken.lines {
        let poured = if matches!(line.item, "curing compound" | "sealer") { liquid } else { volume };
        let told = |amount| told(amount, job.units, poured);
        let mut ways: Vec<String> = match line.bought {
            Amount::Goods(goods) => goods.amounts().map(told).collect(),
            amount => vec![told(amount)],
        };
        let first = if ways.is_empty() { String::new() } else { ways.remove(0) };
        let takes = if line.takes == line.bought { String::new() } else { told(line.takes) };
        table.row([line.what.clone(), takes, first, ways.join(", ")]);
    }
    heading("To buy") + &table.print()
}

/// An amount; a volume in the words of its kind: concrete and stone by the yard, what comes in pails by the gallon.
fn told(amount: Amount, units: UnitSystem, poured: fn(Volume, UnitSystem) -> String) -> String {
    match amount {
        Amount::Count(count) => count.to_string(),
        Amount::Volume(amount) => poured(amount, units),
        Amount::Length(amount) => rounded(amount, units),
        Amount::Area(amount) => area(amount, units),
        Amount::Mass(amount) => heavy(amount, units),
        Amount::Time(_) | Amount::Days(_) | Amount::Goods(_) => String::new(),
    }
}

/// A mass; tons where there are some.
fn heavy(amount: Mass, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us if amount >= Mass::short_tons(2.0) => format!("{:.1} ton", amount.in_short_tons()),
        UnitSystem::Metric if amount >= Mass::tonnes(2.0) => format!("{:.1} t", amount.in_tonnes()),
        _ => mass(amount, units),
    }
}

fn liquid(amount: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.1} gal", amount.in_gallons()),
        UnitSystem::Metric => format!("{:.1} l", amount.in_litres()),
    }
}

/// A length of goods, to the foot or to the tenth of a metre.
fn rounded(amount: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.0} ft", amount.in_feet()),
        UnitSystem::Metric => format!("{:.1} m", amount.in_metres()),
    }
}

/// Equal neighbours as one, with their number.
fn grouped<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<(usize, T)> {
    let mut groups: Vec<(usize, T)> = Vec::new();
    for one in all {
        match groups.iter_mut().find(|group| group.1 == one) {
            Some(group) => group.0 += 1,
            None => groups.push((1, one)),
        }
    }
    groups
}

/// Marks of what is cut from one stock: `A + 3 B`.
fn marks<'m>(all: impl Iterator<Item = &'m str>) -> String {
    let told =
        grouped(all).into_iter().map(|(n, mark)| if n > 1 { format!("{n} {mark}") } else { mark.into() });
    told.collect::<Vec<String>>().join(" + ")
}

fn sheets(job: &Job, words: &str, layout: &SheetLayout) -> String {
    let both = |[a, b]: [Length; 2]| format!("{} x {}", size(a, job.units), size(b, job.units));
    let mut text = heading(&format!("{words}: pieces"));
    text += &paragraph(&format!("{}, laps of {}.", layout.what, size(layout.lap, job.units)));
    let mut table = Table::new(&[("piece", Align::Left), ("size", Align::Left), ("how many", Align::Right)]);
    for kind in &layout.kinds {
        table.row([kind.mark.clone(), both(kind.size), kind.count.to_string()]);
    }
    text += &table.print();
    let mut table =
        Table::new(&[("cut", Align::Right), ("into", Align::Left), ("left over, largest", Align::Left)]);
    let row = |sheet: &pour::takeoff::nest::Nested| {
        let mark = |piece: usize| layout.kinds[layout.pieces[piece].kind].mark.as_str();
        let mut all: Vec<&str> = sheet.placed.iter().map(|placed| mark(placed.piece)).collect();
        all.sort_unstable();
        let largest = sheet.offcuts.iter().max_by_key(|o| u64::from(o.size[0]) * u64::from(o.size[1]));
        let left = largest.map_or(String::new(), |o| both(o.size.map(|side| layout.step * f64::from(side))));
        (marks(all.into_iter()), left)
    };
    for (n, (into, left)) in grouped(layout.cuts.sheets.iter().map(row)) {
        table.row([n.to_string(), into, left]);
    }
    text += &heading(&format!("{words}: cutting"));
    text += &table.print();
    let (taken, bound) = (layout.cuts.sheets.len(), layout.cuts.bound);
    let proof = match layout.cuts.proof {
        Proof::Least => "no cutting of these pieces takes fewer".to_owned(),
        Proof::Open => format!("no cutting of these pieces takes fewer than {bound}"),
    };
    text + &paragraph(&format!("{taken} in all; {proof}."))
}

fn laid_bars(job: &Job, bars: &BarLayout) -> String {
    let mut text = heading("Bars: pieces");
    text += &paragraph(&format!("{}, laps of {}.", bars.what, size(bars.lap, job.units)));
    let mut table = Table::new(&[("bar", Align::Left), ("length", Align::Right), ("how many", Align::Right)]);
    for kind in &bars.kinds {
        table.row([kind.mark.clone(), size(kind.length, job.units), kind.count.to_string()]);
    }
    text + &table.print()
}

fn cut_list(job: &Job, list: &CutList) -> String {
    let name = |steps: u32| size(list.length(u64::from(steps)), job.units);
    let mut text = heading(&format!("Cutting: {}", list.what));
    let mut table = Table::new(&[
        ("take", Align::Right),
        ("of", Align::Right),
        ("cut into", Align::Left),
        ("left", Align::Right),
    ]);
    for (n, stick) in grouped(list.plan.sticks.iter()) {
        let cuts: Vec<String> = stick.cuts.iter().map(|cut| name(*cut)).collect();
        let left = if stick.left == 0 { String::new() } else { name(stick.left) };
        table.row([n.to_string(), name(stick.stock), marks(cuts.iter().map(String::as_str)), left]);
    }
    text += &table.print();
    text + &paragraph(&summary(job, list, &list.plan))
}

fn summary(job: &Job, list: &CutList, plan: &CutPlan) -> String {
    let told = |steps: u64| rounded(list.length(steps), job.units);
    let waste = 100.0 * plan.waste() as f64 / plan.bought.max(1) as f64;
    let proof = match plan.proof {
        Proof::Least => "No cutting of these pieces buys less".to_owned(),
        Proof::Open => format!(
            "No cutting buys less than {}: at most {:.1} % more",
            told(plan.bound),
            100.0 * plan.gap()
        ),
    };
    format!(
        "{}, {} in all, {} of it in pieces, {waste:.1} % left over. {proof}.",
        count(plan.sticks.len(), "piece"),
        told(plan.bought),
        told(plan.used())
    )
}

fn assumed(taken: &TakeOff) -> String {
    if taken.assumed.is_empty() {
        return String::new();
    }
    let mut table =
        Table::new(&[("assumed", Align::Left), ("", Align::Right), ("in the job file", Align::Left)]);
    for a in &taken.assumed {
        table.row([a.what.clone(), a.value.clone(), a.place.path().to_owned()]);
    }
    heading("Assumed, until you state it") + &table.print()
}

fn cautions() -> String {
    heading("Take care")
        + &paragraph(
            "Cap the ends of bars and steel stakes; cut ends of mesh spring back, hold both. Have buried lines marked before any \
             stake. Steel, laps and cover follow the drawing: local codes and licensed design govern.",
        )
}
