//! Which readings of a line count: those far enough from edges, joints and what is cast in.

use basis::{Length, Note, Place};

use super::{FEWEST, Spacing};
use crate::outline::Floor;
use crate::polygon::distance_to_segment;
use crate::{P2, words};

/// A line as it was read over the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct LineOnFloor {
    /// Its name.
    pub name: String,
    /// Where the first reading was taken, m.
    pub from: P2,
    /// Where it runs, a vector of any length.
    pub toward: P2,
    /// Distance between readings.
    pub spacing: Spacing,
    /// Elevations in order, m.
    pub elevations: Vec<f64>,
    /// Where it stands in the user's input.
    pub place: Place,
}

impl LineOnFloor {
    /// Where a reading was taken, m.
    #[must_use]
    pub fn at(&self, reading: usize) -> P2 {
        self.from + self.toward.unit() * (self.spacing.step().in_metres() * reading as f64)
    }
}

/// Something that readings keep away from, besides the floor's own edges and openings: a construction or isolation joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Obstacle {
    /// From, m.
    pub a: P2,
    /// To, m.
    pub b: P2,
}

/// Readings of a line that count, without a gap.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Name of the line.
    pub name: String,
    /// First and one past the last reading that counts.
    pub readings: std::ops::Range<usize>,
    /// Where the first of them was taken, m.
    pub from: P2,
    /// Where the line runs, one m long.
    pub toward: P2,
    /// Distance between readings.
    pub spacing: Spacing,
    /// Elevations, m.
    pub elevations: Vec<f64>,
    /// Where the line stands in the user's input.
    pub place: Place,
}

/// Cuts a line where it comes nearer than [`Spacing::margin`] to an edge, an opening or an obstacle, and keeps the runs of at
/// least [`FEWEST`] readings.
///
/// # Errors
/// A warning where nothing of a line is left, or where it is too short to begin with.
#[must_use]
pub fn kept_runs(
    line: &LineOnFloor,
    floor: &Floor,
    obstacles: &[Obstacle],
    notes: &mut Vec<Note>,
) -> Vec<Kept> {
    let margin = line.spacing.margin().in_metres() - 1e-6;
    let counts = |i: &usize| {
        let p = line.at(*i);
        let clear = floor.boundary.distance_to_edge(p) >= margin
            && floor.holes.iter().all(|hole| hole.distance_to_edge(p) >= margin)
            && obstacles.iter().all(|o| distance_to_segment(p, o.a, o.b) >= margin);
        clear && floor.contains(p) && line.elevations[*i].is_finite()
    };
    let kept: Vec<usize> = (0..line.elevations.len()).filter(counts).collect();
    let runs: Vec<std::ops::Range<usize>> = kept
        .chunk_by(|a, b| a + 1 == *b && !crosses(line.at(*a), line.at(*b), obstacles))
        .map(|run| run[0]..run[0] + run.len())
        .filter(|run| run.len() >= FEWEST)
        .collect();
    if runs.is_empty() {
        notes.push(nothing_left(line, kept.len()));
    }
    let run = |readings: std::ops::Range<usize>| Kept {
        name: line.name.clone(),
        from: line.at(readings.start),
        toward: line.toward.unit(),
        spacing: line.spacing,
        elevations: line.elevations[readings.clone()].to_vec(),
        place: line.place.clone(),
        readings,
    };
    runs.into_iter().map(run).collect()
}

/// Whether a step of the line passes over an obstacle.
fn crosses(a: P2, b: P2, obstacles: &[Obstacle]) -> bool {
    let side = |p: P2, q: P2, r: P2| crate::point::turn(p, q, r);
    obstacles.iter().any(|o| {
        (side(a, b, o.a) > 0.0) != (side(a, b, o.b) > 0.0)
            && (side(o.a, o.b, a) > 0.0) != (side(o.a, o.b, b) > 0.0)
    })
}

fn nothing_left(line: &LineOnFloor, clear: usize) -> Note {
    let (name, read) = (&line.name, line.elevations.len());
    if read < FEWEST {
        return Note::in_both(|units| {
            let step = line.spacing.step();
            let needed = words::long((step * (FEWEST - 1) as f64).in_metres(), units);
            let message =
                format!("line {name} has {read} readings; a line that counts has {FEWEST} or more: {needed}");
            Note::warning("line-too-short", line.place.clone(), message, "read a longer line")
        });
    }
    Note::in_both(|units| {
        let margin: Length = line.spacing.margin();
        let message = format!(
            "of the {read} readings of line {name} only {clear} lie {} or more from edges, openings and joints, or not {FEWEST} of \
             them in a row: it does not count",
            words::long(margin.in_metres(), units)
        );
        Note::warning(
            "line-too-near-the-edge",
            line.place.clone(),
            message,
            "move the line into the floor, or run it askew",
        )
    })
}
