//! The quote: what the customer gets, what it costs, what is not in it, and where to sign.

use basis::quantity::{area, length, money, pressure, share, thickness};
use basis::{Area, Length};
use clock::finish::Finish;
use clock::mix::Air;
use ground::outline::EdgeKind;
use pour::job::{Cure, Job, ReinforcementKind, Sheet};
use pour::price::{Change, OtherWay, Quote, changed};
use serde_json::{Value, json};

use super::facts::Facts;
use super::finish_choice::is_needed;
use super::{Document, DocumentOptions, Planned, floor, joined, sheet};
use crate::drawing::cut;
use crate::words::{Said, Words};

/// What an option may be called on the sheet.
const LONGEST_WAY: usize = 60;
/// A paragraph of the user's own is cut at so many letters.
const LONGEST_TEXT: usize = 2000;

/// The quote of a planned floor as a document; nothing is figured here.
#[must_use]
pub fn quote_sheet(planned: Planned<'_>, quote: &Quote, options: &DocumentOptions) -> Document {
    let words = Words::new(&options.languages);
    let facts = Facts::new(planned, &words);
    let amount = |amount| money(amount, quote.currency);
    let own = |texts: &[String]| texts.iter().map(|text| cut(text, LONGEST_TEXT)).collect::<Vec<_>>();
    let valid = quote.valid.map(|span| {
        let days = Said::same(format!("{:.0}", span.in_days()));
        words.with("quote-valid", &[("days", days)]).json()
    });
    let air = facts.job.mix.as_ref().and_then(|ordered| match ordered.mix.air {
        Air::Entrained(air) => Some(share(air)),
        Air::Entrapped => None,
    });
    let asked =
        is_needed(facts.job) || quote.ways.iter().any(|way| is_needed(&changed(facts.job, &way.changes)));
    let choices: &[&str] = if asked { &["air-keep", "air-leave", "air-both"] } else { &[] };
    let own = json!({
        "drawing": floor::drawing(&facts),
        "scope": scope(&facts).iter().map(Said::json).collect::<Vec<_>>(),
        "price": amount(quote.price),
        "tax": quote.tax.map(amount),
        "total": amount(quote.total),
        "ways": quote.ways.iter().map(|way| other_way(&facts, quote, way)).collect::<Vec<_>>(),
        "valid": valid,
        "exclusions": own(&quote.exclusions),
        "terms": own(&quote.terms),
        "air": air,
        "choices": choices.iter().map(|word| words.say(word).json()).collect::<Vec<_>>(),
    });
    let data = joined(sheet(&facts, options, "title-quote"), own);
    super::document("quote", "quote.typ", include_str!("../../templates/quote.typ"), data)
}

/// What is done, in plain words, as far as the job says so.
fn scope(facts: &Facts<'_>) -> Vec<Said> {
    let (job, plan) = (facts.job, facts.plan);
    let (words, units) = (facts.words, job.units);
    let same = |text: String| Said::same(text);
    let size = [
        ("area", same(area(Area::square_metres(plan.floor.area), units))),
        ("thick", same(thickness(job.slab.nominal, units))),
    ];
    let mut told = vec![words.with("scope-floor", &size)];
    if let Some(ordered) = &job.mix {
        told.push(words.with("scope-strength", &[("strength", same(pressure(ordered.mix.strength, units)))]));
    }
    if let Some(deep) = job.bed.stone {
        told.push(words.with("scope-stone", &[("deep", same(thickness(deep, units)))]));
    }
    if job.bed.sheet == Some(Sheet::UnderSlab) {
        told.push(words.say("scope-poly"));
    }
    told.extend(steel_word(job).map(|word| words.say(word)));
    let forms = form_length(facts);
    if forms > Length::ZERO {
        told.push(words.with("scope-forms", &[("long", same(length(forms, units)))]));
    }
    if let Some(finish) = job.finishing.finish {
        told.push(words.say(finish_word(finish)));
    }
    let joints = &plan.joints;
    if !joints.joints.is_empty() {
        let parts = [
            ("panels", same(joints.panels.len().to_string())),
            ("deep", same(thickness(joints.cut, units))),
            ("long", same(length(joints.sawn, units))),
        ];
        told.push(words.with("scope-joints", &parts));
    }
    if !joints.strips.is_empty() {
        told.push(words.say("scope-strips"));
    }
    if let Some(dowels) = &joints.dowels {
        told.push(words.with("scope-dowels", &[("count", same(dowels.places.len().to_string()))]));
    }
    told.extend(cure_word(job).map(|word| words.say(word)));
    told
}

