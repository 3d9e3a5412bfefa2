//! The store on real folders: what it keeps, what it refuses, and what it does when something breaks.

#![allow(clippy::unwrap_used, reason = "a test stops where something fails")]

mod backups;
mod exports;
mod faults;
mod keeping;
mod killed;
mod people;
mod photos;

use formats::events::{Address, Change, Event, EventId, JobId};
use jiff::Timestamp;
use store::Store;
use tempfile::TempDir;

/// A job file of the demonstration.
const PATIO: &str = include_str!("../../../../demo/patio.toml");

fn now() -> Timestamp {
    "2026-06-12T12:00:00Z".parse().unwrap()
}

fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

fn open(folder: &TempDir) -> Store {
    Store::open(folder.path(), "a test", now()).unwrap()
}

fn job() -> JobId {
    JobId::from_bytes([7; 16])
}

fn id(number: u64) -> EventId {
    let mut bytes = [0; 16];
    bytes[8..].copy_from_slice(&number.to_be_bytes());
    EventId::from_bytes(bytes)
}

fn event(number: u64, tick: u64, change: Change) -> Event {
    Event { id: id(number), job: job(), tick, made: now(), by: "Ada".into(), change }
}

fn text() -> Event {
    event(1, 1, Change::Text { text: PATIO.into(), saw: None })
}

fn remark(number: u64, words: &str) -> Event {
    let what = pour::log::What::Remark { words: words.into() };
    event(number, number, Change::Log(pour::log::Entry { at: now(), what }))
}

fn set(number: u64, at: &str, to: &str) -> Event {
    let at: Address = at.parse().unwrap();
    event(number, number, Change::Set { at, was: None, to: Some(to.into()) })
}

/// A picture of so many bytes, as far as its first bytes say.
fn picture(bytes: usize, seed: u8) -> Vec<u8> {
    let mut all = vec![seed; bytes];
    all[..3].copy_from_slice(&[0xff, 0xd8, 0xff]);
    all
}
