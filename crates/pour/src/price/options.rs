//! Other ways to build the floor: the job changed, to be planned and priced anew.

use basis::{Length, quantity};
use clock::finish::{Finish, MOST_TROWEL_ROUNDS};
use ground::survey::{RodReading, Setup, ShotOn};

use crate::job::{Job, Sheet};

/// One change of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// Another finish.
    Finish(Finish),
    /// Another thickness, at the same top: the base goes down or up with it.
    Thickness(Length),
    /// With or without poly straight under the slab.
    Sheet(Sheet),
}

/// Another way to build the floor, by what the user calls it.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// As the user wrote it.
    pub name: String,
    /// What is changed, in order.
    pub changes: Vec<Change>,
}

/// The job with the changes made.
///
/// Thickness keeps the top and moves every reading on the base, and the base's break lines, by the difference; the least thickness
/// moves by the same. Reading from a mark cannot tell a base from a form, so only shots on the base move.
#[must_use]
pub fn changed(job: &Job, changes: &[Change]) -> Job {
    let mut job = job.clone();
    for change in changes {
        match change {
            Change::Finish(finish) => job.finishing.finish = Some(on_top(*finish, job.finishing.finish)),
            Change::Sheet(sheet) => job.bed.sheet = Some(*sheet),
            Change::Thickness(thickness) => {
                let deeper = *thickness - job.slab.nominal;
                job.slab.nominal = *thickness;
                job.slab.minimum = (job.slab.minimum + deeper).max(Length::millimetres(1.0));
                lower(&mut job, deeper);
            }
        }
    }
    job
}

/// A hard trowel takes at least a round more than the trowel of the job.
fn on_top(finish: Finish, planned: Option<Finish>) -> Finish {
    match (finish, planned) {
        (Finish::HardTrowel { rounds }, Some(Finish::Trowel { rounds: trowel })) => {
            Finish::HardTrowel { rounds: rounds.max((trowel + 1).min(MOST_TROWEL_ROUNDS)) }
        }
        _ => finish,
    }
}

/// Takes the base down by so much: its shots, the sights on such shots, and its break lines.
fn lower(job: &mut Job, by: Length) {
    lower_setups(&mut job.survey.setups, by);
    for point in job.base.breaks.iter_mut().flatten() {
        point.z -= by.in_metres();
    }
}

fn lower_setups(setups: &mut [Setup], by: Length) {
    let moved = |reading: RodReading| match reading {
        RodReading::Rod(height) => RodReading::Rod(height + by),
        RodReading::FromMark(off) => RodReading::FromMark(off + by),
    };
    let mut on_base: Vec<String> = Vec::new();
    for setup in setups {
        let closing = setup.closing.iter_mut();
        for sight in std::iter::once(&mut setup.backsight).chain(closing).filter(|s| on_base.contains(&s.on))
        {
            sight.reading = moved(sight.reading);
        }
        for shot in setup.shots.iter_mut().filter(|shot| shot.on == ShotOn::Base) {
            shot.reading = moved(shot.reading);
            on_base.push(shot.name.clone());
        }
    }
}

/// A change in words, for the page.
#[must_use]
pub fn words(change: Change, units: basis::UnitSystem) -> String {
    match change {
        Change::Finish(Finish::Broom) => "broom finish".to_owned(),
        Change::Finish(Finish::Float) => "float finish".to_owned(),
        Change::Finish(Finish::Trowel { .. }) => "troweled".to_owned(),
        Change::Finish(Finish::HardTrowel { .. }) => "hard troweled".to_owned(),
        Change::Thickness(thickness) => format!("{} thick", quantity::thickness(thickness, units)),
        Change::Sheet(Sheet::UnderSlab) => "with poly".to_owned(),
        Change::Sheet(Sheet::None) => "without poly".to_owned(),
        Change::Sheet(Sheet::Insulation) => "on insulation".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use basis::Place;
    use ground::P2;
    use ground::survey::{InstrumentErrors, Shot, Sight};

    /// A base an inch lower reads an inch more, and a later set-up that sights one of its shots stands where it stood.
    #[test]
    fn a_thicker_slab_lowers_the_base_and_nothing_else() {
        let shot = |name: &str, on| Shot {
            name: name.into(),
            at: P2::default(),
            reading: RodReading::Rod(Length::inches(50.0)),
            on,
            place: Place::job(),
        };
        let sight = |on: &str| Sight {
            on: on.into(),
            reading: RodReading::Rod(Length::inches(40.0)),
            place: Place::job(),
        };
        let setup = |back: &str, shots| Setup {
            name: "s".into(),
            station: None,
            mark: None,
            backsight: sight(back),
            closing: None,
            shots,
            errors: InstrumentErrors {
                backsight: Length::ZERO,
                tilt: basis::Angle::ZERO,
                rod: Length::ZERO,
                origin: basis::Origin::Assumed,
            },
            place: Place::job(),
        };
        let mut setups = vec![
            setup("sill", vec![shot("b", ShotOn::Base), shot("f", ShotOn::Form)]),
            setup("b", vec![shot("t", ShotOn::TurningPoint)]),
            setup("f", vec![]),
        ];
        lower_setups(&mut setups, Length::inches(1.0));
        let inches = |reading| match reading {
            RodReading::Rod(l) => l.in_inches().round(),
            RodReading::FromMark(_) => f64::NAN,
        };
        let shots: Vec<f64> = setups.iter().flat_map(|s| &s.shots).map(|s| inches(s.reading)).collect();
        assert_eq!(shots, [51.0, 50.0, 50.0]);
        let sights: Vec<f64> = setups.iter().map(|s| inches(s.backsight.reading)).collect();
        assert_eq!(sights, [40.0, 41.0, 40.0]);
    }
}
