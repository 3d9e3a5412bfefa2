//! All events of a job in one order, applied one after the other.

use std::collections::BTreeMap;

use basis::{Note, Place};
use toml_edit::DocumentMut;

use super::document::{Document, Lost};
use super::rows;
use super::state::{Conflict, EventNote, Logged, Outcome, State, Touched};
use super::value::parse;
use super::{Address, Change, Event, EventId, Fingerprint, write_event};

/// The state of a job after all of these events, in whatever order and how often they are given.
///
/// They are applied in order of tick, then id; those that are taken back are left out. The first event's job is the job. Events are
/// taken to be as [`read_event`](super::read_event) lets them through; what cannot be applied is told in [`State::faults`].
///
/// ```
/// use formats::events::{Change, Event, EventId, JobId, fold};
/// let made = "2026-06-12T12:00:00Z".parse().unwrap();
/// let event = |id: u8, tick, change| Event {
///     id: EventId::from_bytes([id; 16]), job: JobId::from_bytes([1; 16]), tick, made, by: "Ada".into(), change,
/// };
/// let text = "flatwright = 1\n[slab]\nnominal = \"4 in\" # as drawn\n".to_owned();
/// let thicker = Change::Set {
///     at: "slab.nominal".parse().unwrap(),
///     was: Some("\"4 in\"".into()),
///     to: Some("\"5 in\"".into()),
/// };
/// let events = [event(2, 2, thicker), event(1, 1, Change::Text { text, saw: None })];
/// assert_eq!(fold(&events).text, "flatwright = 1\n[slab]\nnominal = \"5 in\" # as drawn\n");
/// ```
#[must_use]
pub fn fold(events: &[Event]) -> State {
    let mut folding = Folding::default();
    let ordered = folding.ordered(events);
    folding.state.undone = undone(&ordered, &mut folding.state.faults);
    folding.state.tick = ordered.iter().map(|event| event.tick).max().unwrap_or(0);
    for event in ordered {
        if folding.state.undone.contains_key(&event.id) {
            folding.passed_over(event);
        } else {
            folding.apply(event);
        }
    }
    let mut state = folding.state;
    state.log.sort_by_key(|logged| logged.entry.at);
    if state.document.is_there {
        state.text = state.document.toml.to_string();
    }
    state
}

fn told(event: &Event, note: Note) -> EventNote {
    EventNote { event: event.id, by: event.by.clone(), note }
}

/// Which events are taken back, by which events that are not taken back themselves.
fn undone(ordered: &[&Event], faults: &mut Vec<EventNote>) -> BTreeMap<EventId, Vec<EventId>> {
    let rank: BTreeMap<EventId, usize> =
        ordered.iter().enumerate().map(|(rank, event)| (event.id, rank)).collect();
    let mut undone: BTreeMap<EventId, Vec<EventId>> = BTreeMap::new();
    let mut wrong = Vec::new();
    // What takes an event back comes after it: from the last to the first, it is known which of them count.
    for (at, event) in ordered.iter().enumerate().rev() {
        let Change::Undo { event: target } = &event.change else { continue };
        match rank.get(target) {
            Some(rank) if *rank < at => {
                if !undone.contains_key(&event.id) {
                    undone.entry(*target).or_default().push(event.id);
                }
            }
            Some(_) => wrong.push((event, "it takes back what comes after it")),
            None => wrong.push((event, "it takes back an event that is not here")),
        }
    }
    undone.values_mut().for_each(|by| by.reverse());
    for (event, why) in wrong.into_iter().rev() {
        let hint = "when all have sent what they have and it stays, take back the entry that is meant anew";
        faults.push(told(event, Note::warning("undo-without-event", Place::job(), why, hint)));
    }
    undone
}

/// Who wrote where, in order.
struct Write {
    at: Address,
    event: EventId,
    by: String,
}

#[derive(Default)]
struct Folding {
    state: State,
    writes: Vec<Write>,
    /// What events that are taken back had written: who saw that, saw what stood there.
    taken_back: Vec<(Address, Option<String>)>,
    /// Who wrote the whole text and the files last.
    wrote_text: Option<(EventId, String)>,
    wrote_files: BTreeMap<String, (EventId, String)>,
}

