//! Made-up floors, shots and spots from a seed.

use basis::{Angle, Length, Origin, Place};
use ground::gp::BaseShot;
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Outline};
use ground::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup, LevelledShot, ShotOn};
use ground::{P2, floor};
use pour::chance::standard_normal;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

/// The outline of a rectangle with free edges.
pub fn rectangle(size: P2) -> (Outline, Floor) {
    let corner =
        |(name, x, y): (&str, f64, f64)| Corner { name: name.into(), at: P2::new(x, y), place: Place::job() };
    let corners =
        [("a", 0.0, 0.0), ("b", size.x, 0.0), ("c", size.x, size.y), ("d", 0.0, size.y)].map(corner).to_vec();
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let outline = Outline { corners, edges: vec![edge; 4], ..Outline::default() };
    let floor = floor::lay_out(&outline).value.expect("a rectangle of positive size is a floor");
    (outline, floor)
}

/// One set-up with these errors.
pub fn setup(backsight: f64, rod: f64) -> Levelled {
    let setup = LevelledSetup {
        name: "1".into(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station: P2::default(),
        errors: InstrumentErrors {
            backsight: Length::metres(backsight),
            tilt: Angle::ZERO,
            rod: Length::metres(rod),
            origin: Origin::Stated,
        },
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on: None,
    };
    Levelled { setups: vec![setup], shots: Vec::new() }
}

/// A shot of the base.
pub fn shot([x, y, z]: [f64; 3], rod: f64) -> BaseShot {
    BaseShot {
        name: String::new(),
        at: P2::new(x, y),
        z,
        variance: rod * rod,
        setup: 0,
        zone: 0,
        place: Place::job(),
    }
}

/// Spots of a rolling base, 4 in. under 0 with waves of 1/4 in. and noise of 1/8 in.
pub fn rolling(count: usize, size: P2, seed: u64) -> Vec<[f64; 3]> {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    (0..count)
        .map(|_| {
            let (x, y) = (rng.random_range(0.0..size.x), rng.random_range(0.0..size.y));
            let wave = 0.006 * basis::math::sin(x) * basis::math::cos(0.7 * y);
            [x, y, -0.1016 + wave + 0.003 * standard_normal(&mut rng)]
        })
        .collect()
}

/// A levelled survey of such spots.
pub fn survey(spots: &[[f64; 3]]) -> Levelled {
    let mut levelled = setup(0.0015, 0.003);
    levelled.shots = spots
        .iter()
        .enumerate()
        .map(|(i, &[x, y, z])| LevelledShot {
            name: (i + 1).to_string(),
            at: P2::new(x, y),
            z,
            setup: 0,
            on: ShotOn::Base,
            place: Place::job(),
        })
        .collect();
    levelled
}
