//! Any bytes as the rows of a table of weather, and as a whole file.

#![no_main]

use libfuzzer_sys::fuzz_target;

const HEAD: &str = "time,temperature degC,humidity %,wind m/s,cloud %,rain mm/h,sun W/m2\n2026-03-08 01:00,5,80,2,25,0,0\n";

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
