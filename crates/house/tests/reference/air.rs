//! Moist air against PsychroLib.

use basis::{Length, Pressure, Share, Temperature};
use clock::moist_air;
use house::python;
use serde_json::json;

#[test]
fn moist_air_agrees_with_psychrolib() {
    let celsius: Vec<f64> = (-90..=180).step_by(3).map(|t| f64::from(t) + 0.5).collect();
    let moist: Vec<(f64, f64)> =
        (2..=45).step_by(3).flat_map(|t| [0.3, 0.55, 0.8, 1.0].map(|h| (f64::from(t), h))).collect();
    let metres = [-300.0, 0.0, 250.0, 1650.0, 4000.0];
    let answer = python::ask("air", &json!({"celsius": celsius, "moist": moist, "metres": metres}));
    // The same equations with the same constants: only rounding parts them.
    for (t, theirs) in celsius.iter().zip(python::numbers(&answer, "saturation")) {
        let ours = moist_air::saturation_pressure(Temperature::celsius(*t)).in_pascals();
        assert!((ours / theirs - 1.0).abs() < 1e-9, "{t}: {ours} {theirs}");
    }
    let (vapours, dews) = (python::numbers(&answer, "vapour"), python::numbers(&answer, "dew_point"));
    let ratios = python::numbers(&answer, "humidity_ratio");
    for (index, (t, humidity)) in moist.iter().enumerate() {
        let vapour = moist_air::vapour_pressure(Temperature::celsius(*t), Share::ratio(*humidity));
        assert!((vapour.in_pascals() / vapours[index] - 1.0).abs() < 1e-9);
        let ratio = moist_air::humidity_ratio(vapour, Pressure::pascals(101_325.0)).expect("below the air's");
        // Theirs is never under 1e-7 and has 0.621945 as we do.
        assert!((ratio / ratios[index] - 1.0).abs() < 1e-9);
        let dew = moist_air::dew_point(vapour).expect("moist").in_celsius();
        // Below freezing theirs is the frost point; their iteration stops within 0.001 K.
        if dews[index] > 0.1 {
            assert!((dew - dews[index]).abs() < 2e-3, "{t} {humidity}: {dew} {}", dews[index]);
        }
    }
    for (z, theirs) in metres.iter().zip(python::numbers(&answer, "pressure")) {
        let ours = moist_air::standard_pressure(Length::metres(*z)).in_pascals();
        assert!((ours - theirs).abs() < 0.5, "{z}: {ours} {theirs}");
    }
}
