//! Any text as something seen on the day, at night changes of the clocks too.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let zone = jiff::tz::TimeZoneDatabase::bundled().get("America/Chicago").unwrap_or(jiff::tz::TimeZone::UTC);
    let place = basis::Place::at("--seen");
    for first_truck in ["2026-06-12T12:00:00Z", "2026-03-08T02:00:00Z", "2026-11-01T02:00:00Z"] {
        let Ok(first_truck) = first_truck.parse() else { return };
        let day = formats::DayOfPour { first_truck, zone: &zone };
        let sight = formats::read_sight(text, &day, &place);
        assert_eq!(sight.value.is_none(), sight.has_fault());
        let time = formats::read_time_of_pour(text, &day, &place);
        assert_eq!(time.value.is_none(), time.has_fault());
    }
});
