//! Any bytes as a file of shots of a job that reads without a fault.

#![no_main]

use libfuzzer_sys::fuzz_target;

const JOB: &str = include_str!("../../demo/bakery-yard.toml");

fuzz_target!(|bytes: &[u8]| {
    let parsed = formats::read_job(JOB, "job.toml", &|_| Ok(bytes.to_vec()));
    let told = formats::render_notes(&parsed.report.notes, &parsed.source, formats::NoteStyle::default());
    assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
    assert!(parsed.report.value.is_some() || !told.is_empty());
});
