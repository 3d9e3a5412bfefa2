//! The crew sheet: the floor, the loads, the pads, who does what when, what to check, what to write down, what can hurt.

use basis::quantity::{area, thickness, volume};
use basis::{Area, Length};
use pour::joints::Saw;
use pour::rounds::{Answer, RoundPlan};
use serde_json::{Value, json};

use super::facts::Facts;
use super::{Document, DocumentOptions, floor, joined, sheet};
use crate::drawing::cut;
use crate::words::Said;

/// What is ticked off before the first truck, in the order of a walk round the site.
const READY: [&str; 19] = [
    "ready-permit",
    "ready-lines",
    "ready-forms",
    "ready-base",
    "ready-damp",
    "ready-poly",
    "ready-steel",
    "ready-sleeves",
    "ready-isolation",
    "ready-joints",
    "ready-door",
    "ready-way",
    "ready-wires",
    "ready-washout",
    "ready-rain",
    "ready-stop",
    "ready-machines",
    "ready-lights",
    "ready-first-aid",
];

/// What can hurt, each with where it is said. Order: what hurts most often first, our own choice.
const CARE: [(&str, &str); 10] = [
    ("take-care-1", "OSHA 3351"),
    ("take-care-2", "29 CFR 1926.601(b)(4)"),
    ("take-care-3", "29 CFR 1926.1408, 1926.702(h)"),
    ("take-care-4", "29 CFR 1926.651(b)"),
    ("take-care-5", "29 CFR 1926.1153, Table 1"),
    ("take-care-6", "NIOSH 96-118"),
    ("take-care-7", "29 CFR 1926.702(c)"),
    ("take-care-8", "29 CFR 1926.701(b)"),
    ("take-care-9", "NIOSH 2016-106"),
    ("take-care-10", "NIOSH 2010-115"),
];

pub(super) fn document(facts: &Facts<'_>, options: &DocumentOptions) -> Document {
    let plan = facts.plan;
    let setup = plan.levelled.setups.get(plan.datum).map_or("", |setup| setup.name.as_str());
    let own = json!({
        "area": area(Area::square_metres(plan.floor.area), facts.job.units),
        "thick": thickness(facts.job.slab.nominal, facts.job.units),
        "least": thickness(facts.job.slab.minimum, facts.job.units),
        "people": facts.job.crew.people,
        "order": volume(plan.order.recommended.quantity, facts.job.units),
        "drawing": floor::drawing(facts),
        "joints": joints(facts),
        "exit": plan.bays.exit.as_ref().map(|exit| cut(&exit.name, 40)),
        "doors": doors(facts),
        "loads": loads(facts),
        "reach": reach(facts),
        "pads_say": facts.words.with("pads-say", &[("setup", Said::same(cut(setup, 40)))]).json(),
        "pads": pads(facts),
        "rounds": rounds(facts),
        "ready": READY.map(|word| facts.words.say(word).json()),
        "care": CARE.map(|(word, source)| json!({"say": facts.words.say(word).json(), "source": source})),
    });
    let data = joined(sheet(facts, options, "title-crew"), own);
    super::document("crew-sheet", "crew-sheet.typ", include_str!("../../templates/crew-sheet.typ"), data)
}

fn doors(facts: &Facts<'_>) -> Vec<Value> {
    let low = facts.plan.outline.doors.iter().filter(|door| door.drop > Length::ZERO);
    let told = |door: &ground::outline::Door| {
        let parts = [
            ("name", cut(&door.name, 40)),
            ("drop", thickness(door.drop, facts.job.units)),
            ("taper", thickness(door.taper, facts.job.units)),
        ];
        facts.words.with("door-low", &parts.map(|(name, text)| (name, Said::same(text)))).json()
    };
    low.map(told).collect()
}

fn loads(facts: &Facts<'_>) -> Vec<Value> {
    let lines = &facts.plan.loads.lines;
    let row = |line: &pour::loads::LoadLine| {
        let ends = if line.load < lines.len() {
            facts.line(line.end.bay, line.end.along, line.end.line)
        } else {
            facts.words.say("floor-full")
        };
        let asked =
            facts.plan.trucks.trucks.get(line.load - 1).map(|truck| facts.after_first(truck.asked).json());
        json!({
            "n": line.load, "brings": volume(line.size, facts.job.units), "bay": line.end.bay, "ends": ends.json(), "at": asked,
        })
    };
    lines.iter().map(row).collect()
}

/// What the chutes do not reach.
fn reach(facts: &Facts<'_>) -> Vec<Value> {
    let Some(reach) = &facts.plan.reach else { return Vec::new() };
    if reach.beyond.area <= Area::ZERO {
        return vec![facts.words.say("reach-all").json()];
    }
    let parts = [
        ("area", Said::same(area(reach.beyond.area, facts.job.units))),
        ("volume", Said::same(volume(reach.beyond.volume, facts.job.units))),
    ];
    let mut told = vec![facts.words.with("reach-out", &parts).json()];
    told.extend(reach.carried.as_ref().map(|carried| {
        let parts =
            [("by", Said::same(cut(&carried.by, 40))), ("count", Said::same(carried.loads.to_string()))];
        facts.words.with("reach-carried", &parts).json()
    }));
    told
}