fn form_length(facts: &Facts<'_>) -> Length {
    let free = facts.plan.floor.segments.iter().filter(|s| s.kind == EdgeKind::Free);
    Length::metres(free.map(|s| s.a.distance(s.b)).sum())
}

const fn finish_word(finish: Finish) -> &'static str {
    match finish {
        Finish::Broom => "scope-broom",
        Finish::Float => "scope-float",
        Finish::Trowel { .. } => "scope-trowel",
        Finish::HardTrowel { .. } => "scope-hard-trowel",
    }
}

/// What reinforces the slab.
const fn steel_word(job: &Job) -> Option<&'static str> {
    match job.reinforcement.kind {
        ReinforcementKind::None => None,
        ReinforcementKind::Mesh => Some("scope-mesh"),
        ReinforcementKind::Bars => Some("scope-bars"),
        ReinforcementKind::Fiber => Some("scope-fiber"),
    }
}

fn cure_word(job: &Job) -> Option<&'static str> {
    match job.finishing.cure? {
        Cure::None => None,
        Cure::Compound => Some("scope-cure-compound"),
        Cure::Sheet => Some("scope-cure-sheet"),
        Cure::Blanket => Some("scope-cure-blanket"),
    }
}

/// Another way: its name, how it differs in plain words, how much more or less, and what is paid.
fn other_way(facts: &Facts<'_>, quote: &Quote, way: &OtherWay) -> Value {
    let more = way.total - quote.total;
    let sign = if more > basis::Money::ZERO { "+" } else { "" };
    let differs: Vec<Said> = way.changes.iter().map(|change| difference(facts, *change)).collect();
    let lines = differs.iter().fold(Vec::<Vec<String>>::new(), |mut all, said| {
        all.push((0..facts.words.languages().len()).map(|i| said.in_language(i).to_owned()).collect());
        all
    });
    // One text a language, its changes one after the other.
    let texts: Vec<String> = (0..facts.words.languages().len())
        .map(|i| lines.iter().map(|line| line[i].as_str()).collect::<Vec<_>>().join(" "))
        .collect();
    json!({
        "name": cut(&way.name, LONGEST_WAY),
        "differs": texts,
        "more": format!("{sign}{}", money(more, quote.currency)),
        "total": money(way.total, quote.currency),
    })
}

/// What a change means for who walks on the floor.
fn difference(facts: &Facts<'_>, change: Change) -> Said {
    let words = facts.words;
    match change {
        Change::Finish(Finish::Broom) => words.say("way-broom"),
        Change::Finish(Finish::Float) => words.say("way-float"),
        Change::Finish(Finish::Trowel { .. }) => words.say("way-trowel"),
        Change::Finish(Finish::HardTrowel { .. }) => words.say("way-hard-trowel"),
        Change::Thickness(thick) if (thick - facts.job.slab.nominal).in_metres().abs() < 5e-4 => {
            words.say("way-same")
        }
        Change::Thickness(thick) => {
            let of = |l: Length| Said::same(thickness(l, facts.job.units));
            let parts = [("thick", of(thick)), ("planned", of(facts.job.slab.nominal))];
            words.with(if thick > facts.job.slab.nominal { "way-thicker" } else { "way-thinner" }, &parts)
        }
        Change::Sheet(Sheet::UnderSlab) => words.say("way-poly"),
        Change::Sheet(Sheet::None) => words.say("way-no-poly"),
        Change::Sheet(Sheet::Insulation) => words.say("way-insulation"),
    }
}
