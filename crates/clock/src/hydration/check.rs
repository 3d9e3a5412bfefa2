//! Whether a mix can exist, and whether the regressions were fitted to its like.

use basis::{Note, Place};

use crate::mix::{Cement, CementAnalysis, Mix};

/// A limit of a figure of the mix: where it stands, what it is called, what it is, what it may be.
struct Bound {
    key: &'static str,
    name: &'static str,
    value: f64,
    possible: [f64; 2],
    fitted: [f64; 2],
    unit: &'static str,
    scale: f64,
}

/// Faults of a mix that cannot exist; warnings outside the range of the fits.
pub(super) fn notes(mix: &Mix, cement: &CementAnalysis) -> Vec<Note> {
    let mut bounds = of_the_mix(mix);
    if matches!(mix.cement, Cement::Analysis(_)) {
        bounds.extend(of_the_cement(cement));
    }
    let place = Place::at("mix");
    bounds.iter().filter_map(|bound| note(&place, bound)).chain(too_little_cement(&place, mix)).collect()
}

fn of_the_mix(mix: &Mix) -> Vec<Bound> {
    let percent = |key, name, value, possible, fitted| Bound {
        key,
        name,
        value,
        possible,
        fitted,
        unit: " %",
        scale: 100.0,
    };
    vec![
        Bound {
            key: "cementitious",
            name: "cementitious material",
            value: mix.cementitious.in_kilograms_per_cubic_metre(),
            possible: [100.0, 800.0],
            fitted: [200.0, 600.0],
            unit: " kg/m³",
            scale: 1.0,
        },
        Bound {
            key: "water_per_cementitious",
            name: "water per cementitious material",
            value: mix.water_per_cementitious,
            possible: [0.2, 1.2],
            fitted: [0.32, 0.70],
            unit: "",
            scale: 1.0,
        },
        percent("ash", "fly ash", mix.ash.map_or(0.0, |ash| ash.share.in_ratio()), [0.0, 0.9], [0.0, 0.45]),
        percent("slag", "slag cement", mix.slag.in_ratio(), [0.0, 0.9], [0.0, 0.50]),
    ]
}

fn of_the_cement(c: &CementAnalysis) -> Vec<Bound> {
    let percent = |key, name, value, possible, fitted| Bound {
        key,
        name,
        value,
        possible,
        fitted,
        unit: " %",
        scale: 100.0,
    };
    vec![
        percent("c3s", "tricalcium silicate", c.c3s, [0.01, 0.90], [0.20, 0.75]),
        percent("c2s", "dicalcium silicate", c.c2s, [0.0, 0.90], [0.0, 0.50]),
        percent("c3a", "tricalcium aluminate", c.c3a, [0.001, 0.30], [0.02, 0.15]),
        percent("c4af", "tetracalcium aluminoferrite", c.c4af, [0.001, 0.40], [0.01, 0.20]),
        percent("so3", "sulphate", c.so3, [0.001, 0.10], [0.015, 0.05]),
        percent("free_lime", "free lime", c.free_lime, [0.0, 0.10], [0.0, 0.03]),
        percent("magnesia", "magnesia", c.magnesia, [0.0, 0.15], [0.0, 0.06]),
        Bound {
            key: "blaine",
            name: "fineness",
            value: c.blaine,
            possible: [100.0, 1500.0],
            fitted: [250.0, 650.0],
            unit: " m²/kg",
            scale: 1.0,
        },
    ]
}

fn note(place: &Place, bound: &Bound) -> Option<Note> {
    let inside = |[low, high]: [f64; 2]| bound.value >= low && bound.value <= high;
    let Bound { name, unit, scale, .. } = *bound;
    let range = |[low, high]: [f64; 2]| format!("{} to {}{unit}", round(low * scale), round(high * scale));
    let value = round(bound.value * scale);
    if !inside(bound.possible) {
        let hint = format!("a mix has {}; check the figure and its unit", range(bound.possible));
        return Some(Note::fault(
            "mix-impossible",
            place.key(bound.key),
            format!("{name}: {value}{unit}"),
            hint,
        ));
    }
    if inside(bound.fitted) {
        return None;
    }
    Some(Note::warning(
        "mix-outside-the-fit",
        place.key(bound.key),
        format!("{name}: {value}{unit}; heat and set are fitted to {}", range(bound.fitted)),
        "have the plant state its set times, and trust the boot print over the clock",
    ))
}

fn too_little_cement(place: &Place, mix: &Mix) -> Option<Note> {
    let others = mix.ash.map_or(0.0, |ash| ash.share.in_ratio()) + mix.slag.in_ratio();
    (others > 0.95).then(|| {
        Note::fault(
            "mix-impossible",
            place.key("slag"),
            format!("ash and slag together: {} %", round(others * 100.0)),
            "what is left must be portland cement",
        )
    })
}

/// Four figures are enough for a message.
fn round(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
