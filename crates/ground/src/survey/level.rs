//! Heights of instrument and elevations, the misclosure spread.

use std::collections::BTreeMap;

use basis::{Length, Note, Place, Report};

use super::{
    FromMark, Levelled, LevelledSetup, LevelledShot, RodReading, Setup, Shot, ShotOn, Sight, Survey,
};
use crate::{P2, words};

/// Misclosure accepted when none is stated: common practice, no source.
const DEFAULT_LIMIT: Length = Length::inches(0.25);
/// Longest rod there is, m.
const LONGEST_ROD: f64 = 10.0;
/// Two shots closer than this stand on one spot, m.
const SAME_SPOT: f64 = 0.025;
/// Two shots on one spot that differ by more than this disagree, m (about 1/2 in).
const DISAGREE: f64 = 0.012;

/// A point whose elevation is known: where it is, and which set-up shot it.
#[derive(Clone, Copy)]
struct Known {
    z: f64,
    shot_by: Option<(usize, P2)>,
}

/// Levels a survey: `HI = known + reading`, `elevation = HI − reading` [@navedtra14071].
///
/// A set-up closed on a known point is off by its misclosure; the laser is taken to have settled evenly
/// while it stood, so the misclosure is spread over the shots in the order they were taken: none on the
/// backsight, all on the closing sight.
///
/// # Errors
/// Refused with all faults: unknown or repeated names, readings that no rod has, mixed kinds of reading
/// without the mark's height, a misclosure over `misclosure_limit`.
#[must_use]
pub fn level(survey: &Survey) -> Report<Levelled> {
    let mut notes = Vec::new();
    let mut known: BTreeMap<&str, Known> = BTreeMap::new();
    for benchmark in &survey.benchmarks {
        let entry = Known { z: benchmark.elevation.in_metres(), shot_by: None };
        if known.insert(&benchmark.name, entry).is_some() {
            let message = format!("two benchmarks are called {}", benchmark.name);
            let place = Place::at("benchmark");
            notes.push(Note::fault("benchmark-name-repeated", place, message, "give each its own name"));
        }
    }
    let mut levelled = Levelled::default();
    for (idx, setup) in survey.setups.iter().enumerate() {
        check_readings(setup, &mut notes);
        if let Some(done) = stand(setup, &known, &mut notes) {
            let shots = shoot(idx, setup, &done, survey.misclosure_limit, &known, &mut notes);
            for shot in &shots.1 {
                known
                    .entry(name_of(setup, &shot.name))
                    .or_insert(Known { z: shot.z, shot_by: Some((idx, shot.at)) });
            }
            levelled.setups.push(LevelledSetup { misclosure: shots.0, ..done });
            levelled.shots.extend(shots.1);
        }
    }
    agree(&levelled.shots, &mut notes);
    if basis::has_fault(&notes) { Report::refused(notes) } else { Report::with(levelled, notes) }
}

/// The setup's own copy of a shot's name, which lives as long as the survey.
fn name_of<'a>(setup: &'a Setup, name: &str) -> &'a str {
    setup.shots.iter().find(|s| s.name == name).map_or("", |s| s.name.as_str())
}

/// A reading as a height of the beam above the point, given the mark's height if read from one.
fn beam_above(reading: RodReading, mark: f64) -> f64 {
    match reading {
        RodReading::Rod(height) => height.in_metres(),
        RodReading::FromMark(up) => mark + up.in_metres(),
    }
}

fn is_mark(reading: RodReading) -> bool {
    matches!(reading, RodReading::FromMark(_))
}

/// Every reading is one that a rod can show, and the kinds are not mixed without the mark's height.
fn check_readings(setup: &Setup, notes: &mut Vec<Note>) {
    let sights = std::iter::once(&setup.backsight).chain(setup.closing.as_ref());
    let all: Vec<(RodReading, &Place)> = sights
        .map(|s| (s.reading, &s.place))
        .chain(setup.shots.iter().map(|s| (s.reading, &s.place)))
        .collect();
    let marks = all.iter().filter(|(r, _)| is_mark(*r)).count();
    if marks > 0 && marks < all.len() && setup.mark.is_none() {
        notes.push(Note::fault(
            "mark-height-missing",
            setup.place.clone(),
            format!("set-up {} mixes rod readings with readings from a mark", setup.name),
            "give the height of the mark on the stick",
        ));
    }
    for (reading, place) in all {
        let (value, least) = match reading {
            RodReading::Rod(v) => (v.in_metres(), 0.0),
            RodReading::FromMark(v) => (v.in_metres(), -LONGEST_ROD),
        };
        if !(least..=LONGEST_ROD).contains(&value) {
            notes.push(Note::fault(
                "reading-out-of-range",
                place.clone(),
                format!("a reading of {value:e} m is on no rod"),
                "check the figure and its unit",
            ));
        }
    }
    for shot in setup.shots.iter().filter(|s| !s.at.is_finite() || s.at.norm() > 1e5) {
        notes.push(Note::fault(
            "shot-out-of-range",
            shot.place.clone(),
            format!("shot {} has no place on any site", shot.name),
            "check where it was taken",
        ));
    }
}

