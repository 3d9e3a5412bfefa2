//! What the customer is handed: the price without its reckoning, what is done, what is not, and the terms.

use basis::{Currency, Money, Note, TimeSpan};

use super::book::RateBook;
use super::options::Change;
use super::whole::Priced;

/// A quote, ready to be set on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// What the job is called.
    pub job: String,
    /// Currency of every amount.
    pub currency: Currency,
    /// How long it holds, if the book says so.
    pub valid: Option<TimeSpan>,
    /// The price before tax on the price.
    pub price: Money,
    /// Tax on the price; absent when there is none.
    pub tax: Option<Money>,
    /// What the customer pays.
    pub total: Money,
    /// Other ways to build it.
    pub ways: Vec<OtherWay>,
    /// What is not included, as the user wrote it.
    pub exclusions: Vec<String>,
    /// Terms, as the user wrote them.
    pub terms: Vec<String>,
}

/// Another way to build the floor, as the customer is told.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherWay {
    /// What the user calls it.
    pub name: String,
    /// What is changed.
    pub changes: Vec<Change>,
    /// What the customer pays then.
    pub total: Money,
}

/// Makes the quote of a priced job.
///
/// # Errors
/// One fault for each rate that is needed and blank: a price is never made up.
pub fn quote(job: &str, priced: &Priced, book: &RateBook) -> Result<Quote, Vec<Note>> {
    let sheets = || {
        let ways = priced.ways.iter().filter_map(|way| way.sheet.as_ref());
        std::iter::once(&priced.sheet).chain(ways)
    };
    let mut faults: Vec<Note> = Vec::new();
    for blank in sheets().flat_map(|sheet| &sheet.blanks) {
        if !faults.iter().any(|fault| fault.place == blank.place) {
            let message = format!("the rate book leaves this blank: {}", blank.what);
            let hint = "fill it in; a charge that there is not is written as 0";
            faults.push(Note::fault("rate-blank-in-quote", blank.place.clone(), message, hint));
        }
    }
    let (Some(price), Some(total), true) = (priced.sheet.price(), priced.sheet.total(), faults.is_empty())
    else {
        return Err(faults);
    };
    let of_way = |way: &super::whole::Way| {
        let total = way.sheet.as_ref()?.total()?;
        Some(OtherWay { name: way.name.clone(), changes: way.changes.clone(), total })
    };
    Ok(Quote {
        job: job.to_owned(),
        currency: priced.sheet.currency,
        valid: book.valid,
        price,
        tax: (total != price).then_some(total - price),
        total,
        ways: priced.ways.iter().filter_map(of_way).collect(),
        exclusions: book.exclusions.clone(),
        terms: book.terms.clone(),
    })
}
