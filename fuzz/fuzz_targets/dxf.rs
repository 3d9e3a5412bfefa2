//! Any bytes as a drawing: bare, and as entities within a good frame. What reads is taken and put into a job.

#![no_main]

use basis::UnitSystem;
use formats::brought::{OutlineWish, ReadOptions, outline_of, put_outline, read_brought};
use libfuzzer_sys::fuzz_target;

const JOB: &str = include_str!("../../demo/patio.toml");
const HEAD: &str = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n2\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";

fuzz_target!(|bytes: &[u8]| {
    let framed = [HEAD.as_bytes(), bytes, b"\n0\nENDSEC\n0\nEOF\n"].concat();
    for file in [bytes, &framed] {
        let parsed = read_brought(file, "fuzzed", &ReadOptions::default());
        let told = formats::render_notes(&parsed.report.notes, &parsed.source, formats::NoteStyle::default());
        assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
        assert!(parsed.report.value.is_some() || !told.is_empty());
        let Some(found) = parsed.report.value else { continue };
        for layer in &found.layers {
            let wish =
                OutlineWish { layer: Some(layer.name.clone()), openings: None, origin: None, units: UnitSystem::Us };
            if let Some(taken) = outline_of(&found, &wish).value {
                let text = put_outline(JOB, &taken, UnitSystem::Us).expect("the job is TOML");
                let _ = formats::read_job(&text, "job.toml", &|_| Err(String::new()));
            }
        }
    }
});
