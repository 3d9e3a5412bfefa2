//! The base as a Gaussian process against scikit-learn, PyKrige and scipy.

use basis::{Angle, Length, Origin, Place};
use ground::P2;
use ground::gp::Piece;
use ground::gp::krige::krige;
use ground::gp::{BaseShot, Kernel, ProcessInput, fit};
use ground::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup};
use house::python;
use nalgebra::{DMatrix, DVector};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

use crate::floors;

/// Spots and heights of a rough base near nought, m.
fn base(rng: &mut ChaCha12Rng, count: usize) -> (Vec<P2>, Vec<f64>) {
    let at: Vec<P2> =
        (0..count).map(|_| P2::new(rng.random_range(0.0..12.0), rng.random_range(0.0..8.0))).collect();
    let height = |p: &P2, rng: &mut ChaCha12Rng| {
        0.004 * p.x - 0.002 * p.y + 0.01 * basis::math::sin(p.x) + rng.random_range(-0.004..0.004)
    };
    let heights = at.iter().map(|p| height(p, rng)).collect();
    (at, heights)
}

fn spots(rng: &mut ChaCha12Rng, count: usize) -> Vec<P2> {
    (0..count).map(|_| P2::new(rng.random_range(-1.0..13.0), rng.random_range(-1.0..9.0))).collect()
}

fn matrix(rows: usize, columns: usize, of: impl Fn(usize, usize) -> f64) -> Value {
    (0..rows).map(|i| (0..columns).map(|j| json!(of(i, j))).collect::<Value>()).collect()
}

fn trend(p: &P2, columns: usize) -> DVector<f64> {
    DVector::from_iterator(columns, [1.0, p.x, p.y].into_iter().take(columns))
}

#[test]
fn predictions_and_likelihoods_agree_with_scikit_learn_and_pykrige() {
    let mut rng = ChaCha12Rng::seed_from_u64(41);
    for (count, sd, length, noise) in
        [(6, 0.01, 3.0, 0.002), (25, 0.008, 2.0, 0.003), (60, 0.012, 5.0, 0.0015)]
    {
        let (at, heights) = base(&mut rng, count);
        let wanted = spots(&mut rng, 12);
        let (sill, noise): (f64, f64) = (sd * sd, noise * noise);
        let answer = python::ask(
            "process",
            &json!({
                "at": floors::pairs(&at), "height": heights, "wanted": floors::pairs(&wanted),
                "sill": sill, "length": length, "noise": noise,
            }),
        );
        let k = |a: P2, b: P2| sill * Kernel::Matern32.correlation(a.distance(b), length);
        let whole = DMatrix::from_fn(count, count, |i, j| k(at[i], at[j]) + if i == j { noise } else { 0.0 });
        let z = DVector::from_column_slice(&heights);
        let with = |p: P2| DVector::from_iterator(count, at.iter().map(|q| k(p, *q)));

        let plain =
            krige(whole.clone(), DMatrix::zeros(count, 0), &z).expect("a covariance with noise has a factor");
        let theirs = &answer["plain"];
        // Condition numbers stay under 1e5, so each figure holds ten digits of the sill.
        assert!((plain.log_likelihood - python::number(theirs, "log_likelihood")).abs() < 1e-7);
        let means = python::numbers(theirs, "mean");
        let empty = DVector::zeros(0);
        for (i, p) in wanted.iter().enumerate() {
            assert!((plain.mean(&with(*p), &empty) - means[i]).abs() < 1e-10, "mean at {p:?}");
            let variance = theirs["covariance"][i][i].as_f64().unwrap_or(f64::NAN);
            assert!(
                (plain.variance(sill, &with(*p), &empty) - variance).abs() < 1e-9 * sill,
                "variance at {p:?}"
            );
        }

        let design = DMatrix::from_fn(count, 3, |i, j| trend(&at[i], 3)[j]);
        let sloped = krige(whole, design.clone(), &z).expect("shots at random carry a slope");
        // Orthonormal contrasts leave out half the logarithm of the trend's own determinant.
        let own = 0.5 * basis::math::log((design.transpose() * &design).determinant());
        assert!((sloped.restricted + own - python::number(&answer, "restricted")).abs() < 1e-7);
        let (means, variances) =
            (python::numbers(&answer["trend"], "mean"), python::numbers(&answer["trend"], "variance"));
        for (i, p) in wanted.iter().enumerate() {
            assert!((sloped.mean(&with(*p), &trend(p, 3)) - means[i]).abs() < 1e-9, "sloped mean at {p:?}");
            let ours = sloped.variance(sill, &with(*p), &trend(p, 3));
            assert!((ours - variances[i]).abs() < 1e-7 * sill, "sloped variance at {p:?}");
        }
    }
}

