//! The price of a job by the rate book at hand, other ways to build it set beside, and the quote.

use std::sync::Arc;

use basis::{Note, Report};
use pour::price::{Asked, PriceOptions, Priced, RateBook, price};
use pour::rounds::Budget;

use crate::app::{App, Opened};
use crate::desk::{self, SEED};

/// A price with what it rests on.
#[derive(Debug)]
pub struct Done {
    /// The price.
    pub priced: Priced,
    /// The book.
    pub book: RateBook,
    /// Notes of the price and its plan.
    pub notes: Vec<Note>,
}

/// What came of pricing a job.
#[derive(Debug)]
pub enum Charged {
    /// A price.
    Done(Box<Done>),
    /// The floor has no plan.
    Unplanned,
    /// There is no rate book.
    NoBook,
    /// Faults of the rate book, with lines.
    BookFaults(Vec<(Note, Option<usize>)>),
    /// A way to build it that cannot be read.
    UnclearWay(Note),
}

/// Most other ways that are priced at once: each is a plan of its own.
const MOST_WAYS: usize = 8;

/// Prices a job by its rate book, in the other ways asked for too.
pub async fn priced(app: &App, opened: &Opened, ways: &[String]) -> Charged {
    if opened.figured.whole().is_none() {
        return Charged::Unplanned;
    }
    let Some(book) = app.shelf.rates(&opened.id) else { return Charged::NoBook };
    let mut asked = Vec::new();
    for way in ways.iter().map(|way| way.trim()).filter(|way| !way.is_empty()).take(MOST_WAYS) {
        match formats::read_way(way) {
            Ok(way) => asked.push(way),
            Err(note) => return Charged::UnclearWay(note),
        }
    }
    if asked.is_empty() {
        // The price without other ways is worked once and kept.
        return match desk::priced(&opened.figured, &book).await {
            Ok(done) => Charged::Done(Box::new(Done {
                priced: done.0.clone(),
                book: done.1.clone(),
                notes: Vec::new(),
            })),
            Err(notes) => Charged::BookFaults(notes),
        };
    }
    let figured = Arc::clone(&opened.figured);
    let done = tokio::task::spawn_blocking(move || by_book(&figured, &book, asked)).await;
    done.unwrap_or(Charged::Unplanned)
}

fn by_book(figured: &desk::Figured, book: &str, ways: Vec<Asked>) -> Charged {
    let parsed = formats::read_rates(book.as_bytes(), "the rate book");
    let line = |note: &Note| {
        let span = parsed.source.locate(&note.place)?;
        Some(parsed.source.position(span)?.line)
    };
    let Some(job) = &figured.job else { return Charged::Unplanned };
    let Some(book) = &parsed.report.value else {
        let notes = parsed.report.notes.iter().map(|note| (note.clone(), line(note)));
        return Charged::BookFaults(notes.collect());
    };
    let Report { value, notes } =
        price(job, book, &PriceOptions { seed: SEED, budget: Budget::default(), ways });
    match value {
        Some(priced) => Charged::Done(Box::new(Done { priced, book: book.clone(), notes })),
        None => Charged::BookFaults(notes.into_iter().map(|note| (note, None)).collect()),
    }
}
