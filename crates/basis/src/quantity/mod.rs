//! One type for each physical quantity, SI inside.
//!
//! Every type is a transparent `f64` in its SI unit. Units appear only at the edges: constructors
//! (`Length::feet(36.5)`) and readers (`length.in_feet()`). The conversion factors are exact by
//! definition (international foot, avoirdupois pound, 231 in³ gallon) and stand in `factor`.

mod factor;
mod parse;
mod print;

pub use parse::{
    Kind, QuantityError, QuantityFault, Readable, money_with_currency, parse_with_spread, price_per_anything,
    price_per_time_with_currency, price_per_volume_with_currency, read, time_per_volume,
};
pub use print::*;

/// Defines a quantity: its SI unit, and a constructor and a reader for each further unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $si:ident, $in_si:ident, $si_doc:literal;
     $($ctor:ident, $reader:ident, $factor:expr, $unit_doc:literal;)*) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0.0);
            #[doc = concat!("From ", $si_doc, ".")]
            #[must_use]
            pub const fn $si(value: f64) -> Self { Self(value) }
            #[doc = concat!("In ", $si_doc, ".")]
            #[must_use]
            pub const fn $in_si(self) -> f64 { self.0 }
            $(
                #[doc = concat!("From ", $unit_doc, ".")]
                #[must_use]
                pub const fn $ctor(value: f64) -> Self { Self(value * $factor) }
                #[doc = concat!("In ", $unit_doc, ".")]
                #[must_use]
                pub const fn $reader(self) -> f64 { self.0 / $factor }
            )*
            /// Neither NaN nor infinite.
            #[must_use]
            pub const fn is_finite(self) -> bool { self.0.is_finite() }
            /// The magnitude without sign.
            #[must_use]
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
            /// A total order, so that lists of quantities sort the same everywhere.
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering { self.0.total_cmp(&other.0) }
        }
        impl std::ops::Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl std::ops::Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl std::ops::AddAssign for $name { fn add_assign(&mut self, o: Self) { self.0 += o.0; } }
        impl std::ops::SubAssign for $name { fn sub_assign(&mut self, o: Self) { self.0 -= o.0; } }
        impl std::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl std::ops::Mul<$name> for f64 { type Output = $name; fn mul(self, q: $name) -> $name { $name(self * q.0) } }
        impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl std::iter::Sum for $name { fn sum<I: Iterator<Item = Self>>(it: I) -> Self { Self(it.map(|q| q.0).sum()) } }
    };
}

