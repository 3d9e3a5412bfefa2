mod closed_forms;
mod identities;
mod steps;

use basis::{Length, Pressure, Speed, Temperature, TimeSpan};

use super::lanes::Lanes;
use super::mesh::{Foot, Mesh, mesh};
use super::problem::{Drive, Heating, March, Problem, Rising};
use super::*;
use crate::history::State;
use crate::material::{CONCRETE, MOIST_SOIL, STONE};
use crate::surface::Skin;

/// A face without radiation and water, for closed forms: only convection is left.
const CLOSED: Skin = Skin { wet: 1.0, dry: 1.0, emissivity: 0.0, resistance: 0.0, open: 0.0 };

/// A problem of pure conduction at even temperature, convection to `air` on top, heat from above in W/m².
fn conduction(mesh: Mesh, start: f64, air: f64, convection: f64, sun: f64, march: March) -> Problem {
    let drive = Drive { air, convection, sun, ..Drive::default() };
    Problem {
        start: vec![start; mesh.capacity.len()],
        foot: start,
        heating: Heating { heat: 0.0, ultimate: 0.0, log_time: 1.0, shape: 1.0, activation: 0.0, age: 1.0 },
        rising: Rising { most: 0.0, time: 1.0, until: 0.0 },
        drives: vec![drive; 2],
        drive_step: march.step * (march.stride * march.kept) as f64,
        placed: 0.0,
        skins: vec![(0.0, CLOSED)],
        march,
        mesh,
    }
}

fn states(problem: &Problem) -> Vec<State> {
    Lanes::<1>::new([problem]).run(1).remove(0)
}

/// A summer's day over two days, by the hour: sun from six to six, a warm afternoon, wind that rises and falls.
fn days() -> Vec<Exposure> {
    (0..=60)
        .map(|hour| {
            let turn = std::f64::consts::TAU * f64::from(hour) / 24.0;
            Exposure {
                air: Temperature::celsius(20.0 + 8.0 * basis::math::sin(turn - 2.6)),
                vapour: Pressure::pascals(1300.0),
                wind: Speed::metres_per_second(2.5 + 2.0 * basis::math::sin(turn - 2.0)),
                sun: (850.0 * basis::math::sin(turn - std::f64::consts::FRAC_PI_2)).max(0.0),
                sky: 340.0,
                rain: 0.0,
            }
        })
        .collect()
}

const UNDER: [Layer; 2] = [
    Layer { material: STONE, thickness: Length::metres(0.1) },
    Layer { material: MOIST_SOIL, thickness: Length::metres(0.7) },
];

const PLAIN: Hydration = Hydration {
    cementitious: 335.0,
    heat: 475.2e3,
    ultimate: 0.7428,
    time: 16.20,
    shape: 0.6296,
    energy: 44_952.0,
};

/// A garage floor of four inches placed at seven in the morning.
fn garage(weather: &[Exposure]) -> Column<'_> {
    Column {
        slab: Slab {
            thickness: Length::inches(4.0),
            material: CONCRETE,
            temperature: Temperature::celsius(22.0),
            age_at_placing: TimeSpan::minutes(45.0),
        },
        hydration: PLAIN,
        bleeding: Bleeding { most: 0.35, time: TimeSpan::hours(0.7), until: 4.34 },
        layers: &UNDER,
        ground: Ground { top: Temperature::celsius(18.0), deep: Temperature::celsius(15.0) },
        weather: Weather { exposures: weather, step: TimeSpan::hours(1.0), placed: TimeSpan::hours(7.0) },
        covers: &[],
        span: TimeSpan::hours(48.0),
        fineness: Fineness::default(),
    }
}

fn outcome(column: &Column<'_>) -> Outcome {
    let report = column.run();
    report.value.unwrap_or_else(|| panic!("{:?}", report.notes))
}
