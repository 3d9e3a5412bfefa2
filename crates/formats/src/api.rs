//! What the machine interface says and takes, as JSON with its schemas: jobs, their state, events, the balance, faults.
//!
//! Plan, clock and price have reports of their own; an event has its wire in [`crate::events`].

use std::collections::BTreeMap;

use basis::{Estimate, Note, Volume};
use jiff::Timestamp;
use pour::balance::Balance;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::events::{Conflict, Event, LogWire, Outcome, State, Touched, write_event};

/// A job of the list.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ListedJob {
    /// Its id, as it stands in addresses.
    pub id: String,
    /// Its id as events name it: 32 hexadecimal digits.
    pub job: String,
    /// What the crew calls it; null when its text cannot be read.
    pub name: Option<String>,
    /// Highest tick of its events.
    pub tick: u64,
}

/// All jobs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JobList {
    /// The jobs.
    pub jobs: Vec<ListedJob>,
}

/// A new job.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewJob {
    /// Its id, drawn by the client, so that sending it twice makes one job: 32 hexadecimal digits in lower case.
    #[schemars(regex(pattern = "^[0-9a-f]{32}$"))]
    pub id: String,
    /// Who makes it.
    #[schemars(length(min = 1, max = 80))]
    pub by: String,
    /// The text of the job file: TOML.
    pub text: String,
    /// The files that it names, each as text.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub files: BTreeMap<String, String>,
}

/// An event is kept: it is on the disk.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Kept {
    /// The job's id, as it stands in addresses.
    pub id: String,
    /// The event.
    pub event: String,
    /// Highest tick of the job's events now; the next event takes one more.
    pub tick: u64,
}

/// Why something was not done, or not yet.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Problem {
    /// What is so.
    pub message: String,
    /// What to do about it.
    pub hint: String,
    /// Every fault with its place.
    pub notes: Vec<NoteWire>,
}

/// A note.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Note")]
pub struct NoteWire {
    /// Its stable short name.
    pub code: String,
    /// `remark`, `warning` or `fault`.
    pub severity: String,
    /// Where it points; empty is the whole.
    pub place: String,
    /// Line of the text, from 1; null when it has none.
    pub line: Option<usize>,
    /// What is so.
    pub message: String,
    /// What to do about it.
    pub hint: String,
}

