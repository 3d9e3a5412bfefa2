//! The least-squares fit of a walked outline against scipy.

use basis::{Angle, Length, Place, math};
use ground::outline::EdgeShape;
use ground::walk::{Heading, Leg, Measure, TapeErrors, Walk, adjust};
use house::python;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

use crate::floors::{pairs, star};
use ground::P2;

#[test]
fn a_walk_with_diagonals_agrees_with_scipy() {
    let mut rng = ChaCha12Rng::seed_from_u64(51);
    for count in [4, 6, 9] {
        let ring = star(&mut rng, P2::default(), count, 4.0..7.0);
        let truth: Vec<P2> = ring.iter().map(|p| *p - ring[0]).collect();
        let walk = walked(&mut rng, &truth);
        let report = adjust(&walk);
        let ours = report.value.unwrap_or_else(|| panic!("{:?}", report.notes));
        let answer = python::ask("walk", &question(&walk, &truth));
        let theirs: Vec<[f64; 2]> = serde_json::from_value(answer["corners"].clone()).expect("corners");
        for (corner, [x, y]) in ours.corners.iter().zip(theirs) {
            // scipy differentiates by steps: its optimum is good to the square root of rounding in the misfit,
            // which over metres and spreads of millimetres is a tenth of a micrometre.
            assert!(corner.at.distance(P2::new(x, y)) < 1e-7, "{corner:?} against {x}, {y}");
        }
        let cost = python::number(&answer, "cost");
        assert!(cost > 0.1, "the measures of case {count} do not contradict each other: {cost}");
    }
}

/// A walk round the corners with errors of tape and eye, and two diagonals.
fn walked(rng: &mut ChaCha12Rng, truth: &[P2]) -> Walk {
    let count = truth.len();
    let mut taped = |a: P2, b: P2| Length::metres(a.distance(b) + rng.random_range(-0.006..0.006));
    let name = |i: usize| format!("c{}", i % count);
    let measures: Vec<Measure> = [(0, 2), (1, 3)]
        .map(|(a, b)| Measure {
            from: name(a),
            to: name(b),
            length: taped(truth[a], truth[b]),
            place: Place::job(),
        })
        .to_vec();
    let lengths: Vec<Length> = (0..count).map(|i| taped(truth[i], truth[(i + 1) % count])).collect();
    let direction = |i: usize| {
        let run = truth[(i + 1) % count] - truth[i % count];
        math::atan2(run.y, run.x)
    };
    let legs = (0..count)
        .map(|i| {
            let off = rng.random_range(-0.005..0.005);
            let heading = if i % 3 == 0 {
                Heading::Toward(Angle::radians(direction(i) + off))
            } else {
                Heading::Turn(Angle::radians(direction(i) - direction(i - 1) + off))
            };
            Leg {
                to: name(i + 1),
                heading,
                length: lengths[i],
                shape: EdgeShape::Straight,
                place: Place::job(),
            }
        })
        .collect();
    let errors = TapeErrors { length: Length::millimetres(3.0), heading: Angle::radians(0.003) };
    Walk { start: name(0), legs, measures, errors, closure_limit: Length::metres(0.5), place: Place::job() }
}

fn question(walk: &Walk, first: &[P2]) -> Value {
    let leg = |leg: &Leg| {
        let (toward, turn) = match leg.heading {
            Heading::Toward(angle) => (Some(angle.in_radians()), None),
            Heading::Turn(turn) => (None, Some(turn.in_radians())),
        };
        json!({"length": leg.length.in_metres(), "toward": toward, "turn": turn})
    };
    let number = |name: &str| name[1..].parse::<usize>().expect("corners are called c0, c1, …");
    json!({
        "legs": walk.legs.iter().map(leg).collect::<Value>(),
        "measures": walk.measures.iter().map(|m| json!([number(&m.from), number(&m.to), m.length.in_metres()])).collect::<Value>(),
        "tape": walk.errors.length.in_metres(), "heading": walk.errors.heading.in_radians(), "first": pairs(first),
    })
}
