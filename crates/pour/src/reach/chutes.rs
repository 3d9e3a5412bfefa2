//! Sets of chutes, and what a truck's chute sees from its stand.

use basis::{Length, math};
use ground::P2;

use crate::job::{Chutes, TruckStand};

/// With more extensions than this only the longest-first sums are tried, not every choice.
const MOST_CHOSEN: usize = 6;

/// The truck's own chute with some extensions.
#[derive(Debug, Clone, PartialEq)]
pub struct ChuteSet {
    /// The extensions.
    pub extensions: Vec<Length>,
    /// Reach in plan from the stand.
    pub reach: Length,
}

/// Every choice of extensions in order of reach, the truck's own chute first.
///
/// Lengths are added as if they lay flat; at a fall of 1 in 3 a chute spans 5 % less than its length.
pub(super) fn sets(chutes: &Chutes) -> Vec<ChuteSet> {
    let mut longest = chutes.extensions.clone();
    longest.sort_by(|a, b| b.total_cmp(a));
    let n = longest.len();
    let choices: Vec<Vec<Length>> = if n <= MOST_CHOSEN {
        (0..1usize << n)
            .map(|bits| (0..n).filter(|i| bits >> i & 1 == 1).map(|i| longest[i]).collect())
            .collect()
    } else {
        (0..=n).map(|k| longest[..k].to_vec()).collect()
    };
    let mut sets: Vec<ChuteSet> = choices
        .into_iter()
        .map(|extensions| {
            let reach = chutes.main + extensions.iter().copied().sum();
            ChuteSet { extensions, reach }
        })
        .collect();
    // Of two sets with the same reach the one of fewer pieces stays.
    sets.sort_by(|a, b| a.reach.total_cmp(&b.reach).then(a.extensions.len().cmp(&b.extensions.len())));
    sets.dedup_by(|b, a| (b.reach - a.reach).in_metres().abs() < 1e-6);
    sets
}

/// Where a chute hinges, which way it points, and how high its end is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Eye {
    at: P2,
    facing: P2,
    /// Cosine of the swing to each side; below -1 when it swings all round.
    swing: f64,
    /// Elevation of the lower end of the truck's own chute, m.
    pub discharge: Option<f64>,
    least_fall: f64,
    /// Reach of the truck's own chute, m.
    main: f64,
}

/// A stand as a chute sees from it; `None` when a figure of it is no number.
pub(super) fn eye(stand: &TruckStand, chutes: &Chutes) -> Option<Eye> {
    let swing = stand.swing.in_radians().abs();
    if !stand.at.is_finite() || !stand.facing.is_finite() || !swing.is_finite() {
        return None;
    }
    let facing = stand.facing.in_radians();
    Some(Eye {
        at: stand.at,
        facing: P2::new(math::cos(facing), math::sin(facing)),
        swing: if swing >= std::f64::consts::PI { -2.0 } else { math::cos(swing) },
        discharge: stand
            .elevation
            .map(|z| (z + chutes.discharge_height).in_metres())
            .filter(|z| z.is_finite()),
        least_fall: chutes.least_fall.in_ratio(),
        main: chutes.main.in_metres(),
    })
}

/// What a chute would have to do to reach a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    /// Distance in plan, m.
    pub distance: f64,
    pub swings: bool,
    /// Height lacking for the least fall, m; 0 or less when it falls steeply enough or nobody knows.
    pub lacking: f64,
    /// Fall of the extensions; infinite within the truck's own chute or when the stand's elevation is not known.
    pub fall: f64,
}

impl Eye {
    /// How far a place lies aside of the swing's two ends, m: within the swing when neither is above 0.
    pub fn beyond_swing(&self, p: P2) -> [f64; 2] {
        if self.swing < -1.0 {
            return [-1.0; 2];
        }
        let to = p - self.at;
        let (ahead, aside) =
            (self.facing * self.swing, self.facing.left() * (1.0 - self.swing * self.swing).max(0.0).sqrt());
        let (left, right) = ((ahead + aside).cross(to), to.cross(ahead - aside));
        // Past a quarter turn to each side the swing is all but a wedge.
        if self.swing < 0.0 { [left.min(right), -1.0] } else { [left, right] }
    }
    /// The view of a place with its finish elevation, if that is known.
    pub fn view(&self, p: P2, z: Option<f64>) -> View {
        let to = p - self.at;
        let distance = to.norm();
        // At the hinge itself there is no direction: it is reached.
        let swings = distance < 1e-9 || to.dot(self.facing) >= self.swing * distance - 1e-12;
        let drop = self.discharge.zip(z).map(|(top, z)| top - z);
        let run = (distance - self.main).max(0.0);
        View {
            distance,
            swings,
            lacking: drop.map_or(0.0, |drop| self.least_fall * run - drop),
            fall: drop.filter(|_| run > 1e-9).map_or(f64::INFINITY, |drop| drop / run),
        }
    }
}
