//! The plant's increment as a grid on which quantities are whole numbers.

use basis::{Note, Place, UnitSystem, Volume};

use super::loads::LoadLimits;
use crate::job::Plant;
use crate::words;

/// Most increments that a need may span: beyond it doubt and increment do not belong to the same floor.
const MOST_STEPS: f64 = 100_000.0;

/// The plant's increment and its limits counted in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// One increment, m³.
    pub increment: f64,
    /// The truck and the short-load limit in increments.
    pub limits: LoadLimits,
}

impl Grid {
    /// The volume of so many increments, m³.
    #[must_use]
    pub fn volume(&self, steps: u32) -> f64 {
        f64::from(steps) * self.increment
    }

    /// The volume of so many increments.
    #[must_use]
    pub fn quantity(&self, steps: u32) -> Volume {
        Volume::cubic_metres(self.volume(steps))
    }

    /// The most increments that do not exceed `volume` m³; none for less than nothing.
    #[must_use]
    pub fn down(&self, volume: f64) -> u32 {
        // A part in a million of slack, so that 10 yd is 40 quarter yards whatever the last bit says.
        (volume / self.increment + 1e-6).floor().clamp(0.0, f64::from(u32::MAX)) as u32
    }

    /// The fewest increments that are not less than `volume` m³.
    #[must_use]
    pub fn up(&self, volume: f64) -> u32 {
        (volume / self.increment - 1e-6).ceil().clamp(0.0, f64::from(u32::MAX)) as u32
    }
}

/// The grid of a plant, or faults that say why there is none.
///
/// `reach` is the largest volume that will be asked of it, m³.
///
/// # Errors
/// A truck or an increment that is not a positive volume, a truck smaller than an increment, or a reach of more than
/// 100,000 increments.
pub fn grid(plant: &Plant, reach: f64, units: UnitSystem) -> Result<Grid, Vec<Note>> {
    let increment = plant.increment.in_cubic_metres();
    let mut notes = sizes(plant, units);
    let steps = reach / increment;
    if notes.is_empty() && !(steps.is_finite() && steps <= MOST_STEPS) {
        notes.push(Note::fault(
            "order-out-of-range",
            Place::job(),
            format!("the floor may need {steps:.3e} increments of {}", words::volume(plant.increment, units)),
            "check the size of the floor, the shots and the increment",
        ));
    }
    if !notes.is_empty() {
        return Err(notes);
    }
    let mut grid = Grid { increment, limits: LoadLimits { truck: 1, short_below: 0 } };
    let short = plant.minimum_load.unwrap_or_default().max(plant.short_load_below.unwrap_or_default());
    grid.limits.truck = grid.down(plant.truck.in_cubic_metres()).max(1);
    grid.limits.short_below = grid.up(short.in_cubic_metres());
    Ok(grid)
}

/// Faults of truck and increment.
fn sizes(plant: &Plant, units: UnitSystem) -> Vec<Note> {
    let (truck, increment) = (plant.truck.in_cubic_metres(), plant.increment.in_cubic_metres());
    let mut notes = Vec::new();
    for (path, what, value) in [("plant.truck", "truck", truck), ("plant.increment", "increment", increment)]
    {
        if !(value.is_finite() && value > 0.0) {
            let said = words::volume(Volume::cubic_metres(value), units);
            notes.push(Note::fault(
                "plant-term-impossible",
                Place::at(path),
                format!("a {what} of {said} cannot be ordered"),
                "state what one truck brings and the smallest step in which the plant sells",
            ));
        }
    }
    if notes.is_empty() && truck < increment * (1.0 - 1e-6) {
        notes.push(Note::fault(
            "truck-under-increment",
            Place::at("plant.truck"),
            format!(
                "a truck brings {}, less than the increment of {}",
                words::volume(plant.truck, units),
                words::volume(plant.increment, units)
            ),
            "check the two against the plant's sheet",
        ));
    }
    notes
}
