//! The base from its shots: hyper-parameters by restricted likelihood and a prior, averaged over.
//!
//! With few shots no single length or roughness can be trusted, so none is picked: a grid of both is
//! weighted by restricted likelihood times prior, and predictions are the mixture's mean and covariance.

use std::collections::BTreeSet;

use basis::math::{exp, log};
use basis::{Length, Note, Place, Report};
use nalgebra::{DMatrix, DVector};

use super::average::{ByLength, Data, Group, Node};
use super::kernel::MaternPair;
use super::krige::TrendPrior;
use super::pool::pooled;
use crate::P2;
use crate::polygon::bounds;
use crate::survey::Levelled;

/// Least error of a reading: nobody reads a stick in stone better than 1/64 in.
const LEAST_NOISE: Length = Length::inches(1.0 / 64.0);
/// Middle of the prior for the base's own roughness: 3/8 in, between the 1/4 and 1/2 in taken for a
/// hand-graded base (our reading of core studies [@gustaferro1989]: 0.47–0.90 in on rougher work).
const PRIOR_SD: Length = Length::inches(0.375);
/// Spread of the prior, in natural logarithms: a factor of 1.8 either way.
const PRIOR_SPREAD: f64 = 0.6;
/// Middle of the prior for the length over which the base goes with itself, as a share of its extent.
const PRIOR_LENGTH_SHARE: f64 = 0.33;
/// Spread of the base's fall about the intended one, along each axis: 1 %, so that 19 bases in 20 are graded within 2 % of it.
///
/// Weak on purpose: fine grade held to 3/4 in. [@aci117] at both sides of a floor of 20 ft is 0.6 % already, and a base left
/// level under a floor that falls at 1 to 2 % lies within one to two spreads. Common practice, no source for the spread.
const FALL_SPREAD: f64 = 0.01;
/// Nodes of the grid along each axis, in spreads of the prior.
const NODES: [f64; 7] = [-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4];
/// Nodes lighter than this share of the heaviest are left out.
const LIGHTEST: f64 = 0.01;
/// A shot further from what the others say than this many standard errors is named.
const SUSPICIOUS: f64 = 3.5;

/// A shot of the base.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseShot {
    /// Its name.
    pub name: String,
    /// Where, m.
    pub at: P2,
    /// Elevation, m.
    pub z: f64,
    /// Variance of its own error, m².
    pub variance: f64,
    /// Set-up that shot it.
    pub setup: usize,
    /// Part of the base it stands on; 0 is the main one.
    pub zone: usize,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// What the process is fitted to.
#[derive(Debug, Clone, Copy)]
pub struct ProcessInput<'a> {
    /// Shots of the base.
    pub shots: &'a [BaseShot],
    /// The survey's error model.
    pub levelled: &'a Levelled,
    /// Set-up from which the forms are set: the base is wanted as seen from it. Absent: as it truly is.
    pub datum: Option<usize>,
    /// Rise of the base over a run of one along each axis, as it was meant to be graded.
    pub intended: P2,
}

/// The base with its doubt.
#[derive(Debug, Clone)]
pub struct Process {
    pub(super) shots: Vec<BaseShot>,
    pub(super) errors: Levelled,
    pub(super) datum: Option<usize>,
    pub(super) groups: Vec<Group>,
    /// Covariance of the common errors of two targets seen from the datum, as a form in their trends, m².
    pub(super) own: DMatrix<f64>,
    pub(super) frame: Frame,
    /// Weighted mean of the roughness: one standard deviation of the base about its plane.
    pub roughness: Length,
    /// Weighted mean of the length over which the base goes with itself.
    pub length: Length,
}

/// Origin and size that keep the trend's columns of one order.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    middle: P2,
    pub(super) size: f64,
    /// Zones that have shots, in order; a zone without any takes the level of the first.
    zones: Vec<usize>,
}

impl Frame {
    pub(super) fn columns(&self) -> usize {
        self.zones.len() + 2
    }

    /// Trend at a spot: a level for each zone, and one slope for all.
    pub(super) fn trend(&self, p: P2, zone: usize) -> DVector<f64> {
        let mut f = DVector::zeros(self.columns());
        f[self.zones.binary_search(&zone).unwrap_or(0)] = 1.0;
        let slope = self.zones.len();
        f[slope] = (p.x - self.middle.x) / self.size;
        f[slope + 1] = (p.y - self.middle.y) / self.size;
        f
    }

    /// Levels are open; the fall is known to [`FALL_SPREAD`] about the intended one.
    fn prior(&self, intended: P2) -> TrendPrior {
        let (p, slope) = (self.columns(), self.zones.len());
        let mut prior = TrendPrior { mean: DVector::zeros(p), precision: DVector::zeros(p) };
        for (i, fall) in [intended.x, intended.y].into_iter().enumerate() {
            prior.mean[slope + i] = fall * self.size;
            prior.precision[slope + i] = (FALL_SPREAD * self.size).powi(-2);
        }
        prior
    }

