//! Whether a column can be worked.

use basis::{Note, Place};

use super::{Column, prepare};
use crate::exposure::Exposure;
use crate::material::Material;
use crate::surface::Cover;

/// Most steps of a run, so that a slip of a unit does not run for hours.
const MOST_STEPS: f64 = 1e6;

/// All faults and warnings of a column at a place.
pub(super) fn notes(column: &Column<'_>, place: &Place) -> Vec<Note> {
    let mut notes = figures(column, place);
    notes.extend(materials(column, place));
    notes.extend(covers(column, place));
    if !basis::has_fault(&notes) {
        notes.extend(exposures(column, place));
        notes.extend(too_long(column, place));
        notes.extend(ends_early(column, place));
        notes.extend(frozen(column, place));
    }
    notes
}

fn outside(place: Place, what: &str, value: f64, [low, high]: [f64; 2], unit: &str) -> Option<Note> {
    if value >= low && value <= high {
        return None;
    }
    let message = format!("{what}: {value} {unit}");
    let hint = format!("{low} to {high} {unit} can be worked; check the figure and its unit");
    Some(Note::fault("column-impossible", place, message, hint))
}

fn figures(column: &Column<'_>, place: &Place) -> Vec<Note> {
    let (slab, hydration, fineness) = (&column.slab, &column.hydration, &column.fineness);
    let rows: [(&str, &str, f64, [f64; 2], &str); 19] = [
        ("slab.thickness", "thickness", slab.thickness.in_metres(), [0.04, 1.0], "m"),
        ("slab.temperature", "concrete temperature", slab.temperature.in_celsius(), [-5.0, 60.0], "°C"),
        ("slab.age_at_placing", "age at placing", slab.age_at_placing.in_hours(), [0.0, 24.0], "h"),
        ("hydration.cementitious", "cementitious material", hydration.cementitious, [0.0, 1000.0], "kg/m³"),
        ("hydration.heat", "heat of hydration", hydration.heat, [0.0, 1e6], "J/kg"),
        ("hydration.ultimate", "ultimate degree", hydration.ultimate, [0.0, 1.1], ""),
        ("hydration.time", "time parameter", hydration.time, [0.5, 1000.0], "h"),
        ("hydration.shape", "shape parameter", hydration.shape, [0.1, 5.0], ""),
        ("hydration.energy", "activation energy", hydration.energy, [0.0, 1e5], "J/mol"),
        ("bleeding.most", "bleeding", column.bleeding.most, [0.0, 50.0], "kg/m²"),
        ("bleeding.time", "time of bleeding", column.bleeding.time.in_hours(), [0.01, 100.0], "h"),
        ("bleeding.until", "end of bleeding", column.bleeding.until, [0.0, f64::INFINITY], "h"),
        ("ground.top", "temperature of the base", column.ground.top.in_celsius(), [-40.0, 80.0], "°C"),
        (
            "ground.deep",
            "temperature of the deep ground",
            column.ground.deep.in_celsius(),
            [-40.0, 40.0],
            "°C",
        ),
        ("weather.step", "step of the weather", column.weather.step.in_seconds(), [1.0, 86_400.0], "s"),
        ("span", "time to follow", column.span.in_hours(), [0.01, 10_000.0], "h"),
        ("fineness.output", "time between states", fineness.output.in_seconds(), [1.0, 86_400.0], "s"),
        ("fineness.step", "working step", fineness.step.in_seconds(), [0.1, 3600.0], "s"),
        ("fineness.spacing", "distance of nodes", fineness.spacing.in_metres(), [0.0005, 0.05], "m"),
    ];
    rows.into_iter()
        .filter_map(|(key, what, value, range, unit)| outside(place.key(key), what, value, range, unit))
        .collect()
}

fn materials(column: &Column<'_>, place: &Place) -> Vec<Note> {
    let of = |place: Place, material: Material| {
        [
            outside(
                place.key("conductivity"),
                "conductivity",
                material.conductivity,
                [0.005, 100.0],
                "W/(m·K)",
            ),
            outside(place.key("density"), "density", material.density, [5.0, 10_000.0], "kg/m³"),
            outside(
                place.key("heat_capacity"),
                "heat capacity",
                material.heat_capacity,
                [100.0, 5000.0],
                "J/(kg·K)",
            ),
        ]
    };
    let mut notes: Vec<Note> =
        of(place.key("slab.material"), column.slab.material).into_iter().flatten().collect();
    for (i, layer) in column.layers.iter().enumerate() {
        let place = place.key("layers").index(i);
        let thickness = layer.thickness.in_metres();
        notes.extend(outside(place.key("thickness"), "thickness", thickness, [0.001, 20.0], "m"));
        notes.extend(of(place, layer.material).into_iter().flatten());
    }
    if column.layers.is_empty() {
        notes.push(Note::fault(
            "column-impossible",
            place.key("layers"),
            "nothing lies under the slab",
            "add the base and 0.6 m or more of soil",
        ));
    }
    notes
}

