//! Cutting stock against OR-tools.

use house::python;
use pour::takeoff::cut::{CutInput, CutPlan, NODES, Piece, Proof, cut};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

/// Cases from a seed: a few kinds of pieces, one stock length or several, with and without a saw's width.
fn cases() -> Vec<(Vec<Piece>, Vec<u32>, u32)> {
    let mut rng = ChaCha12Rng::seed_from_u64(41);
    let mut cases = Vec::new();
    for round in 0..24 {
        let stock = match round % 3 {
            0 => vec![240],
            1 => vec![480],
            _ => vec![96, 120, 144, 192],
        };
        let longest = *stock.iter().max().unwrap_or(&0);
        let kinds = rng.random_range(2..=6);
        let piece = |rng: &mut ChaCha12Rng| Piece {
            length: rng.random_range(longest / 8..=longest),
            count: rng.random_range(1..=4),
        };
        let pieces = (0..kinds).map(|_| piece(&mut rng)).collect();
        cases.push((pieces, stock, u32::from(round % 2 == 1)));
    }
    cases
}

fn asked((pieces, stock, kerf): &(Vec<Piece>, Vec<u32>, u32), ours: &CutPlan) -> Value {
    let pieces: Vec<_> = pieces.iter().map(|piece| [piece.length, piece.count]).collect();
    // Our own number of sticks and two more, so that many short ones may stand for few long ones.
    json!({ "pieces": pieces, "stock": stock, "kerf": kerf, "sticks": ours.sticks.len() + 2 })
}

/// Both are whole numbers: they agree or one is wrong.
#[test]
fn the_least_stock_agrees_with_or_tools() {
    let cases = cases();
    let ours: Vec<CutPlan> = cases
        .iter()
        .map(|(pieces, stock, kerf)| {
            let input = CutInput { pieces, stock, kerf: *kerf, nodes: NODES };
            cut(&input).unwrap_or_else(|trouble| panic!("{trouble}"))
        })
        .collect();
    let question: Vec<Value> = cases.iter().zip(&ours).map(|(case, ours)| asked(case, ours)).collect();
    let answer = python::ask("cuts", &Value::Array(question));
    let (mut compared, mut proven) = (0, 0);
    for (index, (ours, case)) in ours.iter().zip(&cases).enumerate() {
        let theirs = &answer[index];
        let (bought, bound) =
            (python::number(theirs, "bought") as u64, python::number(theirs, "bound") as u64);
        // Neither bound may lie over the other's cutting.
        assert!(ours.bound <= bought && bound <= ours.bought, "{ours:?} against {theirs} for {case:?}");
        if ours.proof == Proof::Least && theirs["is_least"] == true {
            assert_eq!(ours.bought, bought, "{case:?}");
            compared += 1;
        }
        proven += usize::from(ours.proof == Proof::Least);
    }
    assert!(compared >= 20 && proven >= 22, "only {compared} compared, {proven} proven of {}", cases.len());
}
