//! A straightedge slid along a profile, and the gap under it.
//!
//! The edge rests on two high readings that stand to both sides of its middle; the gap is measured between them, never under the
//! overhanging ends [@csa-a23-1]. For readings at a fixed spacing these two are the ends of that side of the readings' upper hull
//! under the edge which holds the edge's middle. Every place of the edge that stands on the profile with its whole length is
//! taken, exactly: the readings under it change only at some places, and between two of them the middle runs over some sides of one hull.

use basis::Length;

/// Slack for an edge that is a whole number of spaces long, in spaces.
const SLACK: f64 = 1e-9;

/// The largest gap under a straightedge on a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The gap.
    pub gap: Length,
    /// Index of the reading under which it is.
    pub at: usize,
    /// Indices of the two readings on which the edge rests.
    pub rests_on: [usize; 2],
}

/// The largest gap under an edge of this length slid along readings at this spacing; elevations in m.
///
/// `None` when the profile is shorter than the edge, when the edge does not hold three readings, or when a figure is no number. A gap of nought, on a crest or
/// a straight profile, is told as such. Adding a slope to the profile does not change the gap.
///
/// ```
/// use basis::Length;
/// use ground::straightedge::largest_gap;
/// // A dip h = c·x² under an edge of length L shows c·L²/4: 0.005 in. per ft² under 10 ft, 1/8 in.
/// let dip: Vec<f64> = (0..25).map(|i| 0.005 * 0.0254 * f64::from((i - 12) * (i - 12))).collect();
/// let found = largest_gap(&dip, Length::feet(1.0), Length::feet(10.0)).unwrap();
/// assert!((found.gap.in_inches() - 0.125).abs() < 1e-12);
/// ```
#[must_use]
pub fn largest_gap(elevations: &[f64], spacing: Length, edge: Length) -> Option<Gap> {
    let spaces = edge / spacing;
    let sane = spaces.is_finite() && spaces >= 2.0 - SLACK && elevations.iter().all(|h| h.is_finite());
    let long_enough = (elevations.len() as f64 - 1.0) + SLACK >= spaces;
    if !sane || !long_enough {
        return None;
    }
    let mut best = Gap { gap: Length::ZERO, at: 0, rests_on: [0, 0] };
    let whole = (spaces + SLACK).floor() as usize;
    let last = (elevations.len() - 1) as f64;
    // Under an edge of `whole` spaces and a bit lie `whole + 1` readings while its middle runs over the bit, and `whole` readings
    // while it runs over the rest of a space.
    for (count, slack) in [(whole + 1, spaces - whole as f64), (whole, 1.0 - (spaces - whole as f64))] {
        if count < 3 || count > elevations.len() {
            continue;
        }
        for first in 0..=(elevations.len() - count) {
            let middle = first as f64 + 0.5 * (count - 1) as f64;
            let half = 0.5 * slack.max(0.0);
            let (from, to) = ((middle - half).max(0.5 * spaces), (middle + half).min(last - 0.5 * spaces));
            // With `whole` readings the bit's ends belong to the case before.
            if if count > whole { from <= to + SLACK } else { from + SLACK < to } {
                under(elevations, first..first + count, [from, to], &mut best);
            }
        }
    }
    Some(best)
}

/// The gaps under those sides of the hull of some readings that hold a middle between `from` and `to`, in spaces.
fn under(h: &[f64], readings: std::ops::Range<usize>, [from, to]: [f64; 2], best: &mut Gap) {
    for side in upper_hull(h, readings).windows(2) {
        let [a, b] = [side[0], side[1]];
        // The middle stands over the side, not merely over its end: there the edge would rock.
        let over = (b as f64).min(to + SLACK) - (a as f64).max(from - SLACK);
        let holds = if to - from > SLACK { 3.0 } else { 2.0 } * SLACK;
        if over < 0.9 * holds {
            continue;
        }
        for (i, height) in h.iter().enumerate().take(b).skip(a + 1) {
            let share = (i - a) as f64 / (b - a) as f64;
            let gap = Length::metres(h[a] + share * (h[b] - h[a]) - height);
            if gap > best.gap {
                *best = Gap { gap, at: i, rests_on: [a, b] };
            }
        }
    }
}

