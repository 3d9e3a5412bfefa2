//! Sun and clear sky against pvlib, at spots and instants made from a seed.

use basis::{Angle, Length};
use clock::sun::{self, Spot};
use house::python;
use jiff::Timestamp;
use rand::{RngExt, SeedableRng, rngs::ChaCha12Rng};
use serde_json::json;

#[test]
fn sun_and_clear_sky_agree_with_pvlib() {
    let mut random = ChaCha12Rng::seed_from_u64(20_260_621);
    for (latitude, longitude, height) in [
        (41.0, -88.0, 200.0),
        (33.4, -112.0, 340.0),
        (-37.8, 145.0, 30.0),
        (61.2, -150.0, 40.0),
        (39.7, -105.0, 1650.0),
    ] {
        let spot = Spot {
            latitude: Angle::degrees(latitude),
            longitude: Angle::degrees(longitude),
            height: Length::metres(height),
        };
        let turbidity = random.random_range(2.0..5.0);
        let times: Vec<i64> = (0..120).map(|_| random.random_range(1_577_836_800..1_893_456_000)).collect();
        let days = ["2026-01-15", "2026-03-21", "2026-06-21", "2026-10-05"];
        let pressure = clock::moist_air::standard_pressure(spot.height).in_pascals();
        let answer = python::ask(
            "sun",
            &json!({"latitude": latitude, "longitude": longitude, "height": height, "pressure": pressure,
                    "turbidity": turbidity, "times": times, "days": days}),
        );
        compare(&spot, turbidity, &times, &answer);
    }
}

fn compare(spot: &Spot, turbidity: f64, times: &[i64], answer: &serde_json::Value) {
    let column = |name| python::numbers(answer, name);
    let (elevation, apparent, azimuth) =
        (column("elevation"), column("apparent_elevation"), column("azimuth"));
    let (outside, global, diffuse, simple) =
        (column("outside"), column("global"), column("diffuse"), column("haurwitz"));
    let mut lit = 0;
    for (index, second) in times.iter().enumerate() {
        let at = Timestamp::from_second(*second).expect("in range");
        let sun = sun::position(spot, at).expect("on the earth");
        // Both follow the same published algorithm, good to 0.0003°; they differ by some seconds in the clock's shift
        // against the earth's turning, 1e-4°. Near the zenith an azimuth is stretched by 1 / cos(elevation).
        assert!((sun.elevation.in_degrees() - elevation[index]).abs() < 3e-4, "{at}");
        let stretched = basis::math::cos(sun.elevation.in_radians()).max(0.01);
        let turned = (sun.azimuth.in_degrees() - azimuth[index] + 540.0).rem_euclid(360.0) - 180.0;
        assert!((turned * stretched).abs() < 5e-4, "{at}: {turned}");
        // Refraction is switched off a little below the horizon, not at the same height in both.
        if elevation[index] > -0.5 {
            assert!((sun.apparent_elevation.in_degrees() - apparent[index]).abs() < 1e-3, "{at}");
        }
        assert!((sun::outside_the_air(at) / outside[index] - 1.0).abs() < 1e-9, "{at}");
        if apparent[index].abs() < 0.3 {
            continue;
        }
        let clear = sun::clear_sky(spot, at, turbidity).expect("on the earth");
        // The same equations; a thousandth of a degree at low sun moves them by some hundredths of a W/m².
        assert!((clear.global - global[index]).abs() < 0.1, "{at}: {} {}", clear.global, global[index]);
        assert!((clear.diffuse - diffuse[index]).abs() < 0.1, "{at}: {} {}", clear.diffuse, diffuse[index]);
        assert!((sun::haurwitz(sun.apparent_elevation) - simple[index]).abs() < 0.1, "{at}");
        lit += usize::from(clear.global > 50.0);
    }
    assert!(lit > 20, "only {lit} instants have sun");
    daylight(spot, answer);
}

fn daylight(spot: &Spot, answer: &serde_json::Value) {
    for (index, day) in ["2026-01-15", "2026-03-21", "2026-06-21", "2026-10-05"].iter().enumerate() {
        let midnight: Timestamp = format!("{day}T00:00:00Z").parse().expect("an instant");
        let ours = sun::daylight(spot, midnight).expect("on the earth");
        let all = [("rise", ours.rise), ("noon", Some(ours.noon)), ("set", ours.set)];
        for (name, at) in all {
            let (Some(at), Some(theirs)) = (at, answer[name][index].as_f64()) else { continue };
            // Theirs is of the UTC day, ours of the day around the noon: modulo a day, which moves an event by up to
            // 6 minutes at 61° N; the horizon of both is 0.8333° low.
            let apart = (at.as_second() as f64 - theirs + 43_200.0).rem_euclid(86_400.0) - 43_200.0;
            assert!(apart.abs() < 400.0, "{day} {name}: {apart} s");
        }
    }
}
