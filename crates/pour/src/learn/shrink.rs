//! One value of a crew by its pours: normal laws on three levels, the spread from pour to pour averaged over.

use std::collections::BTreeMap;

use basis::math::{exp, log};

use super::Seen;

/// Shares of a default's variance: the crew against other crews, its kinds among each other, its pours among each other (our choice).
const SHARES: [f64; 3] = [0.35, 0.15, 0.50];
/// Doubt of the spread from pour to pour, as a natural logarithm (our choice): a factor of 1.6 either way.
const SPREAD_DOUBT: f64 = 0.5;
/// Points of the average over that spread, and how far out they reach in standard deviations.
const POINTS: usize = 61;
const REACH: f64 = 4.0;
/// A pour is wild when it lies so many standard deviations off what the other pours foretell.
pub const WILD: f64 = 3.5;

/// What is taken before the first pour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// The expected value.
    pub mean: f64,
    /// Doubt of the crew's own mean.
    pub crew: f64,
    /// Spread among kinds.
    pub kinds: f64,
    /// Spread from pour to pour, itself in doubt.
    pub pours: f64,
}

impl Prior {
    /// A default with its doubt of one pour, shared out among the three levels.
    ///
    /// ```
    /// use pour::learn::{Prior, learn};
    /// // With no pour the next one is the default.
    /// let next = learn(Prior::split(0.04, 0.02), &[], "stone").next;
    /// assert!((next.mean - 0.04).abs() < 1e-12 && (next.sd - 0.02).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn split(mean: f64, sd: f64) -> Self {
        // The mean square of a spread that is itself in doubt is larger than the square of its middle.
        let within = points().map(|(weight, factor)| weight * factor * factor).sum::<f64>();
        let [crew, kinds, pours] = SHARES.map(|share| sd * share.sqrt());
        Self { mean, crew, kinds, pours: pours / within.sqrt() }
    }
}

/// A mean and a standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Law {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// One pour in the light of all others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evidence {
    /// Index into what was handed in.
    pub index: usize,
    /// How many standard deviations it lies off what the other pours foretell.
    pub off: f64,
}

impl Evidence {
    /// Whether it asks to be looked at; it is counted all the same.
    #[must_use]
    pub fn is_wild(&self) -> bool {
        self.off.abs() > WILD
    }
}

/// What the pours teach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learned {
    /// The next pour of the kind.
    pub next: Law,
    /// The mean of all pours of the kind.
    pub typical: Law,
    /// Spread from pour to pour.
    pub pours: f64,
    /// How much of what is said of the mean comes from the pours and not from the default, 0 to 1.
    pub own: f64,
    /// Pours of the kind that were counted.
    pub count: usize,
}

/// Learns the next value of a kind from pours of all kinds. What is no number, or has a doubt under zero, is not counted.
///
/// `y = θ(kind) + pour + error`, `θ(kind) ~ N(μ, kinds²)`, `μ ~ N(mean, crew²)`, `pour ~ N(0, w²)` with `log w` normal about the
/// logarithm of `pours`; given `w` everything is exact [@gelman-bda3, section 5.4], and the average over `w` takes 61 points.
///
/// ```
/// use pour::learn::{Prior, Seen, learn};
/// // A crew's mean of 0 ± 2, and four pours of 1, each seen to ± 1: precisions of 1/4 and 4 give 4/(1/4 + 4) = 0.941.
/// let prior = Prior { mean: 0.0, crew: 2.0, kinds: 0.0, pours: 1e-9 };
/// let seen: Vec<Seen> =
///     (0..4).map(|i| Seen { pour: i.to_string(), kind: "a".into(), value: 1.0, sd: 1.0 }).collect();
/// let learned = learn(prior, &seen, "a");
/// assert!((learned.typical.mean - 4.0 / 4.25).abs() < 1e-9);
/// ```
#[must_use]
pub fn learn(prior: Prior, seen: &[Seen], kind: &str) -> Learned {
    given(prior, &groups(seen.iter().filter(|pour| is_sound(pour))), kind)
}

/// How far each pour lies off what the others foretell; pours that are not counted are left out.
#[must_use]
pub fn evidence(prior: Prior, seen: &[Seen]) -> Vec<Evidence> {
    let sound: Vec<usize> = (0..seen.len()).filter(|i| is_sound(&seen[*i])).collect();
    let off = |index: usize| {
        let pour = &seen[index];
        let others = groups(sound.iter().filter(|i| **i != index).map(|i| &seen[*i]));
        let foretold = given(prior, &others, &pour.kind).next;
        let sd = (foretold.sd * foretold.sd + pour.sd * pour.sd).sqrt();
        if sd > 0.0 { (pour.value - foretold.mean) / sd } else { 0.0 }
    };
    sound.iter().map(|index| Evidence { index: *index, off: off(*index) }).collect()
}

fn is_sound(seen: &Seen) -> bool {
    seen.value.is_finite() && seen.sd.is_finite() && seen.sd >= 0.0
}

