//! The base from its shots: hyper-parameters by restricted likelihood and a prior, averaged over.
//!
//! With few shots no single length or roughness can be trusted, so none is picked: a grid of both is
//! weighted by restricted likelihood times prior, and predictions are the mixture's mean and covariance.

use std::collections::BTreeSet;

use basis::math::{exp, log};
use basis::{Length, Note, Place, Report};
use nalgebra::{DMatrix, DVector};

use super::kernel::{Kernel, matern_between_pieces};
use super::krige::{Krige, krige};
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
}

/// One choice of roughness and length, with its weight.
#[derive(Debug, Clone)]
struct Node {
    weight: f64,
    sd: f64,
    length: f64,
    system: Krige,
}

/// The base with its doubt.
#[derive(Debug, Clone)]
pub struct Process {
    shots: Vec<BaseShot>,
    errors: Levelled,
    datum: Option<usize>,
    nodes: Vec<Node>,
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
    linear: bool,
}

impl Frame {
    fn columns(&self) -> usize {
        self.zones.len() + if self.linear { 2 } else { 0 }
    }

    /// Trend at a spot: a level for each zone, and one slope for all.
    fn trend(&self, p: P2, zone: usize) -> DVector<f64> {
        let mut f = DVector::zeros(self.columns());
        f[self.zones.binary_search(&zone).unwrap_or(0)] = 1.0;
        if self.linear {
            let slope = self.zones.len();
            f[slope] = (p.x - self.middle.x) / self.size;
            f[slope + 1] = (p.y - self.middle.y) / self.size;
        }
        f
    }
}

