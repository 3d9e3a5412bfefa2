//! The top of a slab: wind, sun and sky on it, and what covers it.

use basis::{Speed, TimeSpan, math};

/// Constant of Stefan and Boltzmann, W/(m²·K⁴).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Share of the sun that wet and dry concrete take up, and emissivity: [`Cover::Bare`].
///
/// Grey concrete reflects 41 to 77 % when mature and smooth, 23 points less wet, 8 less fresh [@levinson-akbari-2001].
pub const WET_ABSORPTIVITY: f64 = 0.70;
/// See [`WET_ABSORPTIVITY`].
pub const DRY_ABSORPTIVITY: f64 = 0.60;
/// Emissivity of concrete: 0.85 to 0.95 for all that is no metal [@marceau-vangeem-2008].
pub const EMISSIVITY: f64 = 0.90;

/// Coefficient of heat transfer by convection, W/(m²·K), from the wind at the slab [@bentz-2000].
///
/// `5.6 + 4.0·v` up to 5 m/s, `7.2·v^0.78` above; the two differ by 1 % where they meet. Numbers from memory; a guide of the
/// US Army Corps of Engineers [@etl-1110-2-365], read, has 5.62 + 3.91·v in these units.
///
/// ```
/// let still = clock::surface::convection(basis::Speed::metres_per_second(0.0));
/// assert!((still - 5.6).abs() < 1e-12);
/// ```
#[must_use]
pub fn convection(wind: Speed) -> f64 {
    let speed = wind.in_metres_per_second();
    if speed <= 5.0 { 5.6 + 4.0 * speed } else { 7.2 * math::pow(speed, 0.78) }
}

/// What lies on the slab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cover {
    /// Nothing: water evaporates, rain falls on it.
    Bare,
    /// A white curing compound: no water leaves.
    CuringCompound,
    /// A clear sheet: no water leaves, the sun passes.
    ClearSheet,
    /// A white sheet: no water leaves, most of the sun is sent back.
    WhiteSheet,
    /// A blanket: no water leaves, and heat passes its resistance, m²·K/W (US R-value × 0.176).
    Blanket(f64),
}

/// A cover from an instant on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Covering {
    /// Time after placing.
    pub from: TimeSpan,
    /// What lies on the slab from then on.
    pub cover: Cover,
}

/// How a cover meets sun, sky, wind and water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Skin {
    /// Share of the sun taken up while water stands.
    pub wet: f64,
    /// Share of the sun taken up when none does.
    pub dry: f64,
    /// Emissivity of the outer face.
    pub emissivity: f64,
    /// Resistance to heat, m²·K/W.
    pub resistance: f64,
    /// 1 when water may leave and rain may come, else 0.
    pub open: f64,
}

impl Cover {
    /// Compound and white sheet take up 0.40 of the sun, a blanket (grey) 0.60: from memory, as no table was readable.
    pub(crate) const fn skin(self) -> Skin {
        let bare = Skin {
            wet: WET_ABSORPTIVITY,
            dry: DRY_ABSORPTIVITY,
            emissivity: EMISSIVITY,
            resistance: 0.0,
            open: 1.0,
        };
        match self {
            Self::Bare => bare,
            Self::ClearSheet => Skin { open: 0.0, ..bare },
            Self::CuringCompound | Self::WhiteSheet => Skin { wet: 0.40, dry: 0.40, open: 0.0, ..bare },
            Self::Blanket(resistance) => Skin { wet: 0.60, resistance, open: 0.0, ..bare },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Corps of Engineers [@etl-1110-2-365], appendix A, read: 0.165 + 0.0513·V below 10.9 mph, 0.1132·V^0.8 above, in
    /// Btu/(day·in²·°F) of 34.07 W/(m²·K). Another fit of the same kind of tests: 10 % is allowed from 0 to 10 m/s.
    #[test]
    fn literature_convection_of_the_corps_of_engineers() {
        for speed in [0.0, 1.0, 2.0, 4.0, 5.0, 8.0, 10.0] {
            let mph = Speed::metres_per_second(speed).in_miles_per_hour();
            let printed =
                34.07 * if mph < 10.9 { 0.165 + 0.0513 * mph } else { 0.1132 * math::pow(mph, 0.8) };
            let ours = convection(Speed::metres_per_second(speed));
            assert!((ours / printed - 1.0).abs() < 0.10, "{speed} m/s: {ours} against {printed}");
        }
    }

    #[test]
    fn more_wind_never_cools_less() {
        let mut before = 0.0;
        for tenth in 0..150 {
            let now = convection(Speed::metres_per_second(f64::from(tenth) * 0.1));
            // The two pieces meet within 1.5 %.
            assert!(now > before * 0.985, "{tenth}");
            before = now;
        }
    }
}
