//! Reach: which part of the floor the chutes reach from where trucks can stand, and how the rest gets there.
//!
//! Method, sources and limits: `docs/methods/reach.md`.

mod check;
mod chutes;
mod outline;
mod pieces;

use basis::{Area, Length, Report, Slope, UnitSystem, Volume, math};
use ground::outline::Floor;
use ground::{P2, Polygon};

pub use chutes::ChuteSet;

use crate::bays::Bay;
use crate::job::{Carry, Chutes, TruckStand};

/// What reach is figured from.
#[derive(Clone, Copy)]
pub struct ReachInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// Its bays.
    pub bays: &'a [Bay],
    /// Chutes.
    pub chutes: &'a Chutes,
    /// Where trucks can stand.
    pub stands: &'a [TruckStand],
    /// What carries concrete beyond reach, if anything.
    pub carry: Option<&'a Carry>,
    /// Elevation of the finish, m.
    pub finish: &'a dyn Fn(P2) -> Option<f64>,
    /// Volume in the forms within a convex window.
    pub volume: &'a dyn Fn(&Polygon) -> Volume,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// A part of the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// Area.
    pub area: Area,
    /// Volume in the forms.
    pub volume: Volume,
}

impl Amount {
    /// Nothing.
    pub const NONE: Self = Self { area: Area::square_metres(0.0), volume: Volume::cubic_metres(0.0) };
}

impl std::ops::AddAssign for Amount {
    fn add_assign(&mut self, other: Self) {
        self.area += other.area;
        self.volume += other.volume;
    }
}

/// Why a part of the floor is not reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beyond {
    /// Every chute that could swing there is too short.
    TooFar,
    /// A chute is long enough but would lie flatter than concrete runs.
    TooFlat,
    /// Every chute that could swing there is too short, and a longer one would lie too flat.
    TooFarAndFlat,
    /// No chute swings that way.
    OutsideSwing,
}

/// What one stand reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct StandReach {
    /// Its name.
    pub name: String,
    /// Elevation of the lower end of the truck's own chute, if the ground there was shot.
    pub discharge: Option<Length>,
    /// Floor reached by each set of chutes, in the order of [`Reach::chutes`].
    pub areas: Vec<Area>,
    /// Least fall of the extensions to any place that they reach; absent without any, or without the stand's elevation.
    pub flattest: Option<Slope>,
}

/// What reaches one bay.
#[derive(Debug, Clone, PartialEq)]
pub struct BayReach {
    /// Number of the bay.
    pub bay: usize,
    /// All of it.
    pub whole: Amount,
    /// What no chute reaches.
    pub beyond: Amount,
    /// For each stand that reaches some of it: index of the stand, index of the shortest set of
    /// chutes that reaches all that this stand can, and the area.
    pub from: Vec<(usize, usize, Area)>,
}

/// A longer chute that would help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AddedChute {
    /// Least length to add to all chutes at hand.
    pub length: Length,
    /// What it would reach in addition.
    pub gains: Amount,
}

/// Carrying what no chute reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// By what.
    pub by: String,
    /// How many loads the forms take; allowance not counted.
    pub loads: u64,
}

/// What the chutes reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// Sets of chutes in order of reach, the truck's own first.
    pub chutes: Vec<ChuteSet>,
    /// One row a stand, in the order of the input.
    pub stands: Vec<StandReach>,
    /// One row a bay.
    pub bays: Vec<BayReach>,
    /// The whole floor.
    pub whole: Amount,
    /// All that is not reached.
    pub beyond: Amount,
    /// The same by reason: too far, too flat, both, outside the swing.
    pub reasons: [(Beyond, Amount); 4],
    /// The chute that would reach all that is only too far.
    pub added: Option<AddedChute>,
    /// How much higher the stands would have to be to reach all that is only too flat.
    pub raise: Option<Length>,
    /// Loads to carry for all that is not reached; absent without a carrier or a need.
    pub carried: Option<Carried>,
    /// What is not reached as convex rings that do not overlap, m, to within about 10 mm.
    pub outside: Vec<Vec<P2>>,
    /// The edge between that and what is reached, in pieces, m.
    pub limit: Vec<(P2, P2)>,
}

