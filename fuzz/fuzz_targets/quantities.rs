//! Any text as the value of a key, through the reader of the job file: every kind of quantity in turn.

#![no_main]

use libfuzzer_sys::fuzz_target;

const JOB: &str = include_str!("../../crates/formats/src/every_key.toml");

fuzz_target!(|text: &str| {
    let mut quoted = String::from("\"");
    for character in text.chars().filter(|character| !character.is_control()) {
        quoted.push_str(&format!("\\U{:08x}", character as u32));
    }
    quoted.push('"');
    // Every string of the file becomes the text, so that each kind of key meets it.
    let mut job = String::new();
    for line in JOB.lines() {
        match line.split_once(" = \"") {
            Some((key, _)) if !line.contains('[') && !line.contains('{') => {
                job.push_str(&format!("{key} = {quoted}\n"));
            }
            _ => job.push_str(&format!("{line}\n")),
        }
    }
    let parsed = formats::read_job(&job, "job.toml", &|_| Err(String::new()));
    let _ = formats::render_notes(&parsed.report.notes, &parsed.source, formats::NoteStyle::default());
});
