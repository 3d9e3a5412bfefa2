//! Values taken when the job does not state them: one function each, with its source.
//!
//! Each is recorded in the job's list of assumed values and marked wherever a result rests on it. No
//! price and no rule of a plant is among them.

use basis::{Angle, Estimate, Length, Origin, Slope, UnitSystem, VolumeRate};

/// A default: what it is for, its value, how that reads, and why.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Assumption<Q> {
    pub what: &'static str,
    pub value: Q,
    pub said: String,
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

fn length(
    units: UnitSystem,
    what: &'static str,
    us: (f64, &str),
    millimetres: f64,
    source: &'static str,
) -> Assumption<Length> {
    match units {
        UnitSystem::Us => Assumption { what, value: Length::inches(us.0), said: us.1.to_owned(), source },
        UnitSystem::Metric => {
            let value = Length::millimetres(millimetres);
            Assumption { what, value, said: format!("{millimetres} mm"), source }
        }
    }
}

/// How far a door's form is set low: a form 1/2 in. low is common practice, no source.
pub(crate) fn door_drop(units: UnitSystem) -> Assumption<Length> {
    length(units, "drop of the door's form", (0.5, "1/2 in"), 12.0, PRACTICE)
}

/// Width of a door's taper: 8 to 10 in. are common practice, no source.
pub(crate) fn door_taper(units: UnitSystem) -> Assumption<Length> {
    length(units, "taper at the door", (9.0, "9 in"), 230.0, PRACTICE)
}

/// A trench or pit without a stated bank is dug sheer.
pub(crate) fn sheer_bank() -> Assumption<Length> {
    Assumption {
        what: "bank of the dug part",
        value: Length::ZERO,
        said: "none, dug sheer".to_owned(),
        source: PRACTICE,
    }
}

/// Least thickness: 3/4 in. under nominal, the limit for a single sample in [@aci117].
pub(crate) fn minimum_thickness(units: UnitSystem, nominal: Length) -> Assumption<Length> {
    let less = length(units, "least thickness", (0.75, "3/4 in"), 19.0, "ACI 117, limit for a single sample");
    Assumption {
        value: (nominal - less.value).max(Length::ZERO),
        said: format!("nominal less {}", less.said),
        ..less
    }
}

/// Largest misclosure of a set-up: twice what a hand receiver resolves; common practice, no source.
pub(crate) fn misclosure_limit(units: UnitSystem) -> Assumption<Length> {
    length(units, "misclosure accepted", (0.25, "1/4 in"), 6.0, PRACTICE)
}

/// Error of benchmark and backsight together: a hand receiver is good to about 1/16 in.; common practice, no source.
pub(crate) fn backsight_error(units: UnitSystem) -> Assumption<Length> {
    length(units, "error of the backsight", (0.0625, "1/16 in"), 1.5, PRACTICE)
}

/// Error of one reading on a stone base: stick out of plumb, foot in soft stone; common practice, no source.
pub(crate) fn rod_error(units: UnitSystem) -> Assumption<Length> {
    length(units, "error of one reading", (0.125, "1/8 in"), 3.0, PRACTICE)
}

/// Tilt of the laser plane: about 1/16 in. in 100 ft as makers state it, from memory.
pub(crate) fn laser_tilt() -> Assumption<Angle> {
    Assumption {
        what: "tilt of the laser",
        value: Angle::arcseconds(10.0),
        said: "10 seconds of arc".to_owned(),
        source: "usual data sheet of a rotating laser, from memory",
    }
}

/// Error of a taped distance: 1/8 in.; common practice, no source.
pub(crate) fn tape_error(units: UnitSystem) -> Assumption<Length> {
    length(units, "error of the tape", (0.125, "1/8 in"), 3.0, PRACTICE)
}