    /// Coefficients, by the trend, of values given at the middle and one size along each axis: for what is linear in
    /// the place and the same in all zones.
    fn by_trend(&self, at: impl Fn(P2) -> f64) -> DVector<f64> {
        let (level, slope) = (at(self.middle), self.zones.len());
        let along =
            [P2::new(self.size, 0.0), P2::new(0.0, self.size)].map(|step| at(self.middle + step) - level);
        DVector::from_fn(self.columns(), |i, _| if i < slope { level } else { along[i - slope] })
    }
}

/// Fits the process to the shots.
///
/// # Errors
/// Refused with fewer than three shots or with figures that are no numbers. Shots in one line carry no
/// cross fall: it is then as intended, with its full doubt, and a warning says so. A shot far from what all others say is
/// named in a warning and kept.
#[must_use]
pub fn fit(input: &ProcessInput<'_>) -> Report<Process> {
    let mut notes = Vec::new();
    if input.shots.len() < 3 {
        let message = format!("the base has {} shots; it takes at least 3", input.shots.len());
        notes.push(Note::fault(
            "too-few-base-shots",
            Place::at("setup"),
            message,
            "shoot the base over the whole floor",
        ));
        return Report::refused(notes);
    }
    let sane = |s: &BaseShot| s.at.norm() < 1e6 && s.z.abs() < 1e6 && s.variance >= 0.0 && s.variance < 1e6;
    for bad in input.shots.iter().filter(|s| !sane(s)) {
        let message = format!("shot {} has a figure that no site has", bad.name);
        notes.push(Note::fault("shot-out-of-range", bad.place.clone(), message, "check its figures"));
    }
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let shots = pooled(input.shots);
    if shots.len() < input.shots.len() {
        let message = format!("{} shots are pooled to {} for the doubt", input.shots.len(), shots.len());
        notes.push(Note::remark("shots-pooled", Place::at("setup"), message));
    }
    if let Some(process) = fitted(&shots, input) {
        if in_one_line(&shots, process.frame.size) {
            let message =
                "the shots stand in one line: no cross fall can be told from them; the intended one is taken";
            notes.push(Note::warning(
                "shots-in-one-line",
                Place::at("setup"),
                message,
                "shoot the base over the whole floor",
            ));
        }
        if shots.len() == input.shots.len() {
            process.name_suspicious(&mut notes);
        }
        return Report::with(process, notes);
    }
    let message = "the shots contradict each other beyond any base";
    notes.push(Note::fault(
        "base-not-fitted",
        Place::at("setup"),
        message,
        "check the shots' places and elevations",
    ));
    Report::refused(notes)
}

fn fitted(shots: &[BaseShot], input: &ProcessInput<'_>) -> Option<Process> {
    let (low, high) = bounds(&shots.iter().map(|s| s.at).collect::<Vec<_>>());
    let extent = high - low;
    let zones: Vec<usize> = shots.iter().map(|s| s.zone).collect::<BTreeSet<_>>().into_iter().collect();
    let frame = Frame { middle: low.lerp(high, 0.5), size: extent.norm().max(0.1), zones };
    let common = |a: (usize, P2), b: (usize, P2)| input.levelled.common_covariance(a, b);
    let seen = |at: P2| input.datum.map(|datum| (datum, at));
    let mut with_shots = DMatrix::zeros(shots.len(), frame.columns());
    for (i, shot) in shots.iter().enumerate() {
        let by_trend = frame.by_trend(|at| seen(at).map_or(0.0, |spot| common(spot, (shot.setup, shot.at))));
        with_shots.set_row(i, &by_trend.transpose());
    }
    let own_at =
        |at: P2| frame.by_trend(|other| seen(at).zip(seen(other)).map_or(0.0, |(a, b)| common(a, b)));
    let columns: Vec<_> = (0..frame.columns()).map(|i| frame.by_trend(|at| own_at(at)[i])).collect();
    let middle_length = PRIOR_LENGTH_SHARE * extent.x.max(extent.y).max(0.1);
    let groups = groups(shots, input, &frame, middle_length, &with_shots)?;
    let mean_log = |f: &dyn Fn(&Group, &Node) -> f64| {
        let nodes = groups.iter().flat_map(|group| group.nodes.iter().map(move |node| (group, node)));
        Length::metres(exp(nodes.map(|(group, node)| node.weight * log(f(group, node))).sum()))
    };
    Some(Process {
        roughness: mean_log(&|_, node| node.sd),
        length: mean_log(&|group, _| group.length),
        shots: shots.to_vec(),
        errors: Levelled { setups: input.levelled.setups.clone(), shots: Vec::new() },
        datum: input.datum,
        groups,
        own: DMatrix::from_columns(&columns),
        frame,
    })
}

