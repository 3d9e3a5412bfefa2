//! The slab of a job as columns: mix, bed, temperatures, covers.

use basis::{Length, Mass, Note, Place, Temperature, TemperatureDifference, TimeSpan};
use clock::bleed::{self, Bleeding};
use clock::column::{Column, Fineness, Ground, Slab, Weather};
use clock::hydration::{Hydration, hydration};
use clock::material::{BOARD, CONCRETE, Layer, MOIST_SOIL, STONE};
use clock::mix_temperature::{self, Portion};
use clock::setting::SetModel;
use clock::surface::{Cover, Covering};

use super::defaults::{self, Taken};
use super::weather::Course;
use crate::job::{Batch, Cure, Job, MixOrdered, Sheet, Warmth};

/// The slab is followed for two days after placing, as far as the weather goes.
const FOLLOWED: TimeSpan = TimeSpan::hours(48.0);
/// Soil under the stone, to a depth at which the day is not felt.
const SOIL: Length = Length::metres(0.7);
/// An insulating board of 2 in.
const BOARD_THICKNESS: Length = Length::inches(2.0);
/// Thermal resistance of a curing blanket, m²·K/W: US R 3, from memory of suppliers' sheets.
const BLANKET: f64 = 0.53;
/// How far off a stated temperature of the fresh concrete is, one standard deviation; common practice, no source.
const STATED_ERROR: TemperatureDifference = TemperatureDifference::kelvins(1.2);
/// The same for one figured from the batch, and for one that nobody knows.
const BATCH_ERROR: TemperatureDifference = TemperatureDifference::kelvins(2.0);
const UNKNOWN_ERROR: TemperatureDifference = TemperatureDifference::kelvins(3.0);

/// Temperature of the concrete as it leaves the chute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fresh {
    /// The expected temperature.
    pub mean: Temperature,
    /// One standard deviation.
    pub sd: TemperatureDifference,
}

/// All that the columns of one floor have in common.
#[derive(Debug, Clone)]
pub(super) struct SlabOfJob {
    pub thickness: Length,
    pub fresh: Fresh,
    pub hydration: Hydration,
    pub bleeding: Bleeding,
    pub layers: Vec<Layer>,
    pub ground: Ground,
    pub cure: Cure,
}

/// Where one column stands: when it is placed, how old its concrete is, how warm it comes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    /// From the first exposure of the course to placing.
    pub placed: TimeSpan,
    pub age: TimeSpan,
    pub fresh: Temperature,
}

/// Gathers what the columns of a job share. `mean` is the day's mean air, `placing` the air when placing.
pub(super) fn of_job(
    job: &Job,
    ordered: &MixOrdered,
    thickness: Length,
    set: &SetModel,
    air: (Temperature, Temperature),
    taken: &mut Taken,
    notes: &mut Vec<Note>,
) -> Option<SlabOfJob> {
    let (mean, placing) = air;
    let report = hydration(&ordered.mix);
    // What is wrong with the mix was already told with its set.
    let hydration = report.value?;
    let fresh = fresh(ordered, placing, taken, notes)?;
    let sheet = taken.sheet(job.bed.sheet);
    let bed = match sheet {
        Sheet::None => bleed::Bed::Absorbent,
        Sheet::UnderSlab | Sheet::Insulation => bleed::Bed::Tight,
    };
    let mut layers = Vec::new();
    if sheet == Sheet::Insulation {
        layers.push(Layer { material: BOARD, thickness: BOARD_THICKNESS });
    }
    layers.push(Layer { material: STONE, thickness: taken.stone(job.bed.stone) });
    layers.push(Layer { material: MOIST_SOIL, thickness: SOIL });
    let top = taken.ground(job.bed.temperature, "base.temperature", "temperature of the base", mean);
    let deep = taken.ground(job.bed.deep, "base.deep_temperature", "temperature of the ground below", mean);
    Some(SlabOfJob {
        thickness,
        fresh,
        hydration: hydration.slowed(set.last / set.plain_last),
        bleeding: bleed::bleeding(&ordered.mix, thickness, bed, set.initial),
        layers,
        ground: Ground { top, deep },
        cure: taken.cure(job.finishing.cure),
    })
}

fn fresh(ordered: &MixOrdered, air: Temperature, taken: &mut Taken, notes: &mut Vec<Note>) -> Option<Fresh> {
    match ordered.warmth {
        Warmth::Stated(mean) => Some(Fresh { mean, sd: STATED_ERROR }),
        Warmth::Batch(batch) => {
            let place = ordered.place.key("batch");
            let batch = in_a_metre(&batch, ordered);
            notes.extend(mix_temperature::check(&batch, &place, taken.units));
            let mean = mix_temperature::fresh_temperature(&batch)?;
            Some(Fresh { mean, sd: BATCH_ERROR })
        }
        Warmth::Unknown => {
            let mean = defaults::fresh_temperature(air);
            let said = basis::quantity::temperature(mean, taken.units);
            let source = "the air when placing, within what plants deliver; our own choice";
            let what = "temperature of the concrete";
            let mean = taken.or(None, "mix.temperature", what, (mean, said, source));
            Some(Fresh { mean, sd: UNKNOWN_ERROR })
        }
    }
}

/// The batch for one cubic metre.
fn in_a_metre(batch: &Batch, ordered: &MixOrdered) -> mix_temperature::Batch {
    let mix = &ordered.mix;
    let mass = |share: basis::Density| Mass::kilograms(share.in_kilograms_per_cubic_metre());
    let all_water = mass(mix.cementitious) * mix.water_per_cementitious;
    let added = (all_water - mass(batch.aggregate_water) - mass(batch.ice)).max(Mass::ZERO);
    mix_temperature::Batch {
        cement: Portion { mass: mass(mix.cementitious), temperature: batch.cement },
        aggregate: Portion { mass: mass(batch.aggregate_mass), temperature: batch.aggregate },
        free_water: mass(batch.aggregate_water),
        water: Portion { mass: added, temperature: batch.water },
        ice: mass(batch.ice),
    }
}

impl SlabOfJob {
    /// A column on a course of the weather; absent when the course has no hour left after placing.
    pub fn column<'a>(
        &'a self,
        course: &'a Course,
        spot: Spot,
        covers: &'a [Covering],
    ) -> Option<Column<'a>> {
        let step = TimeSpan::seconds(course.every.as_secs_f64());
        let there = step * (course.exposures.len() as f64 - 1.0);
        let fineness = Fineness::default();
        let left = (there - spot.placed).min(FOLLOWED);
        let whole = (left / fineness.output).floor();
        (whole >= 6.0).then(|| Column {
            slab: Slab {
                thickness: self.thickness,
                material: CONCRETE,
                temperature: spot.fresh,
                age_at_placing: spot.age,
            },
            hydration: self.hydration,
            bleeding: self.bleeding,
            layers: &self.layers,
            ground: self.ground,
            weather: Weather { exposures: &course.exposures, step, placed: spot.placed },
            covers,
            span: fineness.output * whole,
            fineness,
        })
    }

    /// What lies on the slab once it is finished.
    pub fn covers(&self, finished: TimeSpan) -> Vec<Covering> {
        let cover = match self.cure {
            Cure::None => return Vec::new(),
            Cure::Compound => Cover::CuringCompound,
            Cure::Sheet => Cover::WhiteSheet,
            Cure::Blanket => Cover::Blanket(BLANKET),
        };
        vec![Covering { from: finished, cover }]
    }
}

/// Where the mix stands, for notes about it.
pub(super) fn place() -> Place {
    Place::at("mix")
}
