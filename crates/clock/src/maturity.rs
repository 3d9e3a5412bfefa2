//! Maturity: how far a history of temperatures has brought the concrete.
//!
//! Two functions of ASTM C1074 [@astm-c1074]: the equivalent age (Arrhenius), and the temperature-time factor (Nurse-Saul),
//! which is its linear special case [@carino-1984].

use basis::{Temperature, TimeSpan, math};

/// Gas constant, J/(mol·K), exact by the definition of the SI.
pub const GAS: f64 = 8.314_462_618;

/// How the speed of hydration depends on temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Activation {
    /// One activation energy at all temperatures, J/mol.
    Constant(f64),
    /// 33.5 kJ/mol from 20 °C up, 1.47 kJ/mol more for each kelvin below [@freiesleben-pedersen-1977].
    RisingInTheCold,
}

impl Activation {
    /// Activation energy at a temperature, J/mol.
    #[must_use]
    pub fn energy(self, temperature: Temperature) -> f64 {
        match self {
            Self::Constant(energy) => energy,
            Self::RisingInTheCold => 33_500.0 + 1_470.0 * (20.0 - temperature.in_celsius()).max(0.0),
        }
    }

    /// Speed of hydration at a temperature as a multiple of that at a reference temperature.
    ///
    /// ```
    /// use basis::Temperature;
    /// use clock::maturity::Activation;
    /// let speed = Activation::Constant(45e3).speed(Temperature::celsius(10.0), Temperature::celsius(20.0));
    /// assert!((speed - 0.521).abs() < 5e-4);
    /// ```
    #[must_use]
    pub fn speed(self, temperature: Temperature, reference: Temperature) -> f64 {
        let (at, against) = (temperature.in_kelvins(), reference.in_kelvins());
        math::exp(-self.energy(temperature) / GAS * (1.0 / at - 1.0 / against))
    }
}

/// A time spent at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// How long.
    pub span: TimeSpan,
    /// At which temperature of the concrete.
    pub temperature: Temperature,
}

/// Equivalent age of a history at a reference temperature.
#[must_use]
pub fn equivalent_age(history: &[Spell], activation: Activation, reference: Temperature) -> TimeSpan {
    history.iter().map(|spell| activation.speed(spell.temperature, reference) * spell.span).sum()
}

