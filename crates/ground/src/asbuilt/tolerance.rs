//! Elevation against design, and thickness against what was asked for, with the survey's doubt.

use basis::math::normal_below;
use basis::{Estimate, Length, Origin, Share};

use crate::gp::{Piece, Process};
use crate::survey::{Levelled, LevelledShot};

/// Shots for which the base's doubt is figured one by one; of more, so many evenly chosen stand for all.
const MOST: usize = 200;

/// How elevations stand to the design.
#[derive(Debug, Clone, PartialEq)]
pub struct Deviations {
    /// How many spots.
    pub count: usize,
    /// Their mean distance above the design, with what the survey as a whole may be off by.
    pub mean: Estimate<Length>,
    /// Spread of the spots about their mean.
    pub sd: Length,
    /// The highest: its number among those given, and how far above.
    pub highest: (usize, Length),
    /// The lowest: how far above, commonly negative.
    pub lowest: (usize, Length),
    /// Spots beyond the tolerance to either side.
    pub beyond: usize,
}

/// A shot beside what it should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against<'a> {
    /// The shot.
    pub shot: &'a LevelledShot,
    /// What it should be, m.
    pub wanted: f64,
}

/// Elevations against design; `None` without shots.
#[must_use]
pub fn deviations(spots: &[Against<'_>], levelled: &Levelled, tolerance: Length) -> Option<Deviations> {
    let off: Vec<f64> = spots.iter().map(|s| s.shot.z - s.wanted).collect();
    let (mean, sd) = moments(&off)?;
    let by = |i: usize| (i, Length::metres(off[i]));
    let highest = (0..off.len()).max_by(|&a, &b| off[a].total_cmp(&off[b]))?;
    let lowest = (0..off.len()).min_by(|&a, &b| off[a].total_cmp(&off[b]))?;
    let shots: Vec<&LevelledShot> = spots.iter().map(|s| s.shot).collect();
    let doubt = Length::metres(mean_variance(&shots, levelled).sqrt());
    Some(Deviations {
        count: off.len(),
        mean: Estimate::new(Length::metres(mean), doubt, Origin::Derived),
        sd: Length::metres(sd),
        highest: by(highest),
        lowest: by(lowest),
        beyond: off.iter().filter(|d| d.abs() > tolerance.in_metres()).count(),
    })
}

/// What a rule asks of the thickness of a slab on ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThicknessRule {
    /// The mean of all samples may be so much under the drawing.
    pub mean_under: Length,
    /// A single sample may be so much under it.
    pub single_under: Length,
    /// Samples thicker than the drawing by more than this count as that thick in the mean.
    pub counts_over: Length,
}

/// ACI 117-10, 4.5.4 [@aci117]: 3/8 in. and 3/4 in. under; what counts of thick samples is from memory.
pub const ACI_THICKNESS: ThicknessRule = ThicknessRule {
    mean_under: Length::inches(0.375),
    single_under: Length::inches(0.75),
    counts_over: Length::inches(0.75),
};

/// The base under the floor.
#[derive(Clone, Copy)]
pub struct Base<'a> {
    /// As it was shot.
    pub process: &'a Process,
    /// The part of it that a shot stands over.
    pub zone: &'a dyn Fn(&LevelledShot) -> usize,
    /// Variance of the plane of the set-up that the base is told from, m²: the floor was shot from another one.
    pub of_datum: f64,
}

/// Thickness at the shots.
#[derive(Debug, Clone, PartialEq)]
pub struct ThicknessFigures {
    /// Thickness at each spot with its doubt, in the order given.
    pub spots: Vec<Estimate<Length>>,
    /// Mean, thick spots counted as the rule says, with its doubt.
    pub mean: Estimate<Length>,
    /// Spread of the spots.
    pub sd: Length,
    /// The thinnest spot: its number and its thickness.
    pub thinnest: (usize, Estimate<Length>),
    /// Chance that the mean is under the rule's limit.
    pub mean_under: Share,
    /// Mean chance of a spot to be under the rule's limit for one: the share of such spots that is expected.
    pub single_under: Share,
    /// Share of spots expected under the drawing by more than the mean may be; Gustaferro would allow 16 %.
    pub thinner: Share,
}