quantity! {
    /// A length, an elevation or a rod reading.
    Length, metres, in_metres, "metres";
    millimetres, in_millimetres, 1e-3, "millimetres";
    centimetres, in_centimetres, 1e-2, "centimetres";
    feet, in_feet, factor::FOOT, "international feet (0.3048 m)";
    inches, in_inches, factor::INCH, "inches (25.4 mm)";
}
quantity! {
    /// An area of floor.
    Area, square_metres, in_square_metres, "square metres";
    square_feet, in_square_feet, factor::FOOT * factor::FOOT, "square feet";
}
quantity! {
    /// A volume of concrete or stone.
    Volume, cubic_metres, in_cubic_metres, "cubic metres";
    cubic_yards, in_cubic_yards, factor::YARD * factor::YARD * factor::YARD, "cubic yards";
    cubic_feet, in_cubic_feet, factor::FOOT * factor::FOOT * factor::FOOT, "cubic feet";
    litres, in_litres, 1e-3, "litres";
    gallons, in_gallons, 231.0 * factor::INCH * factor::INCH * factor::INCH, "US gallons (231 in³)";
}
quantity! {
    /// A plane angle.
    Angle, radians, in_radians, "radians";
    degrees, in_degrees, std::f64::consts::PI / 180.0, "degrees";
    arcseconds, in_arcseconds, std::f64::consts::PI / 648_000.0, "seconds of arc";
}
quantity! {
    /// A fall or a grade: rise over run, positive as stated by its owner.
    Slope, ratio, in_ratio, "rise over run";
    percent, in_percent, 1e-2, "per cent";
    inches_per_foot, in_inches_per_foot, 1.0 / 12.0, "inches per foot";
    millimetres_per_metre, in_millimetres_per_metre, 1e-3, "millimetres per metre";
}
quantity! {
    /// A share of something: an allowance, a chance, a bulking.
    Share, ratio, in_ratio, "parts of one";
    percent, in_percent, 1e-2, "per cent";
}
quantity! {
    /// An elapsed time.
    TimeSpan, seconds, in_seconds, "seconds";
    minutes, in_minutes, 60.0, "minutes";
    hours, in_hours, 3600.0, "hours";
    days, in_days, 86_400.0, "days";
}
quantity! {
    /// A speed, of wind or of travel.
    Speed, metres_per_second, in_metres_per_second, "metres per second";
    miles_per_hour, in_miles_per_hour, factor::MILE / 3600.0, "miles per hour";
    kilometres_per_hour, in_kilometres_per_hour, 1.0 / 3.6, "kilometres per hour";
}
quantity! {
    /// A mass.
    Mass, kilograms, in_kilograms, "kilograms";
    pounds, in_pounds, factor::POUND, "avoirdupois pounds";
    short_tons, in_short_tons, 2000.0 * factor::POUND, "short tons (2000 lb)";
    tonnes, in_tonnes, 1000.0, "tonnes";
}
quantity! {
    /// A mass per volume: unit weight of concrete, stone, cement content.
    Density, kilograms_per_cubic_metre, in_kilograms_per_cubic_metre, "kg/m³";
    pounds_per_cubic_yard, in_pounds_per_cubic_yard, factor::POUND / (factor::YARD * factor::YARD * factor::YARD), "lb/yd³";
    pounds_per_cubic_foot, in_pounds_per_cubic_foot, factor::POUND / (factor::FOOT * factor::FOOT * factor::FOOT), "lb/ft³";
}
quantity! {
    /// A pressure or a strength.
    Pressure, pascals, in_pascals, "pascals";
    megapascals, in_megapascals, 1e6, "megapascals";
    kilopascals, in_kilopascals, 1e3, "kilopascals";
    psi, in_psi, factor::POUND * factor::STANDARD_GRAVITY / (factor::INCH * factor::INCH), "pounds-force per square inch";
}
quantity! {
    /// A volume per time: placing or unloading.
    VolumeRate, cubic_metres_per_second, in_cubic_metres_per_second, "m³/s";
    cubic_metres_per_hour, in_cubic_metres_per_hour, 1.0 / 3600.0, "m³/h";
    cubic_yards_per_hour, in_cubic_yards_per_hour, factor::YARD * factor::YARD * factor::YARD / 3600.0, "yd³/h";
}
quantity! {
    /// An area per time: what a machine or a hand finishes.
    AreaRate, square_metres_per_second, in_square_metres_per_second, "m²/s";
    square_metres_per_hour, in_square_metres_per_hour, 1.0 / 3600.0, "m²/h";
    square_feet_per_hour, in_square_feet_per_hour, factor::FOOT * factor::FOOT / 3600.0, "ft²/h";
}
quantity! {
    /// An area per volume: how far a compound or a sealer goes.
    Cover, square_metres_per_cubic_metre, in_square_metres_per_cubic_metre, "m²/m³";
    square_metres_per_litre, in_square_metres_per_litre, 1000.0, "m²/l";
    square_feet_per_gallon, in_square_feet_per_gallon, factor::FOOT * factor::FOOT / (231.0 * factor::INCH * factor::INCH * factor::INCH), "ft² per US gallon";
}
quantity! {
    /// A difference of temperature; not a temperature.
    TemperatureDifference, kelvins, in_kelvins, "kelvins";
    fahrenheit_degrees, in_fahrenheit_degrees, 5.0 / 9.0, "Fahrenheit degrees of difference";
}

