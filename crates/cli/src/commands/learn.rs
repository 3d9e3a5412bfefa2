//! `learn`: what the crew's own past pours teach.

use basis::Severity;
use pour::learn::{Factor, Seen, evidence, learn, replay, seen};

use super::{notes_text, read};
use crate::args::LearnArgs;
use crate::error::Failure;
use crate::show;

/// What was learned of one value.
pub struct Taught {
    /// The value.
    pub factor: Factor,
    /// What the pours showed of it.
    pub seen: Vec<Seen>,
}

impl Taught {
    /// Its kinds, in the order in which they came.
    pub fn kinds(&self) -> Vec<&str> {
        let mut kinds: Vec<&str> = Vec::new();
        for pour in &self.seen {
            if !kinds.contains(&pour.kind.as_str()) {
                kinds.push(&pour.kind);
            }
        }
        kinds
    }
}

/// Reads the past pours, learns, and prints what is learned with its evidence and the past told again.
pub fn run(args: &LearnArgs) -> Result<String, Failure> {
    let parsed = formats::read_past(&read(&args.past)?, &args.past.display().to_string());
    let Some(past) = parsed.report.value else {
        return Err(Failure::faults(notes_text(&parsed.report.notes, &parsed.source, Severity::Remark)));
    };
    let taught: Vec<Taught> = Factor::ALL
        .into_iter()
        .map(|factor| Taught { factor, seen: seen(&past, factor) })
        .filter(|taught| !taught.seen.is_empty())
        .collect();
    let mut text = show::learn::heading_of(past.len());
    for taught in &taught {
        let prior = taught.factor.prior();
        let of_kind = |kind: &str| (kind.to_owned(), learn(prior, &taught.seen, kind));
        let kinds: Vec<_> = taught.kinds().into_iter().map(of_kind).collect();
        text += &show::learn::value(taught.factor, &kinds);
        text += &show::learn::wild(taught.factor, &taught.seen, &evidence(prior, &taught.seen));
        text += &show::learn::to_write(taught.factor, &kinds);
    }
    let told: Vec<_> = taught
        .iter()
        .filter_map(|taught| Some((taught.factor, replay(taught.factor.prior(), &taught.seen)?)))
        .collect();
    Ok(text + &show::learn::told_again(&told))
}
