//! A simulated floor whose true base is known everywhere, and the shots taken of it.
//!
//! Lengths in metres. The finish is level at 0; the base lies at minus the thickness.

use basis::math::{cos, exp, log, sin};
use pour::chance::standard_normal;
use rand::{Rng, RngExt};

/// Waves that make up a base; their number sets how near to the stated process one floor is.
const WAVES: usize = 400;
const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;

/// Where the crew puts the stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spots {
    /// Anywhere, as the feet go.
    Anywhere,
    /// One in each cell of an even grid.
    Grid,
}

/// In what the simulated world differs from what the tool assumes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct World {
    /// What it is called in the report.
    pub name: &'static str,
    /// Roughness of the base: degrees of freedom of its spectrum, 3 for the Matérn 3/2 process, 1 for the rougher exponential.
    pub spectrum: u32,
    /// True law of the allowance.
    pub allowance: (f64, f64),
    /// Pours of its own that the crew has figured and measured before; with none the tool takes its default.
    pub history: u32,
    /// Further shots that the crew takes where the tool asks for them.
    pub asked: usize,
    /// True rod error over the stated one.
    pub rod_factor: f64,
    /// Where the shots are.
    pub spots: Spots,
}

/// One cosine of the base.
#[derive(Debug, Clone, Copy)]
struct Wave {
    kx: f64,
    ky: f64,
    a: f64,
    b: f64,
}

/// The truth about one floor.
#[derive(Debug, Clone)]
pub struct Floor {
    /// Length along which it is placed.
    pub length: f64,
    /// Width of the line.
    pub width: f64,
    /// Elevation of the base's plane in the middle, and its two slopes.
    plane: [f64; 3],
    waves: Vec<Wave>,
}

/// Shots of the base as the crew has them.
#[derive(Debug, Clone)]
pub struct Shots {
    /// Where, and the elevation got, m.
    pub points: Vec<[f64; 3]>,
    /// Stated standard deviation of one reading.
    pub rod: f64,
    /// Stated standard deviation common to the set-up.
    pub setup: f64,
    /// The set-up's error, hidden.
    common: f64,
}

fn between(rng: &mut impl Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * rng.random::<f64>()
}

/// Draws a floor: 400 to 2,500 ft², 4 to 6 in. thick, its base off by a plane and a rough process.
///
/// Roughness 1/8 to 5/8 in. (one standard deviation) over 4 to 16 ft, level off by 1/4 in., slopes by 1/2 in. over the floor:
/// common practice, no source; cores of commercial slabs gave 0.47 to 0.90 in.
pub fn draw(world: &World, rng: &mut impl Rng) -> Floor {
    let area = between(rng, 400.0, 2_500.0) * FOOT * FOOT;
    let aspect = between(rng, 1.0, 2.2);
    let (length, width) = ((area * aspect).sqrt(), (area / aspect).sqrt());
    let thickness = [4.0, 4.0, 5.0, 6.0][rng.random_range(0..4)] * INCH;
    let sd = between(rng, 0.125, 0.625) * INCH;
    let scale = exp(between(rng, log(4.0 * FOOT), log(16.0 * FOOT)));
    let plane = [
        -thickness + 0.25 * INCH * standard_normal(rng),
        0.5 * INCH * standard_normal(rng) / length,
        0.5 * INCH * standard_normal(rng) / width,
    ];
    let waves = (0..WAVES).map(|_| wave(sd, scale, world.spectrum, rng)).collect();
    Floor { length, width, plane, waves }
}

/// A wave of the process: its wave vector has the law of Student's t, which is the spectrum of the Matérn family
/// (half the degrees of freedom is the smoothness), its two amplitudes are normal.
fn wave(sd: f64, scale: f64, spectrum: u32, rng: &mut impl Rng) -> Wave {
    let chi2: f64 = (0..spectrum).map(|_| standard_normal(rng).powi(2)).sum();
    let stretch = (f64::from(spectrum) / chi2).sqrt() / scale;
    let amplitude = sd / (WAVES as f64).sqrt();
    Wave {
        kx: stretch * standard_normal(rng),
        ky: stretch * standard_normal(rng),
        a: amplitude * standard_normal(rng),
        b: amplitude * standard_normal(rng),
    }
}

impl Floor {
    /// True elevation of the base.
    pub fn base(&self, x: f64, y: f64) -> f64 {
        let plane =
            self.plane[0] + self.plane[1] * (x - 0.5 * self.length) + self.plane[2] * (y - 0.5 * self.width);
        plane
            + self
                .waves
                .iter()
                .map(|w| {
                    let phase = w.kx * x + w.ky * y;
                    w.a * cos(phase) + w.b * sin(phase)
                })
                .sum::<f64>()
    }

