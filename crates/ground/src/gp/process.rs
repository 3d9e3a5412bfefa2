//! The base from its shots: hyper-parameters by restricted likelihood and a prior, averaged over.
//!
//! With few shots no single length or roughness can be trusted, so none is picked: a grid of both is
//! weighted by restricted likelihood times prior, and predictions are the mixture's mean and covariance.

use std::collections::BTreeSet;

use basis::math::{exp, log};
use basis::{Length, Note, Place, Report};
use nalgebra::{DMatrix, DVector};

use super::average::{Group, Node, group};
use super::kernel::{Kernel, MaternPair};
use super::krige::{TrendPrior, krige_about};
use super::pool::pooled;
use crate::polygon::bounds;
use crate::survey::Levelled;
use crate::{P2, P3};

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
    shots: Vec<BaseShot>,
    errors: Levelled,
    datum: Option<usize>,
    nodes: Vec<Node>,
    groups: Vec<Group>,
    /// Covariance of the common errors of two targets seen from the datum, as a form in their trends, m².
    own: DMatrix<f64>,
    frame: Frame,
    /// Weighted mean of the roughness: one standard deviation of the base about its plane.
    pub roughness: Length,
    /// Weighted mean of the length over which the base goes with itself.
    pub length: Length,
}

/// Origin and size that keep the trend's columns of one order.
#[derive(Debug, Clone)]
struct Frame {
    middle: P2,
    size: f64,
    /// Zones that have shots, in order; a zone without any takes the level of the first.
    zones: Vec<usize>,
}

impl Frame {
    fn columns(&self) -> usize {
        self.zones.len() + 2
    }

    /// Trend at a spot: a level for each zone, and one slope for all.
    fn trend(&self, p: P2, zone: usize) -> DVector<f64> {
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
    let nodes = nodes(shots, input, &frame, PRIOR_LENGTH_SHARE * extent.x.max(extent.y).max(0.1))?;
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
    let mean_log = |f: fn(&Node) -> f64| exp(nodes.iter().map(|node| node.weight * log(f(node))).sum());
    Some(Process {
        roughness: Length::metres(mean_log(|node| node.sd)),
        length: Length::metres(mean_log(|node| node.length)),
        shots: shots.to_vec(),
        errors: Levelled { setups: input.levelled.setups.clone(), shots: Vec::new() },
        datum: input.datum,
        groups: nodes.chunk_by(|a, b| a.length == b.length).map(|nodes| group(nodes, &with_shots)).collect(),
        own: DMatrix::from_columns(&columns),
        nodes,
        frame,
    })
}

/// The choices of roughness and length that weigh anything, their weights adding up to one.
fn nodes(
    shots: &[BaseShot],
    input: &ProcessInput<'_>,
    frame: &Frame,
    middle_length: f64,
) -> Option<Vec<Node>> {
    let n = shots.len();
    let heights = DVector::from_iterator(n, shots.iter().map(|s| s.z));
    let trend = DMatrix::from_fn(n, frame.columns(), |i, j| frame.trend(shots[i].at, shots[i].zone)[j]);
    let noise = DMatrix::from_fn(n, n, |i, j| {
        let common =
            input.levelled.common_covariance((shots[i].setup, shots[i].at), (shots[j].setup, shots[j].at));
        if i == j { common + own_variance(&shots[i]) } else { common }
    });
    let known = frame.prior(input.intended);
    let mut nodes: Vec<Node> = Vec::new();
    for step_length in NODES {
        let length = middle_length * exp(PRIOR_SPREAD * step_length);
        let correlation = DMatrix::from_fn(n, n, |i, j| {
            let same = shots[i].zone == shots[j].zone;
            if same { Kernel::Matern32.correlation(shots[i].at.distance(shots[j].at), length) } else { 0.0 }
        });
        for step_sd in NODES {
            let sd = PRIOR_SD.in_metres() * exp(PRIOR_SPREAD * step_sd);
            let whole = &correlation * (sd * sd) + &noise;
            let Some(system) = krige_about(whole, trend.clone(), &heights, &known) else { continue };
            let prior = -0.5 * (step_length * step_length + step_sd * step_sd);
            nodes.push(Node { weight: system.restricted + prior, sd, length, system });
        }
    }
    let heaviest = nodes.iter().map(|node| node.weight).fold(f64::NEG_INFINITY, f64::max);
    for node in &mut nodes {
        node.weight = exp(node.weight - heaviest);
    }
    nodes.retain(|node| node.weight >= LIGHTEST);
    let sum: f64 = nodes.iter().map(|node| node.weight).sum();
    for node in &mut nodes {
        node.weight /= sum;
    }
    (!nodes.is_empty() && sum.is_finite()).then_some(nodes)
}

/// Whether no triangle of the shots is wider than a hair of their extent.
fn in_one_line(shots: &[BaseShot], size: f64) -> bool {
    let Some(first) = shots.first().map(|s| s.at) else { return true };
    let far = shots.iter().map(|s| s.at).max_by(|a, b| a.distance(first).total_cmp(&b.distance(first)));
    let along = (far.unwrap_or(first) - first).unit();
    shots.iter().all(|s| (s.at - first).cross(along).abs() < 1e-4 * size)
}

/// A small piece of floor: its middle, its area (0 for a spot), and the part of the base it is on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its middle, m.
    pub at: P2,
    /// Its area, m².
    pub area: f64,
    /// Part of the base.
    pub zone: usize,
}