/// The choices of roughness and length that weigh anything, by length, their weights adding up to one.
fn groups(
    shots: &[BaseShot],
    input: &ProcessInput<'_>,
    frame: &Frame,
    middle_length: f64,
    with_shots: &DMatrix<f64>,
) -> Option<Vec<Group>> {
    let n = shots.len();
    let heights = DVector::from_iterator(n, shots.iter().map(|s| s.z));
    let trends: Vec<_> = shots.iter().map(|s| frame.trend(s.at, s.zone).transpose()).collect();
    let known = frame.prior(input.intended);
    let data = Data::new(errors_of(shots, input.levelled), &DMatrix::from_rows(&trends), &heights, &known)?;
    let distances = DMatrix::from_fn(n, n, |i, j| {
        let apart = shots[i].at - shots[j].at;
        if shots[i].zone == shots[j].zone { apart.dot(apart).sqrt() } else { f64::INFINITY }
    });
    let by_length = |step: f64| {
        let length = middle_length * exp(PRIOR_SPREAD * step);
        let kernel = MaternPair::new(length);
        let mut nodes = Vec::new();
        let correlation = distances.map(|h| if h.is_finite() { kernel.between(h, 0.0) } else { 0.0 });
        let by_length = data.by_length(length, &correlation);
        for step_sd in NODES {
            let sd = PRIOR_SD.in_metres() * exp(PRIOR_SPREAD * step_sd);
            let Some(mut node) = by_length.node(sd) else { continue };
            node.weight -= 0.5 * (step * step + step_sd * step_sd);
            nodes.push(node);
        }
        (by_length, nodes)
    };
    let mut all: Vec<(ByLength<'_>, Vec<Node>)> = NODES.iter().map(|&step| by_length(step)).collect();
    let nodes = || all.iter().flat_map(|(_, nodes)| nodes);
    let heaviest = nodes().map(|node| node.weight).fold(f64::NEG_INFINITY, f64::max);
    let share = |node: &Node| exp(node.weight - heaviest);
    let sum: f64 = nodes().map(share).filter(|share| *share >= LIGHTEST).sum();
    if sum.is_nan() || sum <= 0.0 {
        return None;
    }
    for (_, nodes) in &mut all {
        nodes.retain(|node| share(node) >= LIGHTEST);
        for node in nodes {
            node.weight = share(node) / sum;
        }
    }
    all.retain(|(_, nodes)| !nodes.is_empty());
    Some(all.into_iter().map(|(by_length, nodes)| by_length.group(nodes, with_shots)).collect())
}

/// Covariance of the shots' errors, m²: what is common to a set-up, and each reading's own.
fn errors_of(shots: &[BaseShot], levelled: &Levelled) -> DMatrix<f64> {
    let n = shots.len();
    let mut errors = DMatrix::zeros(n, n);
    for (j, b) in shots.iter().enumerate() {
        for (i, a) in shots.iter().enumerate().skip(j) {
            let common = levelled.common_covariance((a.setup, a.at), (b.setup, b.at));
            errors[(i, j)] = common;
            errors[(j, i)] = common;
        }
        errors[(j, j)] += own_variance(b);
    }
    errors
}

/// Whether no triangle of the shots is wider than a hair of their extent.
fn in_one_line(shots: &[BaseShot], size: f64) -> bool {
    let Some(first) = shots.first().map(|s| s.at) else { return true };
    let far = shots.iter().map(|s| s.at).max_by(|a, b| a.distance(first).total_cmp(&b.distance(first)));
    let along = (far.unwrap_or(first) - first).unit();
    shots.iter().all(|s| (s.at - first).cross(along).abs() < 1e-4 * size)
}

/// Variance of a shot's own error, never under that of the best reading, m².
pub(super) fn own_variance(shot: &BaseShot) -> f64 {
    let least = LEAST_NOISE.in_metres() * LEAST_NOISE.in_metres();
    shot.variance.max(least)
}

impl Process {
    /// Where the shots stand that it was fitted to, pooled ones at their middle.
    pub fn spots(&self) -> impl Iterator<Item = P2> {
        self.shots.iter().map(|shot| shot.at)
    }

    fn name_suspicious(&self, notes: &mut Vec<Note>) {
        let nodes = self.groups.iter().flat_map(|group| group.nodes.iter().map(move |node| (group, node)));
        let Some((group, best)) = nodes.max_by(|a, b| a.1.weight.total_cmp(&b.1.weight)) else { return };
        for (shot, score) in self.shots.iter().zip(best.standardised_residuals(&group.to_white)) {
            if score.abs() > SUSPICIOUS {
                let (off, word) = (score.abs(), if score > 0.0 { "higher" } else { "lower" });
                let message =
                    format!("shot {} is {off:.1} standard errors {word} than all others say", shot.name);
                notes.push(Note::warning(
                    "shot-far-from-the-others",
                    shot.place.clone(),
                    message,
                    "shoot it again; it is kept",
                ));
            }
        }
    }
}
