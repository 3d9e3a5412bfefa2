//! Any bytes as the rows of an EPW file.

#![no_main]

use libfuzzer_sys::fuzz_target;

const HEAD: &str = "LOCATION,Nowhere,-,-,made up,000000,41.0,-88.0,-6.0,200.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";

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
