//! The priced sheet: one line for each thing paid for, each rounded to the cent, and sums of lines only.

use basis::{Currency, Money, Place, Share};

use crate::unit::Unit;

/// What part of the price a line belongs to, in the order of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// Bought for the floor, but for concrete.
    Materials,
    /// What the plant charges.
    Plant,
    /// People.
    Labour,
    /// Machines.
    Machines,
    /// Sums that every job carries.
    Other,
    /// Tax on what is bought.
    CostTax,
    /// Overhead.
    Overhead,
    /// Profit.
    Profit,
    /// What lifts a small job to the least that is charged.
    Minimum,
    /// Tax on the price.
    Tax,
}

impl Section {
    /// Those that are told line by line, with the words of their heading.
    pub const TOLD: [(Self, &'static str); 5] = [
        (Self::Materials, "Materials"),
        (Self::Plant, "Plant"),
        (Self::Labour, "People"),
        (Self::Machines, "Machines"),
        (Self::Other, "Other"),
    ];
}

impl Section {
    /// Whether its lines are direct costs of the job.
    #[must_use]
    pub const fn is_direct(self) -> bool {
        !matches!(self, Self::Overhead | Self::Profit | Self::Minimum | Self::Tax)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Materials => "materials",
            Self::Plant => "plant",
            Self::Labour => "labour",
            Self::Machines => "machines",
            Self::Other => "other",
            Self::CostTax => "tax on materials",
            Self::Overhead => "overhead",
            Self::Profit => "profit",
            Self::Minimum => "minimum job",
            Self::Tax => "tax",
        }
    }
}

/// How a line comes to its amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// So many hundredths of a unit at a rate.
    Counted {
        /// Hundredths of the unit.
        hundredths: i64,
        /// The unit.
        unit: Unit,
        /// Price of one; absent when it is blank.
        rate: Option<Money>,
    },
    /// A share of a sum.
    Share {
        /// Millionths; absent when it is blank.
        millionths: Option<i64>,
        /// Of what; absent while some line before it is blank.
        of: Option<Money>,
    },
    /// A sum as stated.
    Sum,
}

/// One line of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Where it belongs.
    pub section: Section,
    /// What stays the same from one way of building the floor to another: the item, the operation.
    pub key: String,
    /// In words.
    pub what: String,
    /// How it is reckoned.
    pub measure: Measure,
    /// What it comes to, to the cent; absent when it cannot be told.
    pub amount: Option<Money>,
}

/// A rate that the sheet needs and the book leaves blank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// Where it would stand in the book.
    pub place: Place,
    /// What it is.
    pub what: String,
}

/// The priced sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Currency of every amount.
    pub currency: Currency,
    /// All lines in the order of the sections.
    pub lines: Vec<Line>,
    /// Rates that are needed and blank; empty when the sheet is complete.
    pub blanks: Vec<Blank>,
}

impl Sheet {
    /// Sum of the lines that are known in the sections asked for.
    #[must_use]
    pub fn known(&self, wanted: impl Fn(Section) -> bool) -> Money {
        self.lines.iter().filter(|line| wanted(line.section)).filter_map(|line| line.amount).sum()
    }

    /// Sum of a choice of sections; absent when one of their lines is not known.
    #[must_use]
    pub fn sum(&self, wanted: impl Fn(Section) -> bool) -> Option<Money> {
        self.lines.iter().filter(|line| wanted(line.section)).map(|line| line.amount).sum()
    }

    /// Direct cost and overhead.
    #[must_use]
    pub fn cost(&self) -> Option<Money> {
        self.sum(|section| section.is_direct() || section == Section::Overhead)
    }

    /// The price before tax.
    #[must_use]
    pub fn price(&self) -> Option<Money> {
        self.sum(|section| section != Section::Tax)
    }

    /// What the customer pays.
    #[must_use]
    pub fn total(&self) -> Option<Money> {
        self.sum(|_| true)
    }

    /// Adds so much of a unit at a rate.
    pub(super) fn count(
        &mut self,
        section: Section,
        (key, what): (&str, String),
        (hundredths, unit): (i64, Unit),
        rate: Option<Money>,
    ) {
        let amount = rate.map(|rate| rate.times(hundredths, 100));
        let measure = Measure::Counted { hundredths, unit, rate };
        self.lines.push(Line { section, key: key.to_owned(), what, measure, amount });
    }

    /// Adds a sum.
    pub(super) fn add(&mut self, section: Section, key: &str, what: String, amount: Option<Money>) {
        self.lines.push(Line { section, key: key.to_owned(), what, measure: Measure::Sum, amount });
    }

    /// Adds a share of a sum.
    pub(super) fn share(
        &mut self,
        section: Section,
        what: String,
        (parts, whole): (Option<i64>, i64),
        of: Option<Money>,
    ) {
        let amount = parts.zip(of).map(|(parts, of)| of.times(parts, whole));
        let measure = Measure::Share { millionths: parts, of };
        let key = section.words().replace(' ', "-");
        self.lines.push(Line { section, key, what, measure, amount });
    }

    /// Notes that a rate is needed; each place once.
    pub(super) fn blank(&mut self, place: Place, what: impl Into<String>) {
        if !self.blanks.iter().any(|blank| blank.place == place) {
            self.blanks.push(Blank { place, what: what.into() });
        }
    }
}

/// A share in millionths, halves rounded away from zero.
pub(super) fn millionths(share: Share) -> i64 {
    (share.in_ratio() * 1e6).round() as i64
}

/// One million, the whole of a share.
pub(super) const WHOLE: i64 = 1_000_000;

/// What a line comes to in two sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Where it belongs.
    pub section: Section,
    /// In words.
    pub what: String,
    /// In the first; absent when it has no such line or it is blank.
    pub before: Option<Money>,
    /// In the second; absent when it has no such line or it is blank.
    pub after: Option<Money>,
}

impl Difference {
    /// What the second costs more.
    #[must_use]
    pub fn change(&self) -> Money {
        self.after.unwrap_or_default() - self.before.unwrap_or_default()
    }
}

/// The lines in which two sheets differ, in the order of the sections. Their changes add up to the difference of the totals.
#[must_use]
pub fn differences(before: &Sheet, after: &Sheet) -> Vec<Difference> {
    let same = |a: &Line, b: &Line| a.section == b.section && a.key == b.key;
    let find = |sheet: &Sheet, line: &Line| sheet.lines.iter().find(|other| same(other, line)).cloned();
    let mut all: Vec<Difference> = before
        .lines
        .iter()
        .map(|line| Difference {
            section: line.section,
            what: line.what.clone(),
            before: line.amount,
            after: find(after, line).and_then(|other| other.amount),
        })
        .collect();
    all.extend(after.lines.iter().filter(|line| find(before, line).is_none()).map(|line| Difference {
        section: line.section,
        what: line.what.clone(),
        before: None,
        after: line.amount,
    }));
    all.retain(|difference| difference.change() != Money::ZERO);
    all.sort_by_key(|difference| difference.section);
    all
}