fn find(sight: &Sight, known: &BTreeMap<&str, Known>, notes: &mut Vec<Note>) -> Option<Known> {
    let found = known.get(sight.on.as_str()).copied();
    if found.is_none() {
        notes.push(Note::fault(
            "sight-on-unknown-point",
            sight.place.clone(),
            format!("{} is neither a benchmark nor a shot of an earlier set-up", sight.on),
            "name a benchmark, or shoot the turning point before the laser is moved",
        ));
    }
    found
}

/// Height of instrument of one set-up.
fn stand(setup: &Setup, known: &BTreeMap<&str, Known>, notes: &mut Vec<Note>) -> Option<LevelledSetup> {
    let target = find(&setup.backsight, known, notes)?;
    let mark = setup.mark.map_or(0.0, Length::in_metres);
    let middle =
        setup.shots.iter().fold(P2::default(), |s, shot| s + shot.at) / setup.shots.len().max(1) as f64;
    let from_mark = if is_mark(setup.backsight.reading) { FromMark::Yes } else { FromMark::No };
    Some(LevelledSetup {
        name: setup.name.clone(),
        instrument: Length::metres(target.z + beam_above(setup.backsight.reading, mark)),
        misclosure: None,
        station: setup.station.unwrap_or(middle),
        errors: setup.errors,
        from_mark,
        stands_on: target.shot_by,
    })
}

/// Misclosure and elevations of one set-up's shots.
fn shoot(
    idx: usize,
    setup: &Setup,
    stood: &LevelledSetup,
    limit: Length,
    known: &BTreeMap<&str, Known>,
    notes: &mut Vec<Note>,
) -> (Option<Length>, Vec<LevelledShot>) {
    let mark = setup.mark.map_or(0.0, Length::in_metres);
    let instrument = stood.instrument.in_metres();
    let misclosure = setup.closing.as_ref().and_then(|closing| {
        let target = find(closing, known, notes)?;
        Some(instrument - beam_above(closing.reading, mark) - target.z)
    });
    if let Some(off) = misclosure {
        tell_misclosure(setup, off, limit, notes);
    }
    let intervals = (setup.shots.len() + 1) as f64;
    let elevation = |(i, shot): (usize, &Shot)| LevelledShot {
        name: shot.name.clone(),
        at: shot.at,
        z: instrument
            - beam_above(shot.reading, mark)
            - misclosure.map_or(0.0, |off| off * (i + 1) as f64 / intervals),
        setup: idx,
        on: shot.on,
        place: shot.place.clone(),
    };
    (misclosure.map(Length::metres), setup.shots.iter().enumerate().map(elevation).collect())
}

fn tell_misclosure(setup: &Setup, off: f64, limit: Length, notes: &mut Vec<Note>) {
    let (limit, said) = if limit > Length::ZERO { (limit, "stated") } else { (DEFAULT_LIMIT, "assumed") };
    let side = if off < 0.0 { "low" } else { "high" };
    let place = setup.closing.as_ref().map_or_else(|| setup.place.clone(), |c| c.place.clone());
    // NaN must not pass for a small misclosure.
    if off.abs() <= limit.in_metres() {
        notes.push(Note::remark(
            "misclosure-spread",
            place,
            format!(
                "set-up {} closes {side} by {}; spread over its shots",
                setup.name,
                words::small(off.abs())
            ),
        ));
    } else {
        notes.push(Note::fault(
            "misclosure-over-limit",
            place,
            format!(
                "set-up {} closes {side} by {}, the {said} limit is {}",
                setup.name,
                words::small(off.abs()),
                words::small(limit.in_metres())
            ),
            "the laser or the stick has moved: shoot this set-up again",
        ));
    }
}

/// Shots on one spot should agree; they are found by sorting, so that 100,000 stay quick.
fn agree(shots: &[LevelledShot], notes: &mut Vec<Note>) {
    let mut order: Vec<&LevelledShot> = shots.iter().filter(|s| s.on != ShotOn::TurningPoint).collect();
    order.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
    let (mut agreeing, mut disagreeing) = (0_usize, 0_usize);
    for (i, a) in order.iter().enumerate() {
        for b in order[i + 1..].iter().take(64).take_while(|b| b.at.x - a.at.x <= SAME_SPOT) {
            if a.on != b.on || a.at.distance(b.at) > SAME_SPOT {
                continue;
            }
            let gap = b.z - a.z;
            if gap.abs() <= DISAGREE {
                agreeing += 1;
                continue;
            }
            disagreeing += 1;
            if disagreeing <= 20 {
                notes.push(Note::warning(
                    "shots-disagree",
                    b.place.clone(),
                    format!(
                        "shots {} and {} stand on one spot but differ by {}",
                        a.name,
                        b.name,
                        words::small(gap.abs())
                    ),
                    "shoot the spot again; until then both count",
                ));
            }
        }
    }
    if agreeing > 0 {
        let message =
            format!("{agreeing} shots repeat a spot and agree within {}; all count", words::small(DISAGREE));
        notes.push(Note::remark("shots-repeat", Place::at("setup"), message));
    }
}
