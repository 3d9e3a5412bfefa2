//! Measures the store on this machine's disk: events a phone at a time, a whole job folded, a full folder opened.
//!
//! `cargo run --release -p store --example speed [EVENTS]`

use std::time::Instant;

use formats::events::{Change, Event, EventId, JobId, fold};
use jiff::Timestamp;
use pour::log::{Entry, What};
use store::{Place, Store, backup};

const SHED: &str = include_str!("../../../demo/boat-shed.toml");

fn event(number: u64, change: Change) -> Event {
    let mut id = [0; 16];
    id[8..].copy_from_slice(&number.to_be_bytes());
    let (job, made) = (JobId::from_bytes([7; 16]), Timestamp::UNIX_EPOCH);
    Event { id: EventId::from_bytes(id), job, tick: number, made, by: "Ada".into(), change }
}

/// A day on site: of ten events six are readings set, two shots added, two entries of the log.
fn nth(number: u64) -> Event {
    let value =
        |at: &str, to: String| Change::Set { at: at.parse().expect("an address"), was: None, to: Some(to) };
    event(
        number,
        match number % 10 {
            0..6 => value("slab.nominal", format!("\"{} mm\"", 90 + number % 20)),
            6 | 7 => Change::Add {
                list: "machine".parse().expect("an address"),
                after: formats::events::After::End,
                row: format!("{{ name = \"machine {number}\" }}"),
            },
            _ => Change::Log(Entry {
                at: Timestamp::UNIX_EPOCH,
                what: What::Remark { words: "poly down".into() },
            }),
        },
    )
}

fn shown(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!("{what:44} p50 {:8.3} ms   p99 {:8.3} ms   of {}", at(0.5), at(0.99), times.len());
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let begun = Instant::now();
    let done = work();
    (done, begun.elapsed().as_secs_f64() * 1e3)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let many: u64 = std::env::args().nth(1).map_or(Ok(20_000), |count| count.parse())?;
    let folder = std::env::current_dir()?.join("speed-of-the-store");
    let _ = std::fs::remove_dir_all(&folder);
    let now = Timestamp::now();
    let store = Store::open(&folder, "the measurement", now)?;
    let text = event(0, Change::Text { text: SHED.to_owned(), saw: None });
    store.append(std::slice::from_ref(&text), now)?;
    let mut alone = Vec::new();
    for number in 1..=1_000 {
        let (answers, time) = timed(|| store.append(&[nth(number)], now));
        assert!(answers?[0].kept().is_some(), "an event is refused");
        alone.push(time);
    }
    shown("one event, flushed to the disk", alone);
    let mut phones: Vec<f64> = Vec::new();
    std::thread::scope(|scope| {
        let waits: Vec<_> = (0..50_u64)
            .map(|phone| {
                let store = &store;
                scope.spawn(move || {
                    let one =
                        |number: u64| timed(|| store.append(&[nth(10_000 * (phone + 1) + number)], now));
                    (0..10).map(|number| one(number).1).collect::<Vec<f64>>()
                })
            })
            .collect();
        phones = waits.into_iter().filter_map(|wait| wait.join().ok()).flatten().collect();
    });
    shown("one event of 50 phones at once", phones);
    let job = JobId::from_bytes([7; 16]);
    for count in [10, 100, 1_000] {
        let kept = store.events_after(Some(job), Place(0), count)?;
        let events: Vec<Event> = kept.into_iter().map(|kept| kept.event).collect();
        let times = (0..5).map(|_| timed(|| fold(&events)).1).collect();
        shown(&format!("fold of {count} events"), times);
    }
    let times = (0..5).map(|_| timed(|| store.state(job)).1).collect();
    shown("state of the job of 1,501 events from the disk", times);
    let batch: Vec<Event> =
        (1_000_000..1_000_000 + many).map(|number| Event { tick: 1_000_000, ..nth(number) }).collect();
    for part in batch.chunks(1_000) {
        store.append(part, now)?;
    }
    let (made, time) = timed(|| backup(&folder, &folder.join("copy.backup")));
    println!(
        "backup of {} events, {} MB: {time:.0} ms",
        made?.events,
        std::fs::metadata(folder.join("copy.backup"))?.len() / 1_000_000
    );
    drop(store);
    let (opened, time) = timed(|| Store::open(&folder, "the measurement", now));
    opened?;
    println!("opening with its integrity check: {time:.0} ms");
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}
