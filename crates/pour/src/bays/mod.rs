//! Bays: the floor cut into strips that a straightedge can strike off, in order of placing.
//!
//! Method, sources and limits: `docs/methods/bays.md`.

mod exit;
mod order;
mod sides;
mod strips;

use basis::{Area, Length, Note, Place, Report, UnitSystem, quantity};
use ground::outline::{Floor, Outline};
use ground::polygon::{clip_convex, signed_area};
use ground::{P2, Polygon};

pub use exit::Exit;
pub(crate) use exit::edge_name;
pub use order::WayOut;
pub use sides::{RidesOn, Run, Side};

use crate::job::{Crew, TruckStand};

/// Longest straightedge that two people strike off with by hand (common practice, no source).
pub const LONG_STRAIGHTEDGE: Length = Length::feet(13.5);

/// What bays are laid out from.
#[derive(Debug, Clone, Copy)]
pub struct BayInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// The outline, for the names of doors and corners.
    pub outline: &'a Outline,
    /// Straightedge, lap, wanted direction and exit.
    pub crew: &'a Crew,
    /// Where trucks can stand.
    pub stands: &'a [TruckStand],
    /// Units of the messages.
    pub units: UnitSystem,
}

/// The floor in bays.
#[derive(Debug, Clone, PartialEq)]
pub struct BayPlan {
    /// Unit vector along the bays.
    pub axis: P2,
    /// Widest bay that the straightedge allows.
    pub widest: Length,
    /// Where the last bay should end; absent when no door and no free edge lets the crew out.
    pub exit: Option<Exit>,
    /// The bays in order of placing.
    pub bays: Vec<Bay>,
}

/// One bay: the floor within a rectangle.
#[derive(Debug, Clone, PartialEq)]
pub struct Bay {
    /// Place in the order of placing, from 1.
    pub number: usize,
    /// The rectangle; the bay is the floor within it.
    pub window: Polygon,
    /// Middle of the end where placing starts, m.
    pub start: P2,
    /// Unit vector in the direction of placing.
    pub axis: P2,
    /// Across the direction of placing.
    pub width: Length,
    /// In the direction of placing.
    pub length: Length,
    /// Net area of floor.
    pub area: Area,
    /// What the straightedge finds at the left and right side, looking in the direction of placing,
    /// then at the starting and the closing end.
    pub sides: [Side; 4],
    /// How the crew gets off the bay when it is placed.
    pub way_out: WayOut,
}

impl Bay {
    /// The cross line at a distance from the start: its left and right end, m.
    #[must_use]
    pub fn line_at(&self, along: Length) -> [P2; 2] {
        let middle = self.start + self.axis * along.in_metres();
        let half = self.axis.left() * (0.5 * self.width.in_metres());
        [middle + half, middle - half]
    }

    /// The part of the window from the start to a distance along it; `None` when nothing is there.
    #[must_use]
    pub fn behind(&self, along: Length) -> Option<Polygon> {
        self.between(Length::metres(0.0), along)
    }

    /// The part of the window beyond a distance from the start; `None` when nothing is there.
    #[must_use]
    pub fn beyond(&self, along: Length) -> Option<Polygon> {
        self.between(along, self.length)
    }

    /// The part of the window between two distances from the start; `None` when nothing is there.
    #[must_use]
    pub fn between(&self, from: Length, to: Length) -> Option<Polygon> {
        let (from, to) = (from.max(Length::metres(0.0)), to.min(self.length));
        if from.partial_cmp(&to) != Some(std::cmp::Ordering::Less) {
            return None;
        }
        let ([a, b], [d, c]) = (self.line_at(from), self.line_at(to));
        Some(Polygon::new(vec![a, b, c, d]))
    }
}

/// Lays the bays of a floor out and numbers them in order of placing.
///
/// Strips run in one direction, are no wider than the straightedge less a lap on each side, and are
/// clipped to the floor. The last bay ends at the exit. Refused when the straightedge leaves no
/// width, or a length is not a number; a crew that would be walled in is warned of.
#[must_use]
pub fn bays(input: &BayInput<'_>) -> Report<BayPlan> {
    let mut notes = Vec::new();
    let widest = input.crew.straightedge - input.crew.lap * 2.0;
    check(input, widest, &mut notes);
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let exit = exit::find(input, &mut notes);
    let Some(layout) = strips::lay(input, widest, exit.as_ref()) else {
        notes.push(too_many(input, widest));
        return Report::refused(notes);
    };
    let axis = layout.frame.axis;
    let placed = order::place(input, &layout, exit.as_ref());
    let windows: Vec<Polygon> = placed.iter().map(|p| p.range.window(&layout.frame)).collect();
    let bays: Vec<Bay> =
        placed.iter().enumerate().map(|(i, p)| bay(input.floor, i, p, &windows, axis)).collect();
    order::tell_walled_in(&bays, &mut notes);
    tell_exit(input, exit.as_ref(), &bays, &mut notes);
    Report::with(BayPlan { axis, widest, exit, bays }, notes)
}

