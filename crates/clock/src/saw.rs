//! When joints can be sawn: not before the cut stops ravelling, not after the slab pulls.
//!
//! The near limit is a strength by the aggregate, that of an early-entry saw is final set; the far limit comes with
//! cooling from the peak, or when restrained shortening uses up a part of the young tensile strength. Published hours
//! are a cross-check only, for they disagree on where to count from and how far to go.

use basis::{Share, TemperatureDifference};

use crate::history::State;
use crate::mix::Aggregate;
use crate::strength::{StrengthModel, early_tension_psi, weakest};
use crate::timeline::Timeline;

/// Thermal expansion of concrete, 1/°F, from memory.
const EXPANSION: f64 = 5.5e-6;
/// What is left of a restrained stress after creep in the first day; proposal.
const RELAXED: f64 = 0.5;

/// Limits of sawing. All defaults are proposals; see `docs/methods/sawing.md`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SawModel {
    /// Strength at which a conventional saw stops ravelling, psi.
    pub near: f64,
    /// Joints must be in before the slab's mean temperature has fallen this far below its peak.
    pub cooling: TemperatureDifference,
    /// Joints must be in before restrained stress is this part of the tensile strength.
    pub stress: Share,
}

impl SawModel {
    /// The limits for an aggregate.
    #[must_use]
    pub fn of(aggregate: Aggregate) -> Self {
        let near = match aggregate {
            Aggregate::Soft => 300.0,
            Aggregate::Medium => 500.0,
            Aggregate::Hard => 1000.0,
        };
        Self { near, cooling: TemperatureDifference::fahrenheit_degrees(15.0), stress: Share::ratio(0.6) }
    }

    /// Hours since placing from which a conventional saw does not ravel: strength at surface and middle.
    pub(crate) fn from(&self, strength: &StrengthModel, line: Timeline<'_>, set_factor: f64) -> Option<f64> {
        let age = |state: &State| state.age_surface.min(state.age_middle);
        line.reaches(age, strength.age_at(self.near, set_factor))
    }

    /// Hours since placing before which joints must be in.
    pub(crate) fn before(
        &self,
        strength: &StrengthModel,
        line: Timeline<'_>,
        set_factor: f64,
    ) -> Option<f64> {
        let from = line.reaches(weakest, set_factor * strength.last_set)?;
        let mut peak = f64::NEG_INFINITY;
        let mut before: Option<(f64, f64, &State)> = None;
        // Strength only grows, and the drop that it allows with it: most states need no figure of their own.
        let mut at_least = 0.0;
        for (hours, state) in line.entries().skip_while(|(hours, _)| *hours < from) {
            peak = peak.max(state.mean);
            let drop = TemperatureDifference::kelvins(peak - state.mean).in_fahrenheit_degrees();
            if drop > at_least {
                at_least = self.allowed_drop(strength, state, set_factor);
                if drop >= at_least {
                    let used = |(_, drop, state): (f64, f64, &State)| {
                        drop / self.allowed_drop(strength, state, set_factor)
                    };
                    return Some(crossing(before.map(|b| (b.0, used(b))), (hours, drop / at_least)));
                }
            }
            before = Some((hours, drop, state));
        }
        None
    }

    /// Cooling in °F that a slab of this state may go through since its peak.
    fn allowed_drop(&self, strength: &StrengthModel, state: &State, set_factor: f64) -> f64 {
        let psi = strength.psi(weakest(state), set_factor);
        let cooling = self.cooling.in_fahrenheit_degrees();
        if psi > 0.0 { cooling.min(stress_drop(psi, self.stress)) } else { cooling }
    }
}

/// Drop of temperature in °F at which fully restrained, relaxed stress is a part of the tensile strength.
///
/// `σ = 0.5·E·α·ΔT`, `E = 57,000·√f'c` (ACI 318), tension as in [`crate::strength::early_tension`].
pub(crate) fn stress_drop(psi: f64, part: Share) -> f64 {
    part.in_ratio() * early_tension_psi(psi) / (RELAXED * 57_000.0 * psi.sqrt() * EXPANSION)
}

/// Where a rising value passed 1 between two entries.
fn crossing(before: Option<(f64, f64)>, after: (f64, f64)) -> f64 {
    match before {
        Some((hours, used)) if after.1 > used => hours + (1.0 - used) / (after.1 - used) * (after.0 - hours),
        _ => after.0,
    }
}

#[cfg(test)]
mod tests;
