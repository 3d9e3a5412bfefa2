//! What of steel and goods cannot be laid or cut.

use basis::quantity::size;
use basis::{Length, Note, Place, UnitSystem};
use ground::P2;
use ground::polygon::bounds;

use crate::job::{Job, ReinforcementKind};

/// More pieces than this are a slip of the pen.
const MOST: f64 = 5_000.0;

/// Every length that the job states, with its place and whether it may be nothing.
fn stated(job: &Job) -> Vec<(&'static str, Length, bool)> {
    let (steel, goods) = (&job.reinforcement, &job.supplies);
    let one = [
        ("reinforcement.width", steel.width, false),
        ("reinforcement.length", steel.length, false),
        ("reinforcement.spacing", steel.spacing, false),
        ("reinforcement.lap", steel.lap, true),
        ("reinforcement.cover", steel.cover, true),
        ("reinforcement.chairs", steel.chairs, false),
        ("takeoff.kerf", goods.kerf, true),
        ("takeoff.stakes", goods.stakes, false),
        ("takeoff.poly_width", goods.poly_width, false),
        ("takeoff.poly_length", goods.poly_length, false),
        ("takeoff.poly_lap", goods.poly_lap, true),
        ("takeoff.poly_upturn", goods.poly_upturn, true),
        ("takeoff.strip", goods.strip, false),
        ("takeoff.blade", goods.blade, false),
    ];
    let many = [("takeoff.bars", &goods.bars), ("takeoff.boards", &goods.boards)];
    let many = many.into_iter().flat_map(|(key, all)| all.iter().map(move |one| (key, *one, false)));
    one.into_iter().filter_map(|(key, value, zero)| Some((key, value?, zero))).chain(many).collect()
}

/// Faults of what the job states, all at once.
pub(super) fn lengths(job: &Job, notes: &mut Vec<Note>) {
    for (key, value, may_be_nothing) in stated(job) {
        let metres = value.in_metres();
        let is_good =
            metres.is_finite() && metres < 1e4 && (metres > 1e-4 || may_be_nothing && metres >= 0.0);
        if !is_good {
            let message = format!("{} cannot be laid or cut", size(value, job.units));
            notes.push(Note::fault(
                "length-unusable",
                Place::at(key),
                message,
                "state a length over nothing",
            ));
        }
    }
    let rates = [
        ("takeoff.cure", job.supplies.cure.map(basis::Cover::in_square_metres_per_cubic_metre)),
        ("takeoff.sealer", job.supplies.sealer.map(basis::Cover::in_square_metres_per_cubic_metre)),
        ("takeoff.pail", job.supplies.pail.map(basis::Volume::in_cubic_metres)),
        ("takeoff.stone_weight", job.supplies.stone_weight.map(basis::Density::in_kilograms_per_cubic_metre)),
        ("reinforcement.dose", job.reinforcement.dose.map(basis::Density::in_kilograms_per_cubic_metre)),
    ];
    for (key, value) in rates {
        if value.is_some_and(|value| !(value.is_finite() && value > 0.0)) {
            let message = "this must be more than nothing";
            notes.push(Note::fault(
                "length-unusable",
                Place::at(key),
                message,
                "check the number and its unit",
            ));
        }
    }
    if job.reinforcement.kind == ReinforcementKind::Fiber && job.reinforcement.dose.is_none() {
        notes.push(Note::warning(
            "fiber-dose-unknown",
            Place::at("reinforcement.dose"),
            "how much fiber goes into the mix is not stated: none is bought",
            "state the dose that the mix was ordered with",
        ));
    }
}

/// What laps over what.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lapped<'a> {
    pub what: &'static str,
    pub key: &'static str,
    pub lap: Length,
    pub sizes: &'a [Length],
}

/// A lap must leave most of what it laps, or nothing would get anywhere.
pub(super) fn lap(lapped: &Lapped<'_>, units: UnitSystem, notes: &mut Vec<Note>) {
    let least = lapped.sizes.iter().copied().reduce(Length::min).unwrap_or_default();
    if lapped.lap > least * 0.5 {
        let message = format!(
            "a lap of {} is more than half of the {} of {}",
            size(lapped.lap, units),
            lapped.what,
            size(least, units)
        );
        notes.push(Note::fault("lap-over-half", Place::at(lapped.key), message, "check lap and size"));
    }
}

/// Tells of sizes so small that a floor would take thousands of pieces, and of sheets larger than the floor.
pub(super) fn sizes(
    floor: &[P2],
    (key, sheet, lap): (&'static str, [Length; 2], Length),
    notes: &mut Vec<Note>,
) {
    let (low, high) = bounds(floor);
    let (across, along) = (high.x - low.x, high.y - low.y);
    let long = across.max(along);
    let count = sheet.iter().map(|side| (long / (*side - lap).in_metres().max(1e-9)).ceil()).product::<f64>();
    if count > MOST {
        let message = format!("the floor would take about {count:.0} pieces");
        notes.push(Note::fault("too-many-pieces", Place::at(key), message, "check the size and its unit"));
    }
    let (short, wide) = (across.min(along), sheet[0].min(sheet[1]).in_metres());
    if wide >= short && sheet[0].max(sheet[1]).in_metres() >= long {
        notes.push(Note::remark(
            "sheet-over-floor",
            Place::at(key),
            "one sheet or roll is larger than the floor",
        ));
    }
}
