//! Degree of hydration and its heat from the mix: the three-parameter model and its regressions.
//!
//! `α(te) = αu·exp(−(τ/te)^β)` over the equivalent age `te`, with the parameters from the cement's composition and fineness,
//! the water and the ash and slag. Admixtures are not in the regressions: [`Hydration::slowed`] moves the whole curve, set
//! and heat alike, by the factor that the set is moved by.

mod cement;
mod check;

pub use cement::composition;

use basis::{Report, math};

use crate::mix::{Ash, AshClass, CementAnalysis, Mix};

/// Equivalent ages count hours at this temperature, K: 21.1 °C, 70 °F [@schindler-folliard-2005].
pub const REFERENCE: f64 = 294.25;

/// How a mix hydrates: the parameters of the three-parameter model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hydration {
    /// Cementitious material, kg/m³ of concrete.
    pub cementitious: f64,
    /// Heat of full hydration, J/kg of cementitious material.
    pub heat: f64,
    /// Degree of hydration after endless time, a part of one.
    pub ultimate: f64,
    /// Time parameter τ, hours at 21.1 °C.
    pub time: f64,
    /// Shape parameter β.
    pub shape: f64,
    /// Activation energy, J/mol.
    pub energy: f64,
}

impl Hydration {
    /// Degree of hydration at an equivalent age in hours; 0 at age 0 and before.
    ///
    /// ```
    /// use clock::hydration::Hydration;
    /// let simple = Hydration { cementitious: 335.0, heat: 450e3, ultimate: 0.75, time: 14.0, shape: 0.9, energy: 40e3 };
    /// assert!((simple.degree(14.0) - 0.75 * (-1.0_f64).exp()).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn degree(&self, age: f64) -> f64 {
        if age <= 0.0 {
            return 0.0;
        }
        self.ultimate * math::exp(-math::pow(self.time / age, self.shape))
    }

    /// How fast the degree of hydration grows at an equivalent age, per hour of equivalent age.
    #[must_use]
    pub fn rate(&self, age: f64) -> f64 {
        if age <= 0.0 {
            return 0.0;
        }
        let spent = math::pow(self.time / age, self.shape);
        self.ultimate * math::exp(-spent) * spent * self.shape / age
    }

    /// Equivalent age in hours at which a degree of hydration is reached; infinite from the ultimate degree on.
    #[must_use]
    pub fn age_at(&self, degree: f64) -> f64 {
        if degree <= 0.0 {
            return 0.0;
        }
        if degree >= self.ultimate {
            return f64::INFINITY;
        }
        self.time * math::pow(-math::log(degree / self.ultimate), -1.0 / self.shape)
    }

    /// Heat set free by an equivalent age in hours, J/m³ of concrete.
    #[must_use]
    pub fn released(&self, age: f64) -> f64 {
        self.heat * self.cementitious * self.degree(age)
    }

    /// The same mix with every equivalent age multiplied: an admixture or the crew's factor on the set, over 1 for slower.
    ///
    /// Set and heat move together; that an admixture leaves the shape alone is our simplification.
    #[must_use]
    pub fn slowed(self, factor: f64) -> Self {
        Self { time: self.time * factor, ..self }
    }
}