/// The cuts in order, and what lies beside them.
fn joints(facts: &Facts<'_>) -> Value {
    let joints = &facts.plan.joints;
    let rows = joints.joints.iter().enumerate().map(|(i, joint)| {
        // As at the pads: the same in every language.
        let tape =
            joint.tape.as_ref().map(|(far, edge)| format!("{}: {}", cut(edge, 40), facts.length(*far)));
        json!({
            "n": i + 1, "long": facts.length(joint.length()), "tape": tape, "bay": joint.after,
            "from": facts.wall().map(|wall| {
                facts.after(&wall, crate::plan_sheets::saw_from(facts.plan, joint)).json()
            }),
            "name": joint.forced.as_ref().map(|name| cut(name, 40)),
        })
    });
    let saw = match joints.saw {
        Saw::Conventional => "saw-wet",
        Saw::EarlyEntry => "saw-early",
    };
    let told = [("depth", Said::same(thickness(joints.cut, facts.job.units))), ("saw", facts.words.say(saw))];
    let mut beside: Vec<Value> = joints
        .strips
        .iter()
        .map(|strip| {
            let parts = [
                ("name", Said::same(cut(&strip.name, 40))),
                ("length", Said::same(facts.length(strip.length))),
            ];
            facts.words.with("joint-strip", &parts).json()
        })
        .collect();
    beside.extend(joints.corners.iter().map(|corner| {
        facts.words.with("joint-bars", &[("corner", Said::same(cut(&corner.name, 40)))]).json()
    }));
    beside.extend(joints.dowels.iter().map(|dowels| {
        let bar = dowels.bar;
        let size = format!("{} x {}", thickness(bar.diameter, facts.job.units), facts.length(bar.length));
        let parts = [
            ("count", Said::same(dowels.places.len().to_string())),
            ("bar", Said::same(size)),
            ("apart", Said::same(facts.length(bar.spacing))),
        ];
        facts.words.with("joint-dowels", &parts).json()
    }));
    beside.extend(
        joints.kept_off.iter().map(|place| {
            facts.words.with("joint-none", &[("name", Said::same(cut(&place.name, 40)))]).json()
        }),
    );
    json!({
        "say": facts.words.with("joints-say", &told).json(),
        "rows": rows.collect::<Vec<_>>(),
        "clock": facts.plan.forecast.is_some(),
        "beside": beside,
    })
}

fn pads(facts: &Facts<'_>) -> Vec<Value> {
    let row = |pad: &pour::pads::Pad| {
        json!({
            "n": pad.number,
            "reads": facts.reading(pad.reading).json(),
            "tapes": pad.ties.each_ref().map(|tie| facts.tape(tie)),
        })
    };
    facts.plan.pads.pads.iter().map(row).collect()
}

/// The rounds, or why there are none.
fn rounds(facts: &Facts<'_>) -> Value {
    let Some(day) = facts.day else { return json!({"why": facts.words.say("no-weather").json()}) };
    match &day.answer {
        Answer::Plan(plan) => planned(facts, day, plan),
        Answer::Refused(_) => json!({"why": facts.words.say("no-plan").json()}),
        Answer::Undecided { .. } => json!({"why": facts.words.say("undecided").json()}),
    }
}

fn planned(facts: &Facts<'_>, day: &pour::day::Day, plan: &RoundPlan) -> Value {
    let people =
        plan.assignments.iter().flat_map(|line| &line.people).copied().max().map_or(0, |most| most + 1);
    let rows: Vec<Value> = plan
        .assignments
        .iter()
        .map(|line| {
            let bay = &day.problem.bays[line.bay];
            let who: Vec<String> = line.people.iter().map(|person| pour::day::person_name(*person)).collect();
            let with = line.machine.map_or_else(
                || facts.words.say("hands"),
                |machine| Said::same(cut(&day.problem.machines[machine].name, 40)),
            );
            json!({
                "from": facts.on_the_day(line.start).json(),
                "to": facts.on_the_day(line.end).json(),
                "bay": bay_name(facts, day, line.bay).json(),
                "round": facts.round(bay.rounds[line.round].kind).json(),
                "passes": facts.direction(line.direction).json(),
                "who": who.join(" "),
                "with": with.json(),
            })
        })
        .collect();
    let ends = facts.words.with("day-ends", &[("time", facts.on_the_day(plan.end))]);
    let names: Vec<String> = (0..people).map(pour::day::person_name).collect();
    json!({"rows": rows, "ends": ends.json(), "people": names})
}

/// A bay of the day's problem, or the part of one, on this floor.
pub(crate) fn bay_name(facts: &Facts<'_>, day: &pour::day::Day, bay: usize) -> Said {
    let Some(stretch) = day.stretches.get(bay) else { return Said::same(day.problem.bays[bay].name.clone()) };
    let number = facts.plan.bays.bays.get(stretch.bay).map_or(stretch.bay + 1, |bay| bay.number);
    let number = Said::same(number.to_string());
    if stretch.of < 2 {
        return facts.words.with("bay-of", &[("bay", number)]);
    }
    let parts = [
        ("bay", number),
        ("part", Said::same((stretch.part + 1).to_string())),
        ("of", Said::same(stretch.of.to_string())),
    ];
    facts.words.with("bay-part", &parts)
}
