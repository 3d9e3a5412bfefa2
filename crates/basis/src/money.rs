//! Money as a decimal, and prices per something.

/// An amount of money in ten-thousandths of the currency's unit, so that sums are exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// From ten-thousandths of the currency's unit.
    #[must_use]
    pub const fn ten_thousandths(value: i64) -> Self {
        Self(value)
    }
    /// In ten-thousandths of the currency's unit.
    #[must_use]
    pub const fn in_ten_thousandths(self) -> i64 {
        self.0
    }
    /// In the currency's unit, for sums whose inputs are in doubt anyway.
    #[must_use]
    pub const fn in_units(self) -> f64 {
        self.0 as f64 / 10_000.0
    }
}

/// A currency by its three letters (ISO 4217).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Currency(pub [u8; 3]);

impl Currency {
    /// The three letters.
    #[must_use]
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("???")
    }
}

/// A price for a stated amount of something, as in 165 dollars for one cubic yard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Price<Q> {
    /// What it costs.
    pub amount: Money,
    /// For how much.
    pub per: Q,
}