fn covers(column: &Column<'_>, place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut before = 0.0;
    for (i, covering) in column.covers.iter().enumerate() {
        let place = place.key("covers").index(i);
        let from = covering.from.in_hours();
        notes.extend(outside(place.key("from"), "time of covering", from, [before, 1e6], "h"));
        before = if from > before { from } else { before };
        if let Cover::Blanket(resistance) = covering.cover {
            notes.extend(outside(place, "resistance of a blanket", resistance, [0.0, 10.0], "m²·K/W"));
        }
    }
    notes
}

/// One note for all that is wrong with the weather of the run: the first instant, and how many more.
fn exposures(column: &Column<'_>, place: &Place) -> Option<Note> {
    let (from, to) = prepare::window(column);
    let wrong: Vec<(usize, String)> = column
        .weather
        .exposures
        .iter()
        .enumerate()
        .take(to.saturating_add(1))
        .skip(from)
        .filter_map(|(i, exposure)| impossible(exposure).map(|what| (i, what)))
        .collect();
    let (first, what) = wrong.first()?;
    Some(Note::fault(
        "exposure-impossible",
        place.key("weather.exposures").index(*first),
        format!("{what}; {} instants of this weather are impossible", wrong.len()),
        "check the units of the series",
    ))
}

fn impossible(exposure: &Exposure) -> Option<String> {
    let rows = [
        ("air", exposure.air.in_celsius(), [-60.0, 60.0], "°C"),
        ("vapour pressure", exposure.vapour.in_pascals(), [0.0, 10_000.0], "Pa"),
        ("wind", exposure.wind.in_metres_per_second(), [0.0, 60.0], "m/s"),
        ("sun", exposure.sun, [0.0, 1500.0], "W/m²"),
        ("sky", exposure.sky, [0.0, 800.0], "W/m²"),
        ("rain", exposure.rain, [0.0, 500.0], "mm/h"),
    ];
    let (what, value, _, unit) =
        rows.into_iter().find(|(_, value, [low, high], _)| !(*value >= *low && *value <= *high))?;
    Some(format!("{what} of {value} {unit}"))
}

fn too_long(column: &Column<'_>, place: &Place) -> Option<Note> {
    let march = prepare::march(column);
    let steps = march.stride as f64 * march.kept as f64;
    (steps > MOST_STEPS).then(|| {
        Note::fault(
            "column-impossible",
            place.key("fineness.step"),
            format!("{steps} working steps"),
            format!("at most {MOST_STEPS} can be worked; take longer steps or a shorter time"),
        )
    })
}

fn ends_early(column: &Column<'_>, place: &Place) -> Option<Note> {
    let (weather, march) = (&column.weather, prepare::march(column));
    let run = march.step * march.stride as f64 * march.kept as f64 / 3600.0;
    let known = weather.exposures.len().saturating_sub(1) as f64 * weather.step.in_hours();
    let from = weather.placed.in_hours();
    if weather.exposures.len() >= 2 && from >= 0.0 && from + run <= known + 1e-6 {
        return None;
    }
    Some(Note::fault(
        "weather-too-short",
        place.key("weather"),
        format!("the weather covers {known:.1} h; it is asked for from {from:.1} h to {:.1} h", from + run),
        "take a longer series, or follow the slab for less time; nothing is extrapolated",
    ))
}

fn frozen(column: &Column<'_>, place: &Place) -> Option<Note> {
    (column.ground.top.in_celsius() < 0.0).then(|| {
        Note::warning(
            "base-frozen",
            place.key("ground.top"),
            format!("the base is at {:.1} °C", column.ground.top.in_celsius()),
            "thaw it before placing: concrete on frozen ground sets late at the bottom and settles; the heat that thawing takes is not figured",
        )
    })
}
