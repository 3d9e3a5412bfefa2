//! Many shots to a volume with its doubt: everything that `ground` does, from levelled shots on.

use std::time::Duration;

use basis::Length;
use ground::finish::FinishSurface;
use ground::{Facet, GroundInput, P2, Plane, ground};

use crate::made::{rectangle, rolling, survey};
use crate::row::{Row, best_of, milliseconds};

/// Plan of the floor, m: 1,500 ft2.
const SIZE: P2 = P2 { x: 15.24, y: 9.144 };

/// 5,000 and 100,000 shots.
pub fn rows() -> Vec<Row> {
    let five = timed(5_000, 9);
    let limit = Duration::from_millis(50);
    vec![
        Row::judged("5,000 shots to volume and doubt", "50 ms", milliseconds(five), five < limit),
        Row::told("100,000 shots to volume and doubt", milliseconds(timed(100_000, 3))),
    ]
}

fn timed(count: usize, runs: u32) -> Duration {
    let (outline, floor) = rectangle(SIZE);
    let levelled = survey(&rolling(count, SIZE, 5));
    let whole = Facet { ring: floor.boundary.corners().to_vec(), plane: Plane::level(0.0) };
    let design = FinishSurface::new(vec![whole]);
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
        minimum: Length::inches(3.25),
    };
    best_of(runs, || ground(&input).value.map(|built| built.forms_volume()))
}
