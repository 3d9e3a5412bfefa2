//! Every table and key of the job file, version 1.

use super::finishing::{FINISHING, MACHINE, MIX, SITE, WEATHER};
use super::jointing::{JOINT, JOINTS};
use super::spec::Bound::{Any, NotNegative, Positive};
#[cfg(test)]
use super::spec::Key;
use super::spec::Kind::{
    Arc, Choice, Count, Direction, EdgeName, Estimate, Lengths, LocalTime, Point, Points, Quantity, Reading,
    ShotRows, SpotLines, Spots, Table, Tables, Text, Turn, Version, Zone,
};
use super::spec::Measure::{
    Angle, Length, Money, PricePerTime, PricePerVolume, Share, Slope, Temperature, TimePerVolume, TimeSpan,
    Volume, VolumeRate,
};
use super::spec::{TableSpec, may, need};
use super::supplies::{REINFORCEMENT, TAKEOFF};

/// The whole file.
pub(crate) static JOB_FILE: TableSpec = TableSpec {
    called: "job file",
    doc: "One floor: what the foreman knows before the day.",
    keys: &[
        need("flatwright", Version, "Number of the file's layout; this one is 1."),
        need("job", Table(&JOB), "What the job is called and how it is measured."),
        may("corner", Tables(&CORNER), "Corners of the floor in order round, either way."),
        may("walk", Table(&WALK), "The outline as walked with a tape, instead of corners."),
        may("edge", Tables(&EDGE), "Edges that are not plain straight forms."),
        may("door", Tables(&DOOR), "Doors: the form is set low and the floor tapered back."),
        may("thickened", Tables(&THICKENED), "Edges dug deeper than the base."),
        may("opening", Tables(&OPENING), "Holes left in the floor."),
        may("column", Tables(&COLUMN), "Columns with their isolation boxes."),
        may("pipe", Tables(&PIPE), "Pipes and sleeves through the floor."),
        may("drain", Tables(&DRAIN), "Bodies of drains, where no concrete goes."),
        may("footing", Tables(&FOOTING), "Pads and footings cast with the floor."),
        need("finish", Table(&FINISH), "The top of the floor as it should be."),
        need("slab", Table(&SLAB), "Thickness asked for."),
        may("survey", Table(&SURVEY), "What goes for all shots."),
        may("benchmark", Tables(&BENCHMARK), "Points whose elevation is known."),
        may("setup", Tables(&SETUP), "Positions of the laser with their shots, in the order made."),
        may("base", Table(&BASE), "The prepared base."),
        may("forms", Table(&FORMS), "How the forms are set and checked."),
        may("crew", Table(&CREW), "People and what they place with."),
        may("chutes", Table(&CHUTES), "Chutes at hand."),
        may("stand", Tables(&STAND), "Places where a truck can stand."),
        need("plant", Table(&PLANT), "Terms of the ready-mix plant, as far as known."),
        may("order", Table(&ORDER), "What is added to the volume between base and floor."),
        may("day", Table(&DAY), "The day of the pour."),
        may("mix", Table(&MIX), "The mix as ordered: what the set depends on."),
        may("site", Table(&SITE), "Where the site is, and what keeps off sun and wind."),
        may(
            "weather",
            Table(&WEATHER),
            "The weather of the day: with it, and mix and site, the plan has the finishing clock.",
        ),
        may("finishing", Table(&FINISHING), "The finish asked for, and how fast it is worked."),
        may("machine", Tables(&MACHINE), "Finishing machines at hand, each one of its own."),
        may(
            "joints",
            Table(&JOINTS),
            "What the spacing of contraction joints goes by, and how they are cut.",
        ),
        may("joint", Tables(&JOINT), "Joints that must be there, and places where none may run."),
        may("reinforcement", Table(&REINFORCEMENT), "What holds the slab together where it cracks."),
        may("takeoff", Table(&TAKEOFF), "How goods are sold and how far they go."),
    ],
};

