//! How a finished floor falls: which way, how much, and where its water goes.
//!
//! A fall is a vector. 0.5 % to the side and 0.5 % along are 0.71 % askew, not 1 %: `|g| = √(gx² + gy²)`.

mod run_off;

pub use run_off::{Drainage, Goes, RunOff, drainage, run_off};

use basis::{Angle, Slope};
use nalgebra::{Matrix3, Vector3};

use crate::point::turn;
use crate::tin::Tin;
use crate::{P2, P3, Plane};

/// A fall with its direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    /// How much the floor drops over a run along the steepest way.
    pub slope: Slope,
    /// Toward where it drops, counter-clockwise from "right"; nought where it is level.
    pub toward: Angle,
}

impl Fall {
    /// From the rise over a run of one to the right and up the sheet.
    ///
    /// ```
    /// # use ground::{P2, fall::Fall};
    /// // Worked example [@cc-slope-qa]: 0.5 % both ways are 0.71 %.
    /// let fall = Fall::of_rise(P2::new(-0.005, -0.005));
    /// assert!((fall.slope.in_percent() - 0.7071).abs() < 1e-4);
    /// assert!((fall.toward.in_degrees() - 45.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of_rise(rise: P2) -> Self {
        let down = rise * -1.0;
        let toward = if down == P2::default() { 0.0 } else { basis::math::atan2(down.y, down.x) };
        Self { slope: Slope::ratio(down.norm()), toward: Angle::radians(toward) }
    }

    /// How much the floor drops over a run in a given direction; negative where it rises.
    #[must_use]
    pub fn along(&self, direction: P2) -> Slope {
        let toward =
            P2::new(basis::math::cos(self.toward.in_radians()), basis::math::sin(self.toward.in_radians()));
        Slope::ratio(self.slope.in_ratio() * toward.dot(direction.unit()))
    }
}

/// Fall of each triangle, in their order; level where a triangle has no area.
#[must_use]
pub fn of_triangles(tin: &Tin) -> Vec<Fall> {
    tin.triangles.iter().map(|t| Fall::of_rise(rise(t.map(|v| tin.points[v])))).collect()
}

/// Rise of the plane through three points; nought where they carry none.
pub(crate) fn rise([a, b, c]: [P3; 3]) -> P2 {
    Plane::through(a, b, c).map_or(P2::default(), |plane| P2::new(plane.gx, plane.gy))
}

/// Mean fall of the surface by area: the vector mean, so that a crown falls nowhere.
#[must_use]
pub fn mean(tin: &Tin) -> Fall {
    let (mut sum, mut whole) = (P2::default(), 0.0);
    for t in &tin.triangles {
        let corners = t.map(|v| tin.points[v]);
        let [a, b, c] = corners.map(P3::plan);
        let area = 0.5 * turn(a, b, c);
        sum = sum + rise(corners) * area;
        whole += area;
    }
    Fall::of_rise(if whole > 0.0 { sum / whole } else { P2::default() })
}

/// A plane through spots by least squares, with the spread of the spots about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedPlane {
    /// The plane.
    pub plane: Plane,
    /// Its fall.
    pub fall: Fall,
    /// Spread of the spots about it, m, with three less than their number below the line; nought for three.
    pub sd: f64,
}

/// The plane that fits spots best in elevation; `None` when they are fewer than three or stand in one line.
#[must_use]
pub fn fitted_plane(spots: &[P3]) -> Option<FittedPlane> {
    let count = spots.len() as f64;
    if spots.len() < 3 {
        return None;
    }
    let middle = spots.iter().fold(P2::default(), |s, p| s + p.plan()) / count;
    let height = spots.iter().map(|p| p.z).sum::<f64>() / count;
    let (mut normal, mut right) = (Matrix3::<f64>::zeros(), Vector3::<f64>::zeros());
    for p in spots {
        let row = Vector3::new(1.0, p.x - middle.x, p.y - middle.y);
        normal += row * row.transpose();
        right += row * (p.z - height);
    }
    let solved = normal.cholesky()?.solve(&right);
    // Spots in one line leave a pivot of rounding.
    let spread = normal[(1, 1)] * normal[(2, 2)] - normal[(1, 2)] * normal[(1, 2)];
    let size = normal[(1, 1)] + normal[(2, 2)];
    if spread <= 1e-12 * size * size || !solved.iter().all(|v| v.is_finite()) {
        return None;
    }
    let plane = Plane { at: middle, z0: height + solved[0], gx: solved[1], gy: solved[2] };
    let off: f64 = spots.iter().map(|p| (p.z - plane.z(p.plan())) * (p.z - plane.z(p.plan()))).sum();
    let sd = if spots.len() > 3 { (off / (count - 3.0)).sqrt() } else { 0.0 };
    Some(FittedPlane { plane, fall: Fall::of_rise(P2::new(plane.gx, plane.gy)), sd })
}

#[cfg(test)]
mod tests;