impl Process {
    fn name_suspicious(&self, notes: &mut Vec<Note>) {
        let Some(best) = self.nodes.iter().max_by(|a, b| a.weight.total_cmp(&b.weight)) else { return };
        for (shot, score) in self.shots.iter().zip(best.system.standardised_residuals()) {
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

    /// Covariances of the common errors of each shot (row) and each piece seen from the datum (column), m².
    fn common_with_shots(&self, pieces: &[Piece]) -> DMatrix<f64> {
        DMatrix::from_fn(self.shots.len(), pieces.len(), |i, j| {
            let shot = &self.shots[i];
            self.datum
                .map_or(0.0, |d| self.errors.common_covariance((d, pieces[j].at), (shot.setup, shot.at)))
        })
    }

    /// Correlations of the base between each shot (row) and each piece (column) for one length.
    fn correlation_with_shots(&self, pieces: &[Piece], length: f64) -> DMatrix<f64> {
        DMatrix::from_fn(self.shots.len(), pieces.len(), |i, j| {
            let (shot, piece) = (&self.shots[i], &pieces[j]);
            if shot.zone == piece.zone {
                MaternPair::new(length).between(shot.at.distance(piece.at), piece.area)
            } else {
                0.0
            }
        })
    }

    fn trend(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let mut result = DMatrix::zeros(self.frame.columns(), pieces.len());
        for (j, piece) in pieces.iter().enumerate() {
            result.set_column(j, &self.frame.trend(piece.at, piece.zone));
        }
        result
    }

    /// Correlations with the shots over the trend, for one length: in these every prediction is linear.
    fn basis(&self, pieces: &[Piece], trend: &DMatrix<f64>, length: f64) -> DMatrix<f64> {
        let n = self.shots.len();
        let mut rows = DMatrix::zeros(n + trend.nrows(), pieces.len());
        rows.rows_mut(0, n).copy_from(&self.correlation_with_shots(pieces, length));
        rows.rows_mut(n, trend.nrows()).copy_from(trend);
        rows
    }

    /// Mean height of the base over each piece, m.
    #[must_use]
    pub fn means(&self, pieces: &[Piece]) -> Vec<f64> {
        let trend = self.trend(pieces);
        let mut total = DVector::zeros(pieces.len());
        for group in &self.groups {
            total.gemv_tr(group.weight, &self.basis(pieces, &trend, group.length), &group.mean, 1.0);
        }
        total.as_slice().to_vec()
    }

    /// Heights of the base at spots, m.
    #[must_use]
    pub fn sample(&self, spots: &[P2], zone: usize) -> Vec<P3> {
        let pieces: Vec<Piece> = spots.iter().map(|&at| Piece { at, area: 0.0, zone }).collect();
        spots.iter().zip(self.means(&pieces)).map(|(p, z)| p.at(z)).collect()
    }

    /// Variance of the base at one spot, m².
    #[must_use]
    pub fn variance(&self, at: P2, zone: usize) -> f64 {
        self.covariance(&[Piece { at, area: 0.0, zone }])[(0, 0)].max(0.0)
    }

    /// Posterior covariance of the mean heights of pieces, m²: within the nodes and between them.
    #[must_use]
    pub fn covariance(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let trend = self.trend(pieces);
        let mut total = self.prior_covariance(pieces);
        total.gemm_tr(1.0, &trend, &(&self.own * &trend), 1.0);
        let mut means = DMatrix::zeros(pieces.len(), self.groups.len());
        for (k, group) in self.groups.iter().enumerate() {
            let basis = self.basis(pieces, &trend, group.length);
            means.set_column(k, &basis.tr_mul(&group.mean));
            total.gemm_tr(1.0, &basis, &(&group.inner * &basis), 1.0);
        }
        let weights = DVector::from_iterator(self.groups.len(), self.groups.iter().map(|group| group.weight));
        let mean = &means * &weights;
        for (k, group) in self.groups.iter().enumerate() {
            let off = means.column(k) - &mean;
            total.ger(group.weight, &off, &off, 1.0);
        }
        (&total + total.transpose()) * 0.5
    }

    /// Covariance of the rough part between pieces, all lengths together; nought between different parts of the base.
    fn prior_covariance(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let m = pieces.len();
        let kernels: Vec<(f64, MaternPair)> =
            self.groups.iter().map(|group| (group.sill, MaternPair::new(group.length))).collect();
        let mut result = DMatrix::zeros(m, m);
        for j in 0..m {
            for i in j..m {
                let (a, b) = (&pieces[i], &pieces[j]);
                if a.zone == b.zone {
                    let (apart, areas) = (a.at.distance(b.at), a.area + b.area);
                    let value =
                        kernels.iter().map(|(sill, kernel)| sill * kernel.between(apart, areas)).sum();
                    result[(i, j)] = value;
                    result[(j, i)] = value;
                }
            }
        }
        result
    }

    /// What the doubt of a volume comes from: the pieces' mean heights summed by area.
    ///
    /// Each node's prediction is a weighted sum of the shots, so its error splits exactly into what the
    /// base does between the shots, the shots' own errors under their weights, and the set-ups' errors.
    #[must_use]
    pub fn parts(&self, pieces: &[Piece], areas: &[f64]) -> DoubtParts {
        let areas = DVector::from_fn(pieces.len(), |i, _| areas.get(i).copied().unwrap_or(0.0));
        let whole = areas.dot(&(self.covariance(pieces) * &areas)).max(0.0);
        let common = self.common_with_shots(pieces) * &areas;
        let trend = self.trend(pieces) * &areas;
        let datum = trend.dot(&(&self.own * &trend));
        let n = self.shots.len();
        let of_shots = DMatrix::from_fn(n, n, |i, j| {
            let (a, b) = (&self.shots[i], &self.shots[j]);
            self.errors.common_covariance((a.setup, a.at), (b.setup, b.at))
        });
        let (mut readings, mut setups) = (0.0, 0.0);
        for group in self.nodes.chunk_by(|a, b| a.length == b.length) {
            let correlation = self.correlation_with_shots(pieces, group[0].length) * &areas;
            for node in group {
                let given = node.system.weights(&(&correlation * (node.sd * node.sd) + &common), &trend);
                let own = self.shots.iter().zip(given.iter()).map(|(s, w)| own_variance(s) * w * w);
                readings += node.weight * own.sum::<f64>();
                setups += node.weight * (datum - 2.0 * given.dot(&common) + given.dot(&(&of_shots * &given)));
            }
        }
        // Both are sums of squares; only rounding can make them negative.
        let (readings, setups) = (readings.max(0.0), setups.max(0.0));
        DoubtParts { between_shots: (whole - readings - setups).max(0.0), readings, setups }
    }
}

/// Variance of a volume by where it comes from, m⁶.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DoubtParts {
    /// What the base does between the shots, and how little they tell of its roughness.
    pub between_shots: f64,
    /// Errors of single readings.
    pub readings: f64,
    /// Errors common to a set-up: backsight and tilt.
    pub setups: f64,
}

/// Variance of a shot's own error, never under that of the best reading, m².
fn own_variance(shot: &BaseShot) -> f64 {
    let least = LEAST_NOISE.in_metres() * LEAST_NOISE.in_metres();
    shot.variance.max(least)
}
