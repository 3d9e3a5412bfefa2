//! Money as a decimal, and prices per something.

/// An amount of money in ten-thousandths of the currency's unit, so that sums are exact.
///
/// Sums and products that leave the range (about 900 million million) stop at its end instead of turning over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(i64);

/// Ten-thousandths in a hundredth: a cent.
const CENT: i128 = 100;

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
    /// From hundredths of the currency's unit.
    #[must_use]
    pub const fn cents(value: i64) -> Self {
        Self(value.saturating_mul(CENT as i64))
    }
    /// In the currency's unit, for sums whose inputs are in doubt anyway.
    #[must_use]
    pub const fn in_units(self) -> f64 {
        self.0 as f64 / 10_000.0
    }

    /// This times a decimal of `parts` in `whole`, rounded to the cent; halves go away from zero.
    ///
    /// One exact product, one rounding. Nothing for a `whole` of 0.
    ///
    /// ```
    /// # use basis::Money;
    /// // 22.25 yd³ at $158.30: 3,522.175, to the cent 3,522.18.
    /// assert_eq!(Money::cents(15_830).times(2_225, 100), Money::cents(352_218));
    /// assert_eq!(Money::cents(-15_830).times(2_225, 100), Money::cents(-352_218));
    /// ```
    #[must_use]
    pub const fn times(self, parts: i64, whole: i64) -> Self {
        if whole == 0 {
            return Self::ZERO;
        }
        let product = self.0 as i128 * parts as i128;
        Self(saturated(rounded(product, whole as i128 * CENT).saturating_mul(CENT)))
    }
}

/// A quotient rounded to a whole number; halves go away from zero.
const fn rounded(dividend: i128, divisor: i128) -> i128 {
    let (n, d) = (dividend.unsigned_abs(), divisor.unsigned_abs());
    let whole = (n / d + if n % d >= d - n % d { 1 } else { 0 }) as i128;
    if (dividend < 0) == (divisor < 0) { whole } else { -whole }
}

const fn saturated(value: i128) -> i64 {
    if value > i64::MAX as i128 {
        i64::MAX
    } else if value < i64::MIN as i128 {
        i64::MIN
    } else {
        value as i64
    }
}

impl std::ops::Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl std::ops::Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl std::ops::Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, |a, b| a + b)
    }
}

/// A currency by its three letters (ISO 4217).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Currency(pub [u8; 3]);

/// Currencies in use by ISO 4217, without funds and metals; from memory, each written as three letters.
const IN_USE: &str = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD \
CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF \
IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP \
MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK \
SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VES VND VUV WST XAF XCD XOF \
XPF YER ZAR ZMW";

impl Currency {
    /// The three letters.
    #[must_use]
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("???")
    }

    /// The currency of a code in use by ISO 4217.
    ///
    /// ```
    /// # use basis::Currency;
    /// assert_eq!(Currency::of_code("USD"), Some(Currency(*b"USD")));
    /// assert_eq!(Currency::of_code("USB"), None);
    /// assert_eq!(Currency::of_code("D C"), None);
    /// ```
    #[must_use]
    pub fn of_code(code: &str) -> Option<Self> {
        let letters = <[u8; 3]>::try_from(code.as_bytes()).ok()?;
        IN_USE.split(' ').any(|known| known == code).then_some(Self(letters))
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Halves of a cent go away from zero on both sides, and nothing else moves.
    #[test]
    fn halves_go_away_from_zero() {
        for (rate, parts, cents) in [(1, 50, 0), (50, 100, 1), (49, 100, 0), (150, 100, 2), (-50, 100, -1)] {
            assert_eq!(Money::ten_thousandths(rate).times(parts, 100), Money::cents(cents), "{rate} {parts}");
        }
        assert_eq!(Money::cents(333).times(1, 3), Money::cents(111));
        assert_eq!(Money::cents(100).times(2, 3), Money::cents(67));
    }

    /// The largest price times the largest amount stops at the end of the range.
    #[test]
    fn nothing_turns_over() {
        let most = Money::ten_thousandths(i64::MAX);
        assert_eq!(most.times(i64::MAX, 1), most);
        assert_eq!(Money::ten_thousandths(i64::MIN).times(i64::MAX, 1), Money::ten_thousandths(i64::MIN));
        assert_eq!(most + most, most);
        assert_eq!(Money::cents(5).times(7, 0), Money::ZERO);
        assert_eq!(-Money::ten_thousandths(i64::MIN), most);
    }
}
