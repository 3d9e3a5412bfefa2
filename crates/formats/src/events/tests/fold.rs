//! Two people at once: both keep what they wrote, and what contradicts is shown.

use super::*;
use crate::events::state::Outcome;

#[test]
fn two_who_add_shots_at_once_both_keep_theirs() {
    let first = fold(&[new_job(SMALL)]);
    let list = at(&first, "setup[0].shots");
    let shot = |row: &str| Change::Add { list: list.clone(), after: After::End, row: row.to_owned() };
    let a = event(5, 2, "Ben", shot(r#"["4", "1 ft", "1 ft", "5 ft"]"#));
    let b = event(3, 2, "Cy", shot(r#"["4", "2 ft", "1 ft", "5 ft"]"#));
    let state = fold(&[new_job(SMALL), a, b]);
    let names: Vec<bool> =
        ["1 ft\", \"1 ft", "2 ft\", \"1 ft"].iter().map(|row| state.text.contains(row)).collect();
    assert_eq!((names, state.conflicts.len(), state.faults.len()), (vec![true, true], 0, 0));
}

#[test]
fn an_edit_finds_its_row_after_others_came_and_went() {
    let first = fold(&[new_job(SMALL)]);
    let edit = event(9, 5, "Ben", set(&first, "setup[0].shots[2].reading", Some("\"5 ft\"")));
    let gone = event(4, 2, "Cy", set(&first, "setup[0].shots[0]", None));
    let come = event(
        5,
        3,
        "Cy",
        Change::Add {
            list: at(&first, "setup[0].shots"),
            after: After::Start,
            row: r#"["0", "1 ft", "1 ft", "5 ft 1 in"]"#.into(),
        },
    );
    let whole = event(
        6,
        4,
        "Cy",
        Change::Add {
            list: "setup".parse().unwrap(),
            after: After::Start,
            row: r#"{ name = "porch", shots = [] }"#.into(),
        },
    );
    let state = fold(&[new_job(SMALL), edit, gone, come, whole]);
    assert!(state.text.contains(r#"["3", "7 ft", "2 ft", "5 ft"]"#), "{}", state.text);
    assert_eq!((state.conflicts.len(), state.faults.len()), (0, 0));
}

/// A file is edited by hand and imported again: rows of the same name are the same rows.
#[test]
fn an_edit_outlives_an_import_of_the_text() {
    let first = fold(&[new_job(SMALL)]);
    let edit = event(9, 3, "Ben", set(&first, "setup[0].shots[2].reading", Some("\"5 ft\"")));
    let text = SMALL.replace("  [\"1\", \"2 ft\", \"10 ft\", \"4 ft 9 1/4 in\"],\n", "");
    let import = event(4, 2, "Cy", Change::Text { text, saw: first.fingerprint() });
    let state = fold(&[new_job(SMALL), import, edit]);
    assert!(state.text.contains(r#"["3", "7 ft", "2 ft", "5 ft"]"#), "{}", state.text);
    assert_eq!((state.conflicts.len(), state.faults.len()), (0, 0));
    let lost = event(5, 3, "Ben", set(&first, "setup[0].shots[0].reading", Some("\"5 ft\"")));
    let text = SMALL.replace("  [\"1\", \"2 ft\", \"10 ft\", \"4 ft 9 1/4 in\"],\n", "");
    let import = event(4, 2, "Cy", Change::Text { text, saw: first.fingerprint() });
    let state = fold(&[new_job(SMALL), import, lost]);
    assert_eq!(state.conflicts[0].stood_by, Some((id(4), "Cy".to_owned())));
}

#[test]
fn a_writer_who_saw_something_else_is_a_conflict_until_somebody_settles_it() {
    let first = fold(&[new_job(SMALL)]);
    let a = event(2, 2, "Ben", set(&first, "slab.nominal", Some("\"5 in\"")));
    let b = event(3, 2, "Cy", set(&first, "slab.nominal", Some("\"6 in\"")));
    let mut events = vec![new_job(SMALL), b, a];
    let state = fold(&events);
    let conflict = Conflict {
        event: id(3),
        by: "Cy".into(),
        at: Touched::Value("slab.nominal".parse().unwrap()),
        saw: Some("\"4 in\"".into()),
        stood: Some("\"5 in\"".into()),
        stood_by: Some((id(2), "Ben".into())),
        wrote: Some("\"6 in\"".into()),
        outcome: Outcome::LaterStands,
        settled_by: None,
    };
    assert_eq!(state.conflicts, [conflict]);
    assert!(state.text.contains("nominal = \"6 in\" # as drawn"));
    events.push(event(4, 3, "Ben", set(&state, "slab.nominal", Some("\"5 in\""))));
    let state = fold(&events);
    assert_eq!(state.conflicts[0].settled_by, Some(id(4)));
    assert!(state.text.contains("nominal = \"5 in\""));
}

#[test]
fn two_who_write_the_same_agree() {
    let first = fold(&[new_job(SMALL)]);
    let write = |number, by| event(number, 2, by, set(&first, "slab.nominal", Some("'5 in'")));
    let state = fold(&[new_job(SMALL), write(2, "Ben"), write(3, "Cy")]);
    assert_eq!((state.conflicts.len(), state.faults.len()), (0, 0));
    let gone = |number, by| event(number, 2, by, set(&first, "corner[1]", None));
    let state = fold(&[new_job(SMALL), gone(2, "Ben"), gone(3, "Cy")]);
    assert_eq!((state.conflicts.len(), state.faults.len()), (0, 0));
}

#[test]
fn an_edit_of_a_row_that_is_gone_is_shown_with_who_took_it() {
    let first = fold(&[new_job(SMALL)]);
    let gone = event(2, 2, "Ben", set(&first, "setup[0]", None));
    let edit = event(3, 2, "Cy", set(&first, "setup[0].shots[0].reading", Some("\"5 ft\"")));
    let state = fold(&[new_job(SMALL), gone, edit]);
    let conflict = &state.conflicts[0];
    assert_eq!(conflict.outcome, Outcome::RowIsGone);
    assert_eq!(
        (&conflict.stood_by, &conflict.wrote),
        (&Some((id(2), "Ben".into())), &Some("\"5 ft\"".into()))
    );
    assert!(!state.text.contains("setup"));
}

#[test]
fn taking_back_and_bringing_again() {
    let first = fold(&[new_job(SMALL)]);
    let a = event(2, 2, "Ben", set(&first, "slab.nominal", Some("\"5 in\"")));
    let undo = |number, tick, of| event(number, tick, "Ben", Change::Undo { event: id(of) });
    let one = [new_job(SMALL), a.clone(), undo(3, 3, 2)];
    assert_eq!(fold(&one).text, SMALL);
    assert_eq!(fold(&one).undone, [(id(2), vec![id(3)])].into());
    let two = [&one[..], &[undo(4, 4, 3)]].concat();
    assert_eq!(fold(&two).text, fold(&[new_job(SMALL), a.clone()]).text);
    let three = [&two[..], &[undo(5, 5, 4)]].concat();
    assert_eq!(fold(&three).text, SMALL);
    // Who built on what is taken back later had seen what stood there.
    let second = fold(&[new_job(SMALL), a.clone()]);
    let on = event(6, 3, "Cy", set(&second, "slab.nominal", Some("\"6 in\"")));
    let state = fold(&[new_job(SMALL), a, on, undo(7, 4, 2)]);
    assert_eq!(state.conflicts, []);
    assert!(state.text.contains("\"6 in\""));
}

#[test]
fn what_cannot_be_applied_is_told_and_not_lost() {
    let first = fold(&[new_job(SMALL)]);
    let code = |changes: Vec<Event>| {
        let state = fold(&[&[new_job(SMALL)], &changes[..]].concat());
        state.faults.iter().map(|fault| (fault.event, fault.note.code)).collect::<Vec<_>>()
    };
    let undo = |number, tick, of: u8| event(number, tick, "Ben", Change::Undo { event: id(of) });
    assert_eq!(code(vec![undo(2, 2, 77)]), [(id(2), "undo-without-event")]);
    let before = event(8, 9, "Ben", set(&first, "slab.nominal", Some("1")));
    assert_eq!(code(vec![before, undo(2, 2, 8)]), [(id(2), "undo-without-event")]);
    let nowhere = Change::Set { at: "slab.nominal.deep".parse().unwrap(), was: None, to: Some("1".into()) };
    assert_eq!(code(vec![event(2, 2, "Ben", nowhere)]), [(id(2), "event-not-applied")]);
    let counted = Change::Set { at: "corner[0]".parse().unwrap(), was: None, to: None };
    assert_eq!(code(vec![event(2, 2, "Ben", counted)]), [(id(2), "event-not-applied")]);
    let added = event(2, 2, "Ben", add("corner", "{ name = \"M\" }"));
    let state = fold(&[new_job(SMALL), added.clone()]);
    let edit = event(3, 3, "Cy", set(&state, "corner[3].name", Some("\"N\"")));
    assert_eq!(code(vec![added.clone(), undo(4, 4, 2), edit]), [(id(3), "event-not-applied")]);
    let other = Event { job: JobId::from_bytes([8; 16]), ..event(3, 3, "Cy", add("door", "{}")) };
    assert_eq!(code(vec![other]), [(id(3), "event-not-taken")]);
    let twice = event(2, 2, "Eve", add("corner", "{ name = \"X\" }"));
    assert_eq!(code(vec![added, twice]), [(id(2), "event-not-taken")]);
}

#[test]
fn the_log_is_in_order_of_its_times() {
    use pour::log::{Entry, What};
    let told = |number, tick, at: &str| {
        let what = What::Remark { words: at.to_owned() };
        event(number, tick, "Ben", Change::Log(Entry { at: at.parse().unwrap(), what }))
    };
    let late = told(2, 2, "2026-06-12T14:00:00Z");
    let early = told(3, 9, "2026-06-12T13:00:00Z");
    let state = fold(&[new_job(SMALL), late, early]);
    assert_eq!(state.log.iter().map(|logged| logged.event).collect::<Vec<_>>(), [id(3), id(2)]);
    assert_eq!(state.tick, 9);
}

#[test]
fn files_that_the_job_names_come_with_it() {
    let file = |number, tick, text: &str, saw: Option<&str>| {
        let saw = saw.map(Fingerprint::of);
        event(number, tick, "Ben", Change::File { name: "shots.csv".into(), text: Some(text.into()), saw })
    };
    let state = fold(&[new_job(SMALL), file(2, 2, "one", None), file(3, 3, "two", Some("one"))]);
    assert_eq!((state.files["shots.csv"].as_str(), state.conflicts.len()), ("two", 0));
    let state = fold(&[new_job(SMALL), file(2, 2, "one", None), file(3, 3, "two", None)]);
    assert_eq!(state.conflicts[0].at, Touched::File("shots.csv".into()));
    assert_eq!(state.conflicts[0].stood.as_deref(), Some("one"));
}
