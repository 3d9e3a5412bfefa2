//! What the finishing clock needs beyond the floor: mix, site, weather, bed, finish, machines.

use basis::{Angle, AreaRate, Density, Length, Place, Share, Speed, Temperature, TimeSpan};
use clock::Mix;
use clock::finish::Finish;
use clock::weather::{Roof, Series};

/// The mix as ordered, and how warm it comes.
#[derive(Debug, Clone, PartialEq)]
pub struct MixOrdered {
    /// Its design.
    pub mix: Mix,
    /// How warm the concrete is when it leaves the chute.
    pub warmth: Warmth,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How the temperature of the fresh concrete is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warmth {
    /// As stated, or measured at the chute.
    Stated(Temperature),
    /// From what goes into the mixer.
    Batch(Batch),
    /// Not known; it goes by the air of the day.
    Unknown,
}

/// What goes into the mixer for one unit of concrete, and how warm each part is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// Temperature of the cement.
    pub cement: Temperature,
    /// Sand and stone, dry.
    pub aggregate_mass: Density,
    /// Temperature of sand and stone, and of the water on them.
    pub aggregate: Temperature,
    /// Water that comes with sand and stone.
    pub aggregate_water: Density,
    /// Temperature of the water put in.
    pub water: Temperature,
    /// Part of the mixing water that is put in as ice.
    pub ice: Density,
}

/// Where the site is and what shelters it.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// North positive.
    pub latitude: Angle,
    /// East positive.
    pub longitude: Angle,
    /// Above sea level.
    pub elevation: Option<Length>,
    /// Wind over the slab as a share of the wind that is reported for 10 m up.
    pub wind_share: Option<Share>,
    /// Whether a roof is over the slab.
    pub roof: Roof,
    /// What keeps the sun off.
    pub shade: Vec<Shade>,
}

/// A time of day at which the sun is kept off the slab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shade {
    /// From this local time.
    pub from: jiff::civil::Time,
    /// Until this local time.
    pub until: jiff::civil::Time,
    /// How much of the sun is kept off.
    pub share: Share,
}

/// The weather of the day.
#[derive(Debug, Clone, PartialEq)]
pub enum Weather {
    /// As a person says it.
    Said(SaidWeather),
    /// Hour by hour, from a file.
    Hourly {
        /// Name of the file.
        file: String,
        /// What it holds.
        series: Series,
    },
}

/// The weather as a person says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaidWeather {
    /// Lowest of the day, near sunrise.
    pub low: Temperature,
    /// Highest of the day, in mid-afternoon.
    pub high: Temperature,
    /// Relative humidity at the mean of the day.
    pub humidity: Share,
    /// Wind as reported, 10 m up.
    pub wind: Speed,
    /// Cloud: 0 is clear, 1 is overcast.
    pub cloud: Share,
}

/// What lies under the slab, as far as stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bed {
    /// Thickness of the stone.
    pub stone: Option<Length>,
    /// What lies between stone and slab.
    pub sheet: Option<Sheet>,
    /// Temperature of the top of the base before placing, if measured.
    pub temperature: Option<Temperature>,
    /// Temperature of the ground below the reach of the day, if known.
    pub deep: Option<Temperature>,
}

/// What lies between stone and slab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// Nothing: the base takes up some of the water.
    None,
    /// A vapour retarder straight under the slab: all water leaves by the top.
    UnderSlab,
    /// Insulating board under the slab.
    Insulation,
}

/// How the floor is finished and by whom, as far as stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Finishing {
    /// The finish that is asked for.
    pub finish: Option<Finish>,
    /// People who finish.
    pub people: Option<u32>,
    /// Area that one person bull floats in a time.
    pub bull_float: Option<AreaRate>,
    /// Area that one person floats or brooms by hand in a time.
    pub by_hand: Option<AreaRate>,
    /// Length of edge that one person works in a time.
    pub edges: Option<Speed>,
    /// The machines at hand.
    pub machines: Vec<Machine>,
    /// How the slab is cured once it is finished.
    pub cure: Option<Cure>,
    /// Time to load up and drive from this floor to the next of the day.
    pub move_on: Option<TimeSpan>,
}

/// A finishing machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// What people call it.
    pub name: String,
    /// Area that it floats in a time, overlap included.
    pub float: Option<AreaRate>,
    /// Area that it trowels in a time, overlap included.
    pub trowel: Option<AreaRate>,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How the slab is cured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cure {
    /// Not at all.
    None,
    /// A compound sprayed on after the last round.
    Compound,
    /// A sheet laid on after the last round.
    Sheet,
    /// A blanket laid on after the last round.
    Blanket,
}