/// Temperature-time factor over a datum temperature, °C·h; times below the datum count nothing.
///
/// ```
/// use basis::{Temperature, TimeSpan};
/// use clock::maturity::{Spell, temperature_time};
/// // A trade article: 3,500 °C·h over a datum of 0 °C take 152 h at 23 °C.
/// let history = [Spell { span: TimeSpan::hours(152.0), temperature: Temperature::celsius(23.0) }];
/// assert!((temperature_time(&history, Temperature::celsius(0.0)) - 3_500.0).abs() < 12.0);
/// ```
#[must_use]
pub fn temperature_time(history: &[Spell], datum: Temperature) -> f64 {
    history
        .iter()
        .map(|spell| (spell.temperature - datum).in_kelvins().max(0.0) * spell.span.in_hours())
        .sum()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Q = 5,000 K, the default of ASTM C1074 as remembered.
    const DEFAULT: Activation = Activation::Constant(5_000.0 * GAS);

    fn celsius(value: f64) -> Temperature {
        Temperature::celsius(value)
    }

    /// Speeds worked apart from this code with R = 8.314: the equation, not the constants, is what they show. R to more
    /// digits moves them by less than 1e-4.
    #[test]
    fn arithmetic_speeds_worked_apart() {
        let e40 = Activation::Constant(40e3);
        let rows = [
            (0.0, [0.3007, 0.2868, 0.2588, 0.1511, 0.2546]),
            (5.0, [0.4127, 0.3986, 0.3695, 0.2925, 0.3495]),
            (15.0, [0.7522, 0.7438, 0.7259, 0.7476, 0.6370]),
            (20.0, [1.0, 1.0, 1.0, 1.0, 0.8468]),
            (30.0, [1.7184, 1.7553, 1.8387, 1.5737, 1.4552]),
            (40.0, [2.8525, 2.9723, 3.2518, 2.4057, 2.4156]),
        ];
        for (at, expected) in rows {
            let found = [
                e40.speed(celsius(at), celsius(20.0)),
                DEFAULT.speed(celsius(at), celsius(20.0)),
                Activation::Constant(45e3).speed(celsius(at), celsius(20.0)),
                Activation::RisingInTheCold.speed(celsius(at), celsius(20.0)),
                e40.speed(celsius(at), celsius(23.0)),
            ];
            for (found, expected) in found.into_iter().zip(expected) {
                assert!((found - expected).abs() < 3e-4, "{at} °C: {found} against {expected}");
            }
        }
    }

    /// A history of blocks worked apart, as above.
    #[test]
    fn arithmetic_history_worked_apart() {
        let blocks = [(2.0, 18.0), (4.0, 22.0), (6.0, 27.0), (12.0, 24.0), (24.0, 15.0), (24.0, 10.0)]
            .map(|(hours, at)| Spell { span: TimeSpan::hours(hours), temperature: celsius(at) });
        assert!((temperature_time(&blocks, celsius(0.0)) - 1_174.0).abs() < 1e-9);
        assert!((temperature_time(&blocks, celsius(-10.0)) - 1_894.0).abs() < 1e-9);
        let ages = [
            (DEFAULT, 20.0, 61.29),
            (Activation::Constant(40e3), 23.0, 52.09),
            (Activation::Constant(45e3), 20.0, 60.83),
            (Activation::Constant(33.5e3), 20.0, 62.59),
            (Activation::RisingInTheCold, 20.0, 58.78),
        ];
        for (activation, reference, hours) in ages {
            let found = equivalent_age(&blocks, activation, celsius(reference)).in_hours();
            assert!((found - hours).abs() < 0.006, "{activation:?}: {found} against {hours}");
        }
    }

    /// Trade article, datum 0 °C: 3,500 °C·h take 152 h at 23 °C, or 49 °C on average to be there in 72 h. Both are
    /// printed as whole numbers.
    #[test]
    fn literature_hours_to_a_temperature_time_factor() {
        let factor = |at: f64, hours: f64| {
            temperature_time(
                &[Spell { span: TimeSpan::hours(hours), temperature: celsius(at) }],
                celsius(0.0),
            )
        };
        assert!((3_500.0 / factor(23.0, 1.0) - 152.0).abs() < 0.5);
        assert!((3_500.0 / factor(1.0, 72.0) - 49.0).abs() < 0.5);
    }

    /// NRMCA CIP 27 [@nrmca-cip-27]: set takes twice as long for each 20 °F less. Activation energies of 43 to 47 kJ/mol say
    /// so between 50 and 90 °F; the rule is round, a tenth is allowed.
    #[test]
    fn literature_set_time_doubles_per_twenty_fahrenheit() {
        let speed = |at: f64| {
            Activation::Constant(45e3).speed(Temperature::fahrenheit(at), Temperature::fahrenheit(70.0))
        };
        assert!((1.0 / speed(50.0) - 2.0).abs() < 0.2, "{}", 1.0 / speed(50.0));
        assert!((speed(90.0) - 2.0).abs() < 0.2, "{}", speed(90.0));
    }

    proptest! {
        #[test]
        fn warmer_is_never_younger(
            energy in 25e3..60e3_f64, at in -5.0..60.0_f64, more in 0.0..5.0_f64, hours in 0.1..100.0_f64,
        ) {
            for activation in [Activation::Constant(energy), Activation::RisingInTheCold] {
                let age = |at: f64| equivalent_age(
                    &[Spell { span: TimeSpan::hours(hours), temperature: celsius(at) }],
                    activation,
                    celsius(21.1),
                );
                prop_assert!(age(at + more) >= age(at));
            }
        }

        #[test]
        fn at_the_reference_temperature_age_is_time(
            energy in 25e3..60e3_f64, at in 0.0..40.0_f64, hours in 0.1..100.0_f64,
        ) {
            let spell = Spell { span: TimeSpan::hours(hours), temperature: celsius(at) };
            let age = equivalent_age(&[spell], Activation::Constant(energy), celsius(at));
            prop_assert!((age.in_hours() - hours).abs() < 1e-9);
        }
    }
}
