//! Learning the set factor from what is seen on the slab: Bayes on a grid, draw by draw.
//!
//! A draw is a possible course of weather and placing with a set factor. Each observation is likely under some draws and
//! unlikely under others. For every draw the set factor's curve is found on a grid, the draw's own factor moves to the
//! same place in that curve that it had in the prior, and the draw counts as much as its history explains what was seen.
//! So nothing observed gives the prior back, draw for draw, and no draw dies of a narrow observation.

mod check;
mod likelihood;

use basis::math::{exp, log, log1p, normal_quantile};
use basis::{Estimate, Length, Note, Origin, Place, Pressure, Report, Temperature, TimeSpan};

use crate::History;
use crate::events::EventModel;
use likelihood::Clue;

/// Beyond this many standard deviations of the prior the set factor is worth a word.
const FAR: f64 = 1.645;
/// Half the width of the grid in standard deviations of the prior, and its cells.
const REACH: f64 = 6.0;
const CELLS: usize = 240;

/// What was seen on a bay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seen {
    /// Depth of a boot print.
    Print(Length),
    /// A thumb test or pocket penetrometer, as resistance.
    Penetration(Pressure),
    /// The crew's machine float went on because the slab was ready.
    FloatStart,
    /// The bleed sheen has just gone.
    SheenGone,
    /// Temperature of the surface.
    SurfaceTemperature(Temperature),
}

/// Something seen, and when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// When, since the bay was placed.
    pub at: TimeSpan,
    /// What.
    pub seen: Seen,
}

/// One draw of what is not known: its set factor, and how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// The set factor.
    pub set_factor: f64,
    /// Its weight; only ratios matter.
    pub weight: f64,
}

/// An observation with the bay that it was made on.
#[derive(Debug, Clone, Copy)]
pub struct Sighting<'a> {
    /// The bay's mix and finish.
    pub model: &'a EventModel,
    /// The bay's histories: one for each draw, or one for all.
    pub histories: &'a [History],
    /// When the bay was placed, from the instant from which the observation's time counts: one for each draw, one for all, or
    /// none when the time counts from placing.
    pub placed: &'a [TimeSpan],
    /// What was seen.
    pub observation: Observation,
}

impl Sighting<'_> {
    /// Hours from placing to the observation on a draw.
    pub(crate) fn hours(&self, draw: usize) -> f64 {
        let placed = self.placed.get(draw).or(self.placed.first()).copied().unwrap_or(TimeSpan::ZERO);
        (self.observation.at - placed).in_hours()
    }
}

/// What has been learned.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// The set factor after all that was seen.
    pub set_factor: Estimate<f64>,
    /// The draws moved and reweighted; weights sum to 1.
    pub draws: Vec<Draw>,
    /// How many draws of equal weight these are worth.
    pub effective_draws: f64,
    /// Misfit of the observations among themselves for each degree of freedom: about 1 or less when they agree.
    pub misfit: f64,
}

/// Even draws of a set factor: mid-points of equal chance in a scattered order that is always the same.
///
/// The law is lognormal with the estimate's mean and spread.
///
/// ```
/// use basis::{Estimate, Origin};
/// let draws = clock::observe::set_draws(&Estimate::new(1.0, 0.2, Origin::Assumed), 1000);
/// let mean: f64 = draws.iter().map(|draw| draw.set_factor * draw.weight).sum();
/// assert!((mean - 1.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn set_draws(prior: &Estimate<f64>, count: usize) -> Vec<Draw> {
    let law = Law::of(prior);
    // Multiples of the golden section never bunch; ranking them gives mid-points of equal chance.
    let golden = 0.618_033_988_749_894_9;
    let mut order: Vec<(f64, usize)> = (0..count).map(|i| ((i as f64 * golden).fract(), i)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut draws = vec![Draw { set_factor: 1.0, weight: 1.0 / count as f64 }; count];
    for (rank, (_, i)) in order.into_iter().enumerate() {
        let z = normal_quantile((rank as f64 + 0.5) / count as f64);
        draws[i].set_factor = exp(law.mean + law.sd * z);
    }
    draws
}

