//! One column in plain numbers, SI and °C: what the solver works on.

use super::mesh::Mesh;
use crate::evaporation::wind_factor;
use crate::exposure::Exposure;
use crate::surface::{Skin, convection};

/// What the top of the slab feels at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Drive {
    /// Air, °C.
    pub air: f64,
    /// Vapour pressure of the air, Pa.
    pub vapour: f64,
    /// Convection, W/(m²·K).
    pub convection: f64,
    /// Evaporation per pressure, kg/(m²·s·Pa).
    pub drying: f64,
    /// Sun, W/m².
    pub sun: f64,
    /// Long-wave radiation from above, W/m².
    pub sky: f64,
    /// Rain, kg/(m²·s).
    pub rain: f64,
}

impl Drive {
    /// Evaporation per pressure is Menzel's.
    pub(super) fn of(exposure: &Exposure) -> Self {
        Self {
            air: exposure.air.in_celsius(),
            vapour: exposure.vapour.in_pascals(),
            convection: convection(exposure.wind),
            drying: wind_factor(exposure.wind) / (3600.0 * 1000.0),
            sun: exposure.sun,
            sky: exposure.sky,
            rain: exposure.rain / 3600.0,
        }
    }

    pub(super) fn between(a: &Self, b: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Self {
            air: mix(a.air, b.air),
            vapour: mix(a.vapour, b.vapour),
            convection: mix(a.convection, b.convection),
            drying: mix(a.drying, b.drying),
            sun: mix(a.sun, b.sun),
            sky: mix(a.sky, b.sky),
            rain: mix(a.rain, b.rain),
        }
    }
}

/// How the concrete heats itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Heating {
    /// Heat of full hydration of a volume, J/m³.
    pub heat: f64,
    pub ultimate: f64,
    /// Logarithm of τ in hours.
    pub log_time: f64,
    pub shape: f64,
    /// E/R, K.
    pub activation: f64,
    /// Equivalent age at placing, hours.
    pub age: f64,
}

/// Bleeding in plain numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rising {
    /// kg/m².
    pub most: f64,
    /// Seconds.
    pub time: f64,
    /// Equivalent age, hours.
    pub until: f64,
}

/// Lengths of steps and their number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct March {
    /// Working step, s.
    pub step: f64,
    /// Working steps between two states that are kept.
    pub stride: usize,
    /// States kept after the first.
    pub kept: usize,
}

/// One column, ready for the solver.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Problem {
    pub mesh: Mesh,
    /// Temperature of each node at placing, °C.
    pub start: Vec<f64>,
    /// Temperature at the foot, °C.
    pub foot: f64,
    pub heating: Heating,
    pub rising: Rising,
    /// Weather at even steps.
    pub drives: Vec<Drive>,
    /// Time between two drives, s.
    pub drive_step: f64,
    /// Time of placing after the first drive, s.
    pub placed: f64,
    /// Skins with the second after placing from which they hold; the first holds from 0.
    pub skins: Vec<(f64, Skin)>,
    pub march: March,
}

impl Problem {
    /// Weather at a time after placing, linear between the instants given.
    pub(super) fn drive(&self, time: f64) -> Drive {
        let at = (self.placed + time) / self.drive_step;
        let index = (at as usize).min(self.drives.len() - 2);
        Drive::between(&self.drives[index], &self.drives[index + 1], at - index as f64)
    }

    /// The skin that holds at a time after placing.
    pub(super) fn skin(&self, time: f64) -> Skin {
        let later = self.skins.iter().skip(1).take_while(|(from, _)| *from <= time).last();
        later.unwrap_or(&self.skins[0]).1
    }

    /// Whether it rains during the run.
    pub(super) fn rains(&self) -> bool {
        self.drives.iter().any(|drive| drive.rain > 0.0)
    }

    /// Columns with the same shape can share lanes.
    pub(super) fn shape(&self) -> (usize, usize, usize, usize, u64, bool) {
        let March { step, stride, kept } = self.march;
        (self.mesh.capacity.len(), self.mesh.slab.len(), stride, kept, step.to_bits(), self.rains())
    }
}