static JOB: TableSpec = TableSpec {
    called: "job",
    doc: "What the job is called and how it is measured.",
    keys: &[
        need("name", Text, "What the crew calls it."),
        need("zone", Zone, "IANA time zone of the site, as in America/New_York."),
        need("units", Choice(&["us", "metric"]), "Units in which results are printed."),
        need("rod", Choice(&["sixteenths", "eighths", "tenths", "mm"]), "How the rod is marked."),
    ],
};

static CORNER: TableSpec = TableSpec {
    called: "corner",
    doc: "A corner of the floor.",
    keys: &[
        need("name", Text, "Its name, used by edges and doors."),
        need("at", Point, "Where it is: to the right, then up the sheet."),
    ],
};

static WALK: TableSpec = TableSpec {
    called: "walk",
    doc: "The outline as walked with a tape; the last leg comes back to the start.",
    keys: &[
        need("start", Text, "Name of the corner where the walk starts; it is the origin of the plan."),
        need("leg", Tables(&LEG), "The sides in order."),
        may("measure", Tables(&MEASURE), "Diagonals, and sides measured again."),
        may("tape_error", Quantity(Length, Positive), "How far off a taped distance usually is."),
        may("corner_error", Quantity(Angle, Positive), "How far off a corner's stated direction usually is."),
        may("closure_limit", Quantity(Length, Positive), "Largest gap accepted between end and start."),
    ],
};

static LEG: TableSpec = TableSpec {
    called: "leg",
    doc: "One side as walked.",
    keys: &[
        need("to", Text, "Name of the corner reached."),
        may("toward", Direction, "Which way it runs; the first leg needs this."),
        may("turn", Turn, "Or the turn from the leg before."),
        need("length", Quantity(Length, Positive), "Straight distance from corner to corner."),
        may("arc", Arc, "Radius of a curved side, bulging out of the floor or biting in."),
    ],
};

static MEASURE: TableSpec = TableSpec {
    called: "measure",
    doc: "A measured distance between two corners.",
    keys: &[
        need("from", Text, "One corner."),
        need("to", Text, "The other corner."),
        need("length", Quantity(Length, Positive), "The distance."),
    ],
};

static EDGE: TableSpec = TableSpec {
    called: "edge",
    doc: "What is special about the edge between two neighbouring corners.",
    keys: &[
        need("from", Text, "One corner."),
        need("to", Text, "The next corner."),
        may(
            "kind",
            Choice(&["free", "wall", "existing slab"]),
            "What stands along it; free is a form board.",
        ),
        may("arc", Arc, "Radius of a curved edge, bulging out of the floor or biting in."),
    ],
};

static DOOR: TableSpec = TableSpec {
    called: "door",
    doc: "A door in an edge.",
    keys: &[
        need("name", Text, "Its name."),
        need("edge", EdgeName, "The edge's two corners, in the order in which the corners are listed."),
        need("start", Quantity(Length, NotNegative), "From the edge's first corner to the first jamb."),
        need("width", Quantity(Length, Positive), "Clear width between the jambs."),
        may("drop", Quantity(Length, NotNegative), "How far the form is set below the floor."),
        may("taper", Quantity(Length, NotNegative), "How far back from the form the taper runs."),
    ],
};

static THICKENED: TableSpec = TableSpec {
    called: "thickened edge",
    doc: "A trench along an edge, filled with the floor.",
    keys: &[
        need("edge", EdgeName, "The edge's two corners."),
        need("depth", Quantity(Length, Positive), "Depth of its flat bottom below the base."),
        need("flat", Quantity(Length, NotNegative), "Width of the flat bottom, from the form inward."),
        may("haunch", Quantity(Length, NotNegative), "Width of the bank up to the base; 0 for a sheer one."),
    ],
};

/// Keys of a place inside the floor: a name and one of three ways to say its extent.
macro_rules! place_keys {
    ($($more:expr,)*) => {
        &[
            need("name", Text, "Its name."),
            may("at", Point, "Its middle, with size or diameter."),
            may("size", Point, "Size of a rectangle: to the right, then up the sheet."),
            may("diameter", Quantity(Length, Positive), "Diameter of a circle."),
            may("corners", Points(3), "Corners in order round, instead of middle and size."),
            $($more,)*
        ]
    };
}

