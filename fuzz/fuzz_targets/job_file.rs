//! Any bytes as a job file: read, place every note, set the notes, and write what was read.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let shots = |_: &str| Ok(b"x,y,reading\n1 ft,1 ft,4 ft\n".to_vec());
    let parsed = formats::read_job_bytes(bytes, "job.toml", &shots);
    let told = formats::render_notes(&parsed.report.notes, &parsed.source, formats::NoteStyle::default());
    assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
    assert!(parsed.report.value.is_some() || !told.is_empty());
    if let Some(job) = &parsed.report.value {
        let again = formats::read_job(&formats::write_job(job), "again.toml", &shots);
        assert!(again.report.value.is_some(), "{}", formats::write_job(job));
    }
});