/// Finds what the chutes reach.
///
/// A place is reached when some stand's chute swings there, is long enough in plan, and its extensions
/// fall at least as steeply as concrete needs. Areas and volumes are good to about 1 %.
/// Refused when chutes are no chutes; stands that are none are left out and told.
#[must_use]
pub fn reach(input: &ReachInput<'_>) -> Report<Reach> {
    let mut notes = Vec::new();
    check::check(input, &mut notes);
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let sets = chutes::sets(input.chutes);
    let eyes: Vec<Option<chutes::Eye>> = input.stands.iter().map(|s| chutes::eye(s, input.chutes)).collect();
    let found = pieces::judge(input, &sets, &eyes);
    let (outside, limit) = outline::beyond(input, &sets, &eyes);
    let reach = Reach { outside, limit, ..gathered(input, sets, &eyes, &found) };
    check::tell(input, &reach, &mut notes);
    Report::with(reach, notes)
}

fn gathered(
    input: &ReachInput<'_>,
    chutes: Vec<ChuteSet>,
    eyes: &[Option<chutes::Eye>],
    found: &pieces::Found,
) -> Reach {
    let mut whole = Amount::NONE;
    let mut beyond = Amount::NONE;
    for bay in &found.bays {
        whole += bay.whole;
        beyond += bay.beyond;
    }
    let stands = input
        .stands
        .iter()
        .enumerate()
        .map(|(i, s)| StandReach {
            name: s.name.clone(),
            discharge: eyes[i].and_then(|e| e.discharge).map(Length::metres),
            areas: cumulated(&found.areas[i]),
            flattest: Some(found.flattest[i]).filter(|f| f.is_finite()).map(Slope::ratio),
        })
        .collect();
    let by = |why: Beyond| (why, found.reasons[why as usize]);
    let gains = found.reasons[Beyond::TooFar as usize];
    Reach {
        chutes,
        stands,
        bays: found.bays.clone(),
        whole,
        beyond,
        reasons: [Beyond::TooFar, Beyond::TooFlat, Beyond::TooFarAndFlat, Beyond::OutsideSwing].map(by),
        added: (found.excess > 0.0).then(|| AddedChute { length: Length::metres(found.excess), gains }),
        raise: (found.raise > 0.0).then(|| Length::metres(found.raise)),
        carried: carried(input.carry, beyond.volume),
        outside: Vec::new(),
        limit: Vec::new(),
    }
}

/// Areas by set of chutes as areas by that set or a shorter one.
fn cumulated(by_set: &[f64]) -> Vec<Area> {
    let mut sum = 0.0;
    by_set
        .iter()
        .map(|a| {
            sum += a;
            Area::square_metres(sum)
        })
        .collect()
}

/// How many carried loads a volume takes.
fn carried(carry: Option<&Carry>, volume: Volume) -> Option<Carried> {
    let carry = carry?;
    let loads = (volume / carry.load - 1e-9).ceil();
    (loads.is_finite() && loads >= 1.0).then(|| Carried { by: carry.by.clone(), loads: loads as u64 })
}

/// The outline of the sector that a chute of this reach sweeps from a stand, for drawing.
///
/// Arcs as chords of 3 degrees; begins and ends at the stand unless the chute swings all round.
#[must_use]
pub fn sector(stand: &TruckStand, reach: Length) -> Vec<P2> {
    let half = stand.swing.in_degrees().abs().min(180.0);
    let radius = reach.in_metres();
    if !half.is_finite() || !radius.is_finite() || !stand.at.is_finite() || !stand.facing.is_finite() {
        return Vec::new();
    }
    let steps = (2.0 * half / 3.0).ceil().max(1.0) as usize;
    let mut ring: Vec<P2> = (0..=steps)
        .map(|i| {
            let turn = basis::Angle::degrees(2.0 * half * i as f64 / steps as f64 - half) + stand.facing;
            stand.at + P2::new(math::cos(turn.in_radians()), math::sin(turn.in_radians())) * radius
        })
        .collect();
    if half < 180.0 {
        ring.push(stand.at);
    }
    ring
}

#[cfg(test)]
mod tests;
