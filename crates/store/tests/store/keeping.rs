//! Events are kept once, in order, and the same after opening again.

use formats::events::{Change, JobId, fold};
use store::{Answer, FURTHEST_TICK, Kind, Place, Shelf};

use super::*;

#[test]
fn what_is_appended_is_there_after_opening_again() {
    let folder = folder();
    let events = [text(), remark(2, "poly down"), set(3, "slab.nominal", "\"5 in\"")];
    let answers = open(&folder).append(&events, now()).unwrap();
    assert_eq!(answers, [1, 2, 3].map(|place| Answer::New(Place(place))));
    let store = open(&folder);
    let kept = store.events_after(Some(job()), Place(0), 99).unwrap();
    assert_eq!(kept.iter().map(|kept| kept.event.clone()).collect::<Vec<_>>(), events);
    assert!(kept.iter().all(|kept| kept.came == now()));
    let (state, last) = store.state(job()).unwrap().unwrap();
    assert_eq!((&state, last), (&fold(&events), Place(3)));
    assert_eq!(store.state(JobId::from_bytes([1; 16])).unwrap(), None);
    let rows = store.jobs().unwrap();
    assert_eq!((rows.len(), rows[0].id, rows[0].events, rows[0].last), (1, job(), 3, Place(3)));
    assert_eq!(store.last_place(None).unwrap(), Place(3));
    assert_eq!(store.last_place(Some(JobId::from_bytes([1; 16]))).unwrap(), Place(0));
}

#[test]
fn the_same_event_twice_is_kept_once_and_acknowledged_twice() {
    let folder = folder();
    let store = open(&folder);
    let both = store.append(&[text(), text()], now()).unwrap();
    assert_eq!(both, [Answer::New(Place(1)), Answer::Known(Place(1))]);
    assert_eq!(store.append(&[text()], now()).unwrap(), [Answer::Known(Place(1))]);
    assert_eq!(store.jobs().unwrap()[0].events, 1);
}

#[test]
fn an_id_with_other_content_is_refused_and_the_rest_kept() {
    let folder = folder();
    let store = open(&folder);
    store.append(&[text(), remark(2, "one")], now()).unwrap();
    let answers = store.append(&[remark(2, "another"), remark(3, "three")], now()).unwrap();
    let Answer::Refused(fault) = &answers[0] else { panic!("{answers:?}") };
    assert_eq!(fault.kind, Kind::Refused);
    assert_eq!(answers[1], Answer::New(Place(3)));
    let state = store.state(job()).unwrap().unwrap().0;
    assert_eq!(state.log.len(), 2);
}

#[test]
fn a_job_begins_with_its_text_anywhere_in_the_call() {
    let folder = folder();
    let store = open(&folder);
    let refused = store.append(&[remark(2, "too early")], now()).unwrap();
    assert!(matches!(refused[0], Answer::Refused(_)));
    assert_eq!(store.jobs().unwrap(), []);
    let answers = store.append(&[remark(2, "with it"), text()], now()).unwrap();
    assert!(answers.iter().all(|answer| answer.kept().is_some()));
}

#[test]
fn a_tick_far_ahead_is_refused() {
    let folder = folder();
    let store = open(&folder);
    store.append(&[text()], now()).unwrap();
    let far = Event { tick: FURTHEST_TICK + 2, ..remark(2, "x") };
    assert!(matches!(store.append(&[far], now()).unwrap()[0], Answer::Refused(_)));
    let near = Event { tick: FURTHEST_TICK + 1, ..remark(3, "x") };
    assert!(matches!(store.append(&[near], now()).unwrap()[0], Answer::New(_)));
}

