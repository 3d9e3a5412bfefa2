//! The served program is killed at any moment while phones write: every event that it acknowledged is there.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use jiff::Timestamp;
use store::{Place, Store};

use crate::Served;
use crate::http::{ask, page};

const ROUNDS: u64 = 8;
const PHONES: u64 = 4;

#[test]
fn what_was_acknowledged_over_http_outlives_a_kill_at_any_moment() {
    let folder = tempfile::tempdir().unwrap();
    let acknowledged: Arc<Mutex<BTreeSet<String>>> = Arc::default();
    let count = Arc::new(AtomicU64::new(1));
    for round in 0..ROUNDS {
        let mut served = Served::start(folder.path(), &["--demo"]);
        let list = page(&served.address, "/");
        // The smallest job stands last, as it has no day.
        let job = list.rsplit("/jobs/").next().unwrap().split('/').next().unwrap().to_owned();
        let stop = Arc::new(AtomicBool::new(false));
        let phones: Vec<_> = (0..PHONES)
            .map(|_| {
                let (address, job, stop) = (served.address.clone(), job.clone(), Arc::clone(&stop));
                let (acknowledged, count) = (Arc::clone(&acknowledged), Arc::clone(&count));
                std::thread::spawn(move || {
                    while !stop.load(Ordering::Relaxed) {
                        let number = count.fetch_add(1, Ordering::Relaxed);
                        let event = format!("{number:032x}");
                        let form = format!("event={event}&tick={number}&what=remark&value=remark+{number}");
                        // Only a whole answer that it was taken counts.
                        if let Some((303, _)) = ask(&address, "POST", &format!("/jobs/{job}/log"), &form) {
                            acknowledged.lock().unwrap().insert(event);
                        }
                    }
                })
            })
            .collect();
        std::thread::sleep(Duration::from_millis(500 + (round * 7_919) % 900));
        served.child.kill().unwrap();
        served.child.wait().unwrap();
        stop.store(true, Ordering::Relaxed);
        for phone in phones {
            phone.join().unwrap();
        }
        // Opening checks the whole database.
        let store = Store::open(folder.path(), "a test", Timestamp::now()).unwrap();
        let kept = store.events_after(None, Place(0), usize::MAX).unwrap();
        let ids: BTreeSet<String> = kept.iter().map(|kept| kept.event.id.to_string()).collect();
        assert_eq!(ids.len(), kept.len(), "round {round}: an event is there twice");
        for event in acknowledged.lock().unwrap().iter() {
            assert!(ids.contains(event), "round {round}: {event} is lost");
        }
    }
    let all = acknowledged.lock().unwrap().len();
    assert!(all > 30, "only {all} acknowledged: the test saw nothing");
}
