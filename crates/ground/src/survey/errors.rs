//! The error model of levelled shots: what is common to a set-up, what is each shot's own.

use basis::Length;

use super::{FromMark, Levelled, RodReading};
use crate::P2;

/// Longest chain of turning points followed; a survey of one floor has two or three set-ups.
const LONGEST_CHAIN: usize = 64;

impl Levelled {
    /// Covariance of the common errors of two spots, each seen from a set-up, m².
    ///
    /// Within a set-up: `σ_B² + θ²·(p−s)·(q−s)` with the backsight error `σ_B`, the tilt `θ` about each
    /// axis and the laser at `s`. A set-up that stands on a turning point also carries the error of the
    /// shot on it: that set-up's common error there, and the rod's.
    #[must_use]
    pub fn common_covariance(&self, a: (usize, P2), b: (usize, P2)) -> f64 {
        let mut sum = 0.0;
        for (depth_a, (s, p)) in self.chain(a).enumerate() {
            for (depth_b, (t, q)) in self.chain(b).enumerate() {
                if s != t {
                    continue;
                }
                let setup = &self.setups[s];
                let (backsight, tilt) = (setup.errors.backsight.in_metres(), setup.errors.tilt.in_radians());
                sum += backsight * backsight + tilt * tilt * (p - setup.station).dot(q - setup.station);
                // Both stand on shots of this set-up: one shot if the spots are one.
                if depth_a > 0 && depth_b > 0 && p == q {
                    sum += self.rod_variance(s);
                }
            }
        }
        sum
    }

    /// The spot itself, then the turning point that its set-up stands on, and so on back.
    fn chain(&self, from: (usize, P2)) -> impl Iterator<Item = (usize, P2)> {
        let known = move |(setup, _): &(usize, P2)| *setup < self.setups.len();
        let next = move |&(setup, _): &(usize, P2)| self.setups.get(setup)?.stands_on;
        std::iter::successors(Some(from), next).take_while(known).take(LONGEST_CHAIN)
    }

    /// Variance of a reading's own error, m².
    #[must_use]
    pub fn rod_variance(&self, setup: usize) -> f64 {
        self.setups.get(setup).map_or(0.0, |s| s.errors.rod.in_metres() * s.errors.rod.in_metres())
    }

    /// What the stick must read at a point of elevation `z`, m, from a set-up.
    #[must_use]
    pub fn rod_reading(&self, setup: usize, z: f64) -> RodReading {
        let Some(stood) = self.setups.get(setup) else { return RodReading::Rod(Length::metres(f64::NAN)) };
        let reading = stood.instrument - Length::metres(z);
        match stood.from_mark {
            FromMark::No => RodReading::Rod(reading),
            FromMark::Yes => RodReading::FromMark(reading - stood.mark),
        }
    }
}
