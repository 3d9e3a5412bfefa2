//! Laws of the fold, on jobs changed at random by people who see each other late.

use proptest::prelude::*;
use proptest::sample::Index;

use super::*;

/// What somebody does, with numbers that pick where and what.
#[derive(Debug, Clone)]
enum Deed {
    Set(Index, u8),
    Remove(Index),
    Add(Index, Index, u8),
    Undo(Index),
    Log(i64),
    Text(u8),
}

/// Who does it, and how many of the last events of others are not seen yet.
type Doing = (Deed, u8, u8);

fn doings() -> impl Strategy<Value = Vec<Doing>> {
    let deed = prop_oneof![
        4 => (any::<Index>(), any::<u8>()).prop_map(|(at, value)| Deed::Set(at, value)),
        2 => any::<Index>().prop_map(Deed::Remove),
        3 => (any::<Index>(), any::<Index>(), any::<u8>()).prop_map(|(list, after, value)| Deed::Add(list, after, value)),
        2 => any::<Index>().prop_map(Deed::Undo),
        1 => (0_i64..86_400).prop_map(Deed::Log),
        1 => any::<u8>().prop_map(Deed::Text),
    ];
    prop::collection::vec((deed, 0_u8..3, 0_u8..4), 1..25)
}

const LISTS: [&str; 4] = ["corner", "setup[0].shots", "setup", "door"];

/// Places of the small job's kind that may or may not be there.
const PLACES: [&str; 14] = [
    "slab.nominal",
    "slab.minimum",
    "job.name",
    "corner[0].at[1]",
    "corner[1].name",
    "corner[2].at",
    "setup[0].name",
    "setup[0].shots[0].reading",
    "setup[0].shots[1]",
    "setup[0].shots[2].name",
    "setup[0].backsight.on",
    "crew.people",
    "door[0].name",
    "setup[0].shots",
];

const GONE: [&str; 8] = [
    "slab.nominal",
    "corner[0]",
    "corner[1]",
    "setup[0].shots[0]",
    "setup[0].shots[2]",
    "door[0]",
    "setup[0].backsight",
    "setup[0]",
];

/// Places with the way there in a plain table.
const WAYS: [(&str, &[&str]); 6] = [
    ("slab.nominal", &["slab", "nominal"]),
    ("slab.minimum", &["slab", "minimum"]),
    ("corner[1].name", &["corner", "1", "name"]),
    ("setup[0].shots[1].reading", &["setup", "0", "shots", "1", "3"]),
    ("setup[0].backsight.on", &["setup", "0", "backsight", "on"]),
    ("crew.placing", &["crew", "placing"]),
];

fn value_for(place: &str, value: u8) -> String {
    match place {
        "corner[2].at" => format!("[\"{value} ft\", \"1 ft\"]"),
        "setup[0].shots[1]" => format!("[\"r{value}\", \"1 ft\", \"2 ft\", \"{value} mm\"]"),
        "setup[0].shots" => format!(
            "[[\"1\", \"1 ft\", \"2 ft\", \"{value} mm\"], [\"n{value}\", \"1 ft\", \"2 ft\", \"3 mm\"]]"
        ),
        "crew.people" => value.to_string(),
        _ => format!("\"v{value}\""),
    }
}

fn row_for(list: &str, value: u8) -> String {
    match list {
        "setup[0].shots" => format!("[\"s{value}\", \"{value} ft\", \"2 ft\", \"4 ft\"]"),
        "setup" => {
            format!("{{ name = \"p{value}\", shots = [[\"1\", \"1 ft\", \"1 ft\", \"{value} mm\"]] }}")
        }
        _ => format!("{{ name = \"n{value}\", at = [\"{value} ft\", \"0 ft\"] }}"),
    }
}

