use std::collections::BTreeMap;

use super::*;

const PLAIN: &str =
    "#set document(date: none)\n#set text(font: \"Noto Sans\")\n#let said = json(\"data.json\")\n#said.name";

fn files(template: &str, data: &str) -> BTreeMap<String, String> {
    [("main.typ", template), ("data.json", data)].map(|(n, t)| (n.to_owned(), t.to_owned())).into()
}

fn printed(template: &str, data: &str) -> Result<Printed, Vec<String>> {
    print(Copy { main: "main.typ", files: &files(template, data) })
}

#[test]
fn the_same_files_give_the_same_bytes() {
    let once = printed(PLAIN, r#"{"name": "Boat shed"}"#).unwrap();
    assert_eq!(once, printed(PLAIN, r#"{"name": "Boat shed"}"#).unwrap());
    assert_ne!(once, printed(PLAIN, r#"{"name": "Boat sheds"}"#).unwrap());
    assert!(!String::from_utf8_lossy(&once.pdf).contains("CreationDate"));
}

#[test]
fn templates_that_are_wrong_are_told() {
    let told = printed("#nonsense", "{}").unwrap_err();
    assert!(told[0].contains("unknown variable: nonsense"), "{told:?}");
    let none = BTreeMap::new();
    assert!(print(Copy { main: "main.typ", files: &none }).is_err());
}

#[test]
fn nothing_but_what_is_handed_in_can_be_read() {
    for outside in ["/etc/hostname", "../Cargo.toml", "main.rs"] {
        let told = printed(&format!("#read(\"{outside}\")"), "{}").unwrap_err();
        assert!(!told.is_empty(), "{outside}");
    }
    assert!(printed("#import \"@preview/cetz:0.3.0\"", "{}").is_err());
    assert!(printed("#datetime.today()", "{}").is_err(), "the date is nobody's to tell");
}

#[test]
fn what_cannot_be_printed_is_seen_to_be_missing() {
    assert_eq!(printable("a\u{0}b\u{7}c"), "abc");
    assert_eq!(printable("  losa\n de\tcochera "), "losa de cochera");
    assert_eq!(printable("ñandú ½ × ° ±"), "ñandú ½ × ° ±");
    // The Latin faces have no sign for "at most": it is seen to be missing, not dropped.
    assert_eq!(printable("≤ 5"), "\u{fffd} 5");
    assert_eq!(printable("בית مخزن"), "בית مخزن");
    assert_eq!(printable("👷🏽 漢"), "\u{fffd}\u{fffd} \u{fffd}");
    assert!(can_print(REPLACEMENT));
}

#[test]
fn long_words_may_break_and_lose_no_letter() {
    let long = "x".repeat(10_000);
    let shown = printable(&long);
    assert_eq!(shown.replace('\u{200b}', ""), long);
    assert!(shown.split('\u{200b}').all(|part| part.chars().count() <= 25));
}
