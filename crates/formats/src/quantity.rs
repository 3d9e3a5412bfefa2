//! Quantities as strings of a file: `basis` reads them, here its errors become the codes of our notes.

use basis::quantity::{self, QuantityFault};
use basis::{
    Angle, AreaRate, Cover, Currency, Density, Length, Money, Pressure, Price, QuantityError, Share, Slope,
    Speed, Temperature, TimeSpan, Volume, VolumeRate,
};
use pour::job::TimePerVolume;

/// Why a string is not what was wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Trouble {
    pub code: &'static str,
    pub message: String,
    pub hint: String,
}

impl From<QuantityError> for Trouble {
    fn from(error: QuantityError) -> Self {
        let code = match error.fault {
            QuantityFault::BareNumber => "bare-number",
            QuantityFault::OutOfRange => "out-of-range",
            QuantityFault::Empty
            | QuantityFault::UnknownUnit
            | QuantityFault::WrongKind
            | QuantityFault::Form => "not-a-quantity",
        };
        Self { code, message: error.message, hint: error.hint }
    }
}

/// A quantity that a file can hold.
pub(crate) trait ReadQuantity: Sized + Copy {
    /// What it is called in a sentence, with its article.
    const CALLED: &'static str;
    /// How one is written.
    const EXAMPLE: &'static str;
    /// Reads the string; its magnitude is one that a site can hold.
    fn from_text(text: &str) -> Result<Self, QuantityError>;
    /// In SI units; money in the currency's unit.
    fn si(self) -> f64;
}

/// Reads a quantity.
pub(crate) fn read<Q: ReadQuantity>(text: &str) -> Result<Q, Trouble> {
    Q::from_text(text).map_err(Trouble::from)
}

/// A user's string, short enough to be quoted.
pub(crate) fn shown(text: &str) -> String {
    let mut out: String = text.chars().take(40).flat_map(char::escape_debug).collect();
    if text.chars().nth(40).is_some() {
        out.push_str("...");
    }
    out
}

/// An amount of money with its currency, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MoneyText {
    pub money: Money,
    pub currency: Currency,
}

/// A price with its currency, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PriceText<Q> {
    pub price: Price<Q>,
    pub currency: Currency,
}

macro_rules! read_by_basis {
    ($($type:ty, $called:literal, $example:literal;)*) => {$(
        impl ReadQuantity for $type {
            const CALLED: &'static str = $called;
            const EXAMPLE: &'static str = $example;
            fn from_text(text: &str) -> Result<Self, QuantityError> {
                quantity::read(text)
            }
            fn si(self) -> f64 {
                quantity::Readable::in_si(self)
            }
        }
    )*};
}

read_by_basis! {
    Length, "a length", "4 in";
    Slope, "a fall", "1/8 in/ft";
    Angle, "an angle", "30 deg";
    Volume, "a volume", "8.25 yd3";
    VolumeRate, "a placing rate", "10 yd3/h";
    TimeSpan, "a time span", "45 min";
    Share, "a share", "3 %";
    Temperature, "a temperature", "70 degF";
    Pressure, "a strength", "4000 psi";
    Density, "a mass per volume", "564 lb/yd3";
    Speed, "a speed", "8 mph";
    AreaRate, "an area per time", "1500 ft2/h";
    Cover, "an area per volume", "200 ft2/gal";
}

impl ReadQuantity for MoneyText {
    const CALLED: &'static str = "an amount of money";
    const EXAMPLE: &'static str = "120 USD";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        quantity::money_with_currency(text).map(|(money, currency)| Self { money, currency })
    }
    fn si(self) -> f64 {
        self.money.in_units()
    }
}

impl ReadQuantity for PriceText<Volume> {
    const CALLED: &'static str = "a price per volume";
    const EXAMPLE: &'static str = "165 USD/yd3";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        quantity::price_per_volume_with_currency(text).map(|(price, currency)| Self { price, currency })
    }
    fn si(self) -> f64 {
        self.price.amount.in_units()
    }
}

impl ReadQuantity for PriceText<TimeSpan> {
    const CALLED: &'static str = "a price per time";
    const EXAMPLE: &'static str = "150 USD/h";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        quantity::price_per_time_with_currency(text).map(|(price, currency)| Self { price, currency })
    }
    fn si(self) -> f64 {
        self.price.amount.in_units()
    }
}

impl ReadQuantity for TimePerVolume {
    const CALLED: &'static str = "a time per volume";
    const EXAMPLE: &'static str = "7 min/yd3";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        quantity::time_per_volume(text).map(|(span, per)| Self { span, per })
    }
    fn si(self) -> f64 {
        self.span.in_seconds()
    }
}
