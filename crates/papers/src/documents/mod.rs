//! Documents: the plan as sheets for those who need it in hand.
//!
//! Each is a template with its data, to be set by the crate `press`. All texts of users are data. What a reader wants and where
//! each figure comes from: `docs/methods/papers.md`.

mod clock_sheet;
mod crew_sheet;
mod facts;
mod finish_choice;
mod floor;
mod order_sheet;
mod quote;

use std::collections::BTreeMap;

use basis::UnitSystem;
use pour::Job;
use pour::day::Day;
use pour::plan::Plan;
use serde_json::{Value, json};

use crate::words::{Language, Words};
pub(crate) use crew_sheet::bay_name;
pub(crate) use facts::Facts;
pub use quote::quote_sheet;

/// The size of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// Letter for feet, A4 for metres.
    #[must_use]
    pub const fn of(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Us => Self::Letter,
            UnitSystem::Metric => Self::A4,
        }
    }

    const fn code(self) -> &'static str {
        match self {
            Self::Letter => "us-letter",
            Self::A4 => "a4",
        }
    }
}

/// How the documents are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentOptions {
    /// In which languages; with two, each line stands in both.
    pub languages: Vec<Language>,
    /// On which paper.
    pub paper: Paper,
}

/// A document to be set: its name without an ending, the template to begin with, and all files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// `crew-sheet`.
    pub name: &'static str,
    /// `crew-sheet.typ`.
    pub main: &'static str,
    /// Templates, data, by name.
    pub files: BTreeMap<String, String>,
}

/// The plan that is put on paper; without weather there is no day.
#[derive(Debug, Clone, Copy)]
pub struct Planned<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its plan.
    pub plan: &'a Plan,
    /// Who does what when, if the weather is stated.
    pub day: Option<&'a Day>,
}

/// The documents of a plan: plant order, crew sheet, with weather the finishing clock, and the choice that a customer signs
/// where the job asks for both entrained air and a trowelled finish.
#[must_use]
pub fn documents(planned: Planned<'_>, options: &DocumentOptions) -> Vec<Document> {
    let words = Words::new(&options.languages);
    // The dispatcher reads one language.
    let first: Vec<Language> = options.languages.iter().copied().take(1).collect();
    let plant_words = Words::new(&first);
    let mut made = vec![
        order_sheet::document(&Facts::new(planned, &plant_words), options),
        crew_sheet::document(&Facts::new(planned, &words), options),
    ];
    made.extend(clock_sheet::document(&Facts::new(planned, &words), options));
    made.extend(finish_choice::document(&Facts::new(planned, &words), options));
    made
}

/// What every document has: paper, words, the job's heading.
fn sheet(facts: &Facts<'_>, options: &DocumentOptions, title: &str) -> Value {
    let languages: Vec<&str> = facts.words.languages().iter().map(|language| language.code()).collect();
    json!({
        "paper": options.paper.code(),
        "languages": languages,
        "words": facts.words.plain(),
        "title": facts.words.say(title).json(),
        "job": facts.name(),
        "day": facts.day_of_pour().json(),
        "first_truck": facts.first_truck().json(),
    })
}

fn joined(mut sheet: Value, own: Value) -> String {
    if let (Some(all), Value::Object(own)) = (sheet.as_object_mut(), own) {
        all.extend(own);
    }
    sheet.to_string()
}

fn document(name: &'static str, main: &'static str, template: &str, data: String) -> Document {
    let files = [
        (main, template.to_owned()),
        ("common.typ", include_str!("../../templates/common.typ").to_owned()),
        ("floor.typ", include_str!("../../templates/floor.typ").to_owned()),
        ("data.json", data),
    ];
    Document { name, main, files: files.map(|(name, text)| (name.to_owned(), text)).into() }
}

#[cfg(test)]
mod tests;
