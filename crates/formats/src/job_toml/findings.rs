//! What is gathered while a file is read: notes, where they point, and which values were assumed.

use std::collections::BTreeMap;
use std::ops::Range;

use basis::{Currency, Note, Place};
use pour::job::Assumed;

use crate::quantity::Trouble;
use crate::source::Span;

use super::defaults::Assumption;

/// Gathers while reading goes on, so that one fault never hides the next.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    pub notes: Vec<Note>,
    pub pins: BTreeMap<String, Span>,
    pub assumed: Vec<Assumed>,
    /// Every price met, with its currency; there may be only one.
    pub currencies: Vec<(Place, Currency)>,
    /// Keys asked for, as `table.key`; a test compares them with the table of keys.
    #[cfg(test)]
    pub asked: std::collections::BTreeSet<(&'static str, &'static str)>,
}

impl Findings {
    /// Notes a fault that stands at these bytes of the job file.
    pub fn fault(
        &mut self,
        code: &'static str,
        place: &Place,
        at: &Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.fault_in(code, place, Span { file: 0, start: at.start, end: at.end }, message, hint);
    }

    /// Notes a fault that stands anywhere in the files.
    pub fn fault_in(
        &mut self,
        code: &'static str,
        place: &Place,
        span: Span,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.pins.entry(place.path().to_owned()).or_insert(span);
        self.notes.push(Note::fault(code, place.clone(), message, hint));
    }

    /// Notes why a string is not what was wanted.
    pub fn trouble(&mut self, place: &Place, at: &Range<usize>, trouble: Trouble) {
        self.fault(trouble.code, place, at, trouble.message, trouble.hint);
    }

    /// The stated value, or the default with a record that it was assumed.
    pub fn or_assume<Q>(&mut self, stated: Option<Q>, place: Place, default: Assumption<Q>) -> Q {
        stated.unwrap_or_else(|| {
            self.assumed.push(Assumed {
                place,
                what: default.what.to_owned(),
                value: default.said,
                source: default.source.to_owned(),
            });
            default.value
        })
    }
}