    /// True volume inside the forms up to `x`, exact: the integral of a cosine over a rectangle is closed.
    pub fn volume_to(&self, x: f64) -> f64 {
        let plane = self.plane[0] + self.plane[1] * 0.5 * (x - self.length);
        let waves: f64 = self
            .waves
            .iter()
            .map(|w| {
                let middle = 0.5 * (w.kx * x + w.ky * self.width);
                let weight = x * self.width * sinc(0.5 * w.kx * x) * sinc(0.5 * w.ky * self.width);
                weight * (w.a * cos(middle) + w.b * sin(middle))
            })
            .sum();
        -(plane * x * self.width + waves)
    }

    /// 8 to 30 shots from one set-up.
    ///
    /// Rod error 1/8 in. stated; the set-up errs by 1/16 in. against the forms (common practice, no source).
    pub fn shoot(&self, world: &World, rng: &mut impl Rng) -> Shots {
        let (rod, setup) = (0.125 * INCH, 0.0625 * INCH);
        let common = setup * standard_normal(rng);
        let spots = self.spots(world.spots, rng.random_range(8..=30), rng);
        let shot = |[x, y]: [f64; 2]| {
            let error = common + world.rod_factor * rod * standard_normal(rng);
            [x, y, self.base(x, y) + error]
        };
        Shots { points: spots.into_iter().map(shot).collect(), rod, setup, common }
    }

    /// The same shots and further ones from the same set-up.
    pub fn shoot_again(&self, shots: &Shots, at: &[ground::P2], world: &World, rng: &mut impl Rng) -> Shots {
        let mut all = shots.clone();
        for spot in at {
            let error = shots.common + world.rod_factor * shots.rod * standard_normal(rng);
            all.points.push([spot.x, spot.y, self.base(spot.x, spot.y) + error]);
        }
        all
    }

    fn spots(&self, spots: Spots, wanted: u32, rng: &mut impl Rng) -> Vec<[f64; 2]> {
        if spots == Spots::Anywhere {
            return (0..wanted)
                .map(|_| [between(rng, 0.0, self.length), between(rng, 0.0, self.width)])
                .collect();
        }
        let rows = (f64::from(wanted) * self.width / self.length).sqrt().round().max(2.0) as u32;
        let columns = (wanted / rows).max(2);
        let mut points = Vec::new();
        for cell in 0..rows * columns {
            let within = |k: u32, of: u32, size: f64, rng: &mut _| {
                (f64::from(k) + between(rng, 0.2, 0.8)) / f64::from(of) * size
            };
            let x = within(cell % columns, columns, self.length, rng);
            points.push([x, within(cell / columns, rows, self.width, rng)]);
        }
        points
    }
}

fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-9 { 1.0 } else { sin(x) / x }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;

    const MATERN: World = World {
        name: "test",
        spectrum: 3,
        allowance: (0.04, 0.02),
        history: 0,
        asked: 0,
        rod_factor: 1.0,
        spots: Spots::Anywhere,
    };

    /// The closed volume against midpoints on a fine grid: the error of 200 × 200 midpoints is under 1e-5 of it.
    #[test]
    fn closed_volume_agrees_with_a_grid() {
        let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(1);
        let floor = draw(&MATERN, &mut rng);
        let (n, x) = (200, 0.6 * floor.length);
        let mut sum = 0.0;
        for i in 0..n {
            for j in 0..n {
                let at = |k: i32, of: f64| (f64::from(k) + 0.5) / f64::from(n) * of;
                sum -= floor.base(at(i, x), at(j, floor.width)) * x * floor.width / f64::from(n * n);
            }
        }
        assert!((floor.volume_to(x) / sum - 1.0).abs() < 1e-4, "{} {sum}", floor.volume_to(x));
    }

    /// The process has its covariance: sd² (1 + r√3/ℓ) e^(−r√3/ℓ) over 3,000 draws of a pair of points, within 4 standard errors.
    #[test]
    fn waves_make_a_matern_process() {
        let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(2);
        let (scale, r, n) = (2.0, 1.5, 3_000);
        let covariance = (0..n)
            .map(|_| {
                let floor = Floor {
                    length: 1.0,
                    width: 1.0,
                    plane: [0.0; 3],
                    waves: (0..WAVES).map(|_| wave(1.0, scale, 3, &mut rng)).collect(),
                };
                floor.base(0.3, 0.2) * floor.base(0.3 + r, 0.2)
            })
            .sum::<f64>()
            / f64::from(n);
        let s = 3.0_f64.sqrt() * r / scale;
        assert!((covariance - (1.0 + s) * exp(-s)).abs() < 4.0 * 1.2 / f64::from(n).sqrt(), "{covariance}");
    }
}
