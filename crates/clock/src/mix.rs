//! The mix: what the plant sells and what the set depends on.

use basis::{Density, Estimate, Pressure, Share, Temperature, TimeSpan};

/// A concrete mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// The portland cement.
    pub cement: Cement,
    /// Portland cement, ash and slag together, per volume of concrete.
    pub cementitious: Density,
    /// Water per cementitious material, by mass.
    pub water_per_cementitious: f64,
    /// Fly ash, if any.
    pub ash: Option<Ash>,
    /// Slag cement as a share of the cementitious material, by mass.
    pub slag: Share,
    /// What is put in to move the set.
    pub admixtures: Vec<Admixture>,
    /// Air by volume.
    pub air: Air,
    /// Strength at 28 days.
    pub strength: Pressure,
    /// What the coarse aggregate is, which governs ravelling under the saw.
    pub aggregate: Aggregate,
    /// Set times that the plant states, if it does: they stand in for the model at their temperature.
    pub stated_set: Option<StatedSet>,
    /// The crew's own factor on set times; 1 with a spread of 0.2 until learned.
    pub set_factor: Estimate<f64>,
}

/// Portland cement by type, or by its own analysis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cement {
    /// General use.
    TypeI,
    /// Moderate sulphate resistance; what "Type I/II" is figured as.
    TypeII,
    /// High early strength.
    TypeIII,
    /// High sulphate resistance.
    TypeV,
    /// An analysis from the mill.
    Analysis(CementAnalysis),
}

/// Composition of a cement, as mass fractions of the cement, and its fineness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CementAnalysis {
    /// Tricalcium silicate.
    pub c3s: f64,
    /// Dicalcium silicate.
    pub c2s: f64,
    /// Tricalcium aluminate.
    pub c3a: f64,
    /// Tetracalcium aluminoferrite.
    pub c4af: f64,
    /// Sulphate as SO₃.
    pub so3: f64,
    /// Free lime.
    pub free_lime: f64,
    /// Magnesia.
    pub magnesia: f64,
    /// Fineness by air permeability (Blaine), m²/kg.
    pub blaine: f64,
}

/// Fly ash in the mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ash {
    /// Share of the cementitious material, by mass.
    pub share: Share,
    /// Low or high in lime.
    pub class: AshClass,
}

/// Class of a fly ash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AshClass {
    /// Low in lime (Class F).
    F,
    /// High in lime (Class C).
    C,
}

/// An admixture that moves the set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Admixture {
    /// Calcium chloride by mass of cement, as a share: 0.01 to 0.02.
    CalciumChloride(Share),
    /// Another accelerator: initial set comes this much earlier at 70 °F, as the plant states it.
    Accelerator(TimeSpan),
    /// A retarder: initial set comes this much later at 70 °F, as the plant states it.
    Retarder(TimeSpan),
}

/// Air in the mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air {
    /// Only what mixing entraps.
    Entrapped,
    /// Entrained, total by volume.
    Entrained(Share),
}

/// Coarse aggregate by how soon a saw can pass it without ravelling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aggregate {
    /// Rounded gravel or soft stone.
    Soft,
    /// Crushed limestone and the like.
    Medium,
    /// Hard crushed stone: quartzite, trap rock, granite.
    Hard,
}

/// Set times as the plant states them, from water contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedSet {
    /// Penetration resistance of 500 psi.
    pub initial: TimeSpan,
    /// Penetration resistance of 4,000 psi.
    pub last: TimeSpan,
    /// Concrete temperature at which that was found.
    pub at: Temperature,
}
