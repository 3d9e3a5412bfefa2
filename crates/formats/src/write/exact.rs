//! Numbers with units so that reading them back gives the same value to the last bit.

use basis::quantity::feet_inches_in_words;
use basis::{
    Angle, AreaRate, Cover, Currency, Density, Estimate, Length, Money, Pressure, Price, Share, Slope, Speed,
    Temperature, TimeSpan, UnitSystem, Volume, VolumeRate,
};

use crate::quantity::{self, ReadQuantity};

/// A unit as written and its size in SI units.
type Unit = (&'static str, f64);

const US_LENGTHS: &[Unit] = &[("ft", 0.3048), ("in", 0.0254), ("mm", 1e-3), ("m", 1.0)];
const METRIC_LENGTHS: &[Unit] = &[("m", 1.0), ("mm", 1e-3), ("ft", 0.3048), ("in", 0.0254)];
const YARD: f64 = 0.764_554_857_984;
const US_VOLUMES: &[Unit] = &[("yd3", YARD), ("ft3", YARD / 27.0), ("m3", 1.0), ("l", 1e-3)];
const METRIC_VOLUMES: &[Unit] = &[("m3", 1.0), ("l", 1e-3), ("yd3", YARD), ("ft3", YARD / 27.0)];

/// The shortest text in one of the units that `is_same` accepts; the last unit's nearest text otherwise.
fn exact(si: f64, units: &[Unit], is_same: impl Fn(&str) -> bool) -> String {
    for decimals in 0..=6 {
        for (unit, size) in units {
            let text = format!("{:.decimals$} {unit}", si / size);
            if is_same(&text) {
                return text;
            }
        }
    }
    // A quotient may be off in the last place, so its neighbours are tried too.
    for (unit, size) in units.iter().rev() {
        let quotient = si / size;
        let near = [quotient, quotient.next_up(), quotient.next_down()];
        if let Some(text) = near.iter().map(|value| format!("{value} {unit}")).find(|text| is_same(text)) {
            return text;
        }
    }
    let (unit, size) = units[units.len() - 1];
    format!("{} {unit}", si / size)
}

fn same<Q: ReadQuantity + PartialEq>(value: Q) -> impl Fn(&str) -> bool {
    move |text| quantity::read::<Q>(text).is_ok_and(|read| read == value)
}

/// A quantity that can be written in the job's units.
pub(crate) trait WriteQuantity: ReadQuantity + PartialEq {
    /// The text that reads back as this value.
    fn text(self, units: UnitSystem) -> String;
}

impl WriteQuantity for Length {
    fn text(self, units: UnitSystem) -> String {
        if units == UnitSystem::Metric {
            return exact(self.in_metres(), METRIC_LENGTHS, same(self));
        }
        let site = feet_inches_in_words(self, 16);
        if same(self)(&site) { site } else { exact(self.in_metres(), US_LENGTHS, same(self)) }
    }
}

impl WriteQuantity for Volume {
    fn text(self, units: UnitSystem) -> String {
        let list = if units == UnitSystem::Us { US_VOLUMES } else { METRIC_VOLUMES };
        exact(self.in_cubic_metres(), list, same(self))
    }
}

impl WriteQuantity for VolumeRate {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("yd3/h", YARD / 3600.0);
        let metric: Unit = ("m3/h", 1.0 / 3600.0);
        let list = if units == UnitSystem::Us { [us, metric] } else { [metric, us] };
        exact(self.in_cubic_metres_per_second(), &list, same(self))
    }
}

impl WriteQuantity for TimeSpan {
    fn text(self, _: UnitSystem) -> String {
        exact(self.in_seconds(), &[("min", 60.0), ("h", 3600.0), ("s", 1.0)], same(self))
    }
}

impl WriteQuantity for Slope {
    fn text(self, units: UnitSystem) -> String {
        let eighths = self.in_inches_per_foot() * 8.0;
        let site = format!("{}/8 in/ft", eighths.round());
        if units == UnitSystem::Us && same(self)(&site) {
            return site;
        }
        let us: Unit = ("in/ft", 1.0 / 12.0);
        let metric: Unit = ("%", 1e-2);
        let list = if units == UnitSystem::Us { [us, metric] } else { [metric, us] };
        exact(self.in_ratio(), &list, same(self))
    }
}

impl WriteQuantity for Angle {
    fn text(self, _: UnitSystem) -> String {
        let degree = std::f64::consts::PI / 180.0;
        exact(self.in_radians(), &[("deg", degree), ("arcsec", degree / 3600.0)], same(self))
    }
}

impl WriteQuantity for Share {
    fn text(self, _: UnitSystem) -> String {
        exact(self.in_ratio(), &[("%", 1e-2)], same(self))
    }
}

