//! Events as JSON.

use basis::{Length, Pressure, Temperature, Volume};
use clock::finish::Round;
use clock::observe::Seen;
use pour::loads::Extent;
use pour::log::{Entry, TruckStep, WarmthOf, What};

use super::*;

fn logs() -> Vec<What> {
    vec![
        What::Truck { load: 1, step: TruckStep::Arrived, ticket: Some(Volume::cubic_yards(7.75)) },
        What::Truck { load: 2, step: TruckStep::Done, ticket: None },
        What::Drum { load: 2, left: Volume::cubic_metres(0.37) },
        What::Line { bay: 1, reached: Extent::Done },
        What::Line { bay: 2, reached: Extent::To(Length::metres(4.123_456_789)) },
        What::Water { load: 1, added: Volume::gallons(5.0) },
        What::Slump { load: None, slump: Length::inches(5.5) },
        What::Warmth { of: WarmthOf::Air, temperature: Temperature::fahrenheit(63.0) },
        What::Warmth { of: WarmthOf::Concrete { load: Some(3) }, temperature: Temperature::celsius(19.5) },
        What::OnBay { bay: 1, seen: Seen::Print(Length::inches(0.25)) },
        What::OnBay { bay: 1, seen: Seen::Penetration(Pressure::psi(90.0)) },
        What::OnBay { bay: 1, seen: Seen::SurfaceTemperature(Temperature::fahrenheit(74.0)) },
        What::OnBay { bay: 1, seen: Seen::FloatStart },
        What::OnBay { bay: 4, seen: Seen::SheenGone },
        What::RoundDone { bay: 1, round: Round::BullFloat },
        What::RoundDone { bay: 1, round: Round::Trowel(3) },
        What::Photo { hash: [0xab; 32], words: "the corner at the oak".into() },
        What::Remark { words: "Regen? \u{1f327} \"so\" <b>\n".into() },
    ]
}

fn changes() -> Vec<Change> {
    let row = RowId { event: id(7), nth: 12 };
    let at: jiff::Timestamp = "2026-06-12T12:40:05.25Z".parse().unwrap();
    let mut all = vec![
        Change::Text { text: SMALL.into(), saw: None },
        Change::Text { text: SMALL.into(), saw: Some(Fingerprint::of("before")) },
        Change::File { name: "shots.csv".into(), text: Some("x,y\n".into()), saw: None },
        Change::File { name: "shots.csv".into(), text: None, saw: Some(Fingerprint::of("x")) },
        Change::Set { at: "slab.nominal".parse().unwrap(), was: Some("\"4 in\"".into()), to: None },
        Change::Add { list: "corner".parse().unwrap(), after: After::Start, row: "{ a = 1 }".into() },
        Change::Add { list: "corner".parse().unwrap(), after: After::Row(row), row: "[1]".into() },
        Change::Add { list: "corner".parse().unwrap(), after: After::End, row: "{}".into() },
        Change::Undo { event: id(3) },
    ];
    all.extend(logs().into_iter().map(|what| Change::Log(Entry { at, what })));
    all
}

#[test]
fn every_kind_of_event_reads_back_as_it_was_and_fits_the_schema() {
    let schema = event_schema();
    for change in changes() {
        let event = event(2, 5, "Jos\u{e9} O'Brien", change);
        let json = write_event(&event);
        let read = read_event(json.as_bytes());
        assert_eq!(read.value.as_ref(), Some(&event), "{json} {:?}", read.notes);
        assert_eq!(write_event(&read.value.unwrap()), json);
        let value: serde_json::Value = serde_json::from_str(&json).unwrap();
        for key in value.as_object().unwrap().keys() {
            assert!(schema["properties"].get(key).is_some(), "{key} is not in the schema");
        }
        let kind = value["change"].as_object().unwrap().keys().next().unwrap().clone();
        assert!(schema.to_string().contains(&format!("\"required\":[\"{kind}\"]")), "{kind}: {schema}");
    }
}

#[test]
fn the_schema_in_the_tree_is_the_schema() {
    let in_tree: serde_json::Value =
        serde_json::from_str(include_str!("../../../../../schema/event.schema.json")).unwrap();
    assert!(
        in_tree == event_schema(),
        "write schema/event.schema.json anew: cargo run -p cli -- schema event"
    );
}

#[test]
fn all_that_is_out_of_bounds_is_told_at_once() {
    let json = r#"{ "id": "12", "job": "x", "tick": 999999999999999999, "made": "noon", "by": " ",
        "change": { "set": { "at": "a b", "to": "4 in" } } }"#;
    let places: Vec<String> =
        read_event(json.as_bytes()).notes.iter().map(|note| note.place.path().to_owned()).collect();
    assert_eq!(places, ["id", "job", "made", "tick", "by", "change.set.to", "change.set.at"]);
}

#[test]
fn what_is_hostile_is_refused() {
    let good = |change: &str| {
        format!(
            r#"{{"id":"{}","job":"{}","tick":1,"made":"2026-06-12T12:00:00Z","by":"Ada","change":{change}}}"#,
            id(1),
            id(2)
        )
    };
    let code = |json: &str| {
        let read = read_event(json.as_bytes());
        assert_eq!(read.value.is_none(), !read.notes.is_empty());
        read.notes.first().map(|note| note.code)
    };
    assert_eq!(code(&good(r#"{"undo":{"event":"00000000000000000000000000000001"}}"#)), None);
    let outside = Some("event-out-of-bounds");
    for name in ["../secret", "a/b", "C:\\x", ".hidden", "", "a\nb", "\u{7}"] {
        let name = serde_json::to_string(name).unwrap();
        assert_eq!(code(&good(&format!(r#"{{"file":{{"name":{name},"text":""}}}}"#))), outside, "{name}");
    }
    for what in [
        r#"{"line":{"bay":0,"to":"3 ft"}}"#,
        r#"{"line":{"bay":1,"to":"3"}}"#,
        r#"{"slump":{"slump":"40 in"}}"#,
        r#"{"truck":{"load":1,"step":"arrived","ticket":"-3 yd3"}}"#,
        r#"{"truck":{"load":1,"step":"arrived","ticket":"900 yd3"}}"#,
        r#"{"round":{"bay":1,"done":"trowel 0"}}"#,
        r#"{"photo":{"sha256":"AB","words":""}}"#,
        r#"{"air":{"temperature":"900 degF"}}"#,
    ] {
        let json = good(&format!(r#"{{"log":{{"at":"2026-06-12T12:00:00Z","what":{what}}}}}"#));
        assert_eq!(code(&json), outside, "{what}");
    }
    let long = "x".repeat(LONGEST_WORDS + 1);
    let json = good(&format!(
        r#"{{"log":{{"at":"2026-06-12T12:00:00Z","what":{{"remark":{{"words":"{long}"}}}}}}}}"#
    ));
    assert_eq!(code(&json), outside);
    assert_eq!(code(&good(r#"{"text":{"text":"[broken"}}"#)), outside);
    assert_eq!(
        code(&good(r#"{"undo":{"event":"00000000000000000000000000000001","more":1}}"#)),
        Some("event-unclear")
    );
    assert_eq!(code(&good(r#"{"unknown":{}}"#)), Some("event-unclear"));
    assert_eq!(code("[".repeat(100_000).as_str()), Some("event-unclear"));
    assert_eq!(code(&"x".repeat(LARGEST_EVENT + 1)), Some("event-too-large"));
    let deep = format!("\"{}1{}\"", "[".repeat(2_000), "]".repeat(2_000));
    assert_eq!(code(&good(&format!(r#"{{"set":{{"at":"a","to":{deep}}}}}"#))), outside);
}
