//! What a survey of the floor can tell of a dip, and how a straightedge finds one.

use basis::Length;

use crate::layer::Layer;
use crate::ponding::Birdbath;
use crate::straightedge::largest_gap;
use crate::{P2, polygon};

/// So many spreads of a difference of two shots, a depth is told from noise.
const TOLD: f64 = 3.0;
/// Directions in which the straightedge is laid.
const DIRECTIONS: usize = 24;
/// Spacing of the readings under the straightedge, m.
const STEP: f64 = 0.05;

/// The smallest dip that a survey finds wherever it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastDip {
    /// Least width: any that is narrower may lie between the shots.
    pub width: Length,
    /// Least depth of a round dip twice as wide as that.
    pub depth: Length,
}

/// The smallest dip that shots so far apart, each off by `noise`, find wherever it lies.
///
/// Shots on a square grid `s` apart leave a circle of diameter `√2·s` free. A parabolic dip of radius `R` shows a shot at least
/// `1 − s²/2R²` of its depth, three quarters for twice the least width; a depth is told from noise at three spreads of a difference,
/// `3·√2·σ`.
///
/// ```
/// # use basis::Length; use ground::asbuilt::least_dip;
/// let found = least_dip(Length::feet(4.0), Length::inches(1.0 / 16.0));
/// assert!((found.width.in_feet() - 5.657).abs() < 1e-3);
/// assert!((found.depth.in_inches() - 0.3536).abs() < 1e-4);
/// ```
#[must_use]
pub fn least_dip(spacing: Length, noise: Length) -> LeastDip {
    LeastDip { width: spacing * 2f64.sqrt(), depth: noise * (TOLD * 2f64.sqrt() / 0.75) }
}

/// Whether a birdbath is more than noise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seen {
    /// Deeper than three spreads of a difference of two shots, with two shots or more under its water.
    Clearly,
    /// As deep, but a single shot tells of it.
    ByOneShot,
    /// So shallow that noise alone makes such.
    LikeNoise,
}

/// Whether a birdbath can be told from the noise of its shots.
#[must_use]
pub fn seen(bath: &Birdbath, noise: Length) -> Seen {
    if bath.depth < noise * (TOLD * 2f64.sqrt()) {
        Seen::LikeNoise
    } else if bath.points < 2 {
        Seen::ByOneShot
    } else {
        Seen::Clearly
    }
}

/// How to lay a straightedge so that it shows a birdbath best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightedgeFind {
    /// One end of the edge, m.
    pub from: P2,
    /// The other end, m.
    pub to: P2,
    /// The gap under it.
    pub gap: Length,
}

/// Lays a straightedge over a birdbath's deepest spot in 24 directions, slid along each, and tells the widest gap.
///
/// The surface is read every 50 mm under the edge. `None` where the floor is too small for the edge.
#[must_use]
pub fn find_with_straightedge(top: &Layer, bath: &Birdbath, edge: Length) -> Option<StraightedgeFind> {
    let mut best: Option<StraightedgeFind> = None;
    for i in 0..DIRECTIONS {
        let angle = std::f64::consts::PI * i as f64 / DIRECTIONS as f64;
        let along = P2::new(basis::math::cos(angle), basis::math::sin(angle));
        let Some((start, lowest, profile)) = profile(top, bath.lowest, along, edge.in_metres()) else {
            continue;
        };
        let Some(found) = largest_gap(&profile, Length::metres(STEP), edge) else { continue };
        // A gap beside the birdbath is another dip's.
        let is_over = (found.rests_on[0]..found.rests_on[1]).contains(&lowest);
        if is_over && best.is_none_or(|b| found.gap > b.gap) {
            let middle = 0.5 * (found.rests_on[0] + found.rests_on[1]) as f64 * STEP;
            let half = 0.5 * edge.in_metres();
            let longest = (profile.len() - 1) as f64 * STEP;
            let middle = middle.clamp(half, (longest - half).max(half));
            let at = |run: f64| start + along * run;
            best = Some(StraightedgeFind { from: at(middle - half), to: at(middle + half), gap: found.gap });
        }
    }
    best
}

/// The surface along a line through a spot, so far to both sides as the edge reaches and the floor goes.
///
/// Where it starts, at which reading the spot is, and the readings.
fn profile(top: &Layer, through: P2, along: P2, edge: f64) -> Option<(P2, usize, Vec<f64>)> {
    let count = (edge / STEP).floor() as i64;
    let read = |i: i64| top.z(through + along * (STEP * i as f64));
    let middle = read(0)?;
    let back: Vec<f64> = (1..=count).map_while(|i| read(-i)).collect();
    let ahead: Vec<f64> = (1..=count).map_while(read).collect();
    let start = through - along * (STEP * back.len() as f64);
    let lowest = back.len();
    let heights = back.into_iter().rev().chain([middle]).chain(ahead).collect();
    Some((start, lowest, heights))
}

/// Width of a round dip of the same area.
#[must_use]
pub fn width(bath: &Birdbath) -> Length {
    let rings: f64 = bath.outline.iter().map(|ring| polygon::signed_area(ring)).sum();
    Length::metres(2.0 * (rings.max(0.0) / std::f64::consts::PI).sqrt())
}