fn setup(name: &str, station: P2, stands_on: Option<(usize, P2)>) -> LevelledSetup {
    let errors = InstrumentErrors {
        backsight: Length::millimetres(1.5),
        tilt: Angle::degrees(0.003),
        rod: Length::millimetres(2.0),
        origin: Origin::Stated,
    };
    LevelledSetup {
        name: name.to_owned(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station,
        errors,
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on,
    }
}

#[test]
fn the_average_over_roughness_and_length_agrees_with_scipy() {
    let mut rng = ChaCha12Rng::seed_from_u64(42);
    let setups = vec![
        setup("a", P2::new(-2.0, 4.0), None),
        setup("b", P2::new(14.0, 3.0), Some((0, P2::new(6.0, 9.0)))),
    ];
    let levelled = Levelled { setups, shots: Vec::new() };
    for count in [6, 22] {
        let (at, heights) = base(&mut rng, count);
        let seen = |i: usize| (i % 2, at[i]);
        let shots: Vec<BaseShot> = (0..count)
            .map(|i| BaseShot {
                name: i.to_string(),
                at: at[i],
                z: heights[i],
                variance: levelled.rod_variance(i % 2),
                setup: i % 2,
                zone: 0,
                place: Place::job(),
            })
            .collect();
        let report = fit(&ProcessInput {
            shots: &shots,
            levelled: &levelled,
            datum: Some(1),
            intended: P2::new(0.01, -0.005),
        });
        let process = report.value.unwrap_or_else(|| panic!("{:?}", report.notes));
        let wanted = spots(&mut rng, 9);
        let (low, high) = ground::polygon::bounds(&at);
        let common = |a, b| levelled.common_covariance(a, b);
        // The prior as `ground::gp::process` states it: 3/8 in, a third of the extent, a factor e^0.6 either way.
        let answer = python::ask(
            "process",
            &json!({
                "at": floors::pairs(&at), "height": heights, "wanted": floors::pairs(&wanted),
                "errors": matrix(count, count, |i, j| common(seen(i), seen(j)) + if i == j { shots[i].variance } else { 0.0 }),
                "common": matrix(count, wanted.len(), |i, j| common(seen(i), (1, wanted[j]))),
                "own": matrix(wanted.len(), wanted.len(), |i, j| common((1, wanted[i]), (1, wanted[j]))),
                // The fall as `ground::gp::process` knows it: 1 % about the intended one, the level open.
                "known": { "mean": [0.0, 0.01, -0.005], "precision": [0.0, 1e4, 1e4] },
                "prior": {
                    "nodes": [-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4], "spread": 0.6, "roughness": 0.375 * 0.0254,
                    "length": 0.33 * (high.x - low.x).max(high.y - low.y), "lightest": 0.01,
                },
            }),
        );
        let pieces: Vec<Piece> = wanted.iter().map(|&at| Piece { at, area: 0.0, zone: 0 }).collect();
        let means = python::numbers(&answer, "mean");
        let covariance = process.covariance(&pieces);
        let kept = python::number(&answer, "kept");
        assert!(kept >= 4.0, "only {kept} choices weigh anything");
        for (i, (ours, theirs)) in process.means(&pieces).into_iter().zip(means).enumerate() {
            // A nanometre, and a billionth of the square of 3/8 in: what two ways of solving the systems leave.
            assert!((ours - theirs).abs() < 1e-9, "{ours} against {theirs}");
            for j in 0..wanted.len() {
                let theirs = answer["covariance"][i][j].as_f64().unwrap_or(f64::NAN);
                let ours = covariance[(i, j)];
                assert!((ours - theirs).abs() < 1e-9 * 1e-4, "{ours} against {theirs}");
            }
        }
    }
}