/// A job as its events have left it.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "JobState")]
struct StateWire {
    /// Its id, as it stands in addresses.
    id: String,
    /// Its id as events name it.
    job: String,
    /// Highest tick of its events.
    tick: u64,
    /// The job file: TOML.
    text: String,
    /// Fingerprint of the text, for an event that replaces it; null when there is none.
    fingerprint: Option<String>,
    /// The files that it names.
    files: BTreeMap<String, String>,
    /// The log of the pour day, in order of time.
    log: Vec<LoggedWire>,
    /// What was written by people who did not see each other.
    conflicts: Vec<ConflictWire>,
    /// Events that are taken back, each with those that do so.
    undone: BTreeMap<String, Vec<String>>,
    /// All notes on job and events.
    notes: Vec<NoteWire>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Logged")]
struct LoggedWire {
    /// The event that told it.
    event: String,
    /// Who told it.
    by: String,
    /// What the teller's clock showed: RFC 3339.
    made: String,
    /// What was told.
    entry: LogWire,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Conflict")]
struct ConflictWire {
    /// The event of the later writer.
    event: String,
    /// The later writer.
    by: String,
    /// What was written: an address, `text`, or `file NAME`.
    at: String,
    /// What the later writer had seen; null where nothing was.
    saw: Option<String>,
    /// What stood there; null where nothing was.
    stood: Option<String>,
    /// What the later writer wrote; null when it was taken away.
    wrote: Option<String>,
    /// Whether what the later writer wrote stands; it cannot where the row was gone.
    stands: bool,
    /// The event whose writer has seen both and decided; null while nobody has.
    settled_by: Option<String>,
}

/// The last-load call from where the line has got to.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Balance")]
struct BalanceWire {
    /// What to call.
    call: QuantityWire,
    /// In these loads.
    loads: Vec<QuantityWire>,
    /// Chance that it runs short.
    chance_short: f64,
    /// Latest instant to call, in UTC; null when the plant's lead is not known.
    call_by: Option<String>,
    /// What the floor beyond the line takes in the forms.
    remaining: DoubtWire,
    /// What was used so far.
    used: DoubtWire,
    /// What was expected to be used so far.
    expected_used: DoubtWire,
    /// All notes.
    notes: Vec<NoteWire>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Quantity")]
struct QuantityWire {
    /// The value.
    value: f64,
    /// Its SI unit.
    unit: String,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "QuantityWithDoubt")]
struct DoubtWire {
    /// The value.
    value: f64,
    /// One standard deviation.
    sd: f64,
    /// Their SI unit.
    unit: String,
}

/// The papers that there are of a job.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PaperList {
    /// Their names, to be asked for with `.pdf`.
    pub papers: Vec<String>,
}

impl NoteWire {
    /// A note with its line, if it has one.
    #[must_use]
    pub fn of(note: &Note, line: Option<usize>) -> Self {
        Self {
            code: note.code.to_owned(),
            severity: note.severity.to_string(),
            place: note.place.path().to_owned(),
            line,
            message: note.message.clone(),
            hint: note.hint.clone(),
        }
    }
}

/// Any of the answers as JSON; its structs always have one.
#[must_use]
pub fn to_json(answer: &impl Serialize) -> Value {
    serde_json::to_value(answer).unwrap_or(Value::Null)
}

/// Reads a new job.
///
/// # Errors
/// Words for what is no such JSON.
///
/// ```
/// let json = r#"{ "id": "00112233445566778899aabbccddeeff", "by": "Ada", "text": "flatwright = 1" }"#;
/// assert_eq!(formats::api::read_new_job(json.as_bytes()).unwrap().by, "Ada");
/// assert!(formats::api::read_new_job(b"{}").is_err());
/// ```
pub fn read_new_job(json: &[u8]) -> Result<NewJob, String> {
    serde_json::from_slice(json).map_err(|error| crate::quantity::shown(&error.to_string()))
}

/// The state of a job, with the notes made on reading it.
#[must_use]
pub fn state_json((id, job): (&str, &str), state: &State, notes: Vec<NoteWire>) -> Value {
    let log = state.log.iter().map(|logged| LoggedWire {
        event: logged.event.to_string(),
        by: logged.by.clone(),
        made: logged.made.to_string(),
        entry: LogWire::of(&logged.entry),
    });
    let undone = state
        .undone
        .iter()
        .map(|(event, by)| (event.to_string(), by.iter().map(ToString::to_string).collect()));
    let of_events = state.faults.iter().map(|fault| NoteWire::of(&fault.note, None));
    to_json(&StateWire {
        id: id.to_owned(),
        job: job.to_owned(),
        tick: state.tick,
        text: state.text.clone(),
        fingerprint: state.fingerprint().map(|print| print.to_string()),
        files: state.files.clone(),
        log: log.collect(),
        conflicts: state.conflicts.iter().map(conflict).collect(),
        undone: undone.collect(),
        notes: notes.into_iter().chain(of_events).collect(),
    })
}

fn conflict(conflict: &Conflict) -> ConflictWire {
    ConflictWire {
        event: conflict.event.to_string(),
        by: conflict.by.clone(),
        at: match &conflict.at {
            Touched::Text => "text".to_owned(),
            Touched::File(name) => format!("file {name}"),
            Touched::Value(at) => at.to_string(),
        },
        saw: conflict.saw.clone(),
        stood: conflict.stood.clone(),
        wrote: conflict.wrote.clone(),
        stands: conflict.outcome == Outcome::LaterStands,
        settled_by: conflict.settled_by.map(|event| event.to_string()),
    }
}

/// Events in their order, as each was told.
#[must_use]
pub fn events_json<'e>(events: impl Iterator<Item = &'e Event>) -> String {
    let events: Vec<String> = events.map(write_event).collect();
    format!("{{\"events\":[{}]}}", events.join(","))
}

/// The last-load call, as it held when the line was told.
#[must_use]
pub fn balance_json(balance: &Balance, told_at: Timestamp, notes: Vec<NoteWire>) -> Value {
    let quantity = |volume: Volume| QuantityWire { value: volume.in_cubic_metres(), unit: "m3".to_owned() };
    let doubt = |volume: &Estimate<Volume>| DoubtWire {
        value: volume.mean.in_cubic_metres(),
        sd: volume.sd.in_cubic_metres(),
        unit: "m3".to_owned(),
    };
    let call_by = balance.times.call_by.and_then(|by| {
        let after = jiff::SignedDuration::try_from_secs_f64(by.in_seconds()).ok()?;
        told_at.checked_add(after).ok()
    });
    to_json(&BalanceWire {
        call: quantity(balance.recommended.quantity),
        loads: balance.loads.iter().map(|load| quantity(*load)).collect(),
        chance_short: balance.recommended.chance_short,
        call_by: call_by.map(|at| at.to_string()),
        remaining: doubt(&balance.remaining),
        used: doubt(&balance.used),
        expected_used: doubt(&balance.expected_used),
        notes,
    })
}

/// Schemas of everything above, by name.
#[must_use]
pub fn schemas() -> Vec<(&'static str, Value)> {
    vec![
        ("JobList", schemars::schema_for!(JobList).into()),
        ("NewJob", schemars::schema_for!(NewJob).into()),
        ("Kept", schemars::schema_for!(Kept).into()),
        ("Problem", schemars::schema_for!(Problem).into()),
        ("JobState", schemars::schema_for!(StateWire).into()),
        ("Balance", schemars::schema_for!(BalanceWire).into()),
        ("PaperList", schemars::schema_for!(PaperList).into()),
        ("Event", crate::events::event_schema()),
        ("Plan", crate::plan_schema()),
        ("Clock", crate::clock_schema()),
        ("Price", crate::price_schema()),
        ("Takeoff", crate::takeoff_schema()),
    ]
}
