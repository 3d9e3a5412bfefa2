//! How far apart to ask for the trucks, and how many of them it takes.

use basis::{Money, TimeSpan, Volume, VolumeRate};

use super::course::{Day, Plan, follow};
use super::summary::{Judged, Totals, totals};

/// Spacings are asked for in steps of five minutes (common practice, no source).
const STEP: f64 = 300.0;

/// Most spacings tried.
const MOST_TRIED: usize = 24;

/// Spacing that matches the crew: the time it takes to place a load.
///
/// ```
/// use basis::{Volume, VolumeRate};
/// // 10 yd at 10, 12, 15, 20 and 25 yd/h: 60, 50, 40, 30 and 24 min (arithmetic).
/// for (rate, minutes) in [(10.0, 60.0), (12.0, 50.0), (15.0, 40.0), (20.0, 30.0), (25.0, 24.0)] {
///     let spacing = pour::trucks::matched_spacing(Volume::cubic_yards(10.0), VolumeRate::cubic_yards_per_hour(rate));
///     assert!((spacing.in_minutes() - minutes).abs() < 1e-9);
/// }
/// ```
#[must_use]
pub fn matched_spacing(load: Volume, rate: VolumeRate) -> TimeSpan {
    load / rate
}

/// Trucks that keep a crew going: round trip over unloading time, rounded up (plant arithmetic, common practice).
///
/// The round trip is both hauls, the time at the plant and the unloading.
///
/// ```
/// use basis::TimeSpan;
/// // Two hauls of 25 min, 15 at the plant, 40 to unload: 105 / 40 = 2.6, so 3 trucks.
/// let minutes = TimeSpan::minutes;
/// assert_eq!(pour::trucks::trucks_needed(minutes(25.0), minutes(15.0), minutes(40.0)), 3);
/// ```
#[must_use]
pub fn trucks_needed(haul: TimeSpan, turnaround: TimeSpan, unloading: TimeSpan) -> u32 {
    let round_trip = haul * 2.0 + turnaround + unloading;
    // A millionth of slack, so that an exact ratio is not rounded up.
    (round_trip / unloading - 1e-6).ceil().clamp(1.0, f64::from(u32::MAX)) as u32
}

/// What waiting and idling cost, per second; absent when not stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TimeCosts {
    /// A truck's second beyond its free time.
    pub standby: Option<f64>,
    /// The whole crew's second of standing idle.
    pub idle: Option<f64>,
}

/// One spacing with what comes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpacingTrial {
    /// Time between two trucks as asked for.
    pub spacing: TimeSpan,
    /// What comes of it over all days.
    pub totals: Totals,
    /// Mean of standby charge and idle crew; absent when one of the two is not stated.
    pub cost: Option<Money>,
}

/// By what rule a spacing is recommended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpacingBasis {
    /// The least mean of standby charge and idle crew.
    LeastCost,
    /// The least mean of minutes that trucks wait and the crew idles, a minute of each counted alike; money is not known.
    LeastMinutes,
}

/// Tries spacings from half to one and a half times the matched one on the same days.
///
/// Returns the trials, spacing rising, and the index of the best.
#[must_use]
pub fn try_spacings(
    plan: &Plan,
    days: &[Day],
    matched: TimeSpan,
    judged: &Judged,
    costs: &TimeCosts,
) -> (Vec<SpacingTrial>, usize, SpacingBasis) {
    let trials: Vec<SpacingTrial> = spacings(matched.in_seconds())
        .into_iter()
        .map(|spacing| {
            let asked = (0..plan.loads.len()).map(|i| i as f64 * spacing).collect();
            let plan = Plan { asked, ..plan.clone() };
            let passages: Vec<_> = days.iter().map(|day| follow(&plan, day)).collect();
            let totals = totals(&plan, &passages, judged);
            SpacingTrial { spacing: TimeSpan::seconds(spacing), totals, cost: time_cost(&totals, costs) }
        })
        .collect();
    let known = trials.iter().all(|trial| trial.cost.is_some());
    let basis = if known { SpacingBasis::LeastCost } else { SpacingBasis::LeastMinutes };
    let score = |trial: &SpacingTrial| match trial.cost.filter(|_| known) {
        Some(cost) => cost.in_units(),
        None => (trial.totals.wait.mean + trial.totals.idle.mean).in_minutes(),
    };
    let best =
        (0..trials.len()).min_by(|a, b| score(&trials[*a]).total_cmp(&score(&trials[*b]))).unwrap_or(0);
    (trials, best, basis)
}

/// Mean cost of waiting trucks and idle crew, when all of it is known.
#[must_use]
pub fn time_cost(totals: &Totals, costs: &TimeCosts) -> Option<Money> {
    let standby = totals.standby?.mean.in_seconds() * costs.standby?;
    let idle = totals.idle.mean.in_seconds() * costs.idle?;
    Some(Money::ten_thousandths(((standby + idle) * 10_000.0).round() as i64))
}

fn spacings(matched: f64) -> Vec<f64> {
    let (low, high) = (0.5 * matched, 1.5 * matched);
    let mut step = STEP;
    while (high - low) / step >= MOST_TRIED as f64 - 1.0 {
        step *= 2.0;
    }
    let first = (low / step).ceil().max(1.0);
    let last = (high / step).floor().max(first);
    (0..=(last - first) as usize).map(|i| (first + i as f64) * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spacings_are_round_and_few() {
        assert_eq!(spacings(3_000.0).first(), Some(&1_500.0));
        assert_eq!(spacings(3_000.0).last(), Some(&4_500.0));
        assert_eq!(spacings(3_000.0).len(), 11);
        assert!(spacings(1e7).len() <= MOST_TRIED);
        assert_eq!(spacings(10.0), [300.0]);
    }
}
