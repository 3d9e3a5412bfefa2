//! The past told again on 200 made-up pours: odds and waiting times by the default and by what was learned.

use pour::chance::standard_normal;
use pour::learn::{Factor, Replay, Seen, replay};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;

use crate::row::{Row, best_of, milliseconds};

/// Crews and pours of each.
const CREWS: u64 = 10;
const POURS: usize = 20;
/// Doubt of what one pour shows of its allowance, and of its set factor's logarithm.
const SHOWN: [f64; 2] = [0.008, 0.12];
/// A wait by the clock that the set factor scales, minutes.
const WAIT: f64 = 240.0;
/// A floor on which the allowance is told, yd³.
const FLOOR: f64 = 20.0;

/// Crews that differ as the defaults say, and crews that all lie two of the default's doubts above it.
pub fn rows() -> Vec<Row> {
    [("as the defaults say", 0.0), ("two doubts above the default", 2.0)]
        .into_iter()
        .flat_map(|(told, off)| [row(Factor::Allowance, told, off), row(Factor::SetFactor, told, off)])
        .chain([time()])
        .collect()
}

/// Histories of all crews.
fn histories(factor: Factor, off: f64) -> Vec<Vec<Seen>> {
    let prior = factor.prior();
    let shown = if factor == Factor::Allowance { SHOWN[0] } else { SHOWN[1] };
    let all = (prior.crew.powi(2) + prior.kinds.powi(2) + prior.pours.powi(2)).sqrt();
    (0..CREWS)
        .map(|seed| {
            let mut rng = ChaCha12Rng::seed_from_u64(seed);
            let mut normal = |sd: f64| sd * standard_normal(&mut rng);
            let crew = if off > 0.0 { prior.mean + off * all } else { prior.mean + normal(prior.crew) };
            let kinds = [0; 3].map(|_| crew + normal(prior.kinds));
            (0..POURS)
                .map(|i| Seen {
                    pour: i.to_string(),
                    kind: (i % 3).to_string(),
                    value: kinds[i % 3] + normal(prior.pours) + normal(shown),
                    sd: shown,
                })
                .collect()
        })
        .collect()
}

fn row(factor: Factor, told: &str, off: f64) -> Row {
    let replays: Vec<Replay> =
        histories(factor, off).iter().filter_map(|pours| replay(factor.prior(), pours)).collect();
    let pours: Vec<_> = replays.iter().flat_map(|replay| &replay.pours).collect();
    let count = pours.len() as f64;
    let over = |chance: fn(&pour::learn::Replayed) -> f64| {
        100.0 * pours.iter().filter(|pour| chance(pour) > 0.9).count() as f64 / count
    };
    let miss = |i: usize| {
        (replays.iter().map(|replay| replay.miss[i].powi(2)).sum::<f64>() / replays.len() as f64).sqrt()
    };
    let (unit, scale) = if factor == Factor::Allowance { ("yd3 of 20", FLOOR) } else { ("min of 4 h", WAIT) };
    let figure = format!(
        "over what was stated at 10 %: {:.1} % by default, {:.1} % learned; missed by {:.2} and {:.2} {unit}",
        over(|pour| pour.default_chance),
        over(|pour| pour.learned_chance),
        scale * miss(1),
        scale * miss(0),
    );
    Row::told(format!("{} of 200 pours told again, {told}", factor.word()), figure)
}

fn time() -> Row {
    let histories = histories(Factor::Allowance, 0.0);
    let time = best_of(3, || {
        histories.iter().map(|pours| replay(Factor::Allowance.prior(), pours)).collect::<Vec<_>>()
    });
    Row::told("telling 200 pours again", milliseconds(time))
}
