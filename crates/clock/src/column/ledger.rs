//! What came in, what went out and what is left, of heat and of water.

/// Books of all lanes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ledger<const L: usize> {
    pub top: [f64; L],
    pub foot: [f64; L],
    pub hydration: [f64; L],
    pub stored: [f64; L],
    pub worst: [f64; L],
    pub water: [WaterBooks; L],
}

/// Books of heat and water of one column over its whole run, for each square metre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Books {
    /// Heat that came in through the top; negative when it went out, J/m².
    pub top: f64,
    /// Heat that came up from the ground under the last layer, J/m².
    pub foot: f64,
    /// Heat of hydration, J/m².
    pub hydration: f64,
    /// Heat that slab, base and soil hold more than at placing, J/m².
    pub stored: f64,
    /// Largest difference that any one step left between what it took in and what it stored, J/m²: rounding.
    pub worst_step: f64,
    /// Books of the water.
    pub water: WaterBooks,
}

/// Water on the surface over the whole run, kg/m².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WaterBooks {
    /// On the surface at placing.
    pub first: f64,
    /// Bled.
    pub bled: f64,
    /// Rained.
    pub rained: f64,
    /// Evaporated; dew counts against it.
    pub evaporated: f64,
    /// Ran off.
    pub ran_off: f64,
    /// Left on the surface at the end.
    pub left: f64,
}

impl<const L: usize> Default for Ledger<L> {
    fn default() -> Self {
        let none = [0.0; L];
        Self {
            top: none,
            foot: none,
            hydration: none,
            stored: none,
            worst: none,
            water: [WaterBooks::default(); L],
        }
    }
}

impl<const L: usize> Ledger<L> {
    pub(super) fn enter(&mut self, top: &[f64; L], foot: &[f64; L], hydration: &[f64; L], stored: &[f64; L]) {
        for l in 0..L {
            self.top[l] += top[l];
            self.foot[l] += foot[l];
            self.hydration[l] += hydration[l];
            self.stored[l] += stored[l];
            let open = (stored[l] - top[l] - foot[l] - hydration[l]).abs();
            self.worst[l] = if open > self.worst[l] { open } else { self.worst[l] };
        }
    }

    pub(super) fn books(&self, l: usize) -> Books {
        Books {
            top: self.top[l],
            foot: self.foot[l],
            hydration: self.hydration[l],
            stored: self.stored[l],
            worst_step: self.worst[l],
            water: self.water[l],
        }
    }
}
