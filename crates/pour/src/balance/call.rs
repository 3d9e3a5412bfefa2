//! When the last load must be called.

use basis::{TimeSpan, Volume};

use crate::job::{Crew, Plant};

/// Instants of the last-load call, counted from now; negative is already past.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CallTimes {
    /// When the crew runs out of concrete: all that is on site and on its way is placed.
    pub out_of_concrete: TimeSpan,
    /// Latest call for a load that arrives by then; absent when the plant's lead time is not stated.
    pub call_by: Option<TimeSpan>,
    /// Latest departure from the plant for that; absent when the haul is not stated.
    pub leave_by: Option<TimeSpan>,
    /// Latest call before the open edge grows too old; absent when lead time or that age is not stated.
    pub call_before_cold_joint: Option<TimeSpan>,
}

/// Times of the call from what is still to be placed: `t = (in drums + on the way) / placing rate`.
///
/// The call must be made the plant's lead time before that, the truck must leave a haul before it.
///
/// ```
/// # let (plant, crew) = pour::order::example_terms();
/// // 5 yd³ at 12 yd³/h last 25 min; the plant wants 60 min: the call was due 35 min ago.
/// let times = pour::balance::call_times(basis::Volume::cubic_yards(5.0), &plant, &crew);
/// assert!((times.out_of_concrete.in_minutes() - 25.0).abs() < 1e-9);
/// assert!((times.call_by.map_or(0.0, |t| t.in_minutes()) + 35.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn call_times(to_place: Volume, plant: &Plant, crew: &Crew) -> CallTimes {
    let out_of_concrete = to_place / crew.placing_rate.mean;
    let call_by = plant.call_lead.map(|lead| out_of_concrete - lead);
    CallTimes {
        out_of_concrete,
        call_by,
        leave_by: plant.haul.map(|haul| out_of_concrete - haul.mean),
        call_before_cold_joint: call_by.zip(plant.cold_joint).map(|(call, age)| call + age),
    }
}