/// Learns from all that was seen: the set factor, and draws for the forecast of every bay.
///
/// `prior` is the law that the draws were taken from. Sightings may come in any order.
///
/// # Errors
/// Figures that cannot be, a sighting outside its history on every draw, and histories or placings that are not one or one
/// for each draw are faults. A draw on which the bay was not yet placed when it was looked at counts for nothing. Observations that contradict each other are a warning, and all of them count less; a set factor far from the
/// prior is a warning.
#[must_use]
pub fn learn(
    prior: &Estimate<f64>,
    draws: &[Draw],
    sightings: &[Sighting<'_>],
    place: &Place,
) -> Report<Learned> {
    let mut notes = check::notes(prior, draws, sightings, place);
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    if sightings.is_empty() {
        return Report::with(unchanged(prior, draws), notes);
    }
    let law = Law::of(prior);
    let mut learned = weigh(law, draws, sightings, 1.0);
    let free = freedom(sightings);
    if learned.misfit * free > free + 3.0 * (2.0 * free).sqrt() {
        notes.push(Note::warning(
            "observations-disagree",
            place.clone(),
            format!(
                "what was seen does not fit together: {:.1} times the misfit that its doubt explains",
                learned.misfit
            ),
            "check time, bay and depth of each; until then each is trusted less",
        ));
        let misfit = learned.misfit;
        learned = Learned { misfit, ..weigh(law, draws, sightings, misfit.sqrt()) };
    }
    let off = law.place_of(learned.set_factor.mean);
    if off.abs() > FAR {
        notes.push(Note::warning(
            "set-far-from-expected",
            place.clone(),
            format!(
                "the slab sets {:.0} % of the expected time",
                100.0 * learned.set_factor.mean / prior.mean
            ),
            "ask the plant whether retarder, accelerator or hot water went in; look at the slab more often",
        ));
    }
    if learned.effective_draws < 0.1 * draws.len() as f64 {
        notes.push(Note::warning(
            "few-draws-left",
            place.clone(),
            format!(
                "what was seen hardly fits the forecast: only about {:.0} of {} drawn days come near it",
                learned.effective_draws,
                draws.len()
            ),
            "trust the slab, not these times: check what was entered, give the weather as it is on site, look again \
             in a quarter hour",
        ));
    }
    Report::with(learned, notes)
}

/// A lognormal law by the mean and spread of the logarithm.
#[derive(Debug, Clone, Copy)]
struct Law {
    mean: f64,
    sd: f64,
}

impl Law {
    /// The law with an estimate's mean and spread.
    fn of(estimate: &Estimate<f64>) -> Self {
        let ratio = estimate.sd / estimate.mean;
        let variance = log1p(ratio * ratio);
        Self { mean: log(estimate.mean) - 0.5 * variance, sd: variance.sqrt() }
    }

    /// Where a set factor stands in the law, in standard deviations.
    fn place_of(self, set_factor: f64) -> f64 {
        if self.sd > 0.0 { ((log(set_factor) - self.mean) / self.sd).clamp(-REACH, REACH) } else { 0.0 }
    }
}

/// What is known when nothing was seen: the prior.
fn unchanged(prior: &Estimate<f64>, draws: &[Draw]) -> Learned {
    let total: f64 = draws.iter().map(|draw| draw.weight).sum();
    let draws: Vec<Draw> = draws.iter().map(|draw| Draw { weight: draw.weight / total, ..*draw }).collect();
    let effective_draws = effective(&draws);
    Learned { set_factor: *prior, draws, effective_draws, misfit: 0.0 }
}

/// One over the sum of squared weights.
fn effective(draws: &[Draw]) -> f64 {
    1.0 / draws.iter().map(|draw| draw.weight * draw.weight).sum::<f64>()
}

/// The prior on a grid of standard deviations, the same for every draw.
struct Grid {
    law: Law,
    /// Chance of each cell, summing to 1.
    chance: Vec<f64>,
    /// Set factor in the middle of each cell.
    factor: Vec<f64>,
}

const CELL: f64 = 2.0 * REACH / CELLS as f64;

impl Grid {
    fn of(law: Law) -> Self {
        let middles: Vec<f64> = (0..CELLS).map(|i| -REACH + (i as f64 + 0.5) * CELL).collect();
        let raw: Vec<f64> = middles.iter().map(|z| exp(-0.5 * z * z)).collect();
        let total: f64 = raw.iter().sum();
        Self {
            law,
            chance: raw.iter().map(|chance| chance / total).collect(),
            factor: middles.iter().map(|z| exp(law.mean + law.sd * z)).collect(),
        }
    }

    /// Logarithm of the set factor in the middle of a cell.
    fn log_factor(&self, cell: usize) -> f64 {
        self.law.mean + self.law.sd * (-REACH + (cell as f64 + 0.5) * CELL)
    }
}

/// Chance below a place on the grid, drawn straight within cells.
fn chance_below(chance: &[f64], z: f64) -> f64 {
    let position = ((z + REACH) / CELL).clamp(0.0, CELLS as f64);
    let cell = (position as usize).min(CELLS - 1);
    chance[..cell].iter().sum::<f64>() + (position - cell as f64) * chance[cell]
}

/// The place on the grid below which a chance lies: the inverse of [`chance_below`].
fn place_below(chance: &[f64], wanted: f64) -> f64 {
    let mut below = 0.0;
    for (cell, part) in chance.iter().enumerate() {
        if below + part >= wanted && *part > 0.0 {
            return -REACH + (cell as f64 + ((wanted - below) / part).clamp(0.0, 1.0)) * CELL;
        }
        below += part;
    }
    REACH
}

/// The curve of one draw after all that was seen.
struct Curve {
    /// Chance of each cell, summing to 1.
    chance: Vec<f64>,
    /// Logarithm of how well the draw's history explains what was seen.
    evidence: f64,
    /// Sum of squared misfits where the observations alone would put the set factor.
    misfit: f64,
    /// Mean of the set factor, and of its square.
    moments: (f64, f64),
}

fn curve(grid: &Grid, clues: &[Clue]) -> Curve {
    let logs: Vec<f64> = (0..CELLS)
        .map(|cell| clues.iter().map(|clue| clue.log_likelihood(grid.log_factor(cell))).sum())
        .collect();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let likely: Vec<f64> = logs.iter().map(|l| exp(l - most)).collect();
    let raw: Vec<f64> = grid.chance.iter().zip(&likely).map(|(chance, likely)| chance * likely).collect();
    let total: f64 = raw.iter().sum();
    let chance: Vec<f64> = raw.iter().map(|part| part / total).collect();
    let all_likely: f64 = likely.iter().sum();
    let alone =
        likely.iter().enumerate().map(|(cell, l)| l / all_likely * grid.log_factor(cell)).sum::<f64>();
    let mean = |value: &dyn Fn(f64) -> f64| chance.iter().zip(&grid.factor).map(|(p, f)| p * value(*f)).sum();
    let moments = (mean(&|factor| factor), mean(&|factor| factor * factor));
    let misfit = clues.iter().map(|clue| clue.squared_misfit(alone)).sum();
    Curve { evidence: most + log(total), misfit, moments, chance }
}

/// Degrees of freedom of what was seen: one is spent on the set factor where stiffness was seen; at least 1.
fn freedom(sightings: &[Sighting<'_>]) -> f64 {
    let of_set =
        |seen: &Sighting| !matches!(seen.observation.seen, Seen::SheenGone | Seen::SurfaceTemperature(_));
    let spent = usize::from(sightings.iter().any(of_set));
    (sightings.len() - spent).max(1) as f64
}

/// Posterior of all draws, with every spread of the observations multiplied by `widened`.
fn weigh(law: Law, draws: &[Draw], sightings: &[Sighting<'_>], widened: f64) -> Learned {
    let grid = Grid::of(law);
    let one_for_all = sightings.iter().all(|seen| seen.histories.len() == 1 && seen.placed.len() <= 1);
    let curves: Vec<Curve> = (0..if one_for_all { 1 } else { draws.len() })
        .map(|j| {
            let clues: Vec<Clue> = sightings.iter().filter_map(|seen| Clue::of(seen, j, widened)).collect();
            curve(&grid, &clues)
        })
        .collect();
    let with_curve = || draws.iter().zip(curves.iter().cycle());
    let most = curves.iter().map(|curve| curve.evidence).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = with_curve().map(|(draw, curve)| draw.weight * exp(curve.evidence - most)).sum();
    let moved: Vec<Draw> = with_curve()
        .map(|(draw, curve)| {
            let below = chance_below(&grid.chance, law.place_of(draw.set_factor));
            let z = place_below(&curve.chance, below);
            let weight = draw.weight * exp(curve.evidence - most) / total;
            Draw { set_factor: exp(law.mean + law.sd * z), weight }
        })
        .collect();
    let over = |value: &dyn Fn(&Curve) -> f64| -> f64 {
        moved.iter().zip(curves.iter().cycle()).map(|(draw, curve)| draw.weight * value(curve)).sum()
    };
    let mean = over(&|curve| curve.moments.0);
    let variance = (over(&|curve| curve.moments.1) - mean * mean).max(0.0);
    Learned {
        set_factor: Estimate::new(mean, variance.sqrt(), Origin::Measured),
        effective_draws: effective(&moved),
        misfit: over(&|curve| curve.misfit) / freedom(sightings),
        draws: moved,
    }
}

#[cfg(test)]
mod tests;
