//! Any bytes as a survey: bare, and as points and a surface within a good frame. What reads is taken and put into a job.

#![no_main]

use basis::UnitSystem;
use formats::brought::{ReadOptions, ShotWish, put_shots, read_brought, shots_of};
use ground::survey::ShotOn;
use libfuzzer_sys::fuzz_target;

const JOB: &str = include_str!("../../demo/patio.toml");
const HEAD: &str = "<LandXML><Units><Metric linearUnit=\"meter\"/></Units>";

fuzz_target!(|bytes: &[u8]| {
    let framed = [HEAD.as_bytes(), bytes, b"</LandXML>"].concat();
    for file in [bytes, &framed] {
        let parsed = read_brought(file, "fuzzed", &ReadOptions::default());
        assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
        let Some(found) = parsed.report.value else { continue };
        let layers = found.layers.iter().map(|layer| layer.name.clone()).collect();
        let wish = ShotWish { layers, origin: None, on: ShotOn::Base, setup: "fuzzed".into(), units: UnitSystem::Us };
        if let Some(taken) = shots_of(&found, &wish).value {
            let text = put_shots(JOB, &taken, UnitSystem::Us).expect("the job is TOML");
            let read = formats::read_job(&text, "job.toml", &|_| Err(String::new()));
            assert!(read.report.value.is_some(), "{:?}", read.report.notes);
        }
    }
});
