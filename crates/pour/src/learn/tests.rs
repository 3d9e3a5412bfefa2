use super::*;
use crate::chance::standard_normal;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

fn seen(kind: &str, value: f64, sd: f64) -> Seen {
    Seen { pour: String::new(), kind: kind.into(), value, sd }
}

/// A spread from pour to pour that is all but certain leaves the conjugate normal case (Gelman and others, Bayesian Data Analysis,
/// 3rd ed., eq. 2.12): here by doubts of what was seen that dwarf the spread.
#[test]
fn with_one_kind_and_known_doubts_it_is_the_conjugate_case() {
    let prior = Prior { mean: 3.0, crew: 2.0, kinds: 0.0, pours: 1e-9 };
    let pours = [seen("a", 5.0, 1.0), seen("a", 4.0, 0.5), seen("a", 6.5, 2.0)];
    let precision = 1.0 / 4.0 + 1.0 + 4.0 + 0.25;
    let mean = (3.0 / 4.0 + 5.0 + 16.0 + 6.5 * 0.25) / precision;
    let learned = learn(prior, &pours, "a");
    assert!((learned.typical.mean - mean).abs() < 1e-9);
    assert!((learned.typical.sd - (1.0_f64 / precision).sqrt()).abs() < 1e-9);
    assert!((learned.own - (1.0 - 1.0 / precision / 4.0)).abs() < 1e-9);
}

/// Three levels with known spreads, against the joint normal law of everything: the kind asked for, another kind, a new kind.
#[test]
fn kinds_lean_on_each_other_as_the_joint_law_says() {
    let (mean, crew, kinds) = (1.0_f64, 0.8_f64, 0.6_f64);
    let prior = Prior { mean, crew, kinds, pours: 1e-9 };
    let (y, s) = ([2.0, 3.0], [0.5, 0.4]);
    let pours = [seen("a", y[0], s[0]), seen("b", y[1], s[1])];
    let (c, k) = (crew * crew, kinds * kinds);
    // Covariance of the two values and of each with the kind asked for.
    let (aa, bb, ab) = (c + k + s[0] * s[0], c + k + s[1] * s[1], c);
    let determinant = aa * bb - ab * ab;
    let told = |with: [f64; 2]| {
        let weights =
            [(with[0] * bb - with[1] * ab) / determinant, (with[1] * aa - with[0] * ab) / determinant];
        let middle = mean + weights[0] * (y[0] - mean) + weights[1] * (y[1] - mean);
        (middle, (c + k - weights[0] * with[0] - weights[1] * with[1]).sqrt())
    };
    for (kind, with) in [("a", [c + k, c]), ("b", [c, c + k]), ("new", [c, c])] {
        let learned = learn(prior, &pours, kind).typical;
        let (middle, sd) = told(with);
        assert!(
            (learned.mean - middle).abs() < 1e-9 && (learned.sd - sd).abs() < 1e-9,
            "{kind}: {learned:?}"
        );
    }
}

/// Laws over many histories: between default and pours, never surer than the pours allow, the same in any order, and a pour of
/// no weight changes nothing.
#[test]
fn learned_values_lie_between_the_default_and_the_pours() {
    let mut rng = ChaCha12Rng::seed_from_u64(1);
    for _ in 0..40 {
        let prior = Prior::split(0.04, 0.02);
        // Pours far off the default can leave more doubt than there was: then either the crew is odd or its spread is large.
        let count = rng.random_range(5..12);
        let at = 0.04 + rng.random_range(-0.03..0.03);
        let mut pours: Vec<Seen> = (0..count).map(|_| seen("stone", at, 0.005)).collect();
        let learned = learn(prior, &pours, "stone");
        let (low, high) = (at.min(0.04), at.max(0.04));
        assert!((low..=high).contains(&learned.next.mean), "{low} {high} {learned:?}");
        assert!(learned.typical.sd < (prior.crew.powi(2) + prior.kinds.powi(2)).sqrt());
        let other = learn(prior, &pours, "clay");
        assert!(other.typical.sd > learned.typical.sd && other.own < learned.own);
        pours.push(seen("stone", 1.0, 1e6));
        let more = learn(prior, &pours, "stone");
        assert!((more.next.mean - learned.next.mean).abs() < 1e-6);
        pours.reverse();
        assert!((learn(prior, &pours, "stone").next.mean - more.next.mean).abs() < 1e-12);
    }
}