static OPENING: TableSpec =
    TableSpec { called: "opening", doc: "A hole left in the floor.", keys: place_keys![] };
static COLUMN: TableSpec =
    TableSpec { called: "column", doc: "A column with its isolation box.", keys: place_keys![] };
static PIPE: TableSpec = TableSpec { called: "pipe", doc: "A pipe or sleeve.", keys: place_keys![] };
static DRAIN: TableSpec = TableSpec { called: "drain", doc: "The body of a drain.", keys: place_keys![] };
static FOOTING: TableSpec = TableSpec {
    called: "footing",
    doc: "A pit under the floor, filled with it.",
    keys: place_keys![
        need("depth", Quantity(Length, Positive), "Depth of its bottom below the base."),
        may(
            "haunch",
            Quantity(Length, NotNegative),
            "Width of the bank around the bottom; 0 for a sheer one."
        ),
    ],
};

static FINISH: TableSpec = TableSpec {
    called: "finish",
    doc: "The top of the floor: exactly one main shape, and drains if any.",
    keys: &[
        may("level", Table(&LEVEL), "A level floor."),
        may("plane", Table(&PLANE), "One plane that falls toward a direction."),
        may("crown", Table(&RIDGE), "High along a line, falling away on both sides."),
        may("valley", Table(&RIDGE), "Low along a line, falling to it from both sides."),
        may("warp", Table(&WARP), "Warped between four corners."),
        may("points", Table(&POINTS), "Spots joined by triangles."),
        may("drain", Tables(&DISH), "Dishes that fall to drains."),
    ],
};

static LEVEL: TableSpec = TableSpec {
    called: "level floor",
    doc: "A level floor.",
    keys: &[need("elevation", Quantity(Length, Any), "Its elevation.")],
};

static PLANE: TableSpec = TableSpec {
    called: "plane",
    doc: "One plane that falls toward a direction.",
    keys: &[
        need("through", Point, "Where the elevation is given."),
        need("elevation", Quantity(Length, Any), "Elevation there."),
        need("fall", Quantity(Slope, NotNegative), "How much it falls."),
        need("toward", Direction, "Toward where it falls."),
    ],
};

static RIDGE: TableSpec = TableSpec {
    called: "crown or valley",
    doc: "A line with elevations at its ends and a fall at right angles to it.",
    keys: &[
        need("line", Spots(2, 2), "The line's two ends: right, up, elevation."),
        need("fall", Quantity(Slope, NotNegative), "Fall at right angles to the line."),
    ],
};

static WARP: TableSpec = TableSpec {
    called: "warp",
    doc: "A surface warped between four corners.",
    keys: &[need("corners", Spots(4, 4), "The corners in order round: right, up, elevation.")],
};

static POINTS: TableSpec = TableSpec {
    called: "points",
    doc: "Spots with elevations, joined by triangles.",
    keys: &[
        need("spots", Spots(3, usize::MAX), "The spots: right, up, elevation."),
        may("breaks", SpotLines, "Break lines that no triangle crosses, each a row of spots."),
    ],
};

static DISH: TableSpec = TableSpec {
    called: "drain dish",
    doc: "A dish in the floor that falls to a drain.",
    keys: &[
        need("name", Text, "Name of the drain."),
        may("at", Point, "Middle of the drain, unless a drain of this name is listed with its place."),
        need("low", Quantity(Length, Any), "Elevation of the floor at the drain."),
        may("radius", Quantity(Length, Positive), "How far out the dish reaches; without it, to the edges."),
    ],
};

static SLAB: TableSpec = TableSpec {
    called: "slab",
    doc: "Thickness asked for.",
    keys: &[
        need("nominal", Quantity(Length, Positive), "Thickness on the drawing."),
        may("minimum", Quantity(Length, Positive), "Least thickness accepted anywhere."),
    ],
};

static SURVEY: TableSpec = TableSpec {
    called: "survey",
    doc: "What goes for all shots.",
    keys: &[
        may("misclosure_limit", Quantity(Length, Positive), "Largest misclosure accepted."),
        may("shots_file", Text, "A CSV file of shots beside this file."),
    ],
};

