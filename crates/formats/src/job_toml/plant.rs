//! Terms of the plant, what is added to the volume, and the day.

use basis::{Currency, Estimate, Price, Share, Volume};
use pour::job::{Plant, PourDay, TimePerVolume};
use toml::de::DeValue;

use crate::quantity::{PriceText, ReadQuantity};

use super::findings::Findings;
use super::table::Table;

impl Table<'_> {
    /// A price; its currency is compared with the others of the job by [`currency`].
    pub fn price<Q>(&self, f: &mut Findings, key: &str) -> Option<Price<Q>>
    where
        PriceText<Q>: ReadQuantity,
    {
        let price: PriceText<Q> = self.quantity(f, key)?;
        f.note_currency(self.place.key(key), price.currency);
        Some(price.price)
    }
}

/// Reads `[plant]`.
pub(crate) fn plant(root: &Table<'_>, f: &mut Findings) -> Plant {
    let Some(table) = root.table(f, "plant") else { return Plant::unknown(Volume::ZERO, Volume::ZERO) };
    let mut fee = |key: &str| {
        let fee = table.quantity::<crate::quantity::MoneyText>(f, key)?;
        f.note_currency(table.place.key(key), fee.currency);
        Some(fee.money)
    };
    let (short_load_fee, fuel) = (fee("short_load_fee"), fee("fuel"));
    Plant {
        truck: table.quantity(f, "truck").unwrap_or_default(),
        increment: table.quantity(f, "increment").unwrap_or_default(),
        currency: None,
        price: table.price(f, "price"),
        minimum_load: table.quantity(f, "minimum_load"),
        short_load_below: table.quantity(f, "short_load_below"),
        short_load_fee,
        fuel,
        free_unloading: table.quantity::<TimePerVolume>(f, "free_unloading"),
        standby: table.price(f, "standby"),
        disposal: table.price(f, "disposal"),
        call_lead: table.quantity(f, "call_lead"),
        spacing: table.quantity(f, "spacing"),
        trucks: table.count(f, "trucks"),
        haul: table.estimate(f, "haul"),
        turnaround: table.quantity(f, "turnaround"),
        discharge_limit: table.quantity(f, "discharge_limit"),
        cold_joint: table.quantity(f, "cold_joint"),
    }
}

impl Findings {
    fn note_currency(&mut self, place: basis::Place, currency: Currency) {
        self.currencies.push((place, currency));
    }
}

/// The one currency of the job; a second one is a fault.
pub(crate) fn currency(f: &mut Findings) -> Option<Currency> {
    let stated = std::mem::take(&mut f.currencies);
    let (_, first) = stated.first()?;
    for (place, other) in stated.iter().filter(|(_, other)| other != first) {
        let message = format!("this is in {}, other prices are in {}", other.code(), first.code());
        let hint = "write all prices in one currency";
        f.notes.push(basis::Note::fault("mixed-currencies", place.clone(), message, hint));
    }
    Some(*first)
}

/// Reads `[order]`: allowance and fixed loss.
pub(crate) fn order(root: &Table<'_>, f: &mut Findings) -> (Option<Estimate<f64>>, Option<Estimate<Volume>>) {
    let Some(table) = root.table(f, "order") else { return (None, None) };
    let allowance = table.estimate::<Share>(f, "allowance");
    let allowance =
        allowance.map(|share| Estimate::new(share.mean.in_ratio(), share.sd.in_ratio(), share.origin));
    (allowance, table.estimate(f, "loss"))
}

/// Reads `[day]`.
pub(crate) fn day(root: &Table<'_>, f: &mut Findings) -> PourDay {
    let first_truck = root.table(f, "day").and_then(|table| local_time(&table, f, "first_truck"));
    PourDay { first_truck }
}

fn local_time(table: &Table<'_>, f: &mut Findings, key: &str) -> Option<jiff::civil::DateTime> {
    const EXAMPLE: &str = "2026-06-12T07:00:00";
    let value = table.value(f, key)?;
    let DeValue::Datetime(stamp) = value.value else {
        value.wrong_type(f, value.value, "a date and time without quotes", EXAMPLE);
        return None;
    };
    let (Some(date), Some(time), None) = (stamp.date, stamp.time, stamp.offset) else {
        let message = "the date and the local time of the site are wanted, without an offset";
        f.fault("not-local-time", &value.place, &value.span, message, format!("write it as in {EXAMPLE}"));
        return None;
    };
    let civil = (|| {
        let date = jiff::civil::Date::new(
            i16::try_from(date.year).ok()?,
            i8::try_from(date.month).ok()?,
            i8::try_from(date.day).ok()?,
        );
        let second = i8::try_from(time.second.unwrap_or(0)).ok()?;
        let time =
            jiff::civil::Time::new(i8::try_from(time.hour).ok()?, i8::try_from(time.minute).ok()?, second, 0);
        Some(date.ok()?.to_datetime(time.ok()?))
    })();
    if civil.is_none() {
        f.fault(
            "no-such-time",
            &value.place,
            &value.span,
            "there is no such date and time",
            "check the numbers",
        );
    }
    civil
}
