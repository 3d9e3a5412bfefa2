//! The flux through the top of the slab and its slope over the surface temperature.

use std::array::from_fn;

use super::fast;
use super::lanes::{OF_STAGE, Row};
use super::problem::Drive;
use crate::evaporation::LATENT_HEAT;
use crate::surface::{Cover, STEFAN_BOLTZMANN, Skin};

/// The top of all lanes during one step.
pub(super) struct Face<const L: usize> {
    pub skins: [Skin; L],
}

/// Heat into the slab in W/m², vapour out of it in kg/(m²·s), and their slopes over the surface temperature.
pub(super) struct Flux<const L: usize> {
    pub heat: Row<L>,
    pub heat_slope: Row<L>,
    pub vapour: Row<L>,
    pub vapour_slope: Row<L>,
}

impl Face<1> {
    /// A bare surface.
    pub(super) const fn bare() -> Self {
        Self { skins: [Cover::Bare.skin()] }
    }
}

/// Saturation pressure over water in Pa and its slope, by the formula of Magnus [@alduchov-eskridge-1996].
#[inline(always)]
fn saturation(celsius: f64) -> (f64, f64) {
    let over = 1.0 / (celsius + 243.04);
    let pressure = 610.94 * fast::exp(17.625 * celsius * over);
    (pressure, pressure * (17.625 * 243.04) * over * over)
}

/// Heat by sun, sky and wind on a face at `celsius`, and its slope.
#[inline(always)]
fn dry(drive: &Drive, sun: f64, emissivity: f64, celsius: f64) -> (f64, f64) {
    let kelvin = celsius + 273.15;
    let cube = STEFAN_BOLTZMANN * kelvin * kelvin * kelvin;
    let heat = sun + emissivity * (drive.sky - cube * kelvin) + drive.convection * (drive.air - celsius);
    (heat, -4.0 * emissivity * cube - drive.convection)
}

impl<const L: usize> Face<L> {
    /// Flux at surface temperatures of which a share is wet.
    ///
    /// Under a blanket the outer face, which holds no heat, is found by two steps of Newton's method.
    #[inline(always)]
    pub(super) fn flux(&self, drives: &[Drive; L], surface: &Row<L>, wet: &Row<L>) -> Flux<L> {
        let none = [0.0; L];
        let mut flux = Flux { heat: none, heat_slope: none, vapour: none, vapour_slope: none };
        for l in 0..L {
            let (drive, skin, at) = (&drives[l], &self.skins[l], surface[l]);
            let resistance = skin.resistance;
            let sun = drive.sun * (skin.dry + (skin.wet - skin.dry) * wet[l]);
            let (heat, slope) = dry(drive, sun, skin.emissivity, at);
            let outer = at + resistance * heat / (1.0 - resistance * slope);
            let (heat, slope) = dry(drive, sun, skin.emissivity, outer);
            let inner = 1.0 / (1.0 - resistance * slope);
            let (pressure, pressure_slope) = saturation(at);
            let wet = wet[l] * skin.open * drive.drying;
            let vapour = wet * (pressure - drive.vapour);
            flux.vapour[l] = vapour;
            flux.vapour_slope[l] = wet * pressure_slope;
            flux.heat[l] = (heat + slope * (at - outer)) * inner - LATENT_HEAT * vapour;
            flux.heat_slope[l] = slope * inner - LATENT_HEAT * flux.vapour_slope[l];
        }
        flux
    }
}

impl<const L: usize> Flux<L> {
    /// Heat on the line through `from`, at `to`.
    pub(super) fn heat_at(&self, from: &Row<L>, to: &Row<L>) -> Row<L> {
        from_fn(|l| self.heat[l] + self.heat_slope[l] * (to[l] - from[l]))
    }
    /// Vapour on the line through `from`, at `to`.
    pub(super) fn vapour_at(&self, from: &Row<L>, to: &Row<L>) -> Row<L> {
        from_fn(|l| self.vapour[l] + self.vapour_slope[l] * (to[l] - from[l]))
    }
    /// What the three fluxes of a step add up to over it.
    pub(super) fn weigh(theta: &Row<L>, start: &Row<L>, stage: &Row<L>, end: &Row<L>) -> Row<L> {
        from_fn(|l| theta[l] * (OF_STAGE * (start[l] + stage[l]) + end[l]))
    }
}

#[cfg(test)]
mod tests {
    use basis::Temperature;
    use proptest::prelude::*;

    use super::*;
    use crate::moist_air;

    proptest! {
        /// The fast formula stands for the full one: within 0.3 % from 0 to 50 °C. Under 0 °C wet concrete is not yet ice.
        #[test]
        fn saturation_is_that_of_moist_air(celsius in 0.0..50.0_f64) {
            let full = moist_air::saturation_pressure_over_water(Temperature::celsius(celsius)).in_pascals();
            let (fast, slope) = saturation(celsius);
            prop_assert!((fast / full - 1.0).abs() < 3e-3, "{fast} {full}");
            // Slope by a central difference over 2e-4 K.
            let difference = (saturation(celsius + 1e-4).0 - saturation(celsius - 1e-4).0) / 2e-4;
            prop_assert!((slope / difference - 1.0).abs() < 1e-6);
        }

        /// The flux and its slope belong together, bare and under a blanket.
        #[test]
        fn slope_is_that_of_the_flux(
            surface in -5.0..50.0_f64, air in -10.0..40.0_f64, sun in 0.0..900.0_f64, wet in 0.0..1.0_f64,
            resistance in 0.0..1.0_f64,
        ) {
            let drive = Drive {
                air, vapour: 900.0, convection: 17.0, drying: 2e-7, sun, sky: 330.0, rain: 0.0,
            };
            let open = Skin { resistance, open: if resistance > 0.5 { 0.0 } else { 1.0 }, ..Cover::Bare.skin() };
            let face = Face { skins: [open] };
            let at = |t: f64| face.flux(&[drive], &[t], &[wet]);
            let difference = (at(surface + 1e-3).heat[0] - at(surface - 1e-3).heat[0]) / 2e-3;
            // Under a blanket the slope leaves out how radiation bends, some per cent of it.
            let allowed = if resistance > 0.0 { 0.06 } else { 1e-5 };
            prop_assert!((at(surface).heat_slope[0] / difference - 1.0).abs() < allowed);
        }
    }
}
