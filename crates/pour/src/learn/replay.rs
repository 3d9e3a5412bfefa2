//! The past told again: each pour foretold from those before it, and by the default.

use basis::math::{log, normal_below};

use super::shrink::Law;
use super::{Prior, Seen, learn};

/// One pour, foretold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Replayed {
    /// Foretold by the pours before it.
    pub learned: Law,
    /// Foretold by the default.
    pub default: Law,
    /// Chance that the learned law gave to a value no larger than the one that came.
    pub learned_chance: f64,
    /// The same of the default.
    pub default_chance: f64,
    /// By how much the learned law gave the value more weight: the difference of the logarithms of the densities.
    pub gain: f64,
}

/// The past, foretold pour by pour.
#[derive(Debug, Clone, PartialEq)]
pub struct Replay {
    /// Pour by pour, in the order handed in.
    pub pours: Vec<Replayed>,
    /// Root of the mean squared miss, learned and by default.
    pub miss: [f64; 2],
    /// Share of the pours within the span from 10 to 90 %, learned and by default: 80 % would be honest.
    pub inside: [f64; 2],
    /// Mean gain; over zero, learning foretold better.
    pub gain: f64,
}

/// Foretells each pour from those before it, in the order handed in. Nothing for no pours; what is no number is not counted.
#[must_use]
pub fn replay(prior: Prior, seen: &[Seen]) -> Option<Replay> {
    // The default knows no kinds.
    let default = learn(prior, &[], "").next;
    let counted = seen.iter().enumerate().filter(|(_, pour)| pour.value.is_finite() && pour.sd >= 0.0);
    let pours: Vec<(f64, Replayed)> = counted
        .map(|(i, pour)| {
            let learned = learn(prior, &seen[..i], &pour.kind).next;
            (pour.value, told(learned, default, pour))
        })
        .collect();
    if pours.is_empty() {
        return None;
    }
    let count = pours.len() as f64;
    let mean = |of: &dyn Fn(&(f64, Replayed)) -> f64| pours.iter().map(of).sum::<f64>() / count;
    let miss = |law: fn(&Replayed) -> Law| mean(&|(value, pour)| (value - law(pour).mean).powi(2)).sqrt();
    let inside =
        |chance: fn(&Replayed) -> f64| mean(&|(_, pour)| f64::from((0.1..=0.9).contains(&chance(pour))));
    Some(Replay {
        miss: [miss(|pour| pour.learned), miss(|pour| pour.default)],
        inside: [inside(|pour| pour.learned_chance), inside(|pour| pour.default_chance)],
        gain: mean(&|(_, pour)| pour.gain),
        pours: pours.into_iter().map(|(_, pour)| pour).collect(),
    })
}

fn told(learned: Law, default: Law, pour: &Seen) -> Replayed {
    let wide = |law: Law| (law.sd * law.sd + pour.sd * pour.sd).sqrt().max(f64::MIN_POSITIVE);
    let off = |law: Law| (pour.value - law.mean) / wide(law);
    let weight = |law: Law| -0.5 * off(law) * off(law) - log(wide(law));
    Replayed {
        learned,
        default,
        learned_chance: normal_below(off(learned)),
        default_chance: normal_below(off(default)),
        gain: weight(learned) - weight(default),
    }
}
