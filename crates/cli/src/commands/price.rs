//! `price`: what the job is charged at by the user's own rate book.

use std::path::Path;

use basis::{Note, Report, Severity};
use formats::SourceMap;
use pour::price::{Asked, PriceOptions, Priced, Quote, RateBook, price, quote};
use pour::rounds::Budget;

use super::{Loaded, load, notes_text, read};
use crate::args::PriceArgs;
use crate::error::Failure;
use crate::show;

/// What is priced by.
pub struct ByBook<'a> {
    /// The rate book.
    pub rates: &'a Path,
    /// Other ways to build the floor, as said.
    pub ways: &'a [String],
    /// Seed of the draws.
    pub seed: u64,
}

/// A job priced by a book.
pub struct Charged {
    /// The price.
    pub priced: Priced,
    /// The book.
    pub book: RateBook,
    /// From places of the book to lines.
    pub source: SourceMap,
    /// Notes of the price and of its plan.
    pub notes: Vec<Note>,
}

impl Charged {
    /// The customer's quote, or the list of blanks.
    pub fn quote(&self, job: &str) -> Result<Quote, Failure> {
        quote(job, &self.priced, &self.book)
            .map_err(|blanks| Failure::faults(notes_text(&blanks, &self.source, Severity::Fault)))
    }
}

/// Prices a job by a book, in the other ways asked for too.
pub fn charged(loaded: &Loaded, asked: &ByBook<'_>) -> Result<Charged, Failure> {
    let parsed = formats::read_rates(&read(asked.rates)?, &asked.rates.display().to_string());
    let source = parsed.source;
    let Some(book) = parsed.report.value else {
        return Err(Failure::faults(notes_text(&parsed.report.notes, &source, Severity::Remark)));
    };
    let ways: Result<Vec<Asked>, Note> = asked.ways.iter().map(|said| formats::read_way(said)).collect();
    let ways = ways.map_err(|note| Failure::faults(notes_text(&[note], &loaded.source, Severity::Fault)))?;
    let options = PriceOptions { seed: asked.seed, budget: Budget::default(), ways };
    let Report { value, notes } = price(&loaded.job, &book, &options);
    if let Some(priced) = value {
        return Ok(Charged { priced, book, source, notes });
    }
    // What stands in the book is told with the book's lines, the rest with the job's.
    let notes = loaded.notes.iter().cloned().chain(notes);
    let (of_book, of_job): (Vec<Note>, Vec<Note>) =
        notes.partition(|note| note.place.path().starts_with("book"));
    let text = notes_text(&of_book, &source, Severity::Remark)
        + &notes_text(&of_job, &loaded.source, Severity::Remark);
    Err(Failure::faults(text))
}

/// Prices the job; prints the sheet, the customer's quote, or a report.
pub fn run(args: &PriceArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let by = ByBook { rates: &args.rates, ways: &args.option, seed: args.seed };
    let charged = charged(&loaded, &by)?;
    let mut notes = loaded.notes;
    notes.extend(charged.notes.iter().cloned());
    if args.json {
        let report = formats::price_json(&loaded.job, &charged.priced, &charged.book, &notes);
        return Ok(format!("{report:#}\n"));
    }
    if args.quote {
        return Ok(show::price::quote(&charged.quote(&loaded.job.name)?));
    }
    notes.retain(is_of_the_price);
    Ok(show::price::page(&loaded.job, &charged.priced, &charged.book) + &show::notes(&notes))
}

/// Notes of the plan stand on the plan's own page.
fn is_of_the_price(note: &Note) -> bool {
    [
        "rate-blank",
        "way-not-planned",
        "no-rounds-to-price",
        "stone-as-compacted",
        "no-room-for-steel",
        "fiber-dose-unknown",
    ]
    .contains(&note.code)
}
