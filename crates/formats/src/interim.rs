//! Reads the strings of quantities until `basis` does.

use basis::{Angle, Currency, Length, Money, Price, Slope, TimeSpan, Volume, VolumeRate};
use pour::job::TimePerVolume;

use crate::quantity::{MoneyText, PriceText, ReadQuantity, Share, Trouble, shown};

fn bad<Q: ReadQuantity>(text: &str) -> Trouble {
    let bare = !text.trim().is_empty() && text.trim().parse::<f64>().is_ok();
    Trouble {
        code: if bare { "bare-number" } else { "not-a-quantity" },
        message: format!("\"{}\" is not {}", shown(text), Q::CALLED),
        hint: format!("write it as in \"{}\"", Q::EXAMPLE),
    }
}

/// Number of the form `4`, `4.5`, `1/4`, `7 1/4`, `7-1/4`.
fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let plain = |t: &str| {
        let ok = !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        ok.then(|| t.parse::<f64>().ok()).flatten()
    };
    if let Some((whole, over)) = text.split_once('/') {
        let over = plain(over.trim())?;
        let (whole, above) = match whole.rsplit_once([' ', '-']) {
            Some((whole, above)) => (plain(whole.trim())?, plain(above.trim())?),
            None => (0.0, plain(whole.trim())?),
        };
        return (over != 0.0).then_some(whole + above / over);
    }
    plain(text)
}

/// Pairs of number and unit word.
fn parts(text: &str) -> Option<Vec<(f64, &str)>> {
    let mut out = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let unit_at = rest.find(|c: char| c.is_alphabetic() || "'\"%°$".contains(c))?;
        let value = number(rest[..unit_at].trim().trim_start_matches('-'))?;
        let after = &rest[unit_at..];
        let end = after
            .char_indices()
            .skip(1)
            .find(|(_, c)| {
                c.is_whitespace() || (*c == '-') || (c.is_ascii_digit() && after.starts_with(['\'', '"']))
            })
            .map_or(after.len(), |(i, _)| i);
        out.push((value, after[..end].trim()));
        rest = after[end..].trim();
    }
    (!out.is_empty()).then_some(out)
}

fn signed(text: &str) -> (f64, &str) {
    match text.trim().strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.trim().trim_start_matches('+')),
    }
}

fn single<Q: ReadQuantity>(text: &str, unit: impl Fn(&str) -> Option<f64>) -> Result<f64, Trouble> {
    let (sign, rest) = signed(text);
    let parts = parts(rest).ok_or_else(|| bad::<Q>(text))?;
    let mut sum = 0.0;
    for (value, word) in parts {
        sum += value * unit(word).ok_or_else(|| bad::<Q>(text))?;
    }
    Ok(sign * sum)
}

macro_rules! reads {
    ($type:ty, $called:literal, $example:literal, $limit:expr, $from:path, $in:path, {$($unit:pat => $factor:expr),* $(,)?}) => {
        impl ReadQuantity for $type {
            const CALLED: &'static str = $called;
            const EXAMPLE: &'static str = $example;
            const LIMIT: f64 = $limit;
            fn read(text: &str) -> Result<Self, Trouble> {
                single::<Self>(text, |unit| match unit { $($unit => Some($factor),)* _ => None }).map($from)
            }
            fn si(self) -> f64 { $in(self) }
        }
    };
}

reads!(Length, "a length", "4 in", 10_000.0, Length::metres, Length::in_metres,
    {"ft" | "'" => 0.3048, "in" | "\"" => 0.0254, "m" => 1.0, "mm" => 1e-3, "cm" => 1e-2});
reads!(Slope, "a fall", "1/8 in/ft", 10.0, Slope::ratio, Slope::in_ratio,
    {"in/ft" => 1.0/12.0, "%" => 1e-2, "mm/m" => 1e-3});
reads!(Angle, "an angle", "30 deg", 100.0, Angle::radians, Angle::in_radians,
    {"deg" => std::f64::consts::PI/180.0, "arcsec" => std::f64::consts::PI/648_000.0});
reads!(Volume, "a volume", "8.25 yd3", 100_000.0, Volume::cubic_metres, Volume::in_cubic_metres,
    {"yd3" => 0.764554857984, "m3" => 1.0, "ft3" => 0.028316846592, "l" | "L" => 1e-3});
reads!(VolumeRate, "a placing rate", "10 yd3/h", 1.0, VolumeRate::cubic_metres_per_second, VolumeRate::in_cubic_metres_per_second,
    {"yd3/h" => 0.764554857984/3600.0, "m3/h" => 1.0/3600.0});
reads!(TimeSpan, "a time span", "45 min", 2.6e6, TimeSpan::seconds, TimeSpan::in_seconds,
    {"s" => 1.0, "min" => 60.0, "h" => 3600.0});
reads!(Share, "a share", "3 %", 10.0, Share, share, {"%" => 1e-2});

fn share(share: Share) -> f64 {
    share.0
}

fn money(text: &str) -> Option<(Money, Currency)> {
    let (amount, code) = text.trim().split_once(' ')?;
    let amount: f64 = number(amount)?;
    let code: [u8; 3] = code.trim().as_bytes().try_into().ok()?;
    (code.iter().all(u8::is_ascii_uppercase) && amount < 1e9)
        .then(|| (Money::ten_thousandths((amount * 10_000.0).round() as i64), Currency(code)))
}

impl ReadQuantity for MoneyText {
    const CALLED: &'static str = "an amount of money";
    const EXAMPLE: &'static str = "120 USD";
    const LIMIT: f64 = 1e9;
    fn read(text: &str) -> Result<Self, Trouble> {
        money(text).map(|(money, currency)| Self { money, currency }).ok_or_else(|| bad::<Self>(text))
    }
    fn si(self) -> f64 {
        self.money.in_units()
    }
}

fn price<Q: ReadQuantity>(text: &str) -> Option<PriceText<Q>> {
    let (amount, per) = text.split_once('/')?;
    let (amount, currency) = money(amount)?;
    let per = Q::read(&format!("1 {}", per.trim())).ok()?;
    Some(PriceText { price: Price { amount, per }, currency })
}

impl ReadQuantity for PriceText<Volume> {
    const CALLED: &'static str = "a price per volume";
    const EXAMPLE: &'static str = "165 USD/yd3";
    const LIMIT: f64 = 1e9;
    fn read(text: &str) -> Result<Self, Trouble> {
        price(text).ok_or_else(|| bad::<Self>(text))
    }
    fn si(self) -> f64 {
        self.price.amount.in_units()
    }
}

impl ReadQuantity for PriceText<TimeSpan> {
    const CALLED: &'static str = "a price per time";
    const EXAMPLE: &'static str = "150 USD/h";
    const LIMIT: f64 = 1e9;
    fn read(text: &str) -> Result<Self, Trouble> {
        price(text).ok_or_else(|| bad::<Self>(text))
    }
    fn si(self) -> f64 {
        self.price.amount.in_units()
    }
}

impl ReadQuantity for TimePerVolume {
    const CALLED: &'static str = "a time per volume";
    const EXAMPLE: &'static str = "7 min/yd3";
    const LIMIT: f64 = 1e6;
    fn read(text: &str) -> Result<Self, Trouble> {
        let (span, per) = text.split_once('/').ok_or_else(|| bad::<Self>(text))?;
        let span = TimeSpan::read(span.trim())?;
        let per = Volume::read(&format!("1 {}", per.trim()))?;
        Ok(Self { span, per })
    }
    fn si(self) -> f64 {
        self.span.in_seconds()
    }
}
