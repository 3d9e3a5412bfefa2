//! The job: what the foreman knows before the day, each value with its origin.

use basis::{
    Currency, Estimate, Length, Place, Price, RodMarks, Slope, TimeSpan, UnitSystem, Volume, VolumeRate,
};
use ground::finish::FinishDesign;
use ground::outline::{Direction, Outline};
use ground::survey::Survey;
use ground::walk::Walk;
use ground::{P2, P3};

mod finishing;
mod jointing;
mod supplies;

pub use finishing::{
    Batch, Bed, Cure, Finishing, Machine, MixOrdered, SaidWeather, Shade, Sheet, Site, Warmth, Weather,
};
pub use jointing::{JointWish, Jointing, Wish};
pub use supplies::{Reinforcement, ReinforcementKind, Supplies};

/// Everything that the user states about one floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What the crew calls it.
    pub name: String,
    /// IANA time zone of the site, as in `America/New_York`.
    pub zone: String,
    /// Units in which results are printed.
    pub units: UnitSystem,
    /// How the rod is marked.
    pub rod: RodMarks,
    /// The floor's edge. Its corners are empty when `walk` is given: they come from the walk.
    pub outline: Outline,
    /// The outline as walked with a tape, if it was.
    pub walk: Option<Walk>,
    /// The designed top.
    pub finish: FinishDesign,
    /// Thickness asked for.
    pub slab: Slab,
    /// What was shot with the laser.
    pub survey: Survey,
    /// The prepared base.
    pub base: Base,
    /// How the forms are set.
    pub forms: Forms,
    /// People and what they place with.
    pub crew: Crew,
    /// How concrete reaches the floor.
    pub chutes: Chutes,
    /// Where trucks can stand.
    pub stands: Vec<TruckStand>,
    /// Terms of the ready-mix plant.
    pub plant: Plant,
    /// Extra concrete as a share of the forms' volume: settling base, bulged forms, yield.
    /// Absent: the published default, marked as assumed.
    pub allowance: Option<Estimate<f64>>,
    /// Fixed loss: what stays in the drum, on the chute and on the ground. Absent: default, assumed.
    pub loss: Option<Estimate<Volume>>,
    /// The day of the pour.
    pub day: PourDay,
    /// The mix, if stated.
    pub mix: Option<MixOrdered>,
    /// The site on the globe, if stated.
    pub site: Option<Site>,
    /// The weather, if stated: with mix and site it brings the finishing clock.
    pub weather: Option<Weather>,
    /// What lies under the slab.
    pub bed: Bed,
    /// How the floor is finished.
    pub finishing: Finishing,
    /// How joints are wanted.
    pub joints: Jointing,
    /// What holds the slab together where it cracks.
    pub reinforcement: Reinforcement,
    /// How goods are sold and how far they go.
    pub supplies: Supplies,
    /// Values that the job does not state and that were taken by default.
    pub assumed: Vec<Assumed>,
}

/// A value that was taken by default, to be marked wherever a result rests on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumed {
    /// Where it would stand in the user's input.
    pub place: Place,
    /// What it is, in a few words: `lap of the straightedge`.
    pub what: String,
    /// The value in the job's units, as a person reads it.
    pub value: String,
    /// Where it comes from, in a few words: a published source, from memory, or common practice.
    pub source: String,
}

/// Thickness asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Thickness on the drawing.
    pub nominal: Length,
    /// Least thickness accepted anywhere.
    pub minimum: Length,
}

/// The prepared base.
#[derive(Debug, Clone, PartialEq)]
pub struct Base {
    /// What it is, in the user's words: `3/4 in. crushed stone`.
    pub kind: String,
    /// Loose stone per compacted stone by volume, to order what a fill takes; absent is unknown.
    pub loose_per_compacted: Option<f64>,
    /// Price of stone by loose volume, if known.
    pub stone_price: Option<Price<Volume>>,
    /// Lines where the base changes slope or steps, each a run of shot points with elevations, m.
    pub breaks: Vec<Vec<P3>>,
    /// Parts of the base that stand apart from the rest (a dug area, a step): separate surfaces.
    pub zones: Vec<BaseZone>,
}

/// A part of the base that is graded by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseZone {
    /// Its name.
    pub name: String,
    /// Its corners, m.
    pub corners: Vec<P2>,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How the forms are set and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Forms {
    /// Name of the set-up from which forms are set and pads are shot; absent: the last one.
    pub setup: Option<String>,
    /// Error of setting one form point: none is expected, its spread is what counts.
    pub setting: Estimate<Length>,
    /// A form further from its design than this is told to be reset.
    pub tolerance: Length,
}

