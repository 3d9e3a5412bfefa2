//! Long-wave radiation that comes down on a slab: from the air of the sky, from cloud, and from what stands over it.

use basis::math::{log, pow};
use basis::{Pressure, Share, Temperature};

/// Radiation of a black body, W/m²K⁴ (Stefan and Boltzmann; exact constants of 2019 round to this).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_4e-8;

/// Share of the rest that full cloud fills up: 0.84 [@campbell-norman-1998]; 0.47 to 0.9 are in use.
pub const CLOUD_SHARE: f64 = 0.84;

/// Emissivity of a clear sky by dew point: `0.711 + 0.56 (Td/100) + 0.73 (Td/100)²` [@berdahl-martin-1984].
///
/// Found for dew points of -20 to 30 °C; outside, the nearest of these is taken. The original adds ±0.013 between
/// night and noon, which is left out.
///
/// ```
/// use basis::Temperature;
/// // 20 °C at 50 %: dew point 9.3 °C, emissivity 0.769.
/// let emissivity = clock::sky::clear_emissivity(Temperature::celsius(9.27));
/// assert!((emissivity - 0.769).abs() < 0.001);
/// ```
#[must_use]
pub fn clear_emissivity(dew_point: Temperature) -> f64 {
    let t = dew_point.in_celsius().clamp(-20.0, 30.0) / 100.0;
    0.711 + t * (0.56 + 0.73 * t)
}

/// Emissivity of a clear sky by Brutsaert, for comparison: `1.24 (e/T)^(1/7)`, e in hPa, T in K [@brutsaert-1975].
#[must_use]
pub fn brutsaert(air: Temperature, vapour: Pressure) -> f64 {
    1.24 * pow(vapour.in_pascals().max(0.0) / 100.0 / air.in_kelvins(), 1.0 / 7.0)
}

/// Emissivity of a clear sky by Clark and Allen, for comparison: `0.787 + 0.764 ln(Td/273)` (from memory).
#[must_use]
pub fn clark_allen(dew_point: Temperature) -> f64 {
    0.787 + 0.764 * log(dew_point.in_kelvins() / 273.0)
}

/// Emissivity of a sky with cloud: a clear one's, and [`CLOUD_SHARE`] of what it lacks for the covered part.
#[must_use]
pub fn emissivity(clear: f64, cloud: Share) -> f64 {
    clear + CLOUD_SHARE * cloud.in_ratio().clamp(0.0, 1.0) * (1.0 - clear)
}

/// Long-wave radiation from the whole sky, W/m²: emissivity × σ T⁴ of the air at the ground.
///
/// ```
/// use basis::{Share, Temperature};
/// use clock::{moist_air, sky};
/// let air = Temperature::celsius(20.0);
/// let vapour = moist_air::vapour_pressure(air, Share::percent(50.0));
/// // The equations by hand: 322.2 W/m² from a clear sky.
/// assert!((sky::down(air, vapour, Share::ZERO) - 322.2).abs() < 0.3);
/// ```
#[must_use]
pub fn down(air: Temperature, vapour: Pressure, cloud: Share) -> f64 {
    // Air too dry for a dew point counts as the driest that the formula knows.
    let dew = crate::moist_air::dew_point(vapour).unwrap_or(Temperature::celsius(-20.0));
    emissivity(clear_emissivity(dew), cloud) * black_body(air)
}

/// Radiation of a black surface, W/m²: roofs, walls and trees at the air's temperature count as such.
#[must_use]
pub fn black_body(temperature: Temperature) -> f64 {
    STEFAN_BOLTZMANN * pow(temperature.in_kelvins(), 4.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::moist_air::{dew_point, vapour_pressure};
    use proptest::prelude::*;

    /// The equations computed apart from this code: Berdahl and Martin, Brutsaert, Clark and Allen at four states.
    #[test]
    fn emissivities_by_hand() {
        for (air, percent, berdahl, by_brutsaert, by_clark) in [
            (20.0, 50.0, 0.7694, 0.7826, 0.8130),
            (30.0, 40.0, 0.8112, 0.8215, 0.8282),
            (0.0, 80.0, 0.6947, 0.6980, 0.7789),
            (35.0, 20.0, 0.7654, 0.7728, 0.8115),
        ] {
            let warm = Temperature::celsius(air);
            let vapour = vapour_pressure(warm, Share::percent(percent));
            let dew = dew_point(vapour).expect("moist");
            assert!((clear_emissivity(dew) - berdahl).abs() < 5e-4, "{air}: {}", clear_emissivity(dew));
            assert!((brutsaert(warm, vapour) - by_brutsaert).abs() < 5e-4);
            assert!((clark_allen(dew) - by_clark).abs() < 5e-4);
        }
    }

    /// A clear sky at 20 °C and 50 % is as cold as a black one at 1.4 °C.
    #[test]
    fn a_clear_sky_is_cold() {
        let air = Temperature::celsius(20.0);
        let clear = down(air, vapour_pressure(air, Share::percent(50.0)), Share::ZERO);
        let as_cold = pow(clear / STEFAN_BOLTZMANN, 0.25) - 273.15;
        assert!((as_cold - 1.40).abs() < 0.06, "{as_cold}");
    }

    proptest! {
        #[test]
        fn cloud_warms_and_no_sky_outshines_a_black_body(
            air in -20.0..40.0_f64, percent in 5.0..100.0_f64, cloud in 0.0..0.95_f64,
        ) {
            let warm = Temperature::celsius(air);
            let vapour = vapour_pressure(warm, Share::percent(percent));
            let some = down(warm, vapour, Share::ratio(cloud));
            let more = down(warm, vapour, Share::ratio(cloud + 0.05));
            prop_assert!(more > some && more < black_body(warm));
        }
    }
}
