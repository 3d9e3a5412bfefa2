//! Any bytes as the properties of a forecast.

#![no_main]

use libfuzzer_sys::fuzz_target;

const HEAD: &str = "{\"properties\": {\"updateTime\": \"2026-06-21T09:30:00Z\", ";

fuzz_target!(|bytes: &[u8]| {
    let zone = jiff::tz::TimeZoneDatabase::bundled().get("America/Chicago").unwrap_or(jiff::tz::TimeZone::UTC);
    let with_head = [HEAD.as_bytes(), bytes].concat();
    for bytes in [bytes, with_head.as_slice()] {
        let parsed = formats::read_weather(bytes, "weather", &zone);
        let told = formats::render_notes(&parsed.report.notes, &parsed.source, formats::NoteStyle::default());
        assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
        assert!(parsed.report.value.is_some() || !told.is_empty());
    }
});
