//! Events as JSON: read with bounds, written in one way.

use basis::{Note, Place, Report};
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use toml_edit::DocumentMut;

use super::value::parse;
use super::wire_log::LogWire;
use super::{Address, After, Change, Event, Fingerprint};
use crate::quantity::shown;

/// Largest event that is read, in bytes of JSON.
pub const LARGEST_EVENT: usize = 5_000_000;
/// Largest text of a job file or of a file that it names, in bytes.
pub const LARGEST_TEXT: usize = 2_000_000;
/// Largest value or row, in bytes of TOML.
pub const LARGEST_VALUE: usize = 50_000;
/// Longest remark, in characters.
pub const LONGEST_WORDS: usize = 2_000;
/// Longest name of a person or file, in characters.
pub const LONGEST_NAME: usize = 80;
/// Highest tick: a script counts exactly up to here and beyond.
pub const HIGHEST_TICK: u64 = 1 << 48;

/// One change of one job.
#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Flatwright event")]
struct EventWire {
    /// 128 random bits made by the client: 32 hexadecimal digits in lower case.
    #[schemars(regex(pattern = "^[0-9a-f]{32}$"))]
    id: String,
    /// The job: 32 hexadecimal digits in lower case.
    #[schemars(regex(pattern = "^[0-9a-f]{32}$"))]
    job: String,
    /// Lamport counter: one more than the highest that the client knows of the job.
    #[schemars(range(max = 281_474_976_710_656_u64))]
    tick: u64,
    /// What the client's clock shows: RFC 3339.
    made: String,
    /// Who made it.
    by: String,
    /// The change.
    change: ChangeWire,
}

#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[schemars(rename = "Change")]
enum ChangeWire {
    /// The whole text of the job file: a new job, an import, an edit by hand.
    Text {
        /// The text: TOML.
        text: String,
        /// Fingerprint of the text that the writer saw before; left out for a new job.
        #[serde(skip_serializing_if = "Option::is_none")]
        saw: Option<String>,
    },
    /// A file that the job file names.
    File {
        /// Its name.
        name: String,
        /// Its text; left out to take it away.
        #[serde(skip_serializing_if = "Option::is_none")]
        text: Option<String>,
        /// Fingerprint of the text that the writer saw before.
        #[serde(skip_serializing_if = "Option::is_none")]
        saw: Option<String>,
    },
    /// One value of the job file.
    Set {
        /// Address of the value.
        at: String,
        /// What the writer saw there, as TOML; left out where nothing stood.
        #[serde(skip_serializing_if = "Option::is_none")]
        was: Option<String>,
        /// The value as TOML; left out to take it or its row away.
        #[serde(skip_serializing_if = "Option::is_none")]
        to: Option<String>,
    },
    /// A new row of a list.
    Add {
        /// Address of the list.
        list: String,
        /// `start`, or the id of the row after which it goes; left out for the end of the list.
        #[serde(skip_serializing_if = "Option::is_none")]
        after: Option<String>,
        /// The row as TOML.
        row: String,
    },
    /// An entry of the log of the pour day.
    Log(LogWire),
    /// Takes an event back.
    Undo {
        /// Id of the event.
        event: String,
    },
}

/// Reads an event.
///
/// # Errors
/// Refused when it is no such JSON, too large, or out of bounds; all that is out of bounds is told at once, each at its place.
///
/// ```
/// let json = r#"{ "id": "00112233445566778899aabbccddeeff", "job": "ffeeddccbbaa99887766554433221100", "tick": 7,
///   "made": "2026-06-12T12:40:00Z", "by": "Ada", "change": { "set": { "at": "slab.nominal", "was": "\"4 in\"", "to": "\"5 in\"" } } }"#;
/// let event = formats::events::read_event(json.as_bytes()).value.unwrap();
/// assert_eq!(event.tick, 7);
/// let again = formats::events::write_event(&event);
/// assert_eq!(formats::events::read_event(again.as_bytes()).value, Some(event));
/// ```
#[must_use]
pub fn read_event(json: &[u8]) -> Report<Event> {
    if json.len() > LARGEST_EVENT {
        let message = format!(
            "the event has {} MB; at most {} MB are read",
            json.len() / 1_000_000,
            LARGEST_EVENT / 1_000_000
        );
        let hint = "a job file, or a file that it names, may have 2 MB";
        return Report::refused(vec![Note::fault("event-too-large", Place::job(), message, hint)]);
    }
    let wire: EventWire = match serde_json::from_slice(json) {
        Ok(wire) => wire,
        Err(error) => {
            let message = format!("this is no event: {}", shown(&error.to_string()));
            let hint = "send it as the schema of events says";
            return Report::refused(vec![Note::fault("event-unclear", Place::job(), message, hint)]);
        }
    };
    let mut bounds = Bounds::default();
    let event = event(wire, &mut bounds);
    match event {
        Some(event) if bounds.notes.is_empty() => Report::with(event, Vec::new()),
        _ => Report::refused(bounds.notes),
    }
}

