//! Work content: how long a round of a bay takes, by machine and by hand.

use basis::{Area, Length, TimeSpan};

use super::problem::{RoundKind, Tool, Way};

/// Floor worked in one pass per time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// So much floor
    pub area: Area,
    /// in so much time.
    pub per: TimeSpan,
}

/// Edge worked in one pass per time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeRate {
    /// So much edge
    pub length: Length,
    /// in so much time.
    pub per: TimeSpan,
}

/// What a kind of machine covers.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineRate {
    /// The kind, as the machines name it.
    pub kind: String,
    /// One pass by one person.
    pub coverage: Coverage,
}

/// How fast a crew finishes, for each pass over a bay.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates {
    /// Bull float, one person.
    pub bull_float: Coverage,
    /// Edges by hand, one person.
    pub edges: EdgeRate,
    /// Float and trowel by machine, each kind that may do it.
    pub machines: Vec<MachineRate>,
    /// Float and trowel by hand, one person; absent when the crew does not finish bays by hand.
    pub by_hand: Option<Coverage>,
    /// Broom, one person.
    pub broom: Coverage,
    /// Most people who float or trowel one bay by hand together.
    pub together: u32,
}

const fn square_feet_an_hour(area: f64) -> Coverage {
    Coverage { area: Area::square_feet(area), per: TimeSpan::hours(1.0) }
}

/// Customary rates that stand in until the crew states or learns its own.
///
/// A 36 in walk-behind covers about 1,000 to 2,500 ft²/h in one pass (from memory); half a lap of 1.5 ft at 25 ft/min is
/// 2,250 ft²/h. Taken: 1,750, the middle of the span. Everything by hand is common practice, no source: bull float 2,000 ft²/h, edges
/// 150 ft/h, float or trowel on knee boards 200 ft²/h, broom 1,500 ft²/h.
#[must_use]
pub fn default_rates(machine_kind: &str) -> Rates {
    Rates {
        bull_float: square_feet_an_hour(2_000.0),
        edges: EdgeRate { length: Length::feet(150.0), per: TimeSpan::hours(1.0) },
        machines: vec![MachineRate { kind: machine_kind.to_owned(), coverage: square_feet_an_hour(1_750.0) }],
        by_hand: None,
        broom: square_feet_an_hour(1_500.0),
        together: 1,
    }
}

/// Where [`default_rates`] come from, for people.
pub const RATES_SOURCE: &str = "a 36 in walk-behind machine covers about 1,000 to 2,500 ft2/h a pass (from memory), the middle is taken; hand \
     rates are common practice, no source";

/// The ways to do a round of a bay with this area and length of edge.
///
/// A pass takes area over rate, or edge over rate; people who work a bay by hand together share it evenly. A bay without edge gets
/// a way of no time, which the planner refuses: leave that round out.
///
/// ```
/// use basis::{Area, Length};
/// use pour::rounds::{RoundKind, default_rates, ways};
/// // 1,750 ft² at 1,750 ft²/h.
/// let float = ways(RoundKind::Float, Area::square_feet(1_750.0), Length::feet(40.0), &default_rates("36 in"));
/// assert!((float[0].time.in_minutes() - 60.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn ways(kind: RoundKind, area: Area, edge: Length, rates: &Rates) -> Vec<Way> {
    let over = |coverage: Coverage| coverage.per * (area / coverage.area);
    let hands =
        |time: TimeSpan, people: u32| Way { tool: Tool::Hands, people, time: time / f64::from(people) };
    match kind {
        RoundKind::BullFloat => vec![hands(over(rates.bull_float), 1)],
        RoundKind::Edges => vec![hands(rates.edges.per * (edge / rates.edges.length), 1)],
        RoundKind::Broom => vec![hands(over(rates.broom), 1)],
        RoundKind::Float | RoundKind::Trowel(_) => {
            let machine = |rate: &MachineRate| Way {
                tool: Tool::Machine(rate.kind.clone()),
                people: 1,
                time: over(rate.coverage),
            };
            let mut ways: Vec<Way> = rates.machines.iter().map(machine).collect();
            if let Some(coverage) = rates.by_hand {
                ways.extend((1..=rates.together.max(1)).map(|people| hands(over(coverage), people)));
            }
            ways
        }
    }
}
