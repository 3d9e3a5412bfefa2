//! Small pieces of the page: counts, chances, rough and exact lengths, tapes.

use basis::quantity::{area, length, volume};
use basis::{Area, Estimate, Length, Origin, TimeSpan, UnitSystem, Volume};
use pour::Job;
use pour::pacing::rough;
use pour::pads::{Tie, TieTo};

/// A number of things: `1 bay`, `4 bays`.
pub fn count(number: usize, thing: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{s}")
}

/// A chance, as far as it can be told.
pub fn chance(share: f64) -> String {
    match 100.0 * share {
        p if p < 0.1 => "under 1 in 1000".into(),
        p if p < 9.95 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}

/// A chance counted on drawn days, of which none says less than a chance of nought.
pub fn days(share: f64) -> String {
    let drawn = pour::plan::DRAWS;
    if share > 0.0 { chance(share) } else { format!("none of {drawn} drawn days") }
}

/// A part of the whole in per cent.
pub fn share(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// A volume with one standard deviation.
pub fn with_doubt(value: Estimate<Volume>, units: UnitSystem) -> String {
    format!("{} ± {}", volume(value.mean, units), volume(value.sd, units))
}

/// A share with one standard deviation.
pub fn share_with_doubt(value: Estimate<f64>) -> String {
    format!("{:.1} % ± {:.1} %", 100.0 * value.mean, 100.0 * value.sd)
}

/// An area that is there, however little.
pub fn some_area(some: Area, units: UnitSystem) -> String {
    let told = area(some, units);
    if told == area(Area::ZERO, units) {
        return match units {
            UnitSystem::Us => "under 1 ft2".to_owned(),
            UnitSystem::Metric => "under 0.1 m2".to_owned(),
        };
    }
    told
}

/// Marks a value that nobody stated.
pub fn origin(origin: Origin) -> String {
    if origin == Origin::Assumed { "(assumed)".into() } else { String::new() }
}

/// The same, but never under what is needed.
pub fn rough_up(length: Length, units: UnitSystem) -> String {
    let step = match units {
        UnitSystem::Us => Length::inches(1.0),
        UnitSystem::Metric => Length::millimetres(10.0),
    };
    rough(step * (length / step - 1e-9).ceil(), units)
}

/// A tape dimension of a spot.
pub fn tie(job: &Job, tie: &Tie) -> String {
    let to = match &tie.to {
        TieTo::Edge(name) => name.clone(),
        TieTo::Corner(name) => format!("corner {name}"),
    };
    format!("{} from {to}", length(tie.distance, job.units))
}

/// Both tape dimensions of a spot.
pub fn ties(job: &Job, ties: &[Tie; 2]) -> String {
    format!("{}, {}", tie(job, &ties[0]), tie(job, &ties[1]))
}

/// Whole minutes.
pub fn minutes(span: TimeSpan) -> String {
    format!("{:.0}", span.in_minutes())
}

/// Loads as they are told to the plant.
pub fn list(volumes: &[Volume], units: UnitSystem) -> String {
    volumes.iter().map(|v| volume(*v, units)).collect::<Vec<_>>().join(" + ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_bay_and_two_bays() {
        assert_eq!((count(1, "bay").as_str(), count(2, "bay").as_str()), ("1 bay", "2 bays"));
    }

    #[test]
    fn chances_are_told_as_far_as_they_are_known() {
        let told: Vec<String> = [0.0, 0.0009, 0.0011, 0.0942, 0.0996, 0.42].map(chance).into();
        assert_eq!(told, ["under 1 in 1000", "under 1 in 1000", "0.1 %", "9.4 %", "10 %", "42 %"]);
        assert_eq!(days(0.0), "none of 200 drawn days");
    }

    #[test]
    fn what_is_needed_is_rounded_up() {
        let us = |inches| rough_up(Length::inches(inches), UnitSystem::Us);
        assert_eq!((us(31.75).as_str(), us(24.0).as_str()), ("2' 8\"", "2'"));
        assert_eq!(rough_up(Length::metres(1.2991), UnitSystem::Metric), "1.30 m");
    }
}
