//! The slab's column: accuracy at the working step, speed alone and in batches, and against scipy's stiff solver.

use basis::{Length, Pressure, Speed, Temperature, TimeSpan, math};
use clock::Exposure;
use clock::bleed::Bleeding;
use clock::column::{Column, Fineness, Ground, Outcome, Slab, Weather, run_batch};
use clock::hydration::Hydration;
use clock::material::{CONCRETE, Layer, MOIST_SOIL, Material, STONE};
use serde_json::{Value, json};

use crate::python;
use crate::row::{Row, best_of, milliseconds};

const UNDER: [Layer; 2] = [
    Layer { material: STONE, thickness: Length::metres(0.1) },
    Layer { material: MOIST_SOIL, thickness: Length::metres(0.7) },
];

/// A year and three days by the hour, made up: a season and a day as sines, wind and cloud from sines that do not fit them.
pub fn year() -> Vec<Exposure> {
    (0..8_760 + 72)
        .map(|hour| {
            let hour = f64::from(hour);
            let (season, day) = (hour / 8_760.0, hour / 24.0);
            let wave = |turns: f64| math::sin(std::f64::consts::TAU * turns);
            let air = 10.0 + 13.0 * wave(season - 0.3) + 5.0 * wave(day - 0.4) + 4.0 * wave(day / 5.3);
            let cloud = 0.5 + 0.5 * wave(day / 3.7);
            let saturated = 610.94 * math::exp(17.625 * air / (air + 243.04));
            Exposure {
                air: Temperature::celsius(air),
                vapour: Pressure::pascals(saturated * (0.6 + 0.2 * wave(day - 0.9))),
                wind: Speed::metres_per_second(2.5 + 2.0 * wave(day / 1.9)),
                sun: (wave(day - 0.25) * (650.0 + 300.0 * wave(season - 0.25)) * (1.0 - 0.7 * cloud))
                    .max(0.0),
                sky: 290.0 + 4.0 * air + 40.0 * cloud,
                rain: if cloud > 0.97 { 0.5 } else { 0.0 },
            }
        })
        .collect()
}

/// A garage floor placed at an hour of the year, followed for two days.
fn column(weather: &[Exposure], hour: usize) -> Column<'_> {
    let air = weather[hour].air.in_celsius();
    Column {
        slab: Slab {
            thickness: Length::inches(4.0),
            material: CONCRETE,
            temperature: Temperature::celsius(air.clamp(13.0, 32.0)),
            age_at_placing: TimeSpan::minutes(45.0),
        },
        hydration: Hydration {
            cementitious: 335.0,
            heat: 475e3,
            ultimate: 0.743,
            time: 16.2,
            shape: 0.63,
            energy: 45e3,
        },
        bleeding: Bleeding { most: 0.35, time: TimeSpan::hours(0.7), until: 4.34 },
        layers: &UNDER,
        ground: Ground { top: Temperature::celsius(air.max(1.0)), deep: Temperature::celsius(11.0) },
        weather: Weather {
            exposures: weather,
            step: TimeSpan::hours(1.0),
            placed: TimeSpan::hours(hour as f64),
        },
        covers: &[],
        span: TimeSpan::hours(48.0),
        fineness: Fineness::default(),
    }
}