impl WriteQuantity for Density {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("lb/yd3", Self::pounds_per_cubic_yard(1.0).in_kilograms_per_cubic_metre());
        let metric: Unit = ("kg/m3", 1.0);
        let list = if units == UnitSystem::Us { [us, metric] } else { [metric, us] };
        exact(self.in_kilograms_per_cubic_metre(), &list, same(self))
    }
}

impl WriteQuantity for Pressure {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("psi", Self::psi(1.0).in_pascals());
        let metric: Unit = ("MPa", 1e6);
        let list =
            if units == UnitSystem::Us { [us, metric, ("Pa", 1.0)] } else { [metric, us, ("Pa", 1.0)] };
        exact(self.in_pascals(), &list, same(self))
    }
}

impl WriteQuantity for Speed {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("mph", Self::miles_per_hour(1.0).in_metres_per_second());
        let feet: Unit = ("ft/min", 0.3048 / 60.0);
        let metric: Unit = ("m/s", 1.0);
        let list = if units == UnitSystem::Us { [us, feet, metric] } else { [metric, us, feet] };
        exact(self.in_metres_per_second(), &list, same(self))
    }
}

impl WriteQuantity for Cover {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("ft2/gal", Self::square_feet_per_gallon(1.0).in_square_metres_per_cubic_metre());
        let metric: Unit = ("m2/l", 1000.0);
        let list = if units == UnitSystem::Us { [us, metric] } else { [metric, us] };
        exact(self.in_square_metres_per_cubic_metre(), &list, same(self))
    }
}

impl WriteQuantity for AreaRate {
    fn text(self, units: UnitSystem) -> String {
        let us: Unit = ("ft2/h", Self::square_feet_per_hour(1.0).in_square_metres_per_second());
        let metric: Unit = ("m2/h", 1.0 / 3600.0);
        let list = if units == UnitSystem::Us { [us, metric] } else { [metric, us] };
        exact(self.in_square_metres_per_second(), &list, same(self))
    }
}

impl WriteQuantity for Temperature {
    fn text(self, units: UnitSystem) -> String {
        let scales = [(self.in_fahrenheit(), "degF"), (self.in_celsius(), "degC"), (self.in_kelvins(), "K")];
        let (site, kelvins) = (if units == UnitSystem::Us { &scales[..2] } else { &scales[1..2] }, scales[2]);
        for decimals in 0..=6 {
            for (value, unit) in site {
                let text = format!("{value:.decimals$} {unit}");
                if same(self)(&text) {
                    return text;
                }
            }
        }
        // A temperature no person wrote: kelvins are what is held.
        format!("{} {}", kelvins.0, kelvins.1)
    }
}

/// A share in per cent, for which `is_same` accepts what is read back.
pub(crate) fn share(value: f64, is_same: impl Fn(f64) -> bool) -> String {
    exact(value, &[("%", 1e-2)], |text| {
        quantity::read::<basis::Share>(text).is_ok_and(|read| is_same(read.in_ratio()))
    })
}

/// A value with its spread.
pub(crate) fn estimate<Q: WriteQuantity>(value: Estimate<Q>, units: UnitSystem) -> String {
    format!("{} +- {}", value.mean.text(units), value.sd.text(units))
}

/// An amount of money with its currency.
pub(crate) fn money(amount: Money, currency: Currency) -> String {
    let all = amount.in_ten_thousandths();
    let (sign, all) = (if all < 0 { "-" } else { "" }, all.unsigned_abs());
    let cents = format!("{:04}", all % 10_000);
    let cents = cents.trim_end_matches('0');
    let point = if cents.is_empty() { "" } else { "." };
    format!("{sign}{}{point}{cents} {}", all / 10_000, currency.code())
}

/// A price per volume.
pub(crate) fn price_per_volume(price: Price<Volume>, currency: Currency) -> String {
    per(price, currency, &["yd3", "m3", "ft3", "l"], Volume::in_cubic_metres, Volume::cubic_metres(1.0))
}

/// A price per time.
pub(crate) fn price_per_time(price: Price<TimeSpan>, currency: Currency) -> String {
    per(price, currency, &["h", "min", "s"], TimeSpan::in_seconds, TimeSpan::hours(1.0))
}

fn per<Q: ReadQuantity + PartialEq>(
    price: Price<Q>,
    currency: Currency,
    units: &[&str],
    si: impl Fn(Q) -> f64,
    other: Q,
) -> String {
    let one = |unit: &&&str| quantity::read::<Q>(&format!("1 {unit}")).is_ok_and(|one| one == price.per);
    if let Some(unit) = units.iter().find(one) {
        return format!("{}/{unit}", money(price.amount, currency));
    }
    // A price for an odd amount is turned into one for a single unit, to the ten-thousandth.
    let scaled = price.amount.in_ten_thousandths() as f64 * si(other) / si(price.per);
    let amount = Money::ten_thousandths(scaled.round() as i64);
    let unit = if units.contains(&"m3") { "m3" } else { "h" };
    format!("{}/{unit}", money(amount, currency))
}
