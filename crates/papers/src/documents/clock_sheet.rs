//! The finishing clock: when each bay is ready for each round, with room to write down what was seen.

use basis::TimeSpan;
use basis::quantity::{speed, temperature, temperature_difference};
use clock::band::EventBand;
use clock::events::{Event, Milestone};
use clock::moist_air;
use pour::forecast::Forecast;
use pour::rounds::{Answer, Change, Refusal};
use pour::wall::Wall;
use serde_json::{Value, json};

use super::crew_sheet::bay_name;
use super::facts::Facts;
use super::{Document, DocumentOptions, joined, sheet};
use crate::drawing::cut;
use crate::words::Said;

/// What follows the rounds, with its word.
const AFTERWARDS: [(Milestone, &str); 8] = [
    (Milestone::SheenGone, "sheen-gone"),
    (Milestone::EarlyEntryFrom, "early-entry-from"),
    (Milestone::SawFrom, "saw-from"),
    (Milestone::SawBefore, "saw-before"),
    (Milestone::FootTraffic, "foot-traffic"),
    (Milestone::FormsOff, "forms-off"),
    (Milestone::FreezeSafe, "freeze-safe"),
    (Milestone::Vehicles, "vehicles"),
];

/// The clock; nothing without weather.
pub(super) fn document(facts: &Facts<'_>, options: &DocumentOptions) -> Option<Document> {
    let forecast = facts.plan.forecast.as_ref()?;
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: facts.job.units };
    let own = json!({
        "warm": warm(facts, forecast).json(),
        "daylight": daylight(facts, forecast, &wall).map(|said| said.json()),
        "weather": weather(facts, forecast, &wall),
        "bays": forecast.bays.iter().map(|bay| rounds(facts, bay, &wall)).collect::<Vec<_>>(),
        "after": afterwards(facts, forecast, &wall),
        "plan": answer(facts),
    });
    let data = joined(sheet(facts, options, "title-clock"), own);
    Some(super::document(
        "finishing-clock",
        "finishing-clock.typ",
        include_str!("../../templates/finishing-clock.typ"),
        data,
    ))
}

fn warm(facts: &Facts<'_>, forecast: &Forecast) -> Said {
    let units = facts.job.units;
    let parts = [
        ("warm", temperature(forecast.fresh.mean, units)),
        ("doubt", temperature_difference(forecast.fresh.sd, units)),
    ];
    facts.words.with("concrete-warm", &parts.map(|(name, text)| (name, Said::same(text))))
}

fn daylight(facts: &Facts<'_>, forecast: &Forecast, wall: &Wall<'_>) -> Option<Said> {
    let (rise, set) = forecast.daylight.and_then(|light| light.rise.zip(light.set))?;
    Some(facts.words.with("daylight", &[("rise", facts.at(wall, rise)), ("set", facts.at(wall, set))]))
}

fn weather(facts: &Facts<'_>, forecast: &Forecast, wall: &Wall<'_>) -> Vec<[Value; 5]> {
    let percent = |share: basis::Share| format!("{:.0} %", share.in_percent());
    let units = facts.job.units;
    let told = forecast.weather.iter().step_by(2).take(7);
    told.map(|(at, record)| {
        let humidity = moist_air::relative_humidity(record.air, record.vapour);
        [
            facts.at(wall, *at).json(),
            temperature(record.air, units).into(),
            percent(humidity).into(),
            speed(record.wind, units).into(),
            percent(record.cloud).into(),
        ]
    })
    .collect()
}

fn times(facts: &Facts<'_>, wall: &Wall<'_>, spread: [Option<TimeSpan>; 3]) -> [Value; 3] {
    spread.map(|time| facts.after(wall, time).json())
}

fn rounds(facts: &Facts<'_>, bay: &pour::forecast::BayForecast, wall: &Wall<'_>) -> Value {
    let of = |band: &EventBand| times(facts, wall, [band.low, band.middle, band.high]);
    let struck = times(facts, wall, [bay.until.low, bay.until.middle, bay.until.high].map(Some));
    let mut rows = vec![json!({
        "round": facts.words.say("struck-off").json(), "opens": struck, "closes": Vec::<String>::new(),
    })];
    rows.extend(bay.rounds.iter().map(|round| {
        json!({"round": facts.finish_round(round.round).json(), "opens": of(&round.opens), "closes": of(&round.closes)})
    }));
    json!({"n": bay.number, "rows": rows})
}

fn afterwards(facts: &Facts<'_>, forecast: &Forecast, wall: &Wall<'_>) -> Vec<Value> {
    let (Some(first), Some(last)) = (forecast.bays.first(), forecast.bays.last()) else { return Vec::new() };
    let row = |(milestone, word): &(Milestone, &str)| {
        let event = Event::At(*milestone);
        let (early, late) = (first.event(event)?, last.event(event)?);
        Some(json!({
            "what": facts.words.say(word).json(),
            "when": times(facts, wall, [early.low, late.middle, late.high]),
        }))
    };
    AFTERWARDS.iter().filter_map(row).collect()
}

/// Whether the day can be kept, and if not what mends it.
fn answer(facts: &Facts<'_>) -> Vec<Value> {
    let Some(day) = facts.day else { return Vec::new() };
    match &day.answer {
        Answer::Plan(plan) => {
            let mut told = vec![facts.words.with("day-ends", &[("time", facts.on_the_day(plan.end))])];
            told.extend(day.chance.map(|chance| {
                let share = format!("{:.0}", chance.in_percent().clamp(0.0, 100.0));
                facts.words.with("kept", &[("share", Said::same(share))])
            }));
            told.iter().map(Said::json).collect()
        }
        Answer::Refused(refusal) => refused(facts, day, refusal),
        Answer::Undecided { .. } => vec![facts.words.say("undecided").json()],
    }
}

fn refused(facts: &Facts<'_>, day: &pour::day::Day, refusal: &Refusal) -> Vec<Value> {
    let failed = &refusal.failed;
    let parts = [
        ("round", facts.round(failed.kind)),
        ("bay", bay_name(facts, day, failed.bay)),
        ("from", facts.on_the_day(failed.window.earliest)),
        ("to", facts.on_the_day(failed.window.latest)),
    ];
    let mends = refusal.mends().map(|(change, plan)| {
        facts.words.with("mends", &[("change", changed(facts, change)), ("end", facts.on_the_day(plan.end))])
    });
    std::iter::once(facts.words.with("failed", &parts)).chain(mends).map(|said| said.json()).collect()
}

fn changed(facts: &Facts<'_>, change: &Change) -> Said {
    let minutes = |span: TimeSpan| Said::same(format!("{:.0}", span.in_minutes()));
    match change {
        Change::Start(by) if *by < TimeSpan::ZERO => {
            facts.words.with("change-earlier", &[("minutes", minutes(-*by))])
        }
        Change::Start(by) => facts.words.with("change-later", &[("minutes", minutes(*by))]),
        Change::Spacing(spacing) => facts.words.with("change-spacing", &[("minutes", minutes(*spacing))]),
        Change::Machine(name) => facts.words.with("change-machine", &[("name", Said::same(cut(name, 60)))]),
        Change::People(more) => facts.words.with("change-people", &[("count", Said::same(more.to_string()))]),
        Change::Mix(name) => facts.words.with("change-mix", &[("name", Said::same(name.clone()))]),
        Change::Both(one, other) => {
            facts.words.with("change-both", &[("one", changed(facts, one)), ("other", changed(facts, other))])
        }
    }
}
