//! What a floor is charged at, by the user's own rate book.
//!
//! [`Bill`] is what there is to pay for, [`RateBook`] what the user pays and charges for it, [`Sheet`] the two put together.
//! Method, sources and limits: `docs/methods/price.md`.

mod book;
mod fill;
mod gather;
mod labour;
mod options;
mod quote;
mod sheet;
mod whole;

pub use crate::takeoff::ITEMS;
pub use crate::unit::{Amount, Goods, Unit};
pub use book::{
    Admixture, LabourRates, MIX_PARTS, MachineRate, MaterialRate, MixPart, OtherSum, Person, PlantRates,
    Profit, Rate, RateBook, Tax, TaxOn, USES, Use,
};
pub use fill::{Bill, Needed, plant_terms, sheet};
pub use gather::{Case, Figures, bill};
pub use labour::{Hours, Operation, Work, finishing, hours};
pub use options::{Asked, Change, changed, words};
pub use quote::{OtherWay, Quote, quote};
pub use sheet::{Blank, Difference, Line, Measure, Section, Sheet, differences};
pub use whole::{DOUBTS, Doubtful, PriceOptions, Priced, Way, price};

#[cfg(test)]
mod tests;
