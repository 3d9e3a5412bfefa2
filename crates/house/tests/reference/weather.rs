//! Whole measured years through the reader of EPW, against pvlib's own reading; and through the clock's weather.

use basis::{Place, UnitSystem};
use clock::weather::Site;
use clock::{moist_air, sun};
use formats::read_weather;
use house::python;
use jiff::SignedDuration;
use jiff::tz::{Offset, TimeZone};
use serde_json::json;

/// Two typical years that the library pvlib carries: a US city at 36° N, an island at 55° N.
const YEARS: [(&str, i8, usize); 2] = [("723170TYA.CSV", -5, 20), ("703165TY.csv", -9, 400)];

#[test]
fn measured_years_read_without_a_fault_and_as_pvlib_reads_them() {
    for (name, zone, jumps_at_most) in YEARS {
        let answer = python::ask("weather", &json!({"name": name}));
        let text = answer["epw"].as_str().expect("the file");
        let zone = TimeZone::fixed(Offset::constant(zone));
        let parsed = read_weather(text.as_bytes(), name, &zone);
        let file = parsed.report.value.unwrap_or_else(|| panic!("{name}: {:?}", parsed.report.notes));
        let codes: Vec<_> = parsed.report.notes.iter().map(|note| note.code).collect();
        assert!(codes.contains(&"typical-year") && codes.len() <= jumps_at_most, "{name}: {codes:?}");
        let column = |name| python::numbers(&answer, name);
        let (air, dew, wind) = (column("temp_air"), column("temp_dew"), column("wind_speed"));
        let (global, diffuse, cover) = (column("ghi"), column("dhi"), column("total_sky_cover"));
        let pressure = column("atmospheric_pressure");
        assert_eq!(file.series.records.len(), 8760);
        for hour in 0..8760 {
            let record = file.series.records[hour].expect("no hour is missing");
            assert!((record.air.in_celsius() - air[hour]).abs() < 1e-9);
            let point = moist_air::dew_point(record.vapour).expect("moist").in_celsius();
            assert!((point - dew[hour]).abs() < 1e-6, "{name} {hour}");
            assert!((record.wind.in_metres_per_second() - wind[hour]).abs() < 1e-12);
            assert!((record.cloud.in_ratio() - cover[hour] / 10.0).abs() < 1e-12);
            let sun = record.sun.expect("measured");
            assert!((sun.global - global[hour]).abs() < 1e-12);
            assert!((sun.diffuse - diffuse[hour].min(global[hour])).abs() < 1e-12);
            assert!((record.pressure.expect("measured").in_pascals() - pressure[hour]).abs() < 1e-6);
        }
        let spot = file.spot.expect("the file says where");
        assert!((spot.latitude.in_degrees() - python::number(&answer, "latitude")).abs() < 1e-12);
        a_year_at_the_slab(name, &file.series, Site::open(spot, zone));
    }
}

/// Every hour of the year gives an exposure that can be; the file fits its own site; sums and cloud hold together.
fn a_year_at_the_slab(name: &str, series: &clock::weather::Series, site: Site) {
    assert!(site.check(&Place::job()).is_empty());
    let notes = series.check_site(&site, &Place::job(), UnitSystem::Us);
    assert!(notes.is_empty(), "{name}: {notes:?}");
    assert!(series.covers(series.start, series.end()));
    let quarter = SignedDuration::from_mins(15);
    let track = series.track(&site, series.start, quarter, 8759 * 4).expect("covered");
    for felt in &track {
        assert!((-60.0..50.0).contains(&felt.air.in_celsius()) && felt.vapour.in_pascals() > 0.0, "{felt:?}");
        assert!((0.0..1300.0).contains(&felt.sun) && (80.0..520.0).contains(&felt.sky), "{felt:?}");
        assert!((0.0..40.0).contains(&felt.wind.in_metres_per_second()) && felt.rain >= 0.0, "{felt:?}");
    }
    let measured: f64 = series.records.iter().flatten().filter_map(|r| r.sun).map(|sun| sun.global).sum();
    let felt: f64 = track.iter().map(|felt| felt.sun / 4.0).sum();
    // Lines between the middles of hours keep the sum but for what they would put into the dark.
    assert!((felt / measured - 1.0).abs() < 0.02, "{name}: {felt} {measured}");
    cloud_against_measured(name, series, &site, measured);
}

/// The year's sun figured from cloud alone against the measured: what a forecast without sun would give.
fn cloud_against_measured(name: &str, series: &clock::weather::Series, site: &Site, measured: f64) {
    let mut bare = series.clone();
    for record in bare.records.iter_mut().flatten() {
        record.sun = None;
    }
    let quarter = SignedDuration::from_mins(15);
    let track = bare.track(site, bare.start, quarter, 8759 * 4).expect("covered");
    let figured: f64 = track.iter().map(|felt| felt.sun / 4.0).sum();
    // One figure of haze for all days and cloud by its amount: a year's sum within a fifth is what can be asked.
    assert!((figured / measured - 1.0).abs() < 0.20, "{name}: {:.3}", figured / measured);
    let clear = sun::clear_sky(&site.spot, bare.start, site.turbidity);
    assert!(clear.is_some());
}