/// A temperature on an absolute scale; differences are [`TemperatureDifference`].
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// From kelvins.
    #[must_use]
    pub const fn kelvins(value: f64) -> Self {
        Self(value)
    }
    /// From degrees Celsius.
    #[must_use]
    pub const fn celsius(value: f64) -> Self {
        Self(value + factor::ICE_POINT)
    }
    /// From degrees Fahrenheit.
    #[must_use]
    pub const fn fahrenheit(value: f64) -> Self {
        Self((value - 32.0) * 5.0 / 9.0 + factor::ICE_POINT)
    }
    /// In kelvins.
    #[must_use]
    pub const fn in_kelvins(self) -> f64 {
        self.0
    }
    /// In degrees Celsius.
    #[must_use]
    pub const fn in_celsius(self) -> f64 {
        self.0 - factor::ICE_POINT
    }
    /// In degrees Fahrenheit.
    #[must_use]
    pub const fn in_fahrenheit(self) -> f64 {
        (self.0 - factor::ICE_POINT) * 9.0 / 5.0 + 32.0
    }
    /// Neither NaN nor infinite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl std::ops::Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference::kelvins(self.0 - other.0)
    }
}

impl std::ops::Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, difference: TemperatureDifference) -> Self {
        Self(self.0 + difference.in_kelvins())
    }
}

impl std::ops::Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::square_metres(self.0 * other.0)
    }
}

impl std::ops::Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, depth: Length) -> Volume {
        Volume::cubic_metres(self.0 * depth.0)
    }
}

impl std::ops::Div<Area> for Volume {
    type Output = Length;
    fn div(self, area: Area) -> Length {
        Length::metres(self.0 / area.in_square_metres())
    }
}

impl std::ops::Mul<Length> for Slope {
    type Output = Length;
    fn mul(self, run: Length) -> Length {
        Length::metres(self.0 * run.0)
    }
}

impl std::ops::Div<AreaRate> for Area {
    type Output = TimeSpan;
    fn div(self, rate: AreaRate) -> TimeSpan {
        TimeSpan(self.0 / rate.0)
    }
}

impl std::ops::Div<Cover> for Area {
    type Output = Volume;
    fn div(self, cover: Cover) -> Volume {
        Volume::cubic_metres(self.0 / cover.0)
    }
}

impl std::ops::Div<VolumeRate> for Volume {
    type Output = TimeSpan;
    fn div(self, rate: VolumeRate) -> TimeSpan {
        TimeSpan::seconds(self.0 / rate.in_cubic_metres_per_second())
    }
}

impl std::ops::Mul<TimeSpan> for VolumeRate {
    type Output = Volume;
    fn mul(self, span: TimeSpan) -> Volume {
        Volume::cubic_metres(self.0 * span.in_seconds())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A yard covers 81 ft² at 4 in. (handbook cover figure; 27 ft³ / (4/12 ft)).
    #[test]
    fn a_yard_covers_81_square_feet_at_four_inches() {
        let cover = Volume::cubic_yards(1.0).in_cubic_feet() / Length::inches(4.0).in_feet();
        assert!((cover - 81.0).abs() < 1e-12);
        assert!((Area::square_feet(81.0) * Length::inches(4.0)).in_cubic_yards() - 1.0 < 1e-12);
    }

    #[test]
    fn an_eighth_of_an_inch_in_a_foot_is_1_0417_percent() {
        assert!((Slope::inches_per_foot(0.125).in_percent() - 1.041_666_7).abs() < 1e-6);
    }

    #[test]
    fn temperatures_and_differences_are_kept_apart() {
        let rise = Temperature::fahrenheit(70.0) - Temperature::fahrenheit(52.0);
        assert!((rise.in_kelvins() - 10.0).abs() < 1e-12);
        assert!((Temperature::fahrenheit(212.0).in_celsius() - 100.0).abs() < 1e-12);
    }

    /// 1 psi = 6894.757 Pa (NIST SP 811, appendix B.8; from memory).
    #[test]
    fn one_psi_in_pascals() {
        assert!((Pressure::psi(1.0).in_pascals() - 6894.757).abs() < 1e-3);
    }
}