/// Many pours: the crew's own mean and spread stand, whatever the default said.
#[test]
fn many_pours_speak_for_themselves() {
    let mut rng = ChaCha12Rng::seed_from_u64(7);
    let pours: Vec<Seen> =
        (0..400).map(|_| seen("stone", 0.08 + 0.03 * standard_normal(&mut rng), 0.0)).collect();
    let count = pours.len() as f64;
    let mean = pours.iter().map(|p| p.value).sum::<f64>() / count;
    let spread = (pours.iter().map(|p| (p.value - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
    let learned = learn(Prior::split(0.04, 0.02), &pours, "stone");
    // The default weighs 1/0.0002 against 400/0.0009: a part in ninety of the 4 % between them.
    assert!((learned.next.mean - mean).abs() < 0.04 / 60.0, "{learned:?}");
    assert!((learned.pours / spread - 1.0).abs() < 0.02, "{learned:?}");
    assert!(learned.own > 0.95);
}

/// A pour that was noted wrong stands out, is told and still counted.
#[test]
fn a_wild_pour_is_told_and_counted() {
    let mut pours: Vec<Seen> =
        [0.03, 0.05, 0.04, 0.045, 0.035, 0.04].map(|v| seen("stone", v, 0.004)).to_vec();
    let prior = Prior::split(0.04, 0.02);
    let sound = learn(prior, &pours, "stone");
    assert!(evidence(prior, &pours).iter().all(|pour| !pour.is_wild()));
    pours.push(seen("stone", 0.40, 0.004));
    let wild: Vec<usize> =
        evidence(prior, &pours).iter().filter(|pour| pour.is_wild()).map(|pour| pour.index).collect();
    assert_eq!(wild, [6]);
    assert!(learn(prior, &pours, "stone").next.mean > sound.next.mean);
}

/// What is no number teaches nothing and breaks nothing.
#[test]
fn what_is_no_number_is_not_counted() {
    let pours = [seen("a", f64::NAN, 0.1), seen("a", 1.0, f64::INFINITY), seen("a", 1.0, -1.0)];
    let learned = learn(Prior::split(0.04, 0.02), &pours, "a");
    assert!(evidence(Prior::split(0.04, 0.02), &pours).is_empty() && learned.count == 0);
    assert!((learned.next.mean - 0.04).abs() < 1e-12 && (learned.next.sd - 0.02).abs() < 1e-9);
    assert_eq!(replay(Prior::split(0.04, 0.02), &pours[..1]), None);
}

/// Made-up crews that differ as the prior says: four in five pours lie in the span told, and learning foretells better.
#[test]
fn replayed_crews_are_foretold_honestly_and_better_than_by_the_default() {
    let mut rng = ChaCha12Rng::seed_from_u64(11);
    let prior = Prior::split(0.04, 0.02);
    let (mut inside, mut misses, mut gain, crews) = ([0.0; 2], [0.0; 2], 0.0, 60.0);
    for _ in 0..60 {
        let crew = prior.mean + prior.crew * standard_normal(&mut rng);
        let kinds: Vec<f64> = (0..3).map(|_| crew + prior.kinds * standard_normal(&mut rng)).collect();
        let pours: Vec<Seen> = (0..30)
            .map(|i| {
                let value = kinds[i % 3]
                    + (prior.pours * standard_normal(&mut rng))
                    + 0.004 * standard_normal(&mut rng);
                seen(["stone", "sand", "clay"][i % 3], value, 0.004)
            })
            .collect();
        let told = replay(prior, &pours).expect("pours");
        for i in 0..2 {
            inside[i] += told.inside[i] / crews;
            misses[i] += told.miss[i] / crews;
        }
        gain += told.gain / crews;
    }
    // 1,800 pours: one standard error is 0.9 points, more as those of one crew go together.
    assert!((0.77..0.83).contains(&inside[0]), "{inside:?}");
    assert!(misses[0] < 0.87 * misses[1] && gain > 0.1, "{misses:?} {gain}");
}

/// Every value has its word, and before the first pour the doubt that its default tells.
#[test]
fn before_the_first_pour_every_value_is_its_default() {
    let doubts = [0.02, 0.20, 7.5, 0.20, 0.25, 0.10];
    for (factor, doubt) in Factor::ALL.into_iter().zip(doubts) {
        let next = learn(factor.prior(), &[], "any").next;
        assert!((next.sd / doubt - 1.0).abs() < 1e-9, "{factor:?}: {next:?}");
        assert!(!factor.word().is_empty());
    }
}
