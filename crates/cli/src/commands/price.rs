//! `price`: what the job is charged at by the user's own rate book.

use basis::{Note, Severity};
use pour::price::{Asked, PriceOptions, price, quote};
use pour::rounds::Budget;

use super::{load, notes_text, read};
use crate::args::PriceArgs;
use crate::error::Failure;
use crate::show;

/// Prices the job; prints the sheet, the customer's quote, or a report.
pub fn run(args: &PriceArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let parsed = formats::read_rates(&read(&args.rates)?, &args.rates.display().to_string());
    let Some(book) = parsed.report.value else {
        return Err(Failure::faults(notes_text(&parsed.report.notes, &parsed.source, Severity::Remark)));
    };
    let ways: Result<Vec<Asked>, Note> = args.option.iter().map(|said| formats::read_way(said)).collect();
    let ways = ways.map_err(|note| Failure::faults(notes_text(&[note], &loaded.source, Severity::Fault)))?;
    let asked = PriceOptions { seed: args.seed, budget: Budget::default(), ways };
    let report = price(&loaded.job, &book, &asked);
    let mut notes = loaded.notes;
    notes.extend(report.notes);
    let Some(priced) = report.value else {
        // What stands in the book is told with the book's lines, the rest with the job's.
        let (of_book, of_job): (Vec<Note>, Vec<Note>) =
            notes.into_iter().partition(|note| note.place.path().starts_with("book"));
        let text = notes_text(&of_book, &parsed.source, Severity::Remark)
            + &notes_text(&of_job, &loaded.source, Severity::Remark);
        return Err(Failure::faults(text));
    };
    if args.json {
        return Ok(format!("{:#}\n", formats::price_json(&loaded.job.name, &priced, &book, &notes)));
    }
    if args.quote {
        return match quote(&loaded.job.name, &priced, &book) {
            Ok(quote) => Ok(show::price::quote(&quote)),
            Err(blanks) => Err(Failure::faults(notes_text(&blanks, &parsed.source, Severity::Fault))),
        };
    }
    notes.retain(is_of_the_price);
    Ok(show::price::page(&loaded.job, &priced, &book) + &show::notes(&notes))
}

/// Notes of the plan stand on the plan's own page.
fn is_of_the_price(note: &Note) -> bool {
    ["rate-blank", "way-not-planned", "no-rounds-to-price", "stone-as-compacted"].contains(&note.code)
}
