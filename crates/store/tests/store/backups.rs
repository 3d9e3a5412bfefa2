//! Backup while the store is in use, and restore.

use std::sync::atomic::{AtomicBool, Ordering};

use formats::events::fold;
use store::{Kind, Over, PhotoHash, Place, Store, backup, restore};

use super::*;

fn filled(folder: &TempDir) -> (Store, Vec<Event>, PhotoHash) {
    let store = open(folder);
    let photo = picture(300_000, 3);
    let hash = store.keep_photo(&photo[..], None, now()).unwrap();
    let what = pour::log::What::Photo { hash: hash.0, words: "corner".into() };
    let shown = event(3, 3, Change::Log(pour::log::Entry { at: now(), what }));
    let events = vec![text(), remark(2, "poly down"), shown];
    store.append(&events, now()).unwrap();
    (store, events, hash)
}

fn events_of(store: &Store) -> Vec<Event> {
    store.events_after(None, Place(0), usize::MAX).unwrap().into_iter().map(|kept| kept.event).collect()
}

#[test]
fn a_backup_made_while_others_write_comes_back_whole() {
    let (from, to, at) = (folder(), folder(), folder());
    let (store, _, hash) = filled(&from);
    let file = at.path().join("monday.backup");
    let stop = AtomicBool::new(false);
    let made = std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut number = 10;
            while !stop.load(Ordering::Relaxed) {
                store.append(&[remark(number, &"x".repeat(500))], now()).unwrap();
                number += 1;
            }
        });
        let made = backup(from.path(), &file).unwrap();
        stop.store(true, Ordering::Relaxed);
        made
    });
    assert!(made.events >= 3 && made.photos == 1 && made.jobs == 1);
    let back = restore(&file, to.path(), Over::Nothing, now()).unwrap();
    assert_eq!((back.backup, back.aside), (made, None));
    let restored = open(&to);
    let (all, some) = (events_of(&store), events_of(&restored));
    assert_eq!(some.len() as u64, made.events);
    assert_eq!(some, all[..some.len()]);
    assert_eq!(restored.photo(hash).unwrap(), store.photo(hash).unwrap());
    assert_eq!(restored.state(job()).unwrap().unwrap().0, fold(&some));
    // What is restored goes on being written, at places that come after.
    let next = restored.append(&[remark(99_999, "next")], now()).unwrap()[0].kept().unwrap();
    assert_eq!(next, Place(made.events + 1));
}

#[test]
fn a_restore_ends_all_sessions_and_keeps_people() {
    let (from, to, at) = (folder(), folder(), folder());
    let (store, ..) = filled(&from);
    let ada = store.add_person("Ada", store::Role::Owner, Some("hash"), now()).unwrap();
    let secret = store.begin_session(ada, jiff::SignedDuration::from_hours(9), now()).unwrap();
    let file = at.path().join("b");
    backup(from.path(), &file).unwrap();
    restore(&file, to.path(), Over::Nothing, now()).unwrap();
    let restored = open(&to);
    assert_eq!(restored.people().unwrap(), store.people().unwrap());
    assert_eq!(restored.session(&secret, now()).unwrap(), None);
}

#[test]
fn a_restore_goes_over_nothing_unless_it_is_told_to() {
    let (from, to, at) = (folder(), folder(), folder());
    let (_store, events, _) = filled(&from);
    let file = at.path().join("b");
    backup(from.path(), &file).unwrap();
    let other = open(&to);
    other.append(&[Event { job: JobId::from_bytes([3; 16]), ..text() }], now()).unwrap();
    assert_eq!(restore(&file, to.path(), Over::Jobs, now()).unwrap_err().kind, Kind::Locked);
    drop(other);
    let fault = restore(&file, to.path(), Over::Nothing, now()).unwrap_err();
    assert_eq!(fault.kind, Kind::InTheWay);
    assert!(fault.note.message.contains("holds a job") && fault.note.hint.contains("--replace"), "{fault}");
    let done = restore(&file, to.path(), Over::Jobs, now()).unwrap();
    assert_eq!(events_of(&open(&to)), events);
    // A second one at the same instant puts aside what the first brought, and leaves what that put aside.
    let second = restore(&file, to.path(), Over::Jobs, now()).unwrap();
    assert_ne!(second.aside, done.aside);
    // The database that was there is put aside and can be opened.
    let again = folder();
    std::fs::rename(done.aside.unwrap(), again.path().join("flatwright.db")).unwrap();
    assert_eq!(open(&again).jobs().unwrap()[0].id, JobId::from_bytes([3; 16]));
}

