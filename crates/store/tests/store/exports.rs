//! One job as files, and back.

use store::{Exported, Kind};

use super::*;

const YARD: &str = include_str!("../../../../demo/bakery-yard.toml");
const SHOTS: &str = include_str!("../../../../demo/bakery-yard-shots.csv");
const WEATHER: &str = include_str!("../../../../demo/bakery-yard-weather.csv");

#[test]
fn a_job_with_its_files_goes_out_and_comes_back() {
    let (from, to, out) = (folder(), folder(), folder());
    let store = open(&from);
    let files = [("bakery-yard-shots.csv", SHOTS), ("bakery-yard-weather.csv", WEATHER)];
    let yard = store.import(YARD, &files, "Ada", now()).unwrap();
    let state = store.state(yard).unwrap().unwrap().0;
    let read = state.read("job.toml").report;
    assert!(read.value.is_some(), "{:?}", read.notes);
    let hash = store.keep_photo(&picture(4000, 2)[..], None, now()).unwrap();
    let photo = |hash| {
        Change::Log(pour::log::Entry {
            at: now(),
            what: pour::log::What::Photo { hash, words: "gate".into() },
        })
    };
    let shown = store.event(yard, state.tick + 1, "Ada", photo(hash.0), now()).unwrap();
    let missing = store.event(yard, state.tick + 2, "Ada", photo([8; 32]), now()).unwrap();
    store.append(&[shown, missing], now()).unwrap();
    let into = out.path().join("yard");
    let done = store.export(yard, &into).unwrap();
    assert_eq!(done, Exported { events: 5, photos: 1, photos_missing: 1 });
    assert_eq!(std::fs::read_to_string(into.join("job.toml")).unwrap(), YARD);
    assert_eq!(std::fs::read_to_string(into.join("bakery-yard-shots.csv")).unwrap(), SHOTS);
    let other = open(&to);
    assert_eq!(other.take_export(&into, now()).unwrap(), done);
    assert_eq!(other.take_export(&into, now()).unwrap(), done);
    assert_eq!(other.state(yard).unwrap().unwrap().0, store.state(yard).unwrap().unwrap().0);
    assert_eq!(other.photo(hash).unwrap(), store.photo(hash).unwrap());
    assert_eq!(store.export(yard, &into).unwrap_err().kind, Kind::InTheWay);
    assert_eq!(
        store.export(JobId::from_bytes([1; 16]), &out.path().join("x")).unwrap_err().kind,
        Kind::NotThere
    );
}

#[test]
fn a_spoilt_export_or_job_file_leaves_nothing() {
    let (from, out) = (folder(), folder());
    let store = open(&from);
    std::fs::write(out.path().join("events.jsonl"), formats::events::write_event(&text()) + "\n{}\n")
        .unwrap();
    let fault = store.take_export(out.path(), now()).unwrap_err();
    assert!(fault.kind == Kind::Refused && fault.note.message.contains("line 2"), "{fault}");
    assert!(store.import("[broken", &[], "Ada", now()).is_err());
    assert!(store.import(YARD, &[("../shots.csv", SHOTS)], "Ada", now()).is_err());
    assert_eq!(store.jobs().unwrap(), []);
}