/// Error of a corner taken to be square: 1/2 in. in 10 ft is about a quarter of a degree; common practice, no source.
pub(crate) fn corner_error() -> Assumption<Angle> {
    Assumption {
        what: "error of a corner's direction",
        value: Angle::degrees(0.25),
        said: "0.25 deg".to_owned(),
        source: PRACTICE,
    }
}

/// Largest gap of a walked outline: 3 in.; common practice, no source.
pub(crate) fn closure_limit(units: UnitSystem) -> Assumption<Length> {
    length(units, "closing gap accepted", (3.0, "3 in"), 75.0, PRACTICE)
}

/// Error of a form point after setting to the laser: 1/16 in.; common practice, no source.
pub(crate) fn form_setting(units: UnitSystem) -> Assumption<Length> {
    length(units, "error of a form point", (0.0625, "1/16 in"), 1.5, PRACTICE)
}

/// A form further off than this is reset: 1/8 in.; common practice, no source.
pub(crate) fn form_tolerance(units: UnitSystem) -> Assumption<Length> {
    length(units, "tolerance of the forms", (0.125, "1/8 in"), 3.0, PRACTICE)
}

/// People: three, the smallest crew that places and strikes off together; common practice, no source.
pub(crate) fn people() -> Assumption<u32> {
    Assumption { what: "people placing", value: 3, said: "3".to_owned(), source: PRACTICE }
}

/// Straightedge: 12 ft, what two people pull by hand; common practice, no source.
pub(crate) fn straightedge(units: UnitSystem) -> Assumption<Length> {
    length(units, "straightedge", (144.0, "12 ft"), 3600.0, PRACTICE)
}

/// Lap over each side of a bay: 1 ft; common practice, no source.
pub(crate) fn lap(units: UnitSystem) -> Assumption<Length> {
    length(units, "lap of the straightedge", (12.0, "1 ft"), 300.0, PRACTICE)
}

/// Placing rate: three people place 8 to 12 yd³ an hour from the chute; common practice, no source.
pub(crate) fn placing_rate(units: UnitSystem) -> Assumption<Estimate<VolumeRate>> {
    let (mean, sd, said) = match units {
        UnitSystem::Us => (
            VolumeRate::cubic_yards_per_hour(10.0),
            VolumeRate::cubic_yards_per_hour(2.0),
            "10 yd3/h +- 2 yd3/h",
        ),
        UnitSystem::Metric => (
            VolumeRate::cubic_metres_per_hour(7.5),
            VolumeRate::cubic_metres_per_hour(1.5),
            "7.5 m3/h +- 1.5 m3/h",
        ),
    };
    let value = Estimate::new(mean, sd, Origin::Assumed);
    Assumption { what: "placing rate", value, said: said.to_owned(), source: PRACTICE }
}

/// Reach of the truck's own chute: 12 to 16 ft are typical; common practice, no source.
pub(crate) fn main_chute(units: UnitSystem) -> Assumption<Length> {
    length(units, "reach of the truck's chute", (168.0, "14 ft"), 4200.0, PRACTICE)
}

/// Height of the truck's discharge: 4 ft, from memory.
pub(crate) fn discharge_height(units: UnitSystem) -> Assumption<Length> {
    length(units, "height of the truck's discharge", (48.0, "4 ft"), 1200.0, "from memory")
}

/// Flattest fall of an extension chute: 1 in 3, from memory (field manuals); 12 ft of extensions from 4 ft up
/// is just that, and matches the reach of 18 ft that a floor contractor reports.
pub(crate) fn least_fall() -> Assumption<Slope> {
    Assumption {
        what: "flattest fall of the chute",
        value: Slope::ratio(1.0 / 3.0),
        said: "1 in 3".to_owned(),
        source: "field manuals, from memory",
    }
}

/// Swing of the chute: 90 degrees to each side, from memory.
pub(crate) fn swing() -> Assumption<Angle> {
    Assumption {
        what: "swing of the chute to each side",
        value: Angle::degrees(90.0),
        said: "90 deg".to_owned(),
        source: "from memory",
    }
}
