//! From a column in the words of the site to plain numbers.

use basis::{Temperature, math};

use super::mesh::{Foot, mesh};
use super::problem::{Drive, Heating, March, Problem, Rising};
use super::{Column, Ground};
use crate::hydration::REFERENCE;
use crate::maturity::{Activation, GAS};
use crate::surface::{Cover, Skin};

/// Depth over which the day's wave in the ground falls to a third, m: √(2α/ω) of moist stone and soil is 0.13 to 0.15.
const DAMPING: f64 = 0.15;

/// Equivalent ages begin no earlier, hours: the degree of hydration is nothing there in any mix.
const YOUNGEST: f64 = 1e-3;

/// Steps of a column: the longest that divide the time between two states.
pub(super) fn march(column: &Column<'_>) -> March {
    let output = column.fineness.output.in_seconds();
    let stride = (output / column.fineness.step.in_seconds() - 1e-9).ceil().max(1.0);
    // A span that is a whole number of outputs but for rounding must not gain one.
    let kept = (column.span.in_seconds() / output - 1e-9).ceil().max(1.0);
    March { step: output / stride, stride: stride as usize, kept: kept as usize }
}

/// Plain numbers of a column that has been found possible.
pub(super) fn problem(column: &Column<'_>) -> Problem {
    let slab = &column.slab;
    let mesh = mesh(
        slab.thickness.in_metres(),
        slab.material,
        column.layers,
        column.fineness.spacing.in_metres(),
        Foot::Fixed,
    );
    let (concrete, bottom) = (slab.temperature.in_celsius(), slab.thickness.in_metres());
    let mut start: Vec<f64> = mesh.depth.iter().map(|z| below(&column.ground, z - bottom)).collect();
    start[..mesh.slab.len()].fill(concrete);
    // The node between slab and ground begins at the mean of both by heat capacity, so that no heat is made or lost.
    let last = mesh.slab.len() - 1;
    let of_slab = mesh.slab[last] * slab.material.volumetric() / mesh.capacity[last];
    start[last] = of_slab * concrete + (1.0 - of_slab) * column.ground.top.in_celsius();
    let (drives, placed) = drives(column);
    Problem {
        start,
        foot: column.ground.deep.in_celsius(),
        heating: heating(column),
        rising: Rising {
            most: column.bleeding.most,
            time: column.bleeding.time.in_seconds(),
            until: column.bleeding.until,
        },
        drives,
        drive_step: column.weather.step.in_seconds(),
        placed,
        skins: skins(column),
        march: march(column),
        mesh,
    }
}

fn below(ground: &Ground, depth: f64) -> f64 {
    let (top, deep) = (ground.top.in_celsius(), ground.deep.in_celsius());
    deep + (top - deep) * math::exp(-depth / DAMPING)
}

fn heating(column: &Column<'_>) -> Heating {
    let hydration = &column.hydration;
    let speed = Activation::Constant(hydration.energy)
        .speed(column.slab.temperature, Temperature::kelvins(REFERENCE));
    Heating {
        heat: hydration.heat * hydration.cementitious,
        ultimate: hydration.ultimate,
        log_time: math::log(hydration.time),
        shape: hydration.shape,
        activation: hydration.energy / GAS,
        age: (column.slab.age_at_placing.in_hours() * speed).max(YOUNGEST),
    }
}

/// The instants of the weather that a run needs, first and last: a sweep hands in a year for each of its columns.
pub(super) fn window(column: &Column<'_>) -> (usize, usize) {
    let (weather, march) = (&column.weather, march(column));
    let step = weather.step.in_seconds();
    let end = weather.placed.in_seconds() + march.step * march.stride as f64 * march.kept as f64;
    ((weather.placed.in_seconds() / step) as usize, (end / step - 1e-9).ceil() as usize)
}

fn drives(column: &Column<'_>) -> (Vec<Drive>, f64) {
    let weather = &column.weather;
    let (first, last) = window(column);
    let needed = weather.exposures.iter().take(last + 1).skip(first);
    let before = first as f64 * weather.step.in_seconds();
    (needed.map(Drive::of).collect(), weather.placed.in_seconds() - before)
}

fn skins(column: &Column<'_>) -> Vec<(f64, Skin)> {
    let covers = column.covers.iter().map(|covering| (covering.from.in_seconds(), covering.cover.skin()));
    std::iter::once((0.0, Cover::Bare.skin())).chain(covers).collect()
}
