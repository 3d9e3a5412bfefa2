//! Set-ups and lines levelled together.

use basis::{Length, Note};
use ground::P2;
use ground::flatness::LineOnFloor;
use ground::survey::{Levelled, LevelledShot, Shot, ShotOn, Survey, level};

use super::{AsBuiltSurvey, LineReadings, ReadLine};
use crate::job::Job;

/// The survey as elevations.
pub(super) struct Gathered {
    pub levelled: Levelled,
    pub shots: Vec<LevelledShot>,
    /// Lines with their elevations; those of heights stand above a level of their own.
    pub lines: Vec<LineOnFloor>,
    /// What one reading of a line may be off by; nought where nobody said.
    pub line_noise: Length,
}

/// Levels the set-ups with the reading points of their lines, which come after the shots in the order taken.
pub(super) fn gather(job: &Job, asbuilt: &AsBuiltSurvey, notes: &mut Vec<Note>) -> Option<Gathered> {
    let mut survey = Survey {
        benchmarks: job.survey.benchmarks.clone(),
        setups: asbuilt.setups.clone(),
        misclosure_limit: job.survey.misclosure_limit,
    };
    for line in &asbuilt.lines {
        if let LineReadings::Rod { setup, readings } = &line.readings
            && let Some(setup) = survey.setups.get_mut(*setup)
        {
            setup.shots.extend(readings.iter().enumerate().map(|(i, (reading, place))| Shot {
                name: format!("{} {}", line.name, i + 1),
                at: at(line, i),
                reading: *reading,
                on: ShotOn::Base,
                place: place.clone(),
            }));
        }
    }
    let levelled = level(&survey).unload(notes)?;
    let noise = |line: &ReadLine| match &line.readings {
        LineReadings::Rod { setup, .. } => levelled.setups.get(*setup).map(|s| s.errors.rod),
        LineReadings::Heights { noise, .. } => *noise,
    };
    let line_noise = asbuilt.lines.iter().filter_map(noise).fold(Length::ZERO, Length::max);
    if asbuilt.lines.iter().any(|line| noise(line).is_none()) {
        let message = "what a single reading of a line may be off by is not stated: no ceiling can be told";
        notes.push(Note::remark("line-noise-unknown", basis::Place::at("line"), message));
    }
    let lines = elevations(asbuilt, &levelled);
    let shots = levelled.shots.iter().filter(|s| s.on == ShotOn::Base).cloned().collect();
    Some(Gathered { shots, lines, line_noise, levelled })
}

/// Where a reading of a line was taken.
fn at(line: &ReadLine, reading: usize) -> P2 {
    line.from + (line.to - line.from).unit() * (line.spacing.step().in_metres() * reading as f64)
}

/// Elevations of each line, taken from behind the shots of its set-up in the order in which they were put there.
fn elevations(asbuilt: &AsBuiltSurvey, levelled: &Levelled) -> Vec<LineOnFloor> {
    let mut next: Vec<usize> = asbuilt.setups.iter().map(|s| s.shots.len()).collect();
    let of_setup = |setup: usize| levelled.shots.iter().filter(move |s| s.setup == setup).map(|s| s.z);
    let line = |line: &ReadLine| {
        let elevations = match &line.readings {
            LineReadings::Heights { heights, .. } => heights.iter().map(|h| h.in_metres()).collect(),
            LineReadings::Rod { setup, readings } => {
                let skip = next.get(*setup).copied().unwrap_or(0);
                if let Some(place) = next.get_mut(*setup) {
                    *place += readings.len();
                }
                of_setup(*setup).skip(skip).take(readings.len()).collect()
            }
        };
        LineOnFloor {
            name: line.name.clone(),
            from: line.from,
            toward: line.to - line.from,
            spacing: line.spacing,
            elevations,
            place: line.place.clone(),
        }
    };
    asbuilt.lines.iter().map(line).collect()
}
