//! Any lines as events of a job: what is read is written and read again as the same, and all together come to a state whose text is TOML.

#![no_main]

use formats::events::{Change, Event, EventId, fold, read_event, write_event};
use libfuzzer_sys::fuzz_target;

const JOB: &str = "flatwright = 1\njob = { name = \"x\" }\n[[corner]]\nname = \"A\"\n[[setup]]\nshots = [[\"1\", \"2\", \"3\", \"4\"]]\n";

fuzz_target!(|bytes: &[u8]| {
    let mut events: Vec<Event> = Vec::new();
    for line in bytes.split(|byte| *byte == b'\n').take(20) {
        let report = read_event(line);
        assert_eq!(report.value.is_none(), report.has_fault());
        let Some(event) = report.value else { continue };
        let again = write_event(&event);
        assert_eq!(write_event(&read_event(again.as_bytes()).value.expect("what was written")), again);
        events.push(event);
    }
    if let Some(first) = events.first().cloned() {
        let text = Change::Text { text: JOB.to_owned(), saw: None };
        events.push(Event { id: EventId::from_bytes([0; 16]), tick: 0, change: text, ..first });
    }
    let state = fold(&events);
    assert!(!state.is_there() || state.text.parse::<toml_edit::DocumentMut>().is_ok());
    events.reverse();
    assert_eq!(fold(&events), state);
});
