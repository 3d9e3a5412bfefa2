//! Strength of a young slab from its equivalent age, and what may be done with it at which strength.
//!
//! The shape is that of ACI 209 [@aci-209], `f = f28·t/(a + b·t)` in days, on the equivalent age at the weakest
//! of surface, middle and bottom; nothing before final set. What shifts final set shifts strength by as much.

use basis::math::{exp, log};
use basis::{Pressure, TimeSpan};

use crate::History;
use crate::history::State;
use crate::mix::{Cement, Mix};
use crate::setting::SetModel;
use crate::timeline::Timeline;

/// One freeze does no lasting harm from here, psi [@nrmca-cip-27].
pub const FREEZE_SAFE_PSI: f64 = 500.0;
/// People may walk here from this strength, psi: met about a day after placing at 70 °F, which is common practice, no source.
pub const FOOT_TRAFFIC_PSI: f64 = 500.0;
/// Side forms of a slab may come off from this strength, psi: common practice, no source.
pub const FORMS_OFF_PSI: f64 = 500.0;
/// Light vehicles may drive from this part of the 28-day strength: 7 days moist at 70 °F, common practice, no source.
pub const VEHICLES_PART: f64 = 0.70;
/// Equivalent ages here count at 21.1 °C, the curve of strength at 23 °C; the ratio of speeds at 45 kJ/mol.
const STANDARD_CURING: f64 = 0.889;
/// Cement as fine as this hardens as Type III, m²/kg: half way between the means of Types I and III, from memory.
const FINE_CEMENT: f64 = 460.0;

/// Strength of one mix over equivalent age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrengthModel {
    /// Strength at 28 days, psi.
    pub at_28_days: f64,
    /// Constant `a` of the curve, days.
    pub a: f64,
    /// Constant `b` of the curve.
    pub b: f64,
    /// Final set in equivalent age at a set factor of 1, h.
    pub(crate) last_set: f64,
    /// Final set of plain cement, h.
    plain_set: f64,
}

impl StrengthModel {
    /// The strength of a mix.
    #[must_use]
    pub fn of(mix: &Mix, set: &SetModel) -> Self {
        let early = match mix.cement {
            Cement::TypeIII => true,
            Cement::Analysis(analysis) => analysis.blaine >= FINE_CEMENT,
            Cement::TypeI | Cement::TypeII | Cement::TypeV => false,
        };
        let (a, b) = if early { (2.3, 0.92) } else { (4.0, 0.85) };
        Self { at_28_days: mix.strength.in_psi(), a, b, last_set: set.last, plain_set: set.plain_last }
    }

    /// Strength at an equivalent age in hours at 21.1 °C since water contact, psi; 0 before final set.
    #[must_use]
    pub(crate) fn psi(&self, age: f64, set_factor: f64) -> f64 {
        let set = age >= set_factor * self.last_set;
        if !set {
            return 0.0;
        }
        let days = (STANDARD_CURING * (age - self.delay(set_factor))).max(0.0) / 24.0;
        self.at_28_days * days / (self.a + self.b * days)
    }

    /// Strength at an equivalent age at 21.1 °C since water contact; nothing before final set.
    #[must_use]
    pub fn strength(&self, age: TimeSpan, set_factor: f64) -> Pressure {
        Pressure::psi(self.psi(age.in_hours(), set_factor))
    }

    /// Equivalent age in hours at which a strength in psi is reached; infinite if the curve never does.
    #[must_use]
    pub(crate) fn age_at(&self, psi: f64, set_factor: f64) -> f64 {
        let rest = self.at_28_days - self.b * psi;
        if rest <= 0.0 {
            return f64::INFINITY;
        }
        let hours = 24.0 * self.a * psi / rest / STANDARD_CURING + self.delay(set_factor);
        hours.max(set_factor * self.last_set)
    }

    /// How much later than plain cement the mix sets, h of equivalent age: its strength is late by as much.
    fn delay(&self, set_factor: f64) -> f64 {
        set_factor * self.last_set - self.plain_set
    }

    /// Hours since placing at which all of the depth has a strength in psi.
    pub(crate) fn reaches(&self, line: Timeline<'_>, psi: f64, set_factor: f64) -> Option<f64> {
        line.reaches(weakest, self.age_at(psi, set_factor))
    }

    /// Strength at which light vehicles may drive, psi.
    pub(crate) fn vehicles(&self) -> f64 {
        VEHICLES_PART * self.at_28_days
    }

    /// When all of the depth has a strength, since placing; `None` after the history's end.
    #[must_use]
    pub fn when(&self, history: &History, strength: Pressure, set_factor: f64) -> Option<TimeSpan> {
        self.reaches(Timeline::of(history), strength.in_psi(), set_factor).map(TimeSpan::hours)
    }
}

/// The least equivalent age over the depth, h.
pub(crate) fn weakest(state: &State) -> f64 {
    state.age_surface.min(state.age_middle).min(state.age_bottom)
}

/// Splitting tensile strength of young concrete: `0.584·f'c^0.79` in psi [@oluokun-1991].
///
/// For the first days; square-root rules overstate early tension about twofold. The exponent was read, the
/// coefficient is from memory.
///
/// ```
/// use basis::Pressure;
/// let tension = clock::strength::early_tension(Pressure::psi(1000.0));
/// assert!((tension.in_psi() - 136.9).abs() < 0.1);
/// ```
#[must_use]
pub fn early_tension(strength: Pressure) -> Pressure {
    Pressure::psi(early_tension_psi(strength.in_psi()))
}

/// The same in psi.
pub(crate) fn early_tension_psi(psi: f64) -> f64 {
    if psi > 0.0 { 0.584 * exp(0.79 * log(psi)) } else { 0.0 }
}

#[cfg(test)]
mod tests;
