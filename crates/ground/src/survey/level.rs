//! Heights of instrument and elevations, the misclosure spread.

use std::collections::BTreeMap;

use basis::{Length, Note, Place, Report};

use super::{
    FromMark, Levelled, LevelledSetup, LevelledShot, RodReading, Setup, Shot, ShotOn, Sight, Survey,
};
use crate::{P2, words};

/// A misclosure under this is not told, m.
const UNREADABLE: f64 = 0.5e-3;
/// Misclosure accepted when none is stated: common practice, no source.
const DEFAULT_LIMIT: Length = Length::inches(0.25);
/// Longest rod there is, m.
const LONGEST_ROD: f64 = 10.0;
/// Two shots closer than this stand on one spot, m.
const SAME_SPOT: f64 = 0.0254;
/// Shots of one spot that are compared with each other; bounds the work when all stand on one spot.
const COMPARED: usize = 16;
/// Farthest elevation accepted, m: above it a unit or a digit has slipped.
const HIGHEST: f64 = 1e5;
/// Two shots on one spot that differ by more than this disagree, m (about 1/2 in).
const DISAGREE: f64 = 0.012;

/// A point whose elevation is known: where it is, and which set-up shot it.
#[derive(Clone, Copy)]
struct Known {
    z: f64,
    shot_by: Option<(usize, P2)>,
    times: usize,
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
        let height = benchmark.elevation.in_metres();
        if !(-HIGHEST..=HIGHEST).contains(&height) {
            let message = format!("benchmark {} at {height:e} m is on no site", benchmark.name);
            let place = Place::at("benchmark");
            notes.push(Note::fault(
                "benchmark-out-of-range",
                place,
                message,
                "check the figure and its unit",
            ));
        }
        let entry = Known { z: benchmark.elevation.in_metres(), shot_by: None, times: 1 };
        if known.insert(&benchmark.name, entry).is_some() {
            let message = format!("two benchmarks are called {}", benchmark.name);
            let place = Place::at("benchmark");
            notes.push(Note::fault("benchmark-name-repeated", place, message, "give each its own name"));
        }
    }
    let mut levelled = Levelled::default();
    for (idx, setup) in survey.setups.iter().enumerate() {
        check_readings(setup, &mut notes);
        check_errors(setup, &mut notes);
        if let Some(done) = stand(setup, &known, &mut notes) {
            let shots = shoot(idx, setup, &done, survey.misclosure_limit, &known, &mut notes);
            for (shot, named) in shots.1.iter().zip(&setup.shots) {
                known.entry(&named.name).and_modify(|k| k.times += 1).or_insert(Known {
                    z: shot.z,
                    shot_by: Some((idx, shot.at)),
                    times: 1,
                });
            }
            levelled.setups.push(LevelledSetup { misclosure: shots.0, ..done });
            levelled.shots.extend(shots.1);
        }
    }
    agree(&levelled.shots, &mut notes);
    if basis::has_fault(&notes) { Report::refused(notes) } else { Report::with(levelled, notes) }
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

/// The error model and the laser's own place are numbers.
fn check_errors(setup: &Setup, notes: &mut Vec<Note>) {
    let errors = setup.errors;
    let sizes = [errors.backsight.in_metres(), errors.tilt.in_radians(), errors.rod.in_metres()];
    if !sizes.iter().all(|v| (0.0..1.0).contains(v)) {
        notes.push(Note::fault(
            "instrument-errors-out-of-range",
            setup.place.clone(),
            format!("the errors of set-up {} are no instrument's", setup.name),
            "each is one standard deviation: nought or more, and small",
        ));
    }
    let far = |p: P2| !p.is_finite() || p.norm() > 1e5;
    let mark = setup.mark.map_or(0.0, Length::in_metres);
    if setup.station.is_some_and(far) || !(-LONGEST_ROD..=LONGEST_ROD).contains(&mark) {
        notes.push(Note::fault(
            "setup-out-of-range",
            setup.place.clone(),
            format!("set-up {} has a laser or a mark that stands on no site", setup.name),
            "check its station and its mark",
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
    if found.is_some_and(|k| k.times > 1) {
        notes.push(Note::fault(
            "sight-on-ambiguous-point",
            sight.place.clone(),
            format!("more than one point is called {}: which one was sighted?", sight.on),
            "give the point that carries the level a name of its own",
        ));
        return None;
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
        mark: setup.mark.unwrap_or(Length::ZERO),
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
    // What no stick can be read to is not worth a word.
    if off.abs() < UNREADABLE {
        return;
    }
    // NaN must not pass for a small misclosure.
    if off.abs() <= limit.in_metres() {
        notes.push(Note::in_both(|units| {
            let off = words::small(off.abs(), units);
            let message = format!("set-up {} closes {side} by {off}; spread over its shots", setup.name);
            Note::remark("misclosure-spread", place.clone(), message)
        }));
    } else {
        notes.push(Note::in_both(|units| {
            let message = format!(
                "set-up {} closes {side} by {}, the {said} limit is {}",
                setup.name,
                words::small(off.abs(), units),
                words::small(limit.in_metres(), units)
            );
            let hint = "the laser or the stick has moved: shoot this set-up again";
            Note::fault("misclosure-over-limit", place.clone(), message, hint)
        }));
    }
}

/// Shots on one spot should agree; squares of the spot's size keep 100,000 of them quick.
fn agree(shots: &[LevelledShot], notes: &mut Vec<Note>) {
    let square = |p: P2| ((p.x / SAME_SPOT).floor() as i64, (p.y / SAME_SPOT).floor() as i64);
    let mut seen: BTreeMap<(i64, i64), Vec<&LevelledShot>> = BTreeMap::new();
    let (mut agreeing, mut disagreeing) = (0_usize, 0_usize);
    for b in shots.iter().filter(|s| s.on != ShotOn::TurningPoint && s.at.is_finite()) {
        let (i, j) = square(b.at);
        let near = (-1..=1).flat_map(|k| seen.range((i + k, j - 1)..=(i + k, j + 1)));
        for a in near.flat_map(|(_, shots)| shots) {
            if a.on != b.on || a.at.distance(b.at) > SAME_SPOT {
                continue;
            }
            if (b.z - a.z).abs() <= DISAGREE {
                agreeing += 1;
                continue;
            }
            disagreeing += 1;
            if disagreeing <= 20 {
                notes.push(disagree(a, b));
            }
        }
        let here = seen.entry((i, j)).or_default();
        if here.len() < COMPARED {
            here.push(b);
        }
    }
    if agreeing > 0 {
        notes.push(Note::in_both(|units| {
            let within = words::small(DISAGREE, units);
            let message = format!("{agreeing} shots repeat a spot and agree within {within}; all count");
            Note::remark("shots-repeat", Place::at("setup"), message)
        }));
    }
}

fn disagree(a: &LevelledShot, b: &LevelledShot) -> Note {
    Note::in_both(|units| {
        let gap = words::small((b.z - a.z).abs(), units);
        Note::warning(
            "shots-disagree",
            b.place.clone(),
            format!("shots {} and {} stand on one spot but differ by {gap}", a.name, b.name),
            "shoot the spot again; until then both count",
        )
    })
}
