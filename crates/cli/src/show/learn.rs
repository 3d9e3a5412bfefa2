//! What past pours teach, as a page.

use basis::math::exp;
use pour::learn::{Evidence, Factor, Law, Learned, Replay, Scale, Seen, learn};

use super::count;
use crate::page::{Align, Table, heading, paragraph};

pub fn heading_of(pours: usize) -> String {
    let mut text = format!("LEARNED FROM {}\n", count(pours, "pour").to_uppercase());
    text += &paragraph(
        "What few pours show leans on the default; the more pours and the more alike, the less. Own is the share that comes from the pours. \
         The next pour is told with one standard deviation: two times in three it lies within.",
    );
    text
}

/// One value, kind by kind.
pub fn value(factor: Factor, kinds: &[(String, Learned)]) -> String {
    let text = heading(&title(factor));
    let mut table = Table::new(&[
        ("kind", Align::Left),
        ("pours", Align::Right),
        ("before the first", Align::Right),
        ("next", Align::Right),
        ("own", Align::Right),
    ]);
    let before = learn(factor.prior(), &[], "").next;
    for (kind, learned) in kinds {
        table.row([
            if kind.is_empty() { "not said".to_owned() } else { kind.clone() },
            learned.count.to_string(),
            law(factor, before),
            law(factor, learned.next),
            format!("{:.0} %", 100.0 * learned.own),
        ]);
    }
    text + &table.print()
}

/// Pours that lie far off what the others foretell.
pub fn wild(factor: Factor, seen: &[Seen], evidence: &[Evidence]) -> String {
    let told = evidence.iter().filter(|pour| pour.is_wild()).map(|wild| {
        let pour = &seen[wild.index];
        paragraph(&format!(
            "{}: {}, {:.1} standard deviations off what the other pours foretell: look at what was written down. It is counted.",
            pour.pour,
            one(factor, pour.value),
            wild.off.abs(),
        ))
    });
    told.collect()
}

/// How what is learned is written into jobs.
pub fn to_write(factor: Factor, kinds: &[(String, Learned)]) -> String {
    let line = |(kind, learned): &(String, Learned)| {
        let key = key(factor, learned.next).filter(|_| !kind.is_empty())?;
        Some(paragraph(&format!("{kind}: {key}")))
    };
    kinds.iter().filter_map(line).collect()
}

/// The past told again, pour by pour, each foretold by those before it.
pub fn told_again(replays: &[(Factor, Replay)]) -> String {
    let mut table = Table::new(&[
        ("value", Align::Left),
        ("pours", Align::Right),
        ("missed by", Align::Right),
        ("by default", Align::Right),
        ("within 10-90 %", Align::Right),
        ("by default", Align::Right),
        ("learning was", Align::Left),
    ]);
    for (factor, replay) in replays {
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        let better = if replay.gain > 0.0 { "better" } else { "no better" };
        table.row([
            factor.word().to_owned(),
            replay.pours.len().to_string(),
            spread(*factor, replay.miss[0]),
            spread(*factor, replay.miss[1]),
            percent(replay.inside[0]),
            percent(replay.inside[1]),
            better.to_owned(),
        ]);
    }
    let mut text = heading("The past told again, each pour by those before it") + &table.print();
    text += &paragraph(
        "Missed by is the root of the mean square. Honest odds hold four pours in five within 10-90 %. Better weighs both: whether what came had \
         been given more chance by what was learned than by the default.",
    );
    text
}

fn title(factor: Factor) -> String {
    let told = match factor {
        Factor::Allowance => "Allowance, by the base",
        Factor::PlacingRate => "Placing rate over the one figured, by the crew",
        Factor::Lateness => "How late trucks come, by the plant",
        Factor::SetFactor => "Time of set over the one figured, by mix and season",
        Factor::Hours => "Hours worked over hours figured, by the finish",
        Factor::Cost => "Cost over cost figured, by the finish",
    };
    told.to_owned()
}

/// A value with its doubt.
fn law(factor: Factor, law: Law) -> String {
    format!("{} ± {}", one(factor, law.mean), spread(factor, law.sd))
}

fn one(factor: Factor, value: f64) -> String {
    match (factor, factor.scale()) {
        (Factor::Allowance, _) => format!("{:.1} %", 100.0 * value),
        (Factor::Lateness, _) => format!("{value:.0} min"),
        (_, Scale::Factors) => format!("{:.2}", exp(value)),
        (_, Scale::Even) => format!("{value:.2}"),
    }
}

fn spread(factor: Factor, sd: f64) -> String {
    match (factor, factor.scale()) {
        (Factor::Allowance, _) => format!("{:.1} %", 100.0 * sd),
        (Factor::Lateness, _) => format!("{sd:.0} min"),
        (_, Scale::Factors) => format!("{:.0} %", 100.0 * sd),
        (_, Scale::Even) => format!("{sd:.2}"),
    }
}

/// The key of a job for a value, where there is one.
fn key(factor: Factor, next: Law) -> Option<String> {
    match factor {
        Factor::Allowance => Some(format!(
            "allowance = \"{:.1} % +- {:.1} %\" under [order] of its job",
            100.0 * next.mean,
            100.0 * next.sd
        )),
        Factor::SetFactor => Some(format!(
            "set_factor = \"{:.0} % +- {:.0} %\" under [mix] of its job",
            100.0 * exp(next.mean),
            100.0 * exp(next.mean) * next.sd
        )),
        Factor::PlacingRate | Factor::Lateness | Factor::Hours | Factor::Cost => None,
    }
}
