//! The heat of a slab on its base and the soil, from placing on: temperatures, equivalent ages and surface water.
//!
//! One dimension, finite volumes, implicit. [`Column::run`] works one column, [`run_batch`] hundreds at once with the same
//! bits for each; [`Column::step_error`] shows what the working step costs.

mod check;
mod fast;
mod lanes;
mod ledger;
mod mesh;
mod prepare;
mod problem;
mod sheen;
mod skin;

pub use ledger::{Books, WaterBooks};

use basis::{Length, Note, Place, Report, Temperature, TemperatureDifference, TimeSpan};

use crate::bleed::Bleeding;
use crate::exposure::Exposure;
use crate::history::History;
use crate::hydration::Hydration;
use crate::material::{Layer, Material};
use crate::surface::Covering;
use lanes::Lanes;
use problem::Problem;

/// Columns that are worked side by side in a batch.
const LANES: usize = 8;

/// The concrete as it is placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Thickness, 40 mm to 1 m.
    pub thickness: Length,
    /// Conductivity, density and heat capacity.
    pub material: Material,
    /// Temperature at placing.
    pub temperature: Temperature,
    /// Age at placing, from water contact.
    pub age_at_placing: TimeSpan,
}

/// The ground before the concrete comes: from `top` it nears `deep` with depth, to a third within 0.15 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Temperature of the base's top.
    pub top: Temperature,
    /// Temperature under the last layer, which stays.
    pub deep: Temperature,
}

/// Weather at the slab at even instants, linear in between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather<'a> {
    /// What the slab would feel at each instant.
    pub exposures: &'a [Exposure],
    /// Time between two of them.
    pub step: TimeSpan,
    /// Time from the first of them to placing.
    pub placed: TimeSpan,
}

/// How finely the column is worked and kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Time between two states of the history.
    pub output: TimeSpan,
    /// Longest working step; a whole number of steps fills the time between two states. While the concrete is fresh, for ten
    /// hours, and throughout where it rains, half of it is taken; and an eighth up to the first state.
    pub step: TimeSpan,
    /// Distance of the nodes in the slab, about.
    pub spacing: Length,
}

impl Default for Fineness {
    /// States and steps each 10 minutes, nodes 7.5 mm apart.
    fn default() -> Self {
        Self {
            output: TimeSpan::minutes(10.0),
            step: TimeSpan::minutes(10.0),
            spacing: Length::millimetres(7.5),
        }
    }
}

/// A slab, what lies under and over it, and for how long it is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column<'a> {
    /// The concrete.
    pub slab: Slab,
    /// How it hydrates, its set already slowed or sped up.
    pub hydration: Hydration,
    /// How it bleeds.
    pub bleeding: Bleeding,
    /// Layers from the slab down, to 0.6 m or more in all.
    pub layers: &'a [Layer],
    /// Their temperatures at placing.
    pub ground: Ground,
    /// The weather.
    pub weather: Weather<'a>,
    /// What lies on the slab, in the order of time; bare before the first.
    pub covers: &'a [Covering],
    /// How long after placing.
    pub span: TimeSpan,
    /// Steps and nodes.
    pub fineness: Fineness,
}

/// What a column gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The states.
    pub history: History,
    /// What came in and went out.
    pub books: Books,
}