/// Fits the process to the shots.
///
/// # Errors
/// Refused with fewer than three shots or with figures that are no numbers. Shots in one line carry no
/// cross fall: the trend is then level and a warning says so. A shot far from what all others say is
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
    for linear in [true, false] {
        if let Some(process) = fitted(&shots, input, linear) {
            if !linear {
                let message = "the shots stand in one line: no cross fall can be told from them";
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

fn fitted(shots: &[BaseShot], input: &ProcessInput<'_>, linear: bool) -> Option<Process> {
    let places: Vec<P2> = shots.iter().map(|s| s.at).collect();
    let (low, high) = bounds(&places);
    let extent = high - low;
    let size = extent.norm().max(0.1);
    if linear && in_one_line(&places, size) {
        return None;
    }
    let zones: Vec<usize> = shots.iter().map(|s| s.zone).collect::<BTreeSet<_>>().into_iter().collect();
    let frame = Frame { middle: low.lerp(high, 0.5), size, zones, linear };
    let n = shots.len();
    let heights = DVector::from_iterator(n, shots.iter().map(|s| s.z));
    let trend = DMatrix::from_fn(n, frame.columns(), |i, j| frame.trend(shots[i].at, shots[i].zone)[j]);
    let noise = DMatrix::from_fn(n, n, |i, j| {
        let common =
            input.levelled.common_covariance((shots[i].setup, shots[i].at), (shots[j].setup, shots[j].at));
        if i == j { common + own_variance(&shots[i]) } else { common }
    });
    let middle_length = PRIOR_LENGTH_SHARE * extent.x.max(extent.y).max(0.1);
    let mut nodes: Vec<Node> = Vec::new();
    for step_length in NODES {
        let length = middle_length * exp(PRIOR_SPREAD * step_length);
        let correlation = DMatrix::from_fn(n, n, |i, j| {
            let same = shots[i].zone == shots[j].zone;
            if same { Kernel::Matern32.correlation(shots[i].at.distance(shots[j].at), length) } else { 0.0 }
        });
        for step_sd in NODES {
            let sd = PRIOR_SD.in_metres() * exp(PRIOR_SPREAD * step_sd);
            let Some(system) = krige(&correlation * (sd * sd) + &noise, trend.clone(), &heights) else {
                continue;
            };
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
    if nodes.is_empty() || !sum.is_finite() {
        return None;
    }
    for node in &mut nodes {
        node.weight /= sum;
    }
    let mean_log = |f: fn(&Node) -> f64| exp(nodes.iter().map(|node| node.weight * log(f(node))).sum());
    Some(Process {
        roughness: Length::metres(mean_log(|node| node.sd)),
        length: Length::metres(mean_log(|node| node.length)),
        shots: shots.to_vec(),
        errors: Levelled { setups: input.levelled.setups.clone(), shots: Vec::new() },
        datum: input.datum,
        nodes,
        frame,
    })
}

/// Whether no triangle of the places is wider than a hair of their extent.
fn in_one_line(places: &[P2], size: f64) -> bool {
    let far = places.iter().copied().max_by(|a, b| a.distance(places[0]).total_cmp(&b.distance(places[0])));
    let Some(far) = far else { return true };
    let along = (far - places[0]).unit();
    places.iter().all(|p| (*p - places[0]).cross(along).abs() < 1e-4 * size)
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

    /// Covariance of the common errors between two spots seen from the datum, m².
    fn common(&self, a: P2, b: P2) -> f64 {
        self.datum.map_or(0.0, |d| self.errors.common_covariance((d, a), (d, b)))
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
            let apart = shot.at.distance(piece.at);
            if shot.zone == piece.zone { matern_between_pieces(apart, length, piece.area) } else { 0.0 }
        })
    }

    fn trend(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let mut result = DMatrix::zeros(self.frame.columns(), pieces.len());
        for (j, piece) in pieces.iter().enumerate() {
            result.set_column(j, &self.frame.trend(piece.at, piece.zone));
        }
        result
    }

    /// The nodes in groups of one length each; correlations depend on the length alone.
    fn by_length(&self) -> impl Iterator<Item = &[Node]> {
        self.nodes.chunk_by(|a, b| a.length == b.length)
    }

    /// Mean height of the base over each piece, m.
    #[must_use]
    pub fn means(&self, pieces: &[Piece]) -> Vec<f64> {
        let (common, trend) = (self.common_with_shots(pieces), self.trend(pieces));
        let mut total = DVector::zeros(pieces.len());
        for group in self.by_length() {
            let correlation = self.correlation_with_shots(pieces, group[0].length);
            for node in group {
                let mean = node_mean(node, &correlation, &common, &trend);
                total.axpy(node.weight, &mean, 1.0);
            }
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
        let m = pieces.len();
        let (common, trend) = (self.common_with_shots(pieces), self.trend(pieces));
        let mut total = DMatrix::from_fn(m, m, |i, j| self.common(pieces[i].at, pieces[j].at));
        let mut means = DMatrix::zeros(m, self.nodes.len());
        let mut k = 0;
        for group in self.by_length() {
            let length = group[0].length;
            let correlation = self.correlation_with_shots(pieces, length);
            // Prior covariances differ by a factor within the group, so they are added once.
            let prior: f64 = group.iter().map(|node| node.weight * node.sd * node.sd).sum();
            total += piece_correlation(pieces, length) * prior;
            for node in group {
                means.set_column(k, &node_mean(node, &correlation, &common, &trend));
                let with_data = &correlation * (node.sd * node.sd) + &common;
                node.system.explain(&mut total, node.weight, with_data, &trend);
                k += 1;
            }
        }
        let weights = DVector::from_iterator(self.nodes.len(), self.nodes.iter().map(|node| node.weight));
        let mean = &means * &weights;
        for (k, node) in self.nodes.iter().enumerate() {
            let off = means.column(k) - &mean;
            total.ger(node.weight, &off, &off, 1.0);
        }
        (&total + total.transpose()) * 0.5
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
        let of_datum =
            DMatrix::from_fn(pieces.len(), pieces.len(), |i, j| self.common(pieces[i].at, pieces[j].at));
        let datum = areas.dot(&(of_datum * &areas));
        let n = self.shots.len();
        let of_shots = DMatrix::from_fn(n, n, |i, j| {
            let (a, b) = (&self.shots[i], &self.shots[j]);
            self.errors.common_covariance((a.setup, a.at), (b.setup, b.at))
        });
        let (mut readings, mut setups) = (0.0, 0.0);
        for group in self.by_length() {
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

/// Mean heights of pieces by one node.
fn node_mean(
    node: &Node,
    correlation: &DMatrix<f64>,
    common: &DMatrix<f64>,
    trend: &DMatrix<f64>,
) -> DVector<f64> {
    let alpha = &node.system.alpha;
    trend.tr_mul(&node.system.beta) + correlation.tr_mul(alpha) * (node.sd * node.sd) + common.tr_mul(alpha)
}

/// Variance of a shot's own error, never under that of the best reading, m².
fn own_variance(shot: &BaseShot) -> f64 {
    let least = LEAST_NOISE.in_metres() * LEAST_NOISE.in_metres();
    shot.variance.max(least)
}

/// Correlations between pieces; nought between different parts of the base.
fn piece_correlation(pieces: &[Piece], length: f64) -> DMatrix<f64> {
    let m = pieces.len();
    let mut result = DMatrix::zeros(m, m);
    for i in 0..m {
        for j in 0..=i {
            let (a, b) = (&pieces[i], &pieces[j]);
            if a.zone == b.zone {
                let value = matern_between_pieces(a.at.distance(b.at), length, a.area + b.area);
                result[(i, j)] = value;
                result[(j, i)] = value;
            }
        }
    }
    result
}
