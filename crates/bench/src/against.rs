//! What people would otherwise use, timed in the same run.

use ground::gp::Piece;
use ground::gp::krige::krige;
use ground::gp::{BaseShot, Kernel, ProcessInput, fit};
use ground::tin::triangulate;
use ground::{P2, P3};
use nalgebra::{DMatrix, DVector};
use serde_json::json;

use crate::made::{rolling, setup, shot};
use crate::python::{ask, number};
use crate::row::{Row, best_of, milliseconds};

const SIZE: P2 = P2 { x: 15.24, y: 9.144 };
const ROD: f64 = 0.003;

/// 50 shots, 220 pieces: fit with all hyper-parameters and the joint covariance of the pieces, against scikit-learn's process
/// with its optimiser (none started again) and `return_cov`; beside it the library averaging over as many choices as ours,
/// and both with hyper-parameters held.
pub fn process() -> Vec<Row> {
    let spots = rolling(50, SIZE, 7);
    let shots: Vec<BaseShot> = spots.iter().map(|&at| shot(at, ROD)).collect();
    let pieces: Vec<Piece> = (0..220)
        .map(|i| {
            let (column, row) = (f64::from(i % 20), f64::from(i / 20));
            let at = P2::new((column + 0.5) / 20.0 * SIZE.x, (row + 0.5) / 11.0 * SIZE.y);
            Piece { at, area: 0.0, zone: 0 }
        })
        .collect();
    let levelled = setup(0.0, ROD);
    let input = ProcessInput { shots: &shots, levelled: &levelled, datum: None, intended: P2::default() };
    let ours = best_of(15, || {
        let process = fit(&input).value.expect("fifty shots make a base");
        process.means_and_covariance(&pieces)
    });
    let held = held(&spots, &pieces);
    let at: Vec<[f64; 2]> = pieces.iter().map(|piece| [piece.at.x, piece.at.y]).collect();
    let what = "Gaussian process, 50 shots, 220 pieces, over scikit-learn";
    let answer = match ask("process.py", &json!({"shots": spots, "at": at, "noise": ROD * ROD})) {
        Ok(answer) => answer,
        Err(why) => return vec![Row::failed(what, "10 x", why)],
    };
    let (theirs, theirs_held) = (number(&answer, "fitted"), number(&answer, "held"));
    let (ratio, ratio_held) = (theirs / ours.as_secs_f64(), theirs_held / held.0.as_secs_f64());
    let averaged = number(&answer, "averaged");
    let apart = (number(&answer, "held_sum") / held.1 - 1.0).abs();
    vec![
        Row::judged(
            what,
            "10 x",
            format!("{ratio:.1} x ({} against {:.1} ms)", milliseconds(ours), theirs * 1e3),
            ratio >= 10.0,
        ),
        Row::told(
            "the same against scikit-learn averaging over 49 choices as ours does",
            format!(
                "{:.1} x ({} against {:.1} ms)",
                averaged / ours.as_secs_f64(),
                milliseconds(ours),
                averaged * 1e3
            ),
        ),
        Row::told(
            "the same with roughness and length held",
            format!(
                "{ratio_held:.1} x ({} against {:.1} ms; variances agree to {apart:.0e})",
                milliseconds(held.0),
                theirs_held * 1e3
            ),
        ),
    ]
}

/// Mean and covariance for one roughness and length.
fn held(spots: &[[f64; 3]], pieces: &[Piece]) -> (std::time::Duration, f64) {
    let (n, m) = (spots.len(), pieces.len());
    let at = |i: usize| P2::new(spots[i][0], spots[i][1]);
    let k = |a: P2, b: P2| 1e-4 * Kernel::Matern32.correlation(a.distance(b), 3.0);
    let heights = DVector::from_fn(n, |i, _| spots[i][2]);
    let work = || {
        let whole = DMatrix::from_fn(n, n, |i, j| k(at(i), at(j)) + if i == j { ROD * ROD } else { 0.0 });
        let system = krige(whole, DMatrix::zeros(n, 0), &heights).expect("noise on the diagonal");
        let reach = DMatrix::from_fn(n, m, |i, j| k(at(i), pieces[j].at));
        let mean = reach.tr_mul(&system.alpha);
        let mut total = DMatrix::from_fn(m, m, |i, j| k(pieces[i].at, pieces[j].at));
        system.explain(&mut total, 1.0, reach, &DMatrix::zeros(0, m));
        (mean, total)
    };
    (best_of(15, work), work().1.trace())
}

/// The volume under a triangulation of 10,000 shots against scipy's Delaunay and numpy's sums.
pub fn triangles() -> Vec<Row> {
    let spots = rolling(10_000, SIZE, 9);
    let points: Vec<P3> = spots.iter().map(|&[x, y, z]| P3::new(x, y, z)).collect();
    let volume = || triangulate(&points, &[]).value.map_or(f64::NAN, |tin| tin.integral());
    let ours = best_of(9, volume);
    let what = "volume under 10,000 shots by triangles, over scipy";
    match ask("triangles.py", &json!({"shots": spots})) {
        Ok(answer) => {
            let theirs = number(&answer, "seconds");
            let ratio = theirs / ours.as_secs_f64();
            let apart = (number(&answer, "volume") / volume() - 1.0).abs();
            let figure = format!(
                "{ratio:.1} x ({} against {:.1} ms; volumes agree to {apart:.0e})",
                milliseconds(ours),
                theirs * 1e3
            );
            vec![Row::judged(what, "3 x", figure, ratio >= 3.0 && apart < 1e-9)]
        }
        Err(why) => vec![Row::failed(what, "3 x", why)],
    }
}
