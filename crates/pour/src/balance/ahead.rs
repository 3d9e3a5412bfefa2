//! What a call will know, figured before the pour: the preposterior of the rest.

use basis::{Estimate, Origin, Volume};

use super::Regions;
use super::condition::{Belief, Seen};
use crate::chance::Normal;
use crate::defaults;
use crate::order::Need;

/// A call to come: what stands between the order and it.
#[derive(Debug, Clone, Copy)]
pub struct CallAhead<'a> {
    /// What the floor will take.
    pub need: &'a Need,
    /// The floor on both sides of lines along the placing, in the order in which the placing reaches them.
    pub cuts: &'a [Regions],
    /// Loads that have come by the call, m³.
    pub held: &'a [f64],
    /// What of them is still in a drum at the call, m³, with its spread.
    pub left: (f64, f64),
}

/// What is still to be called: as seen from the order, and the doubt that the call leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foreseen {
    /// The rest as seen from the order, m³.
    pub rest: Normal,
    /// Its spread at the call, m³, not over that of `rest`.
    pub sd_at_call: f64,
}

impl Foreseen {
    /// The expected rest as it will be seen at the call: a normal law itself, about the rest as seen now.
    ///
    /// The law of total variance: what the call learns is the variance before less the variance after it.
    #[must_use]
    pub fn mean_at_call(&self) -> Normal {
        let learned = self.rest.sd * self.rest.sd - self.sd_at_call * self.sd_at_call;
        Normal { mean: self.rest.mean, sd: learned.max(0.0).sqrt() }
    }
}

/// Foresees a call; `None` when nothing is placed by then, or nothing remains.
///
/// The conditional variance of a normal law does not depend on what is seen, so it is known before: preposterior analysis
/// [@raiffa-schlaifer-1961]. It is that of [`Belief::condition`] at the expected line. Tickets that have come
/// and are to come stray by [`defaults::TICKET_DOUBT`].
#[must_use]
pub fn foresee(ahead: &CallAhead<'_>) -> Option<Foreseen> {
    let CallAhead { need, cuts, held, left } = *ahead;
    let came: f64 = held.iter().sum();
    let total = need.law();
    let share = (came - left.0) / total.mean;
    if !(share > 0.0 && share < 1.0) {
        return None;
    }
    let regions = at_share(cuts, need, share);
    let drum = Estimate::new(Volume::cubic_metres(left.0), Volume::cubic_metres(left.1), Origin::Assumed);
    let before = belief(&regions, need.allowance, need.loss, drum);
    let tickets: f64 = held.iter().map(|load| (defaults::TICKET_DOUBT * load).powi(2)).sum();
    let seen = Seen { delivered: came, variance: tickets, loss_share: share };
    let (_, variance) = before.condition(seen).belief.still_needed(share);
    let rest = total.mean - came;
    let to_come = (defaults::TICKET_DOUBT * rest).powi(2);
    let sd = (total.sd * total.sd + tickets + to_come).sqrt();
    Some(Foreseen { rest: Normal { mean: rest, sd }, sd_at_call: (variance + to_come).sqrt().min(sd) })
}

/// The belief before the tickets are counted; the line's doubt moves volume from one side to the other.
pub(super) fn belief(
    regions: &Regions,
    allowance: Estimate<f64>,
    loss: Estimate<Volume>,
    in_drum: Estimate<Volume>,
) -> Belief {
    let line = regions.line.in_cubic_metres().powi(2);
    let c = regions.covariance;
    let covariance = [[c[0][0] + line, c[0][1] - line], [c[1][0] - line, c[1][1] + line]];
    let means = [regions.placed.in_cubic_metres(), regions.remaining.in_cubic_metres()];
    Belief::before(means, covariance, allowance, loss, in_drum)
}

/// The floor cut where this share of its volume is placed, between the two nearest of the cuts.
fn at_share(cuts: &[Regions], need: &Need, share: f64) -> Regions {
    let variance = need.forms.sd.in_cubic_metres().powi(2);
    let none = Volume::ZERO;
    let forms = need.forms.mean;
    let mut low =
        Regions { placed: none, remaining: forms, covariance: [[0.0, 0.0], [0.0, variance]], line: none };
    let mut high =
        Regions { placed: forms, remaining: none, covariance: [[variance, 0.0], [0.0, 0.0]], line: none };
    let share_of = |r: &Regions| r.placed / (r.placed + r.remaining);
    let past = cuts.iter().position(|cut| share_of(cut) > share);
    if let Some(before) = past.unwrap_or(cuts.len()).checked_sub(1) {
        low = cuts[before];
    }
    if let Some(past) = past {
        high = cuts[past];
    }
    let span = share_of(&high) - share_of(&low);
    let t = if span > 0.0 { (share - share_of(&low)) / span } else { 0.0 };
    let mix = |a: f64, b: f64| a + t * (b - a);
    let covariance =
        std::array::from_fn(|i| std::array::from_fn(|j| mix(low.covariance[i][j], high.covariance[i][j])));
    // A line is as doubtful near the ends as elsewhere; the ends themselves have none to tell it from.
    let line = if low.line > none && high.line > none {
        low.line + (high.line - low.line) * t
    } else {
        low.line.max(high.line)
    };
    Regions { placed: forms * share, remaining: forms * (1.0 - share), covariance, line }
}
