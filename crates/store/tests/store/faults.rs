//! What breaks is told with what to do, and nothing that was acknowledged is lost.

use std::path::Path;

use formats::events::fold;
use store::{Kind, Place, Store};

use super::*;

#[test]
fn a_second_program_on_the_same_folder_is_told_who_has_it() {
    let folder = folder();
    let first = Store::open(folder.path(), "the server at 127.0.0.1:8480", now()).unwrap();
    let fault = Store::open(folder.path(), "another", now()).unwrap_err();
    assert_eq!(fault.kind, Kind::Locked);
    let who = format!("the server at 127.0.0.1:8480, process {}, since {}", std::process::id(), now());
    assert!(fault.note.message.contains(&who), "{fault}");
    drop(first);
    assert!(Store::open(folder.path(), "another", now()).is_ok());
}

fn filled(folder: &TempDir, count: u64) -> Vec<Event> {
    let events: Vec<Event> =
        [text()].into_iter().chain((2..=count).map(|number| remark(number, &"x".repeat(900)))).collect();
    open(folder).append(&events, now()).unwrap();
    events
}

/// Each place of the file in turn: the fault says what to do, and the file is left as it was.
#[test]
fn a_damaged_database_is_told_and_left_alone() {
    let folder = folder();
    filled(&folder, 60);
    let path = folder.path().join("flatwright.db");
    let whole = std::fs::read(&path).unwrap();
    let mut told = 0;
    for page in 0..whole.len() / 4096 {
        let mut bytes = whole.clone();
        bytes[page * 4096..page * 4096 + 200].fill(0xa5);
        std::fs::write(&path, &bytes).unwrap();
        match Store::open(folder.path(), "a test", now()) {
            Err(fault) => {
                assert!(matches!(fault.kind, Kind::Corrupt | Kind::Foreign), "page {page}: {fault}");
                assert!(!fault.note.hint.is_empty());
                assert_eq!(std::fs::read(&path).unwrap(), bytes, "page {page}");
                told += 1;
            }
            // Text within a row has no check of its own in the database; reading the event finds it.
            Ok(store) => assert!(store.events_after(None, Place(0), 999).is_err(), "page {page}"),
        }
    }
    assert!(told >= 10, "{told}");
    std::fs::write(&path, &whole[..whole.len() - 5000]).unwrap();
    assert_eq!(Store::open(folder.path(), "a test", now()).unwrap_err().kind, Kind::Corrupt);
    std::fs::write(&path, "x".repeat(5000)).unwrap();
    assert_eq!(Store::open(folder.path(), "a test", now()).unwrap_err().kind, Kind::Foreign);
    std::fs::write(&path, whole).unwrap();
    assert_eq!(open(&folder).jobs().unwrap()[0].events, 60);
}

#[test]
fn a_full_disk_loses_nothing_that_was_acknowledged() {
    let folder = folder();
    let mut events = filled(&folder, 5);
    let store = open(&folder);
    store.let_grow(20).unwrap();
    let mut number = 100;
    let fault = loop {
        let some = [remark(number, &"y".repeat(1500)), remark(number + 1, "z")];
        match store.append(&some, now()) {
            Ok(answers) => {
                assert!(answers.iter().all(|answer| answer.kept().is_some()));
                events.extend(some);
            }
            Err(fault) => break fault,
        }
        number += 2;
        assert!(number < 1000, "the disk never becomes full");
    };
    assert_eq!(fault.kind, Kind::Full);
    assert!(fault.note.message.contains("was not acknowledged"));
    let there = |store: &Store| store.state(job()).unwrap().unwrap().0;
    assert_eq!(there(&store), fold(&events));
    // Room again: what was refused is sent again and kept.
    store.let_grow(1000).unwrap();
    let again = [remark(number, "sent again")];
    assert!(store.append(&again, now()).unwrap()[0].kept().is_some());
    events.extend(again);
    drop(store);
    assert_eq!(there(&open(&folder)), fold(&events));
}

/// A folder in which nothing can be made: one without the right to write or, for the user who may write everywhere, one of the system's own.
#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o555)).unwrap();
    let may_write_everywhere = std::fs::write(folder.path().join("x"), "x").is_ok();
    let path = if may_write_everywhere { Path::new("/sys/jobs") } else { folder.path() };
    let fault = Store::open(path, "a test", now()).unwrap_err();
    assert_eq!(fault.kind, Kind::ReadOnly, "{fault}");
    assert!(fault.note.message.contains(&path.display().to_string()) && fault.note.hint.contains("--data"));
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_file_where_the_folder_should_be_is_told() {
    let folder = folder();
    let path = folder.path().join("jobs");
    std::fs::write(&path, "x").unwrap();
    assert!(Store::open(&path, "a test", now()).is_err());
    assert_eq!(std::fs::read(&path).unwrap(), b"x");
}
