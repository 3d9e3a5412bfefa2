//! Cutting stock: time, and what is left open to the bound, from 4 to 60 pieces and sheets.

use pour::takeoff::cut::{CutInput, NODES, Piece, Proof, cut};
use pour::takeoff::nest::{NestInput, nest};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use crate::row::{Row, best_of, milliseconds};

/// Cases of one size.
const CASES: u64 = 20;

/// Bars from one stock length and boards from five, each piece of its own length; mesh pieces from sheets of 5 by 10 ft.
pub fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for count in [4, 8, 15, 30, 60] {
        rows.push(sticks(count, "one stock length", &[240]));
        rows.push(sticks(count, "five stock lengths", &[96, 120, 144, 168, 192]));
        rows.push(sheets(count));
    }
    rows
}

/// Cuts random pieces of an eighth to the whole of the longest stock.
fn sticks(count: usize, told: &str, stock: &[u32]) -> Row {
    let longest = stock.iter().copied().max().unwrap_or(1);
    let cases: Vec<Vec<Piece>> = (0..CASES)
        .map(|seed| {
            let mut rng = ChaCha12Rng::seed_from_u64(seed);
            (0..count).map(|_| Piece { length: rng.random_range(longest / 8..=longest), count: 1 }).collect()
        })
        .collect();
    let solve = |pieces: &[Piece]| cut(&CutInput { pieces, stock, kerf: 0, nodes: NODES });
    let plans: Vec<_> = cases.iter().filter_map(|pieces| solve(pieces).ok()).collect();
    let proven = plans.iter().filter(|plan| plan.proof == Proof::Least).count();
    let widest = plans.iter().map(|plan| plan.gap()).fold(0.0, f64::max);
    let mut times: Vec<_> = cases.iter().map(|pieces| best_of(1, || solve(pieces))).collect();
    times.sort_unstable();
    let (middle, longest) = (times[times.len() / 2], times[times.len() - 1]);
    let figure = format!(
        "{proven} of {CASES} proven least, widest gap {:.1} %; {} in the middle, {} at most",
        100.0 * widest,
        milliseconds(middle),
        milliseconds(longest)
    );
    Row::told(format!("cutting {count} pieces from {told}"), figure)
}

/// Cuts random pieces of sheets, in inches.
fn sheets(count: usize) -> Row {
    let cases: Vec<Vec<[u32; 2]>> = (0..CASES)
        .map(|seed| {
            let mut rng = ChaCha12Rng::seed_from_u64(seed);
            (0..count).map(|_| [rng.random_range(12..=60), rng.random_range(12..=120)]).collect()
        })
        .collect();
    let solve = |pieces: &[[u32; 2]]| nest(&NestInput { pieces, sheet: [60, 120] });
    let plans: Vec<_> = cases.iter().filter_map(|pieces| solve(pieces).ok()).collect();
    let proven = plans.iter().filter(|plan| plan.proof == Proof::Least).count();
    let widest = plans.iter().map(|plan| plan.sheets.len() - plan.bound).max().unwrap_or(0);
    let mut times: Vec<_> = cases.iter().map(|pieces| best_of(1, || solve(pieces))).collect();
    times.sort_unstable();
    let figure = format!(
        "{proven} of {CASES} proven least, at most {widest} sheets over the bound; {} in the middle, {} at most",
        milliseconds(times[times.len() / 2]),
        milliseconds(times[times.len() - 1])
    );
    Row::told(format!("cutting {count} pieces from sheets"), figure)
}
