//! Flatness and levelness of a finished floor from elevations along lines, by the procedure of ASTM E1155.
//!
//! A line is read every foot (or every 300 mm). `q = h[i] − 2h[i−1] + h[i−2]` is how the floor bends over two spaces,
//! `z = h[i] − h[i−10]` how far it is out of level over ten. Each line gives `F_F = 4.57 in / (3·s_q + |q̄|)` and
//! `F_L = 12.5 in / (3·s_z + |z̄|)`; lines and areas are combined by the mean of `1/F²` [@astm-e1155].

mod noise;
mod range;
mod runs;
mod section;
mod wild;

pub use noise::{Ceilings, ceilings, mark_noise};
pub use range::Range90;
pub use runs::{Kept, LineOnFloor, Obstacle, kept_runs};
pub use section::{LineFigures, Section, SectionFigure, section};
pub use wild::{Wild, wild};

use basis::{Area, Length};

/// Spaces between the two points of a difference in level.
pub const SPACES: usize = 10;
/// Fewest reading points of a line that counts [@astm-e1155]: 11 ft or 3.3 m.
pub const FEWEST: usize = 12;
/// Numerator of the flatness number. The metric companion is quoted with 115.8 mm, 0.24 % less: both from memory.
pub const FLATNESS: Length = Length::inches(4.57);
/// Numerator of the levelness number: 317.5 mm.
pub const LEVELNESS: Length = Length::inches(12.5);

/// Distance between the reading points of a line. The two are not mixed in one floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spacing {
    /// 12 in.
    Foot,
    /// 300 mm, as in the metric companion of the standard.
    Metric,
}

impl Spacing {
    /// The distance.
    #[must_use]
    pub const fn step(self) -> Length {
        match self {
            Self::Foot => Length::inches(12.0),
            Self::Metric => Length::millimetres(300.0),
        }
    }

    /// How far readings stay off edges, joints, columns and what is cast in: 2 ft or 600 mm [@astm-e1155; @slac-e1155m].
    #[must_use]
    pub const fn margin(self) -> Length {
        match self {
            Self::Foot => Length::inches(24.0),
            Self::Metric => Length::millimetres(600.0),
        }
    }

    /// Least distance between parallel lines: 4 ft or 1.2 m [@astm-e1155; @slac-e1155m].
    #[must_use]
    pub const fn apart(self) -> Length {
        match self {
            Self::Foot => Length::inches(48.0),
            Self::Metric => Length::millimetres(1200.0),
        }
    }
}

/// How a line bends at each reading point but the first two, m: positive in a trough.
///
/// ```
/// # use ground::flatness::curvatures;
/// assert_eq!(curvatures(&[0.0, 0.0, 1.0, 0.0]), [1.0, -2.0]);
/// ```
#[must_use]
pub fn curvatures(elevations: &[f64]) -> Vec<f64> {
    elevations.windows(3).map(|h| (h[2] - h[1]) - (h[1] - h[0])).collect()
}

/// Difference in level over ten spaces at each reading point but the first ten, m.
#[must_use]
pub fn ten_space_differences(elevations: &[f64]) -> Vec<f64> {
    elevations.windows(SPACES + 1).map(|h| h[SPACES] - h[0]).collect()
}

/// Number, mean and spread of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// How many.
    pub count: usize,
    /// Their mean, m.
    pub mean: f64,
    /// Their spread, with one less than their number below the line, m; nought for a single reading.
    pub sd: f64,
}

/// Number, mean and spread; `None` without readings.
#[must_use]
pub fn sample(readings: &[f64]) -> Option<Sample> {
    let count = readings.len();
    if count == 0 {
        return None;
    }
    let mean = readings.iter().sum::<f64>() / count as f64;
    let squares: f64 = readings.iter().map(|r| (r - mean) * (r - mean)).sum();
    let sd = if count > 1 { (squares / (count - 1) as f64).sqrt() } else { 0.0 };
    Some(Sample { count, mean, sd })
}

impl Sample {
    /// `numerator / (3·sd + |mean|)`; infinite where all readings are nought.
    ///
    /// ```
    /// # use ground::flatness::{FLATNESS, curvatures, sample};
    /// // 25 level points with one bump of 1/8 in: the spread of 1, −2, 1 eighths among 23 readings.
    /// let mut line = [0.0; 25];
    /// line[12] = 0.125 * 0.0254;
    /// let flatness = sample(&curvatures(&line)).unwrap().number(FLATNESS);
    /// assert!((flatness - 23.335_690).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn number(&self, numerator: Length) -> f64 {
        numerator.in_metres() / (3.0 * self.sd + self.mean.abs())
    }
}

/// Lines of one area, or areas of one floor, in one number: `1/F²` is the weighted mean of theirs.
///
/// The weight of a line is its number of readings, that of an area its size. The same number comes out in any order.
/// `None` without weight.
///
/// ```
/// # use ground::flatness::combined;
/// // Two lines of as many readings, 20 and 30: sqrt(2·400·900/1300).
/// let both = combined([(20.0, 10.0), (30.0, 10.0)]).unwrap();
/// assert!((both - 23.533_936).abs() < 1e-6);
/// ```
#[must_use]
pub fn combined(parts: impl IntoIterator<Item = (f64, f64)>) -> Option<f64> {
    let (mut sum, mut weights) = (0.0, 0.0);
    for (number, weight) in parts {
        sum += weight / (number * number);
        weights += weight;
    }
    (weights > 0.0).then(|| (weights / sum).sqrt())
}

/// Readings over ten spaces that an area needs: the larger of `2·√A` and `A/30` in ft².
///
/// Our sources give the first up to 1,600 ft² (from memory) and the second for large areas (read in an article); where
/// they part the larger is asked for. The standard wants at least 320 ft² and 8 ft of width; small floors are figured
/// all the same, with a remark.
///
/// ```
/// # use basis::Area; use ground::flatness::readings_needed;
/// // A garage of 24 by 24 ft.
/// assert_eq!(readings_needed(Area::square_feet(576.0)), 48);
/// assert_eq!(readings_needed(Area::square_feet(9000.0)), 300);
/// ```
#[must_use]
pub fn readings_needed(area: Area) -> usize {
    let feet = area.in_square_feet().max(0.0);
    let needed = (2.0 * feet.sqrt()).max(feet / 30.0);
    // A hair of slack, so that 576 ft² from metres does not ask for one more.
    (needed * (1.0 - 1e-12)).ceil() as usize
}

/// Smallest area that the standard tests: 320 ft², 30 m² (read); another page says 12 m², so smaller ones are figured too.
pub const LEAST_AREA: Area = Area::square_feet(320.0);

#[cfg(test)]
mod tests;
