//! The order for the plant: what the dispatcher writes down, and what he is asked.

use basis::quantity::{
    money, pressure, price_per_time, price_per_volume, share, temperature, thickness, time_span, volume,
};
use basis::{Density, Length, UnitSystem, Volume};
use clock::mix::Air;
use pour::job::Warmth;
use serde_json::{Value, json};

use super::facts::Facts;
use super::{Document, DocumentOptions, joined, sheet};
use crate::drawing::cut;
use crate::words::Said;

pub(super) fn document(facts: &Facts<'_>, options: &DocumentOptions) -> Document {
    let own = json!({
        "order": amount(facts, facts.plan.order.recommended.quantity),
        "sum": sum(facts, &facts.plan.order.loads),
        "evened": facts.plan.order.loads_evened.as_ref().map(|loads| sum(facts, loads)),
        "hold": hold(facts),
        "trucks": trucks(facts),
        "spacing": spacing(facts),
        "in_turn": facts.plan.trucks.trucks_needed.map(|n| n.to_string()),
        "mix": mix(facts),
        "terms": terms(facts),
        "stands": stands(facts),
        "chutes": chutes(facts),
    });
    let data = joined(sheet(facts, options, "title-order"), own);
    super::document("plant-order", "plant-order.typ", include_str!("../../templates/plant-order.typ"), data)
}

fn amount(facts: &Facts<'_>, of: Volume) -> String {
    volume(of, facts.job.units)
}

/// Loads as they are told: `8 yd3 + 4.25 yd3`.
fn sum(facts: &Facts<'_>, loads: &[Volume]) -> String {
    loads.iter().map(|load| amount(facts, *load)).collect::<Vec<_>>().join(" + ")
}

fn hold(facts: &Facts<'_>) -> Option<Value> {
    let hold = facts.plan.order.hold.as_ref()?;
    let (low, high) = hold.balance;
    let between = [("low", amount(facts, low)), ("high", amount(facts, high))];
    let between = between.map(|(name, text)| (name, Said::same(text)));
    let lead =
        facts.job.plant.call_lead.map(|lead| facts.words.with("call-lead-of", &[("span", facts.span(lead))]));
    Some(json!({
        "open": amount(facts, hold.open_order),
        "sure": format!("{} ({})", amount(facts, hold.hold), sum(facts, &hold.loads)),
        "between": facts.words.with("hold-between", &between).json(),
        "lead": lead.map(|lead| lead.json()),
    }))
}

fn trucks(facts: &Facts<'_>) -> Vec<Value> {
    let row = |(i, (truck, load)): (usize, (&pour::trucks::TruckRow, &Volume))| {
        json!({
            "load": i + 1,
            "brings": amount(facts, *load),
            "at": facts.after_first(truck.asked).json(),
            "empty": facts.after_first(truck.done.middle).json(),
        })
    };
    let trucks = &facts.plan.trucks;
    trucks.trucks.iter().zip(&trucks.loads).enumerate().map(row).collect()
}

fn spacing(facts: &Facts<'_>) -> Value {
    let told = facts.plan.trucks.spacing.map_or_else(
        || facts.words.say("spacing-after-empty"),
        |spacing| facts.words.with("spacing-of", &[("span", facts.span(spacing))]),
    );
    told.json()
}

/// A row: a word, and what is known; nothing known is a line to fill in.
fn row(facts: &Facts<'_>, word: &str, known: Option<String>) -> Value {
    json!({"word": facts.words.say(word).json(), "known": known})
}

fn mix(facts: &Facts<'_>) -> Vec<Value> {
    let units = facts.job.units;
    let ordered = facts.job.mix.as_ref();
    let air = ordered.map(|ordered| match ordered.mix.air {
        Air::Entrained(air) => share(air),
        Air::Entrapped => facts.words.say("air-none").in_language(0).to_owned(),
    });
    let warmth = ordered.and_then(|ordered| match ordered.warmth {
        Warmth::Stated(warm) => Some(temperature(warm, units)),
        Warmth::Batch(_) | Warmth::Unknown => None,
    });
    vec![
        row(facts, "mix-code", None),
        row(facts, "strength", ordered.map(|ordered| pressure(ordered.mix.strength, units))),
        row(facts, "cement", ordered.map(|ordered| cement(ordered.mix.cementitious, units))),
        row(
            facts,
            "water-cement",
            ordered.map(|ordered| format!("{:.2}", ordered.mix.water_per_cementitious)),
        ),
        row(facts, "air", air),
        row(facts, "slump", facts.job.joints.slump.map(|slump| thickness(slump, units))),
        row(facts, "stone", facts.job.joints.stone.map(|stone| thickness(stone, units))),
        row(facts, "admixtures", None),
        row(facts, "warmth", warmth),
        row(facts, "water-left", None),
    ]
}

/// Cementitious material as plants state it: by the yard or the cubic metre.
fn cement(content: Density, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.0} lb/yd3", content.in_pounds_per_cubic_yard()),
        UnitSystem::Metric => format!("{:.0} kg/m3", content.in_kilograms_per_cubic_metre()),
    }
}

fn terms(facts: &Facts<'_>) -> Vec<Value> {
    let plant = &facts.job.plant;
    let money_of = |m: Option<basis::Money>| m.zip(plant.currency).map(|(m, currency)| money(m, currency));
    let size = |v: Option<Volume>| v.map(|v| amount(facts, v));
    let free = plant.free_unloading.map(|free| {
        let parts = [("span", facts.span(free.span)), ("volume", Said::same(amount(facts, free.per)))];
        facts.words.with("free-per", &parts).in_language(0).to_owned()
    });
    vec![
        row(facts, "truck-most", Some(amount(facts, plant.truck))),
        row(facts, "sold-by", Some(amount(facts, plant.increment))),
        row(facts, "price", plant.price.zip(plant.currency).map(|(p, c)| price_per_volume(p, c))),
        row(facts, "minimum-load", size(plant.minimum_load)),
        row(facts, "short-load", size(plant.short_load_below)),
        row(facts, "short-load-fee", money_of(plant.short_load_fee)),
        row(facts, "free-unloading", free),
        row(facts, "standby", plant.standby.zip(plant.currency).map(|(p, c)| price_per_time(p, c))),
        row(facts, "discharge-limit", plant.discharge_limit.map(time_span)),
        row(facts, "after-hours", None),
        row(facts, "fuel-fee", money_of(plant.fuel)),
        row(facts, "cut-off", None),
    ]
}

fn stands(facts: &Facts<'_>) -> Vec<Value> {
    let stand = |stand: &pour::job::TruckStand| {
        let ground = stand.elevation.map_or_else(
            || facts.words.say("ground-unshot"),
            |height: Length| Said::same(facts.length(height)),
        );
        let parts = [("name", Said::same(cut(&stand.name, 60))), ("height", ground)];
        facts.words.with("stand-of", &parts).json()
    };
    facts.job.stands.iter().map(stand).collect()
}

fn chutes(facts: &Facts<'_>) -> Vec<Value> {
    let extra = facts.job.chutes.extensions.iter().map(|extension| {
        facts.words.with("chute-extra", &[("length", Said::same(facts.length(*extension)))]).json()
    });
    std::iter::once(facts.words.say("chute-main").json()).chain(extra).collect()
}
