//! What the top of a slab feels at an instant: the hand-over from weather to the column.

use basis::{Pressure, Speed, Temperature};

/// Air, wind, sun and sky at the height of the slab, after shelter and shade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    /// Air temperature.
    pub air: Temperature,
    /// Partial pressure of the water vapour in the air.
    pub vapour: Pressure,
    /// Wind half a metre over the slab.
    pub wind: Speed,
    /// Sun on the horizontal, direct and diffuse, after cloud and shade, W/m².
    pub sun: f64,
    /// Long-wave radiation that comes down from sky, roof and trees, W/m².
    pub sky: f64,
    /// Rain, mm/h.
    pub rain: f64,
}
