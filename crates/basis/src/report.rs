//! A result together with the remarks made on the way to it.

use std::fmt;

use crate::UnitSystem;

/// How much a note matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing to do.
    Remark,
    /// The result stands, but someone should look.
    Warning,
    /// The result cannot be given until this is mended.
    Fault,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Remark => "remark",
            Self::Warning => "warning",
            Self::Fault => "fault",
        })
    }
}

/// Where in the user's own input a note points: a path of keys, as in `setup[1].shot[4].reading`.
///
/// The engine knows paths only; `formats` knows which line and column of which file a path is.
/// Indices count from 0. An empty path means the job as a whole.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place(String);

impl Place {
    /// The job as a whole.
    #[must_use]
    pub fn job() -> Self {
        Self::default()
    }
    /// A place by its path.
    pub fn at(path: impl Into<String>) -> Self {
        Self(path.into())
    }
    /// The place of a named part of this one.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        if self.0.is_empty() { Self(key.to_owned()) } else { Self(format!("{}.{key}", self.0)) }
    }
    /// The place of a numbered part of this one, counted from 0.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        Self(format!("{}[{index}]", self.0))
    }
    /// The path as text.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// One remark: what, where, how serious, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// A stable short name in kebab-case, as in `misclosure-over-limit`. Listed in the glossary.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Where in the input.
    pub place: Place,
    /// What is so, in the words of the trade, with the numbers in it.
    pub message: String,
    /// What to do about it; empty when nothing is to be done.
    pub hint: String,
    /// Message and hint in US units, when they name quantities and the units of the job were not known; the two above are
    /// then metric.
    pub in_us: Option<Box<[String; 2]>>,
}

impl Note {
    /// A fault: the result cannot be given until it is mended.
    pub fn fault(
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self::new(code, Severity::Fault, place, message.into(), hint.into())
    }
    /// A warning: the result stands, but someone should look.
    pub fn warning(
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self::new(code, Severity::Warning, place, message.into(), hint.into())
    }
    /// A remark: worth knowing, nothing to do.
    pub fn remark(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Remark, place, message.into(), String::new())
    }

    fn new(code: &'static str, severity: Severity, place: Place, message: String, hint: String) -> Self {
        Self { code, severity, place, message, hint, in_us: None }
    }

    /// A note told in both kinds of units by one that does not know which the job uses; [`Note::in_units`] chooses.
    ///
    /// ```
    /// # use basis::{Length, Note, Place, UnitSystem, quantity::thickness};
    /// let told = |units| Note::remark("edge-low", Place::job(), format!("{} low", thickness(Length::inches(0.5), units)));
    /// let note = Note::in_both(told);
    /// assert_eq!(note.clone().in_units(UnitSystem::Us).message, "1/2\" low");
    /// assert_eq!(note.in_units(UnitSystem::Metric).message, "13 mm low");
    /// ```
    #[must_use]
    pub fn in_both(told: impl Fn(UnitSystem) -> Self) -> Self {
        let us = told(UnitSystem::Us);
        Self { in_us: Some(Box::new([us.message, us.hint])), ..told(UnitSystem::Metric) }
    }

    /// The note in the units of the job.
    #[must_use]
    pub fn in_units(mut self, units: UnitSystem) -> Self {
        if let (Some(us), UnitSystem::Us) = (self.in_us.take(), units) {
            [self.message, self.hint] = *us;
        }
        self
    }
}

/// A value with its notes. `value` is absent exactly when some note is a fault that prevents it.
#[derive(Debug, Clone, PartialEq)]
pub struct Report<T> {
    /// The result, if it can be given.
    pub value: Option<T>,
    /// All remarks, warnings and faults found, in the order of the input.
    pub notes: Vec<Note>,
}

impl<T> Report<T> {
    /// A result with its notes.
    pub const fn with(value: T, notes: Vec<Note>) -> Self {
        Self { value: Some(value), notes }
    }
    /// No result, only the reasons.
    pub const fn refused(notes: Vec<Note>) -> Self {
        Self { value: None, notes }
    }
    /// Whether any note is a fault.
    #[must_use]
    pub fn has_fault(&self) -> bool {
        has_fault(&self.notes)
    }
    /// Hands the notes over to a collector and keeps the value.
    pub fn unload(self, into: &mut Vec<Note>) -> Option<T> {
        into.extend(self.notes);
        self.value
    }
}

/// Whether any of the notes is a fault.
#[must_use]
pub fn has_fault(notes: &[Note]) -> bool {
    notes.iter().any(|note| note.severity == Severity::Fault)
}