impl Column<'_> {
    /// Works the column.
    ///
    /// # Errors
    /// Impossible figures and weather that ends too early are refused, all faults at once.
    ///
    /// ```
    /// use basis::{Length, Pressure, Speed, Temperature, TimeSpan};
    /// use clock::column::{Column, Fineness, Ground, Slab, Weather};
    /// use clock::{bleed::Bleeding, hydration::Hydration, material, Exposure};
    /// let celsius = Temperature::celsius;
    /// let night = Exposure {
    ///     air: celsius(10.0), vapour: Pressure::pascals(900.0), wind: Speed::metres_per_second(1.0),
    ///     sun: 0.0, sky: 290.0, rain: 0.0,
    /// };
    /// let soil = [material::Layer { material: material::MOIST_SOIL, thickness: Length::metres(0.8) }];
    /// let column = Column {
    ///     slab: Slab {
    ///         thickness: Length::inches(4.0), material: material::CONCRETE, temperature: celsius(20.0),
    ///         age_at_placing: TimeSpan::minutes(45.0),
    ///     },
    ///     hydration: Hydration {
    ///         cementitious: 335.0, heat: 475e3, ultimate: 0.74, time: 16.2, shape: 0.63, energy: 45e3,
    ///     },
    ///     bleeding: Bleeding { most: 0.35, time: TimeSpan::hours(0.7), until: 4.3 },
    ///     layers: &soil,
    ///     ground: Ground { top: celsius(12.0), deep: celsius(12.0) },
    ///     weather: Weather { exposures: &[night; 13], step: TimeSpan::hours(1.0), placed: TimeSpan::ZERO },
    ///     covers: &[],
    ///     span: TimeSpan::hours(12.0),
    ///     fineness: Fineness::default(),
    /// };
    /// let history = column.run().value.unwrap().history;
    /// assert_eq!(history.states.len(), 73);
    /// // A cold night: the top of the slab is colder than its middle.
    /// assert!(history.states[72].surface < history.states[72].middle);
    /// ```
    #[must_use]
    pub fn run(&self) -> Report<Outcome> {
        let notes = check::notes(self, &Place::at("column"));
        if basis::has_fault(&notes) {
            return Report::refused(notes);
        }
        let problem = prepare::problem(self);
        let mut lanes = Lanes::<1>::new([&problem]);
        let states = lanes.run(1).pop().unwrap_or_default();
        Report::with(self.outcome(&problem, states, lanes.ledger.books(0)), notes)
    }

    fn outcome(&self, problem: &Problem, states: Vec<crate::history::State>, books: Books) -> Outcome {
        let step = TimeSpan::seconds(problem.march.step * problem.march.stride as f64);
        let history = History { step, age_at_placing: self.slab.age_at_placing, states };
        Outcome { history, books }
    }

    /// Largest difference in temperature, at surface, middle or bottom, that a working step of half the length makes.
    ///
    /// The scheme is of the second order, so the step's own error is about four thirds of this.
    ///
    /// # Errors
    /// As [`Column::run`].
    #[must_use]
    pub fn step_error(&self) -> Report<TemperatureDifference> {
        let finer = Self { fineness: Fineness { step: self.fineness.step * 0.5, ..self.fineness }, ..*self };
        let report = run_batch(&[*self, finer]);
        let Some(outcomes) = report.value else { return Report::refused(report.notes) };
        let pairs = outcomes[0].history.states.iter().zip(&outcomes[1].history.states);
        let most = pairs
            .flat_map(|(a, b)| [a.surface - b.surface, a.middle - b.middle, a.bottom - b.bottom])
            .fold(0.0_f64, |most, difference| most.max(difference.abs()));
        Report::with(TemperatureDifference::kelvins(most), report.notes)
    }
}

/// Works many columns together; each gives what it gives alone, bit for bit.
///
/// Columns that agree in the number of nodes and steps share lanes, so a batch of like slabs is fastest. Notes name the
/// column by its number, counted from 0.
///
/// # Errors
/// As [`Column::run`]; one column that is refused refuses the batch.
#[must_use]
pub fn run_batch(columns: &[Column<'_>]) -> Report<Vec<Outcome>> {
    let place = Place::at("column");
    let notes: Vec<Note> =
        columns.iter().enumerate().flat_map(|(i, column)| check::notes(column, &place.index(i))).collect();
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let problems: Vec<Problem> = columns.iter().map(prepare::problem).collect();
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by_key(|&i| problems[i].shape());
    let mut outcomes: Vec<Option<Outcome>> = vec![None; columns.len()];
    for alike in order.chunk_by(|&a, &b| problems[a].shape() == problems[b].shape()) {
        for group in alike.chunks(LANES) {
            // Lanes left over repeat the last column; their results are dropped.
            let lane = |l: usize| group[l.min(group.len() - 1)];
            let mut lanes = Lanes::<LANES>::new(std::array::from_fn(|l| &problems[lane(l)]));
            for (l, states) in lanes.run(group.len()).into_iter().enumerate() {
                let i = group[l];
                outcomes[i] = Some(columns[i].outcome(&problems[i], states, lanes.ledger.books(l)));
            }
        }
    }
    Report::with(outcomes.into_iter().flatten().collect(), notes)
}

#[cfg(test)]
mod tests;