impl Folding {
    /// The events in order, each once.
    fn ordered<'e>(&mut self, events: &'e [Event]) -> Vec<&'e Event> {
        let mut sorted: Vec<&Event> = events.iter().collect();
        sorted.sort_by(|a, b| {
            let same = || write_event(a).cmp(&write_event(b));
            a.tick.cmp(&b.tick).then_with(|| a.id.cmp(&b.id)).then_with(same)
        });
        let job = sorted.first().map(|event| event.job);
        let mut taken: BTreeMap<EventId, &Event> = BTreeMap::new();
        let mut ordered: Vec<&Event> = Vec::new();
        for event in sorted {
            let why = match taken.get(&event.id) {
                Some(first) if *first == event => continue,
                Some(_) => "another event has the same id",
                None if Some(event.job) != job => "it is of another job",
                None => {
                    taken.insert(event.id, event);
                    ordered.push(event);
                    continue;
                }
            };
            let hint = "make the change anew";
            let note = Note::warning("event-not-taken", Place::job(), format!("{why}: it is left out"), hint);
            let note = told(event, note);
            if !self.state.faults.contains(&note) {
                self.state.faults.push(note);
            }
        }
        ordered
    }

    fn apply(&mut self, event: &Event) {
        match &event.change {
            Change::Text { text, saw } => self.text(event, text, *saw),
            Change::File { name, text, saw } => self.file(event, name, text.as_deref(), *saw),
            Change::Set { at, was, to } => self.set(event, at, was.as_deref(), to.as_deref()),
            Change::Add { list, after, row } => {
                let Some(row) = parse(row).filter(|row| row.is_inline_table() || row.is_array()) else {
                    return self.fault(event, list, "what is added is no row");
                };
                match self.state.document.add(list, *after, row, event.id) {
                    Ok(true) => {}
                    Ok(false) => self.fault(event, list, "the row after which it was to stand is not there"),
                    Err(lost) => return self.lost(event, list, None, None, lost),
                }
                let id = super::RowId { event: event.id, nth: 0 };
                self.wrote(event, &list.row(id).unwrap_or_else(|| list.clone()));
            }
            Change::Log(entry) => self.state.log.push(Logged {
                event: event.id,
                by: event.by.clone(),
                made: event.made,
                entry: entry.clone(),
            }),
            Change::Undo { .. } => {}
        }
    }

    fn passed_over(&mut self, event: &Event) {
        if let Change::Set { at, to, .. } = &event.change {
            let to = to.as_deref().and_then(parse).map(|value| super::value::canonical(&value));
            self.taken_back.push((at.clone(), to));
        }
    }

    fn text(&mut self, event: &Event, text: &str, saw: Option<Fingerprint>) {
        let Ok(toml) = text.strip_prefix('\u{feff}').unwrap_or(text).parse::<DocumentMut>() else {
            let hint = "mend the text and give it anew";
            let note = Note::warning("event-not-applied", Place::job(), "the text is not TOML", hint);
            return self.state.faults.push(told(event, note));
        };
        let before = self.state.document.is_there.then(|| self.state.document.toml.to_string());
        let after = toml.to_string();
        let stands = before.as_deref().map(Fingerprint::of);
        if saw != stands && before.as_deref() != Some(after.as_str()) {
            let last = self.writes.last().map(|write| (write.event, write.by.clone()));
            let conflict = Conflict {
                event: event.id,
                by: event.by.clone(),
                at: Touched::Text,
                saw: saw.map(|saw| saw.to_string()),
                stood: before,
                stood_by: last.or_else(|| self.wrote_text.clone()),
                wrote: Some(after),
                outcome: Outcome::LaterStands,
                settled_by: None,
            };
            self.state.conflicts.push(conflict);
        } else {
            self.settle(event, &Touched::Text);
        }
        let known = rows::known(&self.state.document, None);
        let mut document = Document { toml, is_there: true, ..Document::default() };
        let mut lists = BTreeMap::new();
        rows::identify(document.root(), &[], event.id, &known, &mut lists);
        document.lists = lists;
        self.state.document = document;
        self.writes.clear();
        self.taken_back.clear();
        self.wrote_text = Some((event.id, event.by.clone()));
    }

    fn file(&mut self, event: &Event, name: &str, text: Option<&str>, saw: Option<Fingerprint>) {
        let before = self.state.files.get(name).cloned();
        let at = Touched::File(name.to_owned());
        if saw != before.as_deref().map(Fingerprint::of) && before.as_deref() != text {
            let conflict = Conflict {
                event: event.id,
                by: event.by.clone(),
                at,
                saw: saw.map(|saw| saw.to_string()),
                stood: before,
                stood_by: self.wrote_files.get(name).cloned(),
                wrote: text.map(str::to_owned),
                outcome: Outcome::LaterStands,
                settled_by: None,
            };
            self.state.conflicts.push(conflict);
        } else {
            self.settle(event, &at);
        }
        match text {
            Some(text) => self.state.files.insert(name.to_owned(), text.to_owned()),
            None => self.state.files.remove(name),
        };
        self.wrote_files.insert(name.to_owned(), (event.id, event.by.clone()));
    }

    fn set(&mut self, event: &Event, at: &Address, was: Option<&str>, to: Option<&str>) {
        let stood = match self.state.document.find(at) {
            Ok(found) => found.node.and_then(super::document::Node::canonical),
            Err(lost) => return self.lost(event, at, was, to, lost),
        };
        let one = |text: &str| parse(text).map(|value| super::value::canonical(&value));
        let (saw, wrote) = (was.and_then(one), to.and_then(one));
        if to.is_some() && wrote.is_none() {
            return self.fault(event, at, "what is written is no value");
        }
        let conflict = (saw != stood && wrote != stood && !self.was_taken_back(at, &saw)).then(|| Conflict {
            event: event.id,
            by: event.by.clone(),
            at: Touched::Value(at.clone()),
            saw: saw.clone(),
            stood: stood.clone(),
            stood_by: self.writer_of(at),
            wrote: wrote.clone(),
            outcome: Outcome::LaterStands,
            settled_by: None,
        });
        let done = match to.and_then(parse) {
            Some(value) if wrote != stood => self.state.document.set(at, value, event.id),
            None if stood.is_some() => self.state.document.remove(at, event.id),
            _ => Ok(()),
        };
        match done {
            Err(_) => self.fault(event, at, "that cannot stand there"),
            Ok(()) => {
                match conflict {
                    Some(conflict) => self.state.conflicts.push(conflict),
                    None if saw == stood => self.settle(event, &Touched::Value(at.clone())),
                    None => {}
                }
                self.wrote(event, at);
            }
        }
    }

    fn was_taken_back(&self, at: &Address, saw: &Option<String>) -> bool {
        self.taken_back.iter().any(|(written, value)| written == at && value == saw)
    }

    fn wrote(&mut self, event: &Event, at: &Address) {
        self.writes.push(Write { at: at.clone(), event: event.id, by: event.by.clone() });
    }

    fn writer_of(&self, at: &Address) -> Option<(EventId, String)> {
        let last = self.writes.iter().rev().find(|write| write.at.touches(at));
        last.map(|write| (write.event, write.by.clone())).or_else(|| self.wrote_text.clone())
    }

    /// Conflicts of one place are settled by a writer who has seen what came of them.
    fn settle(&mut self, event: &Event, at: &Touched) {
        let open = self.state.conflicts.iter_mut().filter(|conflict| conflict.settled_by.is_none());
        open.filter(|conflict| conflict.at == *at).for_each(|conflict| conflict.settled_by = Some(event.id));
    }

    /// An address that leads nowhere: a row that was taken away is a conflict with who did so.
    fn lost(&mut self, event: &Event, at: &Address, was: Option<&str>, to: Option<&str>, lost: Lost) {
        let why = match lost {
            Lost::Gone(by) => {
                let taker = self.writes.iter().rev().find(|write| write.event == by);
                let taker = taker.map(|write| (by, write.by.clone())).or_else(|| self.wrote_text.clone());
                // Two who take the same row away agree.
                if to.is_some() || at.as_row().is_none() {
                    self.state.conflicts.push(Conflict {
                        event: event.id,
                        by: event.by.clone(),
                        at: Touched::Value(at.clone()),
                        saw: was.map(str::to_owned),
                        stood: None,
                        stood_by: taker,
                        wrote: to.map(str::to_owned),
                        outcome: Outcome::RowIsGone,
                        settled_by: None,
                    });
                }
                return;
            }
            Lost::NoRow(id) if self.state.undone.contains_key(&id.event) => {
                "the row that it is in was taken back"
            }
            Lost::NoRow(_) => "the row that it is in is not here",
            Lost::Nowhere => "there is no such place in the job file",
        };
        self.fault(event, at, why);
    }

    fn fault(&mut self, event: &Event, at: &Address, why: &str) {
        let place = self.state.document.place(at).unwrap_or_else(|| Place::at(at.to_string()));
        let hint = "look at the job as it stands and make the change anew if it is still wanted";
        self.state.faults.push(told(event, Note::warning("event-not-applied", place, why, hint)));
    }
}