/// Thickness between the base as shot before and the floor as shot after.
///
/// The doubt of a spot: the reading's own, what its set-up is off by, and the base's at that spot, which holds the base survey's. The two surveys
/// count as independent. `None` without shots over the base.
#[must_use]
pub fn thickness(
    spots: &[Against<'_>],
    levelled: &Levelled,
    base: &Base<'_>,
    nominal: Length,
    rule: &ThicknessRule,
) -> Option<ThicknessFigures> {
    let Base { process, zone, of_datum } = *base;
    let chosen = evenly(spots);
    let pieces: Vec<Piece> =
        chosen.iter().map(|s| Piece { at: s.shot.at, area: 0.0, zone: zone(s.shot) }).collect();
    let of_base = process.covariance(&pieces);
    let thick = |(i, s): (usize, &Against<'_>)| {
        let (shot, seen) = (s.shot, (s.shot.setup, s.shot.at));
        let variance = levelled.rod_variance(shot.setup)
            + levelled.common_covariance(seen, seen)
            + of_base[(i, i)]
            + of_datum;
        let sd = Length::metres(variance.max(0.0).sqrt());
        Estimate::new(Length::metres(shot.z - s.wanted), sd, Origin::Derived)
    };
    let told: Vec<Estimate<Length>> = chosen.iter().enumerate().map(thick).collect();
    let limit = |under: Length| (nominal - under).in_metres();
    let counted: Vec<f64> =
        told.iter().map(|t| t.mean.in_metres().min((nominal + rule.counts_over).in_metres())).collect();
    let (mean, _) = moments(&counted)?;
    let (_, sd) = moments(&told.iter().map(|t| t.mean.in_metres()).collect::<Vec<_>>())?;
    let shots: Vec<&LevelledShot> = chosen.iter().map(|s| s.shot).collect();
    let count = told.len() as f64;
    let variance = mean_variance(&shots, levelled) + of_base.sum() / (count * count) + of_datum;
    let doubt = variance.max(0.0).sqrt();
    let under = |under: Length| {
        let each = told.iter().map(|t| below(limit(under), t.mean.in_metres(), t.sd.in_metres()));
        Share::ratio(each.sum::<f64>() / told.len() as f64)
    };
    let thinnest =
        (0..told.len()).min_by(|&a, &b| told[a].mean.in_metres().total_cmp(&told[b].mean.in_metres()))?;
    Some(ThicknessFigures {
        mean: Estimate::new(Length::metres(mean), Length::metres(doubt), Origin::Derived),
        sd: Length::metres(sd),
        thinnest: (thinnest, told[thinnest]),
        mean_under: Share::ratio(below(limit(rule.mean_under), mean, doubt)),
        single_under: under(rule.single_under),
        thinner: under(rule.mean_under),
        spots: told,
    })
}

/// Chance that what is estimated lies below a limit.
fn below(limit: f64, mean: f64, sd: f64) -> f64 {
    if sd > 0.0 { normal_below((limit - mean) / sd) } else { f64::from(u8::from(mean < limit)) }
}

fn evenly<'a>(spots: &[Against<'a>]) -> Vec<Against<'a>> {
    let step = spots.len().div_ceil(MOST).max(1);
    spots.iter().step_by(step).copied().collect()
}

fn moments(values: &[f64]) -> Option<(f64, f64)> {
    let found = crate::flatness::sample(values)?;
    Some((found.mean, found.sd))
}

/// Variance of the mean of many shots' errors, m²: each reading's own, and what the set-ups share.
fn mean_variance(shots: &[&LevelledShot], levelled: &Levelled) -> f64 {
    let count = shots.len().max(1) as f64;
    let own: f64 = shots.iter().map(|s| levelled.rod_variance(s.setup)).sum::<f64>() / (count * count);
    // Of one set-up all shots stand for their middle: the covariance is linear in each of its two spots.
    let mut parts: Vec<(f64, crate::P2)> = vec![(0.0, crate::P2::default()); levelled.setups.len()];
    for shot in shots {
        if let Some(part) = parts.get_mut(shot.setup) {
            *part = (part.0 + 1.0 / count, part.1 + shot.at / count);
        }
    }
    let middle = |i: usize| (i, if parts[i].0 > 0.0 { parts[i].1 / parts[i].0 } else { parts[i].1 });
    let pairs = (0..parts.len()).flat_map(|i| (0..parts.len()).map(move |j| (i, j)));
    let common: f64 =
        pairs.map(|(i, j)| parts[i].0 * parts[j].0 * levelled.common_covariance(middle(i), middle(j))).sum();
    own + common
}