/// Writes an event as JSON, always in the same way.
#[must_use]
pub fn write_event(event: &Event) -> String {
    let change = match event.change.clone() {
        Change::Text { text, saw } => ChangeWire::Text { text, saw: saw.map(|saw| saw.to_string()) },
        Change::File { name, text, saw } => {
            ChangeWire::File { name, text, saw: saw.map(|saw| saw.to_string()) }
        }
        Change::Set { at, was, to } => ChangeWire::Set { at: at.to_string(), was, to },
        Change::Add { list, after, row } => ChangeWire::Add {
            list: list.to_string(),
            after: match after {
                After::Start => Some("start".to_owned()),
                After::Row(id) => Some(id.to_string()),
                After::End => None,
            },
            row,
        },
        Change::Log(entry) => ChangeWire::Log(LogWire::of(&entry)),
        Change::Undo { event } => ChangeWire::Undo { event: event.to_string() },
    };
    let wire = EventWire {
        id: event.id.to_string(),
        job: event.job.to_string(),
        tick: event.tick,
        made: event.made.to_string(),
        by: event.by.clone(),
        change,
    };
    // Strings, numbers and structs always have a JSON.
    serde_json::to_string(&wire).unwrap_or_default()
}

/// JSON Schema of an event.
#[must_use]
pub fn event_schema() -> serde_json::Value {
    schemars::schema_for!(EventWire).into()
}

/// Gathers what is out of bounds.
#[derive(Default)]
pub(crate) struct Bounds {
    notes: Vec<Note>,
}

impl Bounds {
    /// The value, or a note at the place.
    pub fn take<T, E: std::fmt::Display>(&mut self, place: &str, value: Result<T, E>) -> Option<T> {
        value.map_err(|error| self.note(place, error.to_string())).ok()
    }

    pub fn note(&mut self, place: &str, message: impl Into<String>) {
        let hint = "send it as the schema of events says";
        self.notes.push(Note::fault("event-out-of-bounds", Place::at(place), message, hint));
    }

    fn bytes(&mut self, place: &str, text: &str, most: usize) {
        if text.len() > most {
            self.note(place, format!("{} bytes; at most {most} are taken", text.len()));
        }
    }

    /// Words of a person: not too long, and no signs that no keyboard has.
    pub fn words(&mut self, place: &str, text: &str, most: usize) {
        let count = text.chars().count();
        if count > most {
            self.note(place, format!("{count} characters; at most {most} are taken"));
        }
        if text.chars().any(|c| c.is_control() && c != '\n' && c != '\t') {
            self.note(place, "there are control characters in it");
        }
    }

    fn name(&mut self, place: &str, text: &str) {
        self.words(place, text, LONGEST_NAME);
        if text.trim().is_empty() || text.contains(['\n', '\t']) {
            self.note(place, "a name of one line is wanted");
        }
    }

    fn toml_value(&mut self, place: &str, text: Option<&str>) {
        let Some(text) = text else { return };
        self.bytes(place, text, LARGEST_VALUE);
        if parse(text).is_none() {
            self.note(place, "a value as TOML writes it is wanted, as in \"4 in\" with its quotes");
        }
    }
}

fn event(wire: EventWire, bounds: &mut Bounds) -> Option<Event> {
    let id = bounds.take("id", wire.id.parse());
    let job = bounds.take("job", wire.job.parse());
    let made = bounds.take("made", wire.made.parse::<Timestamp>());
    if wire.tick > HIGHEST_TICK {
        bounds.note("tick", format!("a tick is at most {HIGHEST_TICK}"));
    }
    bounds.name("by", &wire.by);
    let change = change(wire.change, bounds);
    Some(Event { id: id?, job: job?, tick: wire.tick, made: made?, by: wire.by, change: change? })
}

fn change(wire: ChangeWire, bounds: &mut Bounds) -> Option<Change> {
    let address = |text: String| text.parse::<Address>();
    match wire {
        ChangeWire::Text { text, saw } => {
            bounds.bytes("change.text.text", &text, LARGEST_TEXT);
            if let Err(error) = text.strip_prefix('\u{feff}').unwrap_or(&text).parse::<DocumentMut>() {
                bounds.note("change.text.text", format!("the text is not TOML: {}", shown(error.message())));
            }
            Some(Change::Text { text, saw: fingerprint("change.text.saw", saw, bounds)? })
        }
        ChangeWire::File { name, text, saw } => {
            bounds.name("change.file.name", &name);
            if name.contains(['/', '\\', ':']) || name.starts_with('.') {
                bounds.note("change.file.name", "a plain name of a file is wanted, without folders");
            }
            bounds.bytes("change.file.text", text.as_deref().unwrap_or_default(), LARGEST_TEXT);
            Some(Change::File { name, text, saw: fingerprint("change.file.saw", saw, bounds)? })
        }
        ChangeWire::Set { at, was, to } => {
            bounds.toml_value("change.set.was", was.as_deref());
            bounds.toml_value("change.set.to", to.as_deref());
            Some(Change::Set { at: bounds.take("change.set.at", address(at))?, was, to })
        }
        ChangeWire::Add { list, after, row } => {
            bounds.toml_value("change.add.row", Some(&row));
            if parse(&row).is_some_and(|row| !row.is_inline_table() && !row.is_array()) {
                bounds.note("change.add.row", "a row is a table in braces or a list in brackets");
            }
            let after = match after.as_deref() {
                None => Some(After::End),
                Some("start") => Some(After::Start),
                Some(id) => bounds.take("change.add.after", id.parse()).map(After::Row),
            };
            Some(Change::Add { list: bounds.take("change.add.list", address(list))?, after: after?, row })
        }
        ChangeWire::Log(entry) => entry.entry(bounds).map(Change::Log),
        ChangeWire::Undo { event } => {
            Some(Change::Undo { event: bounds.take("change.undo.event", event.parse())? })
        }
    }
}

/// The fingerprint, if one is stated; nothing when it is out of bounds.
fn fingerprint(place: &str, text: Option<String>, bounds: &mut Bounds) -> Option<Option<Fingerprint>> {
    match text {
        None => Some(None),
        Some(text) => bounds.take(place, text.parse()).map(Some),
    }
}
