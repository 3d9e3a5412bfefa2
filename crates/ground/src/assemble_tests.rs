use basis::{Angle, Length, Origin, Place};

use crate::finish::FinishSurface;
use crate::gp::Piece;
use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Outline};
use crate::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup, LevelledShot, ShotOn};
use crate::{Facet, GroundInput, P2, Plane, floor, ground};

const SIZE: P2 = P2 { x: 12.0, y: 8.0 };

fn outline() -> Outline {
    let corner =
        |(x, y): (f64, f64)| Corner { name: format!("{x} {y}"), at: P2::new(x, y), place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let corners = [(0.0, 0.0), (SIZE.x, 0.0), (SIZE.x, SIZE.y), (0.0, SIZE.y)].map(corner).to_vec();
    Outline { corners, edges: vec![edge; 4], ..Outline::default() }
}

/// A rolling base shot at `count` spots spread evenly, 4 in. under a level top.
fn levelled(count: usize) -> Levelled {
    let errors = InstrumentErrors {
        backsight: Length::millimetres(1.5),
        tilt: Angle::ZERO,
        rod: Length::millimetres(3.0),
        origin: Origin::Stated,
    };
    let setup = LevelledSetup {
        name: "1".into(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station: P2::default(),
        errors,
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on: None,
    };
    let spread = |i: usize, step: f64, span: f64| (0.5 + i as f64 * step).fract() * span;
    let shot = |i: usize| {
        let at = P2::new(spread(i, 0.754_877_67, SIZE.x), spread(i, 0.569_840_29, SIZE.y));
        let z = -0.1016 + 0.008 * basis::math::sin(at.x) * basis::math::cos(0.7 * at.y);
        LevelledShot { name: i.to_string(), at, z, setup: 0, on: ShotOn::Base, place: Place::job() }
    };
    Levelled { setups: vec![setup], shots: (0..count).map(shot).collect() }
}

/// Pooled shots: the volume under the mean as drawn against the mean itself, summed at 60,000 spots. The triangles are within
/// a ten-thousandth of it, a twentieth of the doubt.
#[test]
fn the_mean_of_pooled_shots_is_drawn_as_it_is() {
    let outline = outline();
    let floor = floor::lay_out(&outline).value.unwrap();
    let whole = Facet { ring: floor.boundary.corners().to_vec(), plane: Plane::level(0.0) };
    let design = FinishSurface::new(vec![whole]);
    let levelled = levelled(600);
    let input = GroundInput {
        floor: &floor,
        outline: &outline,
        design: &design,
        levelled: &levelled,
        datum: 0,
        breaks: &[],
        zones: &[],
        controls: &[],
        setting: Length::millimetres(1.5),
        minimum: Length::inches(3.0),
    };
    let built = ground(&input).value.unwrap();
    let middle = |i: u32, count: u32, span: f64| (f64::from(i) + 0.5) / f64::from(count) * span;
    let spot = |i: u32| P2::new(middle(i % 300, 300, SIZE.x), middle(i / 300, 200, SIZE.y));
    let spots: Vec<Piece> = (0..60_000).map(|i| Piece { at: spot(i), area: 0.0, zone: 0 }).collect();
    let mean = -built.process.means(&spots).iter().sum::<f64>() / 60_000.0 * SIZE.x * SIZE.y;
    let drawn = built.forms_volume();
    let off = (drawn.mean.in_cubic_metres() - mean).abs();
    assert!(off < 1e-4 * mean && off < 0.05 * drawn.sd.in_cubic_metres(), "{drawn:?} against {mean}");
}