fn batch(columns: &[Column<'_>]) -> Vec<Outcome> {
    let report = run_batch(columns);
    report.value.unwrap_or_else(|| panic!("{:?}", report.notes))
}

fn most_apart(a: &Outcome, b: &Outcome) -> f64 {
    let pairs = a.history.states.iter().zip(&b.history.states);
    pairs
        .flat_map(|(a, b)| [a.surface - b.surface, a.middle - b.middle, a.bottom - b.bottom])
        .fold(0.0_f64, |most, apart| most.max(apart.abs()))
}

/// Largest difference of 48 columns over the year to runs with steps of 20 s and nodes 2.5 mm apart, K.
fn accuracy(weather: &[Exposure]) -> f64 {
    let coarse: Vec<Column<'_>> = (0..48).map(|i| column(weather, i * 181)).collect();
    let fineness =
        Fineness { step: TimeSpan::seconds(20.0), spacing: Length::millimetres(2.5), ..Fineness::default() };
    let fine: Vec<Column<'_>> = coarse.iter().map(|column| Column { fineness, ..*column }).collect();
    batch(&coarse).iter().zip(&batch(&fine)).map(|(a, b)| most_apart(a, b)).fold(0.0, f64::max)
}

/// Every hour of the year as a start, in batches; the figure kept of each is its highest surface temperature.
fn sweep(weather: &[Exposure]) -> f64 {
    let mut hottest = f64::MIN;
    for first in (0..8_760).step_by(240) {
        let columns: Vec<Column<'_>> =
            (first..(first + 240).min(8_760)).map(|hour| column(weather, hour)).collect();
        for outcome in batch(&columns) {
            hottest = outcome.history.states.iter().map(|state| state.surface).fold(hottest, f64::max);
        }
    }
    hottest
}

/// The question that the reference script reads, with cells like those of the column, for one start.
fn question(weather: &[Exposure], hour: usize) -> Value {
    let column = column(weather, hour);
    let material = |m: Material| json!({"k": m.conductivity, "c": m.volumetric()});
    let layer = |l: &Layer| json!({"k": l.material.conductivity, "c": l.material.volumetric(), "thickness": l.thickness.in_metres()});
    let rows: Vec<[f64; 6]> = weather[hour..hour + 50]
        .iter()
        .map(|e| {
            let (air, vapour) = (e.air.in_celsius(), e.vapour.in_pascals());
            [air, vapour, e.wind.in_metres_per_second(), e.sun, e.sky, e.rain]
        })
        .collect();
    let h = &column.hydration;
    json!({
        "thickness": column.slab.thickness.in_metres(), "spacing": 0.0075, "growth": 1.2,
        "concrete": material(CONCRETE), "layers": UNDER.iter().map(layer).collect::<Vec<_>>(),
        "placed_at": column.slab.temperature.in_celsius(), "age": 0.75,
        "top": column.ground.top.in_celsius(), "deep": 11.0,
        "hydration": {"heat": h.heat * h.cementitious, "ultimate": h.ultimate, "time": h.time, "shape": h.shape, "energy": h.energy},
        "bleeding": {"most": 0.35, "time": 2520.0, "until": 4.34},
        "weather": rows, "step": 3600.0, "placed": 0.0,
        "skins": [{"from": 0.0, "wet": 0.7, "dry": 0.6, "emissivity": 0.9, "resistance": 0.0, "open": 1.0}],
        "states": 289, "output": 600.0, "rtol": 1e-3, "atol": 1e-2, "max_step": 3600.0,
    })
}

/// Seconds that scipy's BDF takes for a column, the mean of several, as the script measures them itself.
fn stiff_solver(weather: &[Exposure]) -> Result<f64, String> {
    let starts = [500, 2_500, 4_500, 6_500].map(|hour| question(weather, hour));
    // The script of the reference test: the same system, so that what is timed is also what is checked.
    let answer = python::ask("../../../tests/reference/column.py", &json!(starts))?;
    let times: Vec<f64> = (0..starts.len()).map(|i| python::number(&answer[i], "seconds")).collect();
    Ok(times.iter().sum::<f64>() / times.len() as f64)
}

/// 48 h of a slab of 4 in, states and steps each 10 min, finer while water comes and goes.
pub fn rows() -> Vec<Row> {
    let weather = year();
    let apart = accuracy(&weather);
    let alone = best_of(101, || column(&weather, 4_007).run());
    let columns: Vec<Column<'_>> = (0..200).map(|i| column(&weather, 40 * i + 7)).collect();
    let together = best_of(21, || batch(&columns)) / 200;
    let mut hottest = 0.0;
    let swept = best_of(1, || hottest = sweep(&weather));
    let mut rows = vec![
        Row::judged(
            "column, working step against 20 s and 2.5 mm, 48 starts",
            "0.1 K",
            format!("{apart:.3} K at most"),
            apart <= 0.1,
        ),
        Row::judged("column of 48 h alone", "1 ms", milliseconds(alone), alone.as_secs_f64() <= 1e-3),
        Row::judged(
            "column of 48 h in a batch of 200",
            "0.3 ms",
            format!("{:.3} ms", together.as_secs_f64() * 1e3),
            together.as_secs_f64() <= 0.3e-3,
        ),
        Row::judged(
            "8,760 pour starts of a year, 48 h each",
            "3 s",
            format!("{:.2} s (one run; hottest surface {hottest:.1} °C)", swept.as_secs_f64()),
            swept.as_secs_f64() <= 3.0,
        ),
    ];
    rows.push(crate::sweep::row());
    let what = "column in a batch, over scipy's BDF (rtol 1e-3) on the same cells";
    rows.push(match stiff_solver(&weather) {
        Ok(theirs) => {
            let ratio = theirs / together.as_secs_f64();
            Row::judged(
                what,
                "100 x",
                format!("{ratio:.0} x (theirs {:.0} ms)", theirs * 1e3),
                ratio >= 100.0,
            )
        }
        Err(why) => Row::failed(what, "100 x", why),
    });
    rows
}