#[test]
fn a_damaged_folder_is_replaced_and_kept_aside() {
    let (from, at) = (folder(), folder());
    let (store, events, _) = filled(&from);
    let file = at.path().join("b");
    backup(from.path(), &file).unwrap();
    drop(store);
    std::fs::write(from.path().join("flatwright.db"), vec![0xaa; 20_000]).unwrap();
    assert!(Store::open(from.path(), "a test", now()).is_err());
    assert_eq!(restore(&file, from.path(), Over::Nothing, now()).unwrap_err().kind, Kind::InTheWay);
    let done = restore(&file, from.path(), Over::Jobs, now()).unwrap();
    assert_eq!(std::fs::read(done.aside.unwrap()).unwrap(), vec![0xaa; 20_000]);
    assert_eq!(events_of(&open(&from)), events);
}

#[test]
fn a_damaged_backup_changes_nothing() {
    let (from, to, at) = (folder(), folder(), folder());
    let (_store, ..) = filled(&from);
    let file = at.path().join("b");
    backup(from.path(), &file).unwrap();
    let whole = std::fs::read(&file).unwrap();
    // A byte in the middle of each stretch of the file in turn: found, or of no weight for what comes back.
    let (mut found, mut harmless) = (0, 0);
    for at in (100..whole.len()).step_by(whole.len() / 40) {
        let mut bytes = whole.clone();
        bytes[at] ^= 0x55;
        std::fs::write(&file, &bytes).unwrap();
        match restore(&file, to.path(), Over::Nothing, now()) {
            Err(fault) => {
                assert!(matches!(fault.kind, Kind::Corrupt | Kind::Foreign | Kind::Other), "{fault}");
                assert!(!to.path().join("flatwright.db").exists());
                found += 1;
            }
            Ok(_) => {
                harmless += 1;
                std::fs::remove_file(to.path().join("flatwright.db")).unwrap();
            }
        }
    }
    assert!(found > 30, "{found} found, {harmless} of no weight");
    std::fs::write(&file, &whole[..whole.len() / 2]).unwrap();
    assert!(restore(&file, to.path(), Over::Nothing, now()).is_err());
    std::fs::write(&file, b"not a database at all, but long enough to be looked at for a while").unwrap();
    assert!(restore(&file, to.path(), Over::Nothing, now()).is_err());
    assert_eq!(
        restore(&at.path().join("none"), to.path(), Over::Nothing, now()).unwrap_err().kind,
        Kind::NotThere
    );
}

#[test]
fn a_backup_replaces_a_backup_and_nothing_else() {
    let (from, at) = (folder(), folder());
    let (store, ..) = filled(&from);
    let file = at.path().join("b");
    assert_eq!(backup(from.path(), &file).unwrap().events, 3);
    store.append(&[remark(9, "more")], now()).unwrap();
    assert_eq!(backup(from.path(), &file).unwrap().events, 4);
    let other = at.path().join("letter.txt");
    std::fs::write(&other, "Dear Ada").unwrap();
    assert_eq!(backup(from.path(), &other).unwrap_err().kind, Kind::InTheWay);
    assert_eq!(std::fs::read(&other).unwrap(), b"Dear Ada");
    assert_eq!(backup(at.path(), &file).unwrap_err().kind, Kind::NotThere);
    let names: Vec<_> =
        std::fs::read_dir(at.path()).unwrap().flatten().map(|file| file.file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
}

#[test]
fn a_backup_with_a_damaged_photo_is_refused() {
    let (from, at) = (folder(), folder());
    let (_store, _, hash) = filled(&from);
    let path = from.path().join("photos").join(&hash.text()[..2]).join(hash.text());
    std::fs::write(path, b"x").unwrap();
    let file = at.path().join("b");
    assert_eq!(backup(from.path(), &file).unwrap_err().kind, Kind::Corrupt);
    assert_eq!(std::fs::read_dir(at.path()).unwrap().count(), 0);
}
