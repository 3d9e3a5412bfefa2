//! What the tool makes of the shots: volumes on both sides of a line with their covariance, by `ground` itself.

use ground::doubt::{Doubt, doubt};
use ground::gp::Piece;
use ground::gp::{BaseShot, ProcessInput, fit};
use ground::quadrature::{Quadrature, quadrature};
use ground::{P2, Polygon};

use super::floor::{Floor, Shots};
use crate::made;

/// Pieces of the floor, as `ground::assemble` takes them.
const PIECES: usize = 220;

/// Volumes up to and beyond a line, m³, and their covariance, m⁶.
#[derive(Debug, Clone, Copy)]
pub struct Judged {
    /// Expected volumes.
    pub mean: [f64; 2],
    /// Their covariance.
    pub covariance: [[f64; 2]; 2],
}

/// A base fitted to its shots.
pub struct Judge {
    size: P2,
    pieces: Quadrature,
    means: Vec<f64>,
    doubt: Doubt,
}

impl Judge {
    /// Fits `ground`'s process to the shots. The base is wanted as it truly is, so the set-up's error counts in full.
    pub fn fit(floor: &Floor, shots: &Shots) -> Self {
        let size = P2::new(floor.length, floor.width);
        let base: Vec<BaseShot> = shots.points.iter().map(|&at| made::shot(at, shots.rod)).collect();
        let levelled = made::setup(shots.setup, shots.rod);
        let input = ProcessInput { shots: &base, levelled: &levelled, datum: None, intended: P2::default() };
        let process = fit(&input).value.expect("eight shots and more make a base");
        let pieces = quadrature(&made::rectangle(size).1, PIECES);
        let spots: Vec<Piece> = pieces
            .points
            .iter()
            .zip(&pieces.weights)
            .map(|(&at, &area)| Piece { at, area, zone: 0 })
            .collect();
        Self { size, means: process.means(&spots), doubt: doubt(&process, &pieces, &|_| 0), pieces }
    }

    /// Volumes on both sides of the line at `x`.
    pub fn split_at(&self, x: f64) -> Judged {
        let window = Polygon::rectangle(P2::new(-1.0, -1.0), P2::new(x, self.size.y + 1.0));
        let near = self.pieces.weights_in(&window);
        let far: Vec<f64> = self.pieces.weights.iter().zip(&near).map(|(whole, near)| whole - near).collect();
        let volume = |weights: &[f64]| -weights.iter().zip(&self.means).map(|(w, z)| w * z).sum::<f64>();
        let mixed = self.doubt.covariance(&near, &far);
        Judged {
            mean: [volume(&near), volume(&far)],
            covariance: [
                [self.doubt.covariance(&near, &near), mixed],
                [mixed, self.doubt.covariance(&far, &far)],
            ],
        }
    }

    /// Where the tool asks for so many further shots.
    pub fn asked(&self, rod: f64, count: usize) -> Vec<P2> {
        let next = self.doubt.next_shots(&self.pieces.weights, rod * rod, count);
        next.into_iter().map(|shot| shot.at).collect()
    }
}