/// Events as people make them who have not seen the last of the others'.
fn made(doings: &[Doing]) -> Vec<Event> {
    let mut events = vec![new_job(SMALL)];
    for (number, (deed, who, late)) in (2_u8..).zip(doings) {
        let by = ["Ada", "Ben", "Cy"][usize::from(*who)];
        let unseen = events.len().saturating_sub(usize::from(*late)).max(1);
        let seen: Vec<Event> = events
            .iter()
            .enumerate()
            .filter(|(i, event)| *i < unseen || event.by == by)
            .map(|(_, event)| event.clone())
            .collect();
        let state = fold(&seen);
        let known = |place: &str| state.address(&basis::Place::at(place));
        let written = |place: &str, to: Option<String>| {
            known(place).map(|at| Change::Set { was: state.value(&at), at, to })
        };
        let change = match deed {
            Deed::Set(at, value) => {
                let place = PLACES[at.index(PLACES.len())];
                written(place, Some(value_for(place, *value)))
            }
            Deed::Remove(at) => written(GONE[at.index(GONE.len())], None),
            Deed::Add(list, after, value) => {
                let list = LISTS[list.index(LISTS.len())];
                let rows: Vec<RowId> = (0..4)
                    .filter_map(|i| known(&format!("{list}[{i}]"))?.as_row().map(|(_, id)| id))
                    .collect();
                let after = match after.index(rows.len() + 2) {
                    0 => After::End,
                    1 => After::Start,
                    i => After::Row(rows[i - 2]),
                };
                known(list).map(|at| Change::Add { list: at, after, row: row_for(list, *value) })
            }
            Deed::Undo(of) => Some(Change::Undo { event: of.get(&seen).id }).filter(|change| {
                // The text that made the job is not taken back here: nothing would be left to look at.
                *change != Change::Undo { event: id(1) }
            }),
            Deed::Log(second) => {
                let at = jiff::Timestamp::from_second(1_780_000_000 + second).unwrap();
                Some(Change::Log(pour::log::Entry {
                    at,
                    what: pour::log::What::Remark { words: "x".into() },
                }))
            }
            Deed::Text(value) => Some(Change::Text {
                text: state.text.replace("\"A\"", &format!("\"A{value}\"")),
                saw: state.fingerprint(),
            }),
        };
        if let Some(change) = change {
            events.push(event(number, state.tick + 1, by, change));
        }
    }
    events
}