/// Built by hand, past the bounds of the wire: nothing that cannot be read again gets in.
#[test]
fn what_would_not_be_read_again_is_refused() {
    let folder = folder();
    let store = open(&folder);
    store.append(&[text()], now()).unwrap();
    for change in [
        Change::Text { text: "[broken".into(), saw: None },
        Change::File { name: "../../passwd".into(), text: Some("x".into()), saw: None },
        Change::Set { at: "slab.nominal".parse().unwrap(), was: None, to: Some("4 in".into()) },
    ] {
        let answer = store.append(&[event(5, 2, change)], now()).unwrap();
        assert!(matches!(answer[0], Answer::Refused(_)), "{answer:?}");
    }
    assert_eq!(store.last_place(None).unwrap(), Place(1));
}

#[test]
fn hostile_words_stay_words() {
    let folder = folder();
    let store = open(&folder);
    let words = [
        "'); DROP TABLE events; --",
        "<script>alert(1)</script>",
        "\u{202e}gnp.exe",
        "%s%n{}",
        "\u{0}",
        "a\u{0301}\u{1f3d7}",
        "../../../etc/passwd",
        "\\\\server\\share",
        "=cmd|' /C calc'!A0",
    ];
    let by_name =
        words.iter().zip(2..).map(|(name, number)| Event { by: (*name).into(), ..remark(number, name) });
    let events: Vec<Event> = [text()].into_iter().chain(by_name).collect();
    let answers = store.append(&events, now()).unwrap();
    // The one with a sign that no keyboard has is refused, the others come back letter by letter.
    for (event, answer) in events.iter().zip(&answers).skip(1) {
        assert_eq!(answer.kept().is_some(), !event.by.contains('\u{0}'), "{:?}", event.by);
    }
    let state = store.state(job()).unwrap().unwrap().0;
    let back: Vec<&str> = state.log.iter().map(|logged| logged.by.as_str()).collect();
    assert_eq!(back, words.iter().copied().filter(|name| !name.contains('\u{0}')).collect::<Vec<_>>());
}

#[test]
fn events_are_handed_out_in_pieces() {
    let folder = folder();
    let store = open(&folder);
    let events: Vec<Event> = [text()].into_iter().chain((2..=25).map(|number| remark(number, "x"))).collect();
    store.append(&events, now()).unwrap();
    let mut place = Place(0);
    let mut all = Vec::new();
    loop {
        let some = store.events_after(None, place, 10).unwrap();
        let Some(last) = some.last() else { break };
        place = last.place;
        all.extend(some.into_iter().map(|kept| kept.event));
    }
    assert_eq!(all, events);
}

#[test]
fn a_job_goes_out_of_sight_and_back() {
    let folder = folder();
    let store = open(&folder);
    store.append(&[text()], now()).unwrap();
    store.shelve(job(), Shelf::OutOfSight).unwrap();
    assert!(store.jobs().unwrap()[0].shelved);
    store.shelve(job(), Shelf::InSight).unwrap();
    assert!(!store.jobs().unwrap()[0].shelved);
    let unknown = store.shelve(JobId::from_bytes([1; 16]), Shelf::InSight).unwrap_err();
    assert_eq!(unknown.kind, Kind::NotThere);
}

#[test]
fn settings_are_kept() {
    let folder = folder();
    open(&folder).set_setting("language", Some("es")).unwrap();
    let store = open(&folder);
    assert_eq!(store.setting("language").unwrap().as_deref(), Some("es"));
    store.set_setting("language", None).unwrap();
    assert_eq!(store.setting("language").unwrap(), None);
}

/// Many phones at once: everything is kept, each once, and no call waits for more than its turn.
#[test]
fn many_writers_and_readers_at_once() {
    let folder = folder();
    let store = open(&folder);
    store.append(&[text()], now()).unwrap();
    std::thread::scope(|scope| {
        for phone in 0..8_u64 {
            let store = &store;
            scope.spawn(move || {
                for number in 0..20 {
                    let event = Event { tick: 2, ..remark(1000 * (phone + 1) + number, "x") };
                    assert!(store.append(&[event], now()).unwrap()[0].kept().is_some());
                    store.events_after(Some(job()), Place(0), 5).unwrap();
                }
            });
        }
    });
    assert_eq!(store.jobs().unwrap()[0].events, 161);
}