fn bay(floor: &Floor, index: usize, placed: &order::Placed, windows: &[Polygon], axis: P2) -> Bay {
    let window = windows[index].clone();
    let axis = axis * placed.way;
    let range = &placed.range;
    let (length, width) = (range.along[1] - range.along[0], range.across[1] - range.across[0]);
    let start = window.centroid() - axis * (0.5 * length);
    Bay {
        number: index + 1,
        sides: sides::of(floor, index, windows, start, axis, length, width),
        window,
        start,
        axis,
        width: Length::metres(width),
        length: Length::metres(length),
        area: Area::square_metres(range.area),
        way_out: placed.way_out.clone(),
    }
}

/// Net area of floor within a convex window, m²: exact, from the floor's triangles.
pub(crate) fn area_in(floor: &Floor, window: &Polygon) -> f64 {
    floor.triangles.iter().map(|t| signed_area(&clip_convex(t, window.corners()))).sum()
}

fn check(input: &BayInput<'_>, widest: Length, notes: &mut Vec<Note>) {
    let place = Place::at("crew.straightedge");
    let (edge, lap) = (input.crew.straightedge, input.crew.lap);
    if !edge.is_finite() || !lap.is_finite() || lap.in_metres() < 0.0 || widest.in_metres() <= 0.0 {
        notes.push(Note::fault(
            "straightedge-too-short",
            place.clone(),
            format!(
                "a straightedge of {} that laps {} over each side leaves no width for a bay",
                quantity::length(edge, input.units),
                quantity::length(lap, input.units)
            ),
            "state a longer straightedge or a smaller lap",
        ));
    } else if edge > LONG_STRAIGHTEDGE {
        notes.push(Note::warning(
            "straightedge-long",
            place,
            format!("a straightedge of {} is long for two people", quantity::length(edge, input.units)),
            match input.units {
                UnitSystem::Us => "about 13 ft is what two people strike off with by hand (common practice)",
                UnitSystem::Metric => {
                    "about 4 m is what two people strike off with by hand (common practice)"
                }
            },
        ));
    }
    let sound = input.floor.triangles.iter().flatten().all(|p| p.is_finite());
    if !sound || input.floor.triangles.is_empty() || input.floor.boundary.corners().len() < 3 {
        notes.push(Note::fault(
            "no-floor",
            Place::job(),
            "there is no floor to lay out",
            "check the outline",
        ));
    }
}

fn too_many(input: &BayInput<'_>, widest: Length) -> Note {
    Note::fault(
        "too-many-bays",
        Place::at("crew.straightedge"),
        format!(
            "strips of {} would cut this floor into more than {} bays",
            quantity::length(widest, input.units),
            strips::MOST_STRIPS
        ),
        "check the straightedge and the size of the floor",
    )
}

fn tell_exit(input: &BayInput<'_>, exit: Option<&Exit>, bays: &[Bay], notes: &mut Vec<Note>) {
    let (Some(exit), Some(last)) = (exit, bays.last()) else { return };
    if last.way_out != WayOut::Exit(exit.name.clone()) {
        notes.push(Note::warning(
            "last-bay-not-at-exit",
            Place::at("crew.exit"),
            format!("bay {}, the last, does not reach \"{}\"", last.number, exit.name),
            "name another exit or turn the bays with bay_direction",
        ));
    }
    let end = last.start + last.axis * last.length.in_metres();
    let miss = ground::polygon::distance_to_segment(end, exit.a, exit.b);
    if miss > last.width.in_metres().max(last.length.in_metres()) {
        notes.push(Note::remark(
            "last-bay-ends-away",
            Place::at("crew.exit"),
            format!(
                "bay {} ends {} from \"{}\"",
                last.number,
                quantity::length(Length::metres(miss), input.units),
                exit.name
            ),
        ));
    }
}

#[cfg(test)]
pub(crate) mod test_floors;

#[cfg(test)]
mod tests;
