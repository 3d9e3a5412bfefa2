//! What a slab went through: the hand-over from the column of heat to the events.

use basis::TimeSpan;

/// Temperatures, equivalent ages and surface water of one slab, at even steps from placing.
///
/// Every list has the same length; entry `i` is the state `i` steps after placing.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// Time between entries.
    pub step: TimeSpan,
    /// Age of the concrete when it was placed: from water contact at the plant.
    pub age_at_placing: TimeSpan,
    /// State at each step.
    pub states: Vec<State>,
}

/// One step of a [`History`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct State {
    /// Temperature of the surface, °C.
    pub surface: f64,
    /// Temperature at mid-depth, °C.
    pub middle: f64,
    /// Temperature at the bottom of the slab, °C.
    pub bottom: f64,
    /// Mean temperature over the depth, °C.
    pub mean: f64,
    /// Equivalent age at 21.1 °C since water contact, hours: at the surface.
    pub age_surface: f64,
    /// The same at mid-depth, hours.
    pub age_middle: f64,
    /// The same at the bottom, hours.
    pub age_bottom: f64,
    /// Evaporation from the surface, kg/m²/h; negative when dew forms.
    pub evaporation: f64,
    /// Evaporation that a wet surface would show in this air, kg/m²/h: what the sheen is measured against.
    pub demand: f64,
    /// Bleeding, kg/m²/h.
    pub bleeding: f64,
    /// Free water that stands on the surface, kg/m².
    pub water: f64,
}