/// Values with their doubts, by kind.
type Groups<'a> = BTreeMap<&'a str, Vec<[f64; 2]>>;

fn groups<'a>(seen: impl Iterator<Item = &'a Seen>) -> Groups<'a> {
    let mut groups = Groups::new();
    for pour in seen {
        groups.entry(&pour.kind).or_default().push([pour.value, pour.sd]);
    }
    groups
}

/// Weights and factors of the spread's points, by its own law.
fn points() -> impl Iterator<Item = (f64, f64)> {
    let at = |i: usize| REACH * (2.0 * i as f64 / (POINTS - 1) as f64 - 1.0);
    let total: f64 = (0..POINTS).map(|i| exp(-0.5 * at(i) * at(i))).sum();
    (0..POINTS).map(move |i| (exp(-0.5 * at(i) * at(i)) / total, exp(SPREAD_DOUBT * at(i))))
}

/// What grouped pours teach.
fn given(prior: Prior, groups: &Groups<'_>, kind: &str) -> Learned {
    let cases: Vec<(f64, f64, Case)> = points()
        .map(|(weight, factor)| {
            let within = prior.pours * factor;
            let case = case(prior, groups, kind, within);
            (log(weight) + case.log_likelihood, within, case)
        })
        .collect();
    let most = cases.iter().map(|(weight, ..)| *weight).fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = cases.iter().map(|(weight, ..)| exp(weight - most)).collect();
    let total: f64 = weights.iter().sum();
    let mean_of = |value: &dyn Fn(f64, &Case) -> f64| -> f64 {
        let parts =
            cases.iter().zip(&weights).map(|((_, within, case), weight)| weight * value(*within, case));
        parts.sum::<f64>() / total
    };
    let mean = mean_of(&|_, case| case.theta.mean);
    let between = mean_of(&|_, case| (case.theta.mean - mean) * (case.theta.mean - mean));
    let doubt = mean_of(&|_, case| case.theta.sd * case.theta.sd) + between;
    let within = mean_of(&|within, _| within * within);
    let before = prior.crew * prior.crew + prior.kinds * prior.kinds;
    let own = if before > 0.0 { (1.0 - doubt / before).clamp(0.0, 1.0) } else { 0.0 };
    Learned {
        next: Law { mean, sd: (doubt + within).sqrt() },
        typical: Law { mean, sd: doubt.sqrt() },
        pours: within.sqrt(),
        own,
        count: groups.get(kind).map_or(0, Vec::len),
    }
}

/// The kind's mean and the likelihood of all pours, for one spread from pour to pour.
struct Case {
    theta: Law,
    log_likelihood: f64,
}

fn case(prior: Prior, groups: &Groups<'_>, kind: &str, within: f64) -> Case {
    let apart = prior.kinds * prior.kinds;
    let mut crew = [prior.mean, prior.crew * prior.crew];
    let mut log_likelihood = 0.0;
    let mut own = None;
    for (name, pours) in groups {
        let [mean, variance, inside] = pooled(pours, within);
        log_likelihood += inside;
        if *name == kind {
            own = Some([mean, variance]);
        }
        // The group's mean, foretold by what is known of the crew so far, then learned from.
        let spread = crew[1] + apart + variance;
        if spread > 0.0 {
            let miss = mean - crew[0];
            log_likelihood -= 0.5 * (log(spread) + miss * miss / spread);
            let gain = crew[1] / spread;
            crew = [crew[0] + gain * miss, crew[1] * (1.0 - gain)];
        }
    }
    let theta = own.map_or([crew[0], crew[1] + apart], |own| of_kind(crew, apart, own));
    Case { theta: Law { mean: theta[0], sd: theta[1].max(0.0).sqrt() }, log_likelihood }
}

/// Pours of one kind as one: weighted mean, its variance, and the part of the likelihood that lies among them.
fn pooled(pours: &[[f64; 2]], within: f64) -> [f64; 3] {
    let variance = |sd: f64| (within * within + sd * sd).max(f64::MIN_POSITIVE);
    let precision: f64 = pours.iter().map(|[_, sd]| 1.0 / variance(*sd)).sum();
    let mean = pours.iter().map(|[value, sd]| value / variance(*sd)).sum::<f64>() / precision;
    let inside: f64 = pours
        .iter()
        .map(|[value, sd]| {
            let miss = value - mean;
            log(variance(*sd)) + miss * miss / variance(*sd)
        })
        .sum();
    // The product of the pours' laws is that of their mean times this.
    [mean, 1.0 / precision, -0.5 * (inside + log(precision))]
}

/// The kind's mean when the crew's, which has learned from this kind too, and the kind's own pours are put together.
fn of_kind(crew: [f64; 2], apart: f64, [mean, variance]: [f64; 2]) -> [f64; 2] {
    // Given the crew's mean the kind lies between it and its own pours.
    let share = if apart + variance > 0.0 { apart / (apart + variance) } else { 0.0 };
    let middle = share * mean + (1.0 - share) * crew[0];
    [middle, share * variance + (1.0 - share) * (1.0 - share) * crew[1]]
}