/// Parameters of a mix by the regressions of Schindler and Folliard [@schindler-folliard-2005], admixtures left out.
///
/// # Errors
/// A mix that cannot exist is refused, all its faults at once; outside the range of the fits a warning goes along.
///
/// ```
/// use basis::{Density, Estimate, Origin, Pressure, Share};
/// use clock::mix::{Aggregate, Air, Cement, Mix};
/// let mix = Mix {
///     cement: Cement::TypeI, cementitious: Density::pounds_per_cubic_yard(564.0), water_per_cementitious: 0.5,
///     ash: None, slag: Share::ZERO, admixtures: vec![], air: Air::Entrapped, strength: Pressure::psi(4000.0),
///     aggregate: Aggregate::Medium, stated_set: None, set_factor: Estimate::new(1.0, 0.2, Origin::Assumed),
/// };
/// let hydration = clock::hydration::hydration(&mix).value.unwrap();
/// // Ultimate degree of a plain mix at w/cm 0.50: 1.031·0.5/(0.194 + 0.5).
/// assert!((hydration.ultimate - 0.7428).abs() < 5e-5);
/// ```
#[must_use]
pub fn hydration(mix: &Mix) -> Report<Hydration> {
    let cement = composition(mix.cement);
    let notes = check::notes(mix, &cement);
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let blend = Blend::of(mix);
    let value = Hydration {
        cementitious: mix.cementitious.in_kilograms_per_cubic_metre(),
        heat: 1000.0 * heat(&cement, &blend),
        ultimate: ultimate(mix.water_per_cementitious, &blend),
        time: time(&cement, &blend),
        shape: shape(&cement, &blend),
        energy: energy(&cement, &blend),
    };
    Report::with(value, notes)
}

/// Shares of the cementitious material and the lime of the ash, parts of one.
#[derive(Debug, Clone, Copy)]
struct Blend {
    cement: f64,
    ash: f64,
    lime_of_ash: f64,
    slag: f64,
}

impl Blend {
    fn of(mix: &Mix) -> Self {
        let (ash, lime_of_ash) = mix.ash.map_or((0.0, 0.0), |ash| (ash.share.in_ratio(), lime(ash)));
        let slag = mix.slag.in_ratio();
        Self { cement: 1.0 - ash - slag, ash, lime_of_ash, slag }
    }
}

/// Lime (CaO) of an ash by its class, a part of one: 5 % and 25 %, typical values, from memory.
fn lime(ash: Ash) -> f64 {
    match ash.class {
        AshClass::F => 0.05,
        AshClass::C => 0.25,
    }
}

/// Heat of full hydration of the cement alone, J/g.
fn heat_of_cement(c: &CementAnalysis) -> f64 {
    500.0 * c.c3s
        + 260.0 * c.c2s
        + 866.0 * c.c3a
        + 420.0 * c.c4af
        + 624.0 * c.so3
        + 1186.0 * c.free_lime
        + 850.0 * c.magnesia
}

fn heat(cement: &CementAnalysis, blend: &Blend) -> f64 {
    heat_of_cement(cement) * blend.cement + 461.0 * blend.slag + 1800.0 * blend.lime_of_ash * blend.ash
}

/// Capped at 1: the printed cap is 1.0 as remembered and 1.09 in a later text; it matters for much ash with slag only.
fn ultimate(water: f64, blend: &Blend) -> f64 {
    (1.031 * water / (0.194 + water) + 0.50 * blend.ash + 0.30 * blend.slag).min(1.0)
}

fn time(c: &CementAnalysis, blend: &Blend) -> f64 {
    66.78
        * math::pow(c.c3a, -0.154)
        * math::pow(c.c3s, -0.401)
        * math::pow(c.blaine, -0.804)
        * math::pow(c.so3, -0.758)
        * math::exp(2.187 * blend.slag + 9.50 * blend.ash * blend.lime_of_ash)
}

fn shape(c: &CementAnalysis, blend: &Blend) -> f64 {
    181.4
        * math::pow(c.c3a, 0.146)
        * math::pow(c.c3s, 0.227)
        * math::pow(c.blaine, -0.535)
        * math::pow(c.so3, 0.558)
        * math::exp(-0.647 * blend.slag)
}

fn energy(c: &CementAnalysis, blend: &Blend) -> f64 {
    let factor = 1.0 - 1.05 * blend.ash * (1.0 - blend.lime_of_ash / 0.40) + 0.40 * blend.slag;
    22_100.0 * factor * math::pow(c.c3a, 0.30) * math::pow(c.c4af, 0.25) * math::pow(c.blaine, 0.35)
}

#[cfg(test)]
mod tests;