/// What the values of a text come to, without its layout.
fn meaning(text: &str) -> toml::Table {
    text.parse().unwrap_or_else(|error| panic!("{error}\n{text}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_order_and_repetition_comes_to_the_same(
        doings in doings(),
        picks in prop::collection::vec(any::<Index>(), 0..40),
    ) {
        let events = made(&doings);
        let state = fold(&events);
        let mut shuffled: Vec<Event> = picks.iter().map(|pick| pick.get(&events).clone()).collect();
        for (i, pick) in picks.iter().enumerate() {
            shuffled.insert(pick.index(shuffled.len()), events[i % events.len()].clone());
        }
        shuffled.extend(events.iter().rev().cloned());
        prop_assert_eq!(fold(&shuffled), state);
    }

    /// Through the wire and back, all at once.
    #[test]
    fn events_sent_as_json_come_to_the_same(doings in doings()) {
        let events = made(&doings);
        let sent: Vec<Event> = events.iter()
            .map(|event| read_event(write_event(event).as_bytes()).value.expect("an event that was written"))
            .collect();
        prop_assert_eq!(fold(&sent), fold(&events));
    }

    #[test]
    fn taking_back_what_takes_back_is_the_event(doings in doings(), which in any::<Index>()) {
        let events = made(&doings);
        let state = fold(&events);
        let of = which.get(&events).id;
        let undo = event(240, state.tick + 1, "Cy", Change::Undo { event: of });
        let redo = event(241, state.tick + 2, "Cy", Change::Undo { event: undo.id });
        let again = fold(&[&events[..], &[undo, redo]].concat());
        prop_assert_eq!(&again.text, &state.text);
        prop_assert_eq!(&again.log, &state.log);
        prop_assert_eq!(&again.conflicts, &state.conflicts);
    }

    /// The text that is written is TOML, and a new job of it is the same text with rows in the same places.
    #[test]
    fn the_text_of_a_job_makes_the_same_job(doings in doings()) {
        let state = fold(&made(&doings));
        let again = fold(&[new_job(&state.text)]);
        prop_assert_eq!(&again.text, &state.text);
        for place in PLACES.iter().chain(&GONE) {
            let value = |state: &State| state.address(&basis::Place::at(*place)).and_then(|at| state.value(&at));
            prop_assert_eq!(value(&again), value(&state), "{}\n{}", place, state.text);
            if let Some(at) = state.address(&basis::Place::at(*place)) {
                prop_assert_eq!(state.place(&at), Some(basis::Place::at(*place)));
            }
        }
    }

    /// One writer after the other, each having seen all: the text means what a plain table means after the same edits, and nobody
    /// contradicts anybody.
    #[test]
    fn edits_in_turn_mean_what_they_say(edits in prop::collection::vec((any::<Index>(), any::<u8>()), 1..12)) {
        let mut events = vec![new_job(SMALL)];
        let mut plain = meaning(SMALL);
        for (number, (pick, value)) in (2_u8..).zip(&edits) {
            let state = fold(&events);
            let (place, path) = WAYS[pick.index(WAYS.len())];
            let new = format!("w{value}");
            put(&mut plain, path, &new);
            events.push(event(number, state.tick + 1, "Ben", set(&state, place, Some(&format!("\"{new}\"")))));
        }
        let state = fold(&events);
        prop_assert_eq!(meaning(&state.text), plain);
        prop_assert_eq!((state.conflicts.len(), state.faults.len()), (0, 0));
        prop_assert!(state.text.contains("# Soft here.") && state.text.contains("# the nail"));
    }
}

/// Places of every kind: the whole of a section, of a list, of a row; parts; what is not there; what cannot be.
const WILD: [&str; 26] = [
    "job",
    "job.name",
    "job.name.more",
    "flatwright",
    "slab",
    "slab.nominal",
    "slab.deep.deeper.deepest",
    "corner",
    "corner[0]",
    "corner[0].at",
    "corner[0].at[0]",
    "corner[0].at[1].x",
    "corner[1].new.key",
    "setup",
    "setup[0]",
    "setup[0].shots",
    "setup[0].shots[0]",
    "setup[0].shots[0].reading",
    "setup[0].shots[0].on",
    "setup[0].backsight",
    "setup[0].errors.tilt",
    "door",
    "door[0]",
    "finish.plane.fall",
    "crew",
    "crew.carry",
];

/// Values of every kind.
const KINDS: [&str; 14] = [
    "1",
    "-2.5",
    "true",
    "'x'",
    "\"\"\"two\nlines\"\"\"",
    "2026-06-12T07:00:00",
    "[]",
    "['a', 'b']",
    "[['a', 'b'], ['c']]",
    "[[], [[1]]]",
    "{}",
    "{ name = 'n', inner = { deep = [1, 2] } }",
    "[{ name = 'p' }, { name = 'q', at = ['1 ft'] }]",
    "[{}, {}]",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Whatever is written wherever: nothing stops the fold, what it has applied stands in the text that it writes, and that text is TOML.
    #[test]
    fn whatever_is_written_stands_in_the_text(
        edits in prop::collection::vec((any::<Index>(), any::<Index>(), 0_u8..4), 1..14)
    ) {
        let mut events = vec![new_job(SMALL)];
        for (number, (place, kind, deed)) in (2_u8..).zip(&edits) {
            let state = fold(&events);
            let (place, kind) = (WILD[place.index(WILD.len())], KINDS[kind.index(KINDS.len())]);
            let Some(at) = state.address(&basis::Place::at(place)) else { continue };
            let was = state.value(&at);
            let (change, written) = match deed {
                0 => (Change::Set { at: at.clone(), was, to: None }, None),
                1 => (Change::Add { list: at.clone(), after: After::Start, row: kind.to_owned() }, None),
                _ => (Change::Set { at: at.clone(), was, to: Some(kind.to_owned()) }, Some(kind)),
            };
            events.push(event(number, state.tick + 1, "Ben", change));
            let after = fold(&events);
            let again = fold(&[new_job(&after.text)]);
            prop_assert_eq!(&again.text, &after.text);
            prop_assert_eq!(&after.conflicts, &[]);
            let is_told = after.faults.iter().any(|fault| fault.event == id(number));
            if let (Some(written), false) = (written, is_told) {
                let one = crate::events::value::canonical(&crate::events::value::parse(written).unwrap());
                let stands = after.value(&at);
                // A list of nothing, written as sections, is no key at all.
                prop_assert!(stands.as_ref() == Some(&one) || stands.is_none() && one == "[]", "{} {:?}", at, stands);
                let there = again.address(&basis::Place::at(place)).and_then(|at| again.value(&at));
                prop_assert_eq!(there, stands, "{}\n{}", place, after.text);
            }
        }
    }
}

fn put(table: &mut toml::Table, path: &[&str], new: &str) {
    let (last, way) = path.split_last().unwrap();
    let mut at = toml::Value::Table(std::mem::take(table));
    {
        let mut inner = &mut at;
        for key in way {
            inner = match inner {
                toml::Value::Array(items) => &mut items[key.parse::<usize>().unwrap()],
                toml::Value::Table(table) => {
                    table.entry((*key).to_owned()).or_insert_with(|| toml::Value::Table(toml::Table::new()))
                }
                other => panic!("{other}"),
            };
        }
        let new = toml::Value::String(new.to_owned());
        match inner {
            toml::Value::Array(items) => items[last.parse::<usize>().unwrap()] = new,
            toml::Value::Table(table) => {
                table.insert((*last).to_owned(), new);
            }
            other => panic!("{other}"),
        }
    }
    let toml::Value::Table(whole) = at else { panic!("a table stays one") };
    *table = whole;
}