/// Indices of the readings on the upper hull (Andrew's monotone chain).
fn upper_hull(h: &[f64], readings: std::ops::Range<usize>) -> Vec<usize> {
    let mut hull: Vec<usize> = Vec::with_capacity(readings.len());
    for i in readings {
        while let [.., a, b] = hull[..] {
            let turn = (b - a) as f64 * (h[i] - h[a]) - (i - a) as f64 * (h[b] - h[a]);
            if turn < 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(i);
    }
    hull
}

#[cfg(test)]
mod tests {
    use basis::math::sin;
    use rand::rngs::ChaCha12Rng;
    use rand::{RngExt, SeedableRng};

    use super::*;

    const INCH: f64 = 0.0254;

    fn gap(h: &[f64], edge: f64) -> f64 {
        largest_gap(h, Length::feet(1.0), Length::feet(edge)).unwrap().gap.in_inches()
    }

    fn waves() -> Vec<f64> {
        (0..25).map(|i| INCH / 16.0 * sin(std::f64::consts::TAU * f64::from(i) / 6.0)).collect()
    }

    /// A wave of 1/16 in. and 6 ft read every foot: crests at 60° and 120°, so 2a·sin 60° from crest to trough.
    #[test]
    fn waves_in_closed_form() {
        assert!((gap(&waves(), 10.0) - 2.0 / 16.0 * 0.75_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_slope_changes_nothing() {
        let sloped: Vec<f64> = waves().iter().enumerate().map(|(i, h)| h + INCH / 8.0 * i as f64).collect();
        assert!((gap(&waves(), 10.0) - gap(&sloped, 10.0)).abs() < 1e-12);
    }

    /// On a crest the edge rocks: no gap is between its supports.
    #[test]
    fn a_crest_has_no_gap() {
        let crest: Vec<f64> = (0..25).map(|i| -1e-4 * f64::from((i - 12) * (i - 12))).collect();
        assert_eq!(gap(&crest, 10.0), 0.0);
        assert_eq!(gap(&[0.0; 25], 10.0), 0.0);
    }

    /// A step of 1/2 in.: the edge rests on the step's top and its own far end hangs; nothing is between supports to its middle.
    #[test]
    fn a_dip_between_two_highs_is_found_where_it_is() {
        let mut h = vec![0.0; 30];
        h[13] = -INCH / 4.0;
        let found = largest_gap(&h, Length::feet(1.0), Length::feet(10.0)).unwrap();
        assert_eq!((found.at, found.gap.in_inches()), (13, 0.25));
        assert!(found.rests_on[0] < 13 && found.rests_on[1] > 13);
    }

    #[test]
    fn short_profiles_and_bad_figures_are_refused() {
        assert!(largest_gap(&[0.0; 10], Length::feet(1.0), Length::feet(10.0)).is_none());
        assert!(largest_gap(&[0.0; 11], Length::feet(1.0), Length::feet(10.0)).is_some());
        assert!(largest_gap(&[0.0, f64::NAN, 0.0, 0.0], Length::feet(1.0), Length::feet(2.0)).is_none());
        assert!(largest_gap(&[0.0; 9], Length::ZERO, Length::feet(2.0)).is_none());
        assert!(largest_gap(&[], Length::feet(1.0), Length::feet(2.0)).is_none());
    }

    /// Every place of the middle in small steps: the two readings that carry the edge are those whose line stands above all others
    /// under it and that stand to both sides of the middle.
    fn by_trial(h: &[f64], spaces: f64) -> f64 {
        let last = (h.len() - 1) as f64;
        let mut worst = 0.0_f64;
        let steps = ((last - spaces) * 64.0).round() as usize;
        for step in 0..=steps {
            let middle = 0.5 * spaces + step as f64 / 64.0;
            let under = |i: &usize| (*i as f64 - middle).abs() <= 0.5 * spaces + 1e-12;
            let readings: Vec<usize> = (0..h.len()).filter(under).collect();
            for &a in readings.iter().filter(|a| (**a as f64) < middle) {
                for &b in readings.iter().filter(|b| (**b as f64) > middle) {
                    let line = |i: usize| h[a] + (i - a) as f64 / (b - a) as f64 * (h[b] - h[a]);
                    let above = |i: &usize| {
                        let share = (*i as f64 - a as f64) / (b as f64 - a as f64);
                        h[a] + share * (h[b] - h[a]) - h[*i]
                    };
                    if readings.iter().all(|i| above(i) >= -1e-12) {
                        worst = (a + 1..b).map(|i| line(i) - h[i]).fold(worst, f64::max);
                    }
                }
            }
        }
        worst
    }

    #[test]
    fn sliding_by_trial_agrees() {
        let mut rng = ChaCha12Rng::seed_from_u64(11);
        for _ in 0..60 {
            let h: Vec<f64> = (0..18).map(|_| rng.random_range(-1.0..1.0)).collect();
            for spaces in [3.0, 5.0, 6.5, 9.75, 10.0] {
                let found = largest_gap(&h, Length::metres(1.0), Length::metres(spaces)).unwrap();
                let trial = by_trial(&h, spaces);
                assert!((found.gap.in_metres() - trial).abs() < 1e-9, "{spaces}: {found:?} against {trial}");
            }
        }
    }
}