/// People and what they place with.
#[derive(Debug, Clone, PartialEq)]
pub struct Crew {
    /// How many people place and finish.
    pub people: u32,
    /// Length of the straightedge.
    pub straightedge: Length,
    /// How far the straightedge must lap over each side of a bay.
    pub lap: Length,
    /// Rate at which the crew places and strikes off.
    pub placing_rate: Estimate<VolumeRate>,
    /// Direction in which bays run, if the foreman wants one.
    pub bay_direction: Option<Direction>,
    /// Name of the door or edge where the last bay must end; absent: the door nearest the stands.
    pub exit: Option<String>,
    /// What an hour of the whole crew standing idle costs, if known.
    pub idle_cost: Option<Price<TimeSpan>>,
    /// What carries concrete beyond reach of the chutes, if anything.
    pub carry: Option<Carry>,
}

/// How concrete is carried where no chute reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Carry {
    /// What: `wheelbarrow`, `power buggy`.
    pub by: String,
    /// How much one carries.
    pub load: Volume,
}

/// Chutes.
#[derive(Debug, Clone, PartialEq)]
pub struct Chutes {
    /// Reach of the truck's own chute from the stand's point.
    pub main: Length,
    /// Extension chutes at hand, each with its length.
    pub extensions: Vec<Length>,
    /// Height of the main chute's discharge above the ground at the stand.
    pub discharge_height: Length,
    /// Flattest fall at which concrete of the ordered slump still runs down a chute.
    pub least_fall: Slope,
}

/// A place where a truck can stand.
#[derive(Debug, Clone, PartialEq)]
pub struct TruckStand {
    /// Its name.
    pub name: String,
    /// Where the chute hinges, m.
    pub at: P2,
    /// Elevation of the ground there, if shot.
    pub elevation: Option<Length>,
    /// Direction in which the chute points at rest.
    pub facing: Direction,
    /// How far the chute swings to each side of that.
    pub swing: Direction,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// Terms of the ready-mix plant. Everything that is money is unknown until stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Plant {
    /// Most that one truck brings.
    pub truck: Volume,
    /// Smallest step in which concrete is sold.
    pub increment: Volume,
    /// Currency of the prices below.
    pub currency: Option<Currency>,
    /// Price of the mix.
    pub price: Option<Price<Volume>>,
    /// Smallest load that is brought at all; less is charged as this.
    pub minimum_load: Option<Volume>,
    /// Loads under this are short.
    pub short_load_below: Option<Volume>,
    /// Charge for a short load.
    pub short_load_fee: Option<basis::Money>,
    /// Fuel and the like that is added to each load.
    pub fuel: Option<basis::Money>,
    /// Unloading time that is free, per volume.
    pub free_unloading: Option<TimePerVolume>,
    /// Charge for time on site beyond the free time.
    pub standby: Option<Price<TimeSpan>>,
    /// What it costs to be rid of concrete left over.
    pub disposal: Option<Price<Volume>>,
    /// How long before it is wanted the last load must be called.
    pub call_lead: Option<TimeSpan>,
    /// Time between two trucks leaving the plant, as ordered; absent: matched to the placing rate.
    pub spacing: Option<TimeSpan>,
    /// How many trucks run; absent: as many as needed.
    pub trucks: Option<u32>,
    /// One-way haul.
    pub haul: Option<Estimate<TimeSpan>>,
    /// How long loading, washing and the like take at the plant, per round trip.
    pub turnaround: Option<TimeSpan>,
    /// Age of concrete at which it must be discharged.
    pub discharge_limit: Option<TimeSpan>,
    /// Age of an open edge at which fresh concrete no longer knits to it.
    pub cold_joint: Option<TimeSpan>,
}

impl Plant {
    /// A plant of which only the truck and the selling step are known.
    #[must_use]
    pub const fn unknown(truck: Volume, increment: Volume) -> Self {
        Self {
            truck,
            increment,
            currency: None,
            price: None,
            minimum_load: None,
            short_load_below: None,
            short_load_fee: None,
            fuel: None,
            free_unloading: None,
            standby: None,
            disposal: None,
            call_lead: None,
            spacing: None,
            trucks: None,
            haul: None,
            turnaround: None,
            discharge_limit: None,
            cold_joint: None,
        }
    }
}

/// A time per volume, as in seven minutes a yard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimePerVolume {
    /// How long.
    pub span: TimeSpan,
    /// For how much.
    pub per: Volume,
}

/// The day of the pour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PourDay {
    /// When the first truck is asked for, local time of the site.
    pub first_truck: Option<jiff::civil::DateTime>,
}
