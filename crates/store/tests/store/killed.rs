//! The program is killed at any moment while it writes: every event that it acknowledged is there.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use store::{PhotoHash, Place, Store};

use super::*;

const FOLDER: &str = "FLATWRIGHT_TEST_FOLDER";
const ROUND: &str = "FLATWRIGHT_TEST_ROUND";
const ROUNDS: u64 = 36;

/// The program that is killed: this test binary, told to be it. Without a folder it does nothing.
#[test]
fn writer() {
    let (Ok(folder), Ok(round)) = (std::env::var(FOLDER), std::env::var(ROUND)) else { return };
    let round: u64 = round.parse().unwrap();
    let store = Store::open(Path::new(&folder), "a writer", now()).unwrap();
    store.append(&[text()], now()).unwrap();
    let mut out = std::io::stdout();
    for count in 0_u64.. {
        let first = (round + 1) * 1_000_000 + count * 10;
        let events: Vec<Event> = (0..=count % 4)
            .map(|more| Event { tick: 2, ..remark(first + more, &"w".repeat(200 * more as usize)) })
            .collect();
        for (answer, event) in store.append(&events, now()).unwrap().iter().zip(&events) {
            assert!(answer.kept().is_some());
            writeln!(out, "kept {}", event.id).unwrap();
        }
        if count % 5 == 0 {
            let photo = picture(3_000, (first % 251) as u8);
            let hash = store.keep_photo(&photo[..], None, now()).unwrap();
            writeln!(out, "photo {}", hash.text()).unwrap();
        }
        out.flush().unwrap();
    }
}

#[test]
fn what_was_acknowledged_outlives_a_kill_at_any_moment() {
    let folder = folder();
    let mut acknowledged: BTreeSet<String> = BTreeSet::new();
    let begun = Instant::now();
    for round in 0..ROUNDS {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "killed::writer", "--nocapture", "--test-threads=1"])
            .env(FOLDER, folder.path())
            .env(ROUND, round.to_string())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let reading = std::thread::spawn(move || lines.map_while(Result::ok).collect::<Vec<String>>());
        // Spread over the opening and the writing, a little different each round.
        let delay = 15 + (round * 7_919) % 240;
        std::thread::sleep(Duration::from_millis(delay));
        child.kill().unwrap();
        child.wait().unwrap();
        // A line that was cut short was not acknowledged to anybody.
        let whole = reading.join().unwrap().into_iter().filter(|line| match line.split_once(' ') {
            Some(("kept", id)) => id.len() == 32,
            Some(("photo", hash)) => hash.len() == 64,
            _ => false,
        });
        acknowledged.extend(whole);
        look(&folder, &acknowledged, round);
    }
    assert!(acknowledged.len() > 500, "only {} acknowledged in {:?}", acknowledged.len(), begun.elapsed());
}

/// Opening checks the integrity; then everything that was acknowledged is looked for.
fn look(folder: &TempDir, acknowledged: &BTreeSet<String>, round: u64) {
    let store = open(folder);
    let kept = store.events_after(None, Place(0), usize::MAX).unwrap();
    let ids: BTreeSet<String> = kept.iter().map(|kept| format!("kept {}", kept.event.id)).collect();
    assert_eq!(ids.len(), kept.len(), "round {round}");
    for line in acknowledged {
        match line.strip_prefix("photo ") {
            None => assert!(ids.contains(line), "round {round}: {line} is lost"),
            Some(hash) => {
                let bytes: Vec<u8> =
                    (0..32).map(|i| u8::from_str_radix(&hash[2 * i..2 * i + 2], 16).unwrap()).collect();
                let photo = store.photo(PhotoHash(bytes.try_into().unwrap())).unwrap();
                assert!(photo.is_some(), "round {round}: {line} is lost");
            }
        }
    }
}
