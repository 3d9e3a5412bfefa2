//! What past pours teach, against the joint normal law and scipy's quadrature over the spread from pour to pour.

use house::python;
use pour::chance::standard_normal;
use pour::learn::{Prior, Seen, learn};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::json;

#[test]
fn learned_values_agree_with_the_joint_law_and_scipy() {
    let mut rng = ChaCha12Rng::seed_from_u64(23);
    for case in 0..6 {
        let default = Prior::split(0.04, 0.02);
        let prior = Prior { crew: default.crew * rng.random_range(0.5..2.0), ..default };
        let pours: Vec<Seen> = (0..rng.random_range(1..15))
            .map(|i| Seen {
                pour: i.to_string(),
                kind: ["stone", "sand", "clay"][rng.random_range(0..3)].to_owned(),
                value: 0.04 + 0.03 * standard_normal(&mut rng),
                sd: rng.random_range(0.0..0.02),
            })
            .collect();
        for kind in ["stone", "gravel"] {
            let ours = learn(prior, &pours, kind);
            let told: Vec<_> =
                pours.iter().map(|p| json!({"kind": p.kind, "value": p.value, "sd": p.sd})).collect();
            let question = json!({
                "prior": {"mean": prior.mean, "crew": prior.crew, "kinds": prior.kinds, "pours": prior.pours},
                "seen": told,
                "kind": kind,
            });
            let theirs = python::ask("learning", &question);
            let near = |ours: f64, name: &str| {
                // Ours takes 61 points out to four standard deviations of the spread's logarithm: 6e-5 of its law lies beyond.
                let theirs = python::number(&theirs, name);
                assert!(
                    (ours - theirs).abs() < 2e-3 * ours.abs().max(0.01),
                    "{case} {kind} {name}: {ours} {theirs}"
                );
            };
            near(ours.typical.mean, "mean");
            near(ours.typical.sd, "typical");
            near(ours.next.sd, "next");
        }
    }
}
