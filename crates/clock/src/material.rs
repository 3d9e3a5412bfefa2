//! What conducts and holds heat: concrete, stone, soil, insulation.

use basis::Length;

/// A material of the slab or of what lies under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Conductivity, W/(m·K).
    pub conductivity: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Heat capacity, J/(kg·K).
    pub heat_capacity: f64,
}

impl Material {
    /// Heat capacity of a volume, J/(m³·K).
    #[must_use]
    pub const fn volumetric(self) -> f64 {
        self.density * self.heat_capacity
    }

    /// How fast warmth spreads, m²/s.
    ///
    /// ```
    /// assert!((clock::material::CONCRETE.diffusivity() - 6.383e-7).abs() < 1e-10);
    /// ```
    #[must_use]
    pub const fn diffusivity(self) -> f64 {
        self.conductivity / self.volumetric()
    }
}

/// Concrete [@bentz-2000]. Quartz aggregate and fresh concrete conduct more, up to 2.5 W/(m·K), from memory.
pub const CONCRETE: Material = Material { conductivity: 1.5, density: 2350.0, heat_capacity: 1000.0 };

/// Dry soil under a slab [@bentz-2000].
pub const DRY_SOIL: Material = Material { conductivity: 0.3, density: 1600.0, heat_capacity: 800.0 };

/// Moist soil, from memory: conductivity of most moist soils is 1 to 2 W/(m·K).
pub const MOIST_SOIL: Material = Material { conductivity: 1.2, density: 1900.0, heat_capacity: 1300.0 };

/// Moist crushed stone, from memory.
pub const STONE: Material = Material { conductivity: 1.5, density: 1900.0, heat_capacity: 1000.0 };

/// Boards of extruded polystyrene, from memory: 0.029 to 0.035 W/(m·K).
pub const BOARD: Material = Material { conductivity: 0.033, density: 30.0, heat_capacity: 1400.0 };

/// A layer under the slab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// What it is made of.
    pub material: Material,
    /// How thick it is.
    pub thickness: Length,
}