static BENCHMARK: TableSpec = TableSpec {
    called: "benchmark",
    doc: "A point whose elevation is known.",
    keys: &[
        need("name", Text, "Its name."),
        need("elevation", Quantity(Length, Any), "Its elevation above the job's datum."),
        may("at", Point, "Where it is in the plan."),
    ],
};

pub(super) static SETUP: TableSpec = TableSpec {
    called: "set-up",
    doc: "One position of the laser.",
    keys: &[
        need("name", Text, "Its name."),
        may("station", Point, "Where the laser stood."),
        may(
            "mark",
            Quantity(Length, Positive),
            "Height of the mark on the stick, if both kinds of reading are used.",
        ),
        need("backsight", Table(&SIGHT), "The opening sight on a point of known elevation."),
        may("closing", Table(&SIGHT), "The sight taken again at the end."),
        may("errors", Table(&ERRORS), "What laser and hand are usually wrong by."),
        may("shots", ShotRows, "Rows of name, right, up, reading and what the stick stood on."),
    ],
};

static SIGHT: TableSpec = TableSpec {
    called: "sight",
    doc: "A reading on a point of known elevation.",
    keys: &[
        need("on", Text, "Name of a benchmark, or of a shot of an earlier set-up."),
        need("reading", Reading, "What the rod read."),
    ],
};

static ERRORS: TableSpec = TableSpec {
    called: "errors",
    doc: "One standard deviation each.",
    keys: &[
        may("backsight", Quantity(Length, Positive), "Error common to all shots of the set-up."),
        may("tilt", Quantity(Angle, NotNegative), "Tilt of the laser plane."),
        may("rod", Quantity(Length, Positive), "Error of a single reading."),
    ],
};

static BASE: TableSpec = TableSpec {
    called: "base",
    doc: "The prepared base.",
    keys: &[
        may("kind", Text, "What it is, as in 3/4 in. crushed stone."),
        may(
            "bulking",
            Quantity(Share, NotNegative),
            "How much more stone is loose than compacted, in per cent.",
        ),
        may("stone_price", Quantity(PricePerVolume, NotNegative), "Price of loose stone."),
        may("breaks", SpotLines, "Lines where the base changes slope or steps, each a row of spots."),
        may("zone", Tables(&ZONE), "Parts of the base that are graded by themselves."),
        may("thickness", Quantity(Length, Positive), "Thickness of the stone."),
        may("sheet", Choice(&["none", "under slab", "insulation"]), "What lies between stone and slab."),
        may("temperature", Quantity(Temperature, Any), "Temperature of the top of the base before placing."),
        may("deep_temperature", Quantity(Temperature, Any), "Temperature of the ground a yard down."),
    ],
};

static ZONE: TableSpec = TableSpec {
    called: "zone",
    doc: "A part of the base that is graded by itself.",
    keys: &[need("name", Text, "Its name."), need("corners", Points(3), "Its corners in order round.")],
};

static FORMS: TableSpec = TableSpec {
    called: "forms",
    doc: "How the forms are set and checked.",
    keys: &[
        may("setup", Text, "Set-up from which forms are set and pads are shot; without it, the last."),
        may(
            "setting_error",
            Quantity(Length, Positive),
            "How far off a form point usually is after setting.",
        ),
        may("tolerance", Quantity(Length, Positive), "A form further off than this is to be reset."),
    ],
};

static CREW: TableSpec = TableSpec {
    called: "crew",
    doc: "People and what they place with.",
    keys: &[
        may("people", Count, "How many place and finish."),
        may("straightedge", Quantity(Length, Positive), "Length of the straightedge."),
        may("lap", Quantity(Length, NotNegative), "How far it must lap over each side of a bay."),
        may("placing_rate", Estimate(VolumeRate, Positive), "How fast the crew places and strikes off."),
        may("bay_direction", Direction, "Which way the bays run, if it matters."),
        may("exit", Text, "Door where the last bay must end."),
        may(
            "idle_cost",
            Quantity(PricePerTime, NotNegative),
            "What an hour of the whole crew standing costs.",
        ),
        may("carry", Table(&CARRY), "What carries concrete where no chute reaches."),
    ],
};

