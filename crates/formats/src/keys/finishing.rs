//! Tables and keys of the job file that the finishing clock goes by.

use super::spec::Bound::{Any, NotNegative, Positive};
use super::spec::Kind::{Choice, Count, DayTime, Estimate, Quantity, Ratio, Table, Tables, Text};
use super::spec::Measure::{Angle, AreaRate, Density, Length, Pressure, Share, Speed, Temperature, TimeSpan};
use super::spec::{TableSpec, may, need};

pub(super) static MIX: TableSpec = TableSpec {
    called: "mix",
    doc: "The mix as ordered: what the set depends on.",
    keys: &[
        need("cement", Choice(&["I", "II", "III", "V"]), "Type of the portland cement; write II for I/II."),
        need(
            "cementitious",
            Quantity(Density, Positive),
            "Cement, ash and slag together, per volume of concrete.",
        ),
        need("water_cementitious", Ratio, "Water per cementitious material, by mass."),
        may("ash", Quantity(Share, NotNegative), "Fly ash as a share of the cementitious material."),
        may("ash_class", Choice(&["F", "C"]), "F is low in lime, C is high in lime."),
        may("slag", Quantity(Share, NotNegative), "Slag cement as a share of the cementitious material."),
        may("chloride", Quantity(Share, NotNegative), "Calcium chloride by mass of cement."),
        may(
            "earlier",
            Quantity(TimeSpan, Positive),
            "How much earlier the accelerator brings initial set at 70 degF, as the plant says.",
        ),
        may(
            "later",
            Quantity(TimeSpan, Positive),
            "How much later the retarder brings initial set at 70 degF, as the plant says.",
        ),
        may(
            "air",
            Quantity(Share, NotNegative),
            "Entrained air, total by volume; leave it out for a mix without.",
        ),
        need("strength", Quantity(Pressure, Positive), "Strength at 28 days."),
        may(
            "aggregate",
            Choice(&["soft", "medium", "hard"]),
            "Coarse aggregate under the saw: rounded gravel is soft, crushed limestone medium, trap rock hard.",
        ),
        may(
            "initial_set",
            Quantity(TimeSpan, Positive),
            "Initial set from water contact, as the plant says.",
        ),
        may("final_set", Quantity(TimeSpan, Positive), "Final set from water contact, as the plant says."),
        may("set_at", Quantity(Temperature, Any), "Concrete temperature at which those set times hold."),
        may(
            "set_factor",
            Estimate(Share, Positive),
            "Your own set times as a share of what is figured, from past pours.",
        ),
        may("temperature", Quantity(Temperature, Any), "Concrete temperature at the chute."),
        may(
            "batch",
            Table(&BATCH),
            "What goes into the mixer and how warm it is, when the temperature at the chute is not known.",
        ),
    ],
};

static BATCH: TableSpec = TableSpec {
    called: "batch",
    doc: "What goes into the mixer for one unit of concrete, and how warm it is.",
    keys: &[
        need("cement_temperature", Quantity(Temperature, Any), "Temperature of the cement."),
        need(
            "aggregate",
            Quantity(Density, Positive),
            "Sand and stone together, dry, per volume of concrete.",
        ),
        need("aggregate_temperature", Quantity(Temperature, Any), "Temperature of sand and stone."),
        may("aggregate_water", Quantity(Density, NotNegative), "Water that comes on sand and stone."),
        need("water_temperature", Quantity(Temperature, Any), "Temperature of the water put in."),
        may("ice", Quantity(Density, NotNegative), "Part of the mixing water that is put in as ice."),
    ],
};

pub(super) static SITE: TableSpec = TableSpec {
    called: "site",
    doc: "Where the site is, and what keeps off sun and wind.",
    keys: &[
        need("latitude", Quantity(Angle, Any), "North is positive."),
        need("longitude", Quantity(Angle, Any), "East is positive, west negative."),
        may("elevation", Quantity(Length, Any), "Height above sea level."),
        may(
            "wind_share",
            Quantity(Share, NotNegative),
            "Wind over the slab as a share of the wind reported; inside walls 10 to 30 %.",
        ),
        may(
            "roof",
            Choice(&["none", "over"]),
            "Whether a roof is over the slab: it keeps off sun, sky and rain.",
        ),
        may("shade", Tables(&SHADE), "Times of day at which walls, trees or a roof keep the sun off."),
    ],
};

static SHADE: TableSpec = TableSpec {
    called: "shade",
    doc: "A time of day at which the sun is kept off the slab.",
    keys: &[
        need("from", DayTime, "From this local time."),
        need("until", DayTime, "Until this local time."),
        may("share", Quantity(Share, Positive), "How much of the sun is kept off; all of it, when left out."),
    ],
};

pub(super) static WEATHER: TableSpec = TableSpec {
    called: "weather",
    doc: "The weather of the day, from a file or as a person says it.",
    keys: &[
        may(
            "file",
            Text,
            "Hourly weather: a table with its units, an EPW file or a public forecast in JSON; instead of the rest.",
        ),
        may("low", Quantity(Temperature, Any), "Lowest of the day."),
        may("high", Quantity(Temperature, Any), "Highest of the day."),
        may("humidity", Quantity(Share, NotNegative), "Relative humidity at the mean of the day."),
        may("wind", Quantity(Speed, NotNegative), "Wind as reported."),
        may("cloud", Quantity(Share, NotNegative), "How much of the sky is cloud."),
    ],
};

pub(super) static FINISHING: TableSpec = TableSpec {
    called: "finishing",
    doc: "The finish asked for, and how fast it is worked.",
    keys: &[
        may("finish", Choice(&["broom", "float", "trowel", "hard trowel"]), "The finish asked for."),
        may("trowel_rounds", Count, "Trowel rounds after the float."),
        may("people", Count, "People who finish."),
        may("bull_float", Quantity(AreaRate, Positive), "Area that one person bull floats in a time."),
        may(
            "by_hand",
            Quantity(AreaRate, Positive),
            "Area that one person floats or brooms by hand in a time.",
        ),
        may("edges", Quantity(Speed, Positive), "Length of edge that one person works in a time."),
        may(
            "cure",
            Choice(&["none", "compound", "sheet", "blanket"]),
            "How the slab is cured after the last round.",
        ),
        may(
            "move_on",
            Quantity(TimeSpan, NotNegative),
            "Time to load up and drive to the next pour of the day.",
        ),
    ],
};

pub(super) static MACHINE: TableSpec = TableSpec {
    called: "machine",
    doc: "A finishing machine.",
    keys: &[
        need("name", Text, "What the crew calls it."),
        may("float", Quantity(AreaRate, Positive), "Area that it floats in a time, overlap included."),
        may("trowel", Quantity(AreaRate, Positive), "Area that it trowels in a time, overlap included."),
    ],
};
