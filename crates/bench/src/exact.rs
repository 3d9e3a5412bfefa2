//! Volumes of piecewise-planar cases against their closed forms.

use ground::overlay::overlay;
use ground::{Facet, P2, P3, Plane, Polygon, volume};

use crate::made::rectangle;
use crate::row::Row;

const FT: f64 = 0.3048;

/// The largest relative error over all cases.
pub fn rows() -> Vec<Row> {
    let cases = [wedge(), hip(), pyramid(), dish_in_a_wedge()];
    let worst = cases.iter().map(|(found, closed)| (found / closed - 1.0).abs()).fold(0.0, f64::max);
    let figure = format!("{worst:.1e} at worst of {} cases", cases.len());
    vec![Row::judged("volumes in closed form, relative error", "1e-9", figure, worst < 1e-9)]
}

fn everywhere(plane: Plane) -> Vec<Facet> {
    vec![Facet { ring: Polygon::rectangle(P2::new(-1e3, -1e3), P2::new(1e3, 1e3)).corners().to_vec(), plane }]
}

fn face(corners: &[(f64, f64, f64)]) -> Facet {
    let at: Vec<P3> = corners.iter().map(|&(x, y, z)| P3::new(x * FT, y * FT, z * FT)).collect();
    let plane = Plane::through(at[0], at[1], at[2]).expect("three corners of a face");
    Facet { ring: at.iter().map(|p| p.plan()).collect(), plane }
}

/// Volume in ft³ between two layers over a rectangle in ft.
fn between(size: (f64, f64), top: &[Facet], base: &[Facet]) -> f64 {
    let (_, floor) = rectangle(P2::new(size.0 * FT, size.1 * FT));
    volume::volume(&overlay(&floor, top, base, &[])).in_cubic_feet()
}

/// 24 × 30 ft, 4 in. at the door to 7 in. at the back: 12.2222 yd³.
fn wedge() -> (f64, f64) {
    let top = everywhere(Plane { at: P2::default(), z0: 4.0 / 12.0 * FT, gx: 0.0, gy: 3.0 / 12.0 / 30.0 });
    (between((24.0, 30.0), &top, &everywhere(Plane::level(0.0))), 24.0 * 30.0 * 5.5 / 12.0)
}

/// A hip of slope s over L × W: sW²(3L − W)/12.
fn hip() -> (f64, f64) {
    let (length, width, slope) = (30.0, 20.0, 0.25 / 12.0);
    let (half, high) = (0.5 * width, 0.5 * width * slope);
    let (a, b, c, d) = ((0.0, 0.0, 0.0), (length, 0.0, 0.0), (length, width, 0.0), (0.0, width, 0.0));
    let (left, right) = ((half, half, high), (length - half, half, high));
    let top =
        [face(&[a, b, right, left]), face(&[b, c, right]), face(&[c, d, left, right]), face(&[d, a, left])];
    let closed = slope * width * width * (3.0 * length - width) / 12.0;
    (between((length, width), &top, &everywhere(Plane::level(0.0))), closed)
}

fn pyramid_faces(side: f64, low: f64) -> [Facet; 4] {
    let (a, b, c, d) = ((0.0, 0.0, 0.0), (side, 0.0, 0.0), (side, side, 0.0), (0.0, side, 0.0));
    let middle = (0.5 * side, 0.5 * side, low);
    [face(&[a, b, middle]), face(&[b, c, middle]), face(&[c, d, middle]), face(&[d, a, middle])]
}

/// A square 20 × 20 ft that falls 2 1/2 in. to its middle: a third of the prism less.
fn pyramid() -> (f64, f64) {
    let top = everywhere(Plane::level(0.0));
    (between((20.0, 20.0), &top, &pyramid_faces(20.0, -2.5 / 12.0)), 400.0 * 2.5 / 12.0 / 3.0)
}

/// The same dish over a base that falls: their volumes add up.
fn dish_in_a_wedge() -> (f64, f64) {
    let base = everywhere(Plane { at: P2::default(), z0: -0.5 * FT, gx: -0.01, gy: -0.004 });
    let closed = 400.0 * (0.5 + 10.0 * 0.014) - 400.0 * 2.5 / 12.0 / 3.0;
    (between((20.0, 20.0), &pyramid_faces(20.0, -2.5 / 12.0), &base), closed)
}