static CARRY: TableSpec = TableSpec {
    called: "carry",
    doc: "What carries concrete where no chute reaches.",
    keys: &[
        need("by", Text, "Wheelbarrow, power buggy."),
        need("load", Quantity(Volume, Positive), "How much one carries."),
    ],
};

static CHUTES: TableSpec = TableSpec {
    called: "chutes",
    doc: "Chutes at hand.",
    keys: &[
        may("main", Quantity(Length, Positive), "Reach of the truck's own chute."),
        may("extensions", Lengths, "Extension chutes, each with its length."),
        may(
            "discharge_height",
            Quantity(Length, Positive),
            "Height of the lower end of the truck's own chute above its stand.",
        ),
        may("least_fall", Quantity(Slope, NotNegative), "Flattest fall at which the concrete still runs."),
    ],
};

static STAND: TableSpec = TableSpec {
    called: "stand",
    doc: "A place where a truck can stand.",
    keys: &[
        need("name", Text, "Its name."),
        need("at", Point, "Where the chute hinges."),
        may("elevation", Quantity(Length, Any), "Elevation of the ground there."),
        need("facing", Direction, "Which way the chute points at rest."),
        may("swing", Quantity(Angle, Positive), "How far the chute swings to each side of that."),
    ],
};

static PLANT: TableSpec = TableSpec {
    called: "plant",
    doc: "Terms of the ready-mix plant; what is not stated stays unknown.",
    keys: &[
        need("truck", Quantity(Volume, Positive), "Most that one truck brings."),
        need("increment", Quantity(Volume, Positive), "Smallest step in which concrete is sold."),
        may("price", Quantity(PricePerVolume, NotNegative), "Price of the mix."),
        may("minimum_load", Quantity(Volume, Positive), "Less than this is charged as this."),
        may("short_load_below", Quantity(Volume, Positive), "Loads under this are short."),
        may("short_load_fee", Quantity(Money, NotNegative), "Charge for a short load."),
        may("fuel", Quantity(Money, NotNegative), "Fuel and the like, each load."),
        may(
            "free_unloading",
            Quantity(TimePerVolume, NotNegative),
            "Unloading time without charge, as in 7 min/yd3.",
        ),
        may("standby", Quantity(PricePerTime, NotNegative), "Charge for time on site beyond that."),
        may(
            "disposal",
            Quantity(PricePerVolume, NotNegative),
            "What it costs to be rid of what is left over.",
        ),
        may(
            "call_lead",
            Quantity(TimeSpan, NotNegative),
            "How long before it is wanted the last load must be called.",
        ),
        may("spacing", Quantity(TimeSpan, Positive), "Time between two trucks, as ordered."),
        may("trucks", Count, "How many trucks run."),
        may("haul", Estimate(TimeSpan, Positive), "One-way haul."),
        may(
            "turnaround",
            Quantity(TimeSpan, NotNegative),
            "Loading and washing at the plant, each round trip.",
        ),
        may("discharge_limit", Quantity(TimeSpan, Positive), "Age at which a load must be out of the drum."),
        may(
            "cold_joint",
            Quantity(TimeSpan, Positive),
            "Age of an open edge at which fresh concrete no longer knits to it.",
        ),
    ],
};

static ORDER: TableSpec = TableSpec {
    called: "order",
    doc: "What is added to the volume between base and floor.",
    keys: &[
        may("allowance", Estimate(Share, Any), "Share added for settling base, bulged forms and yield."),
        may("loss", Estimate(Volume, NotNegative), "What stays in the drum, on the chute and on the ground."),
    ],
};

static DAY: TableSpec = TableSpec {
    called: "day",
    doc: "The day of the pour.",
    keys: &[may("first_truck", LocalTime, "When the first truck is asked for, local time.")],
};

/// Calls `visit` once for every table of the file.
#[cfg(test)]
pub(crate) fn for_each_table(spec: &'static TableSpec, visit: &mut impl FnMut(&'static TableSpec)) {
    visit(spec);
    for Key { kind, .. } in spec.keys {
        if let Table(inner) | Tables(inner) = kind {
            for_each_table(inner, visit);
        }
    }
}
