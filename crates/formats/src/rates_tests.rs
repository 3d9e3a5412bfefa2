//! The rate book: reader, table of keys, schema, page and demos agree; each fault has its code and its place.

use std::collections::BTreeSet;

use basis::Place;
use serde_json::Value;
use toml::de::DeTable;

use crate::docs_tests::tables_of;
use crate::job_toml::{Findings, Table};
use crate::keys::{RATE_BOOK, for_each_table};
use crate::schema_tests::{as_json, check};
use crate::{NoteStyle, ParsedRates, rates_schema, read_rates, render_notes, starter_rates};

const DOLLAR: &str = include_str!("../../../demo/rates/dollar.toml");
const EURO: &str = include_str!("../../../demo/rates/euro.toml");
const PAGE: &str = include_str!("../../../docs/rate-book.md");

fn read(text: &str) -> ParsedRates {
    read_rates(text.as_bytes(), "rates.toml")
}

fn rendered(parsed: &ParsedRates) -> String {
    render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default())
}

/// Codes with line and column, in the order told.
fn told(parsed: &ParsedRates) -> Vec<(&'static str, usize, usize)> {
    let at = |note: &basis::Note| {
        let at = parsed.source.locate(&note.place).and_then(|span| parsed.source.position(span));
        at.map_or((note.code, 0, 0), |at| (note.code, at.line, at.column))
    };
    parsed.report.notes.iter().map(at).collect()
}

#[test]
fn demos_and_starter_read_without_a_note_and_pass_the_schema() {
    for text in [DOLLAR, EURO, starter_rates()] {
        let parsed = read(text);
        assert!(parsed.report.notes.is_empty(), "{}", rendered(&parsed));
        let mut wrong = Vec::new();
        check(&rates_schema(), &as_json(text), "", &mut wrong);
        assert_eq!(wrong, Vec::<String>::new());
    }
}

/// The starter ships no price of ours.
#[test]
fn the_starter_is_blank() {
    let book = read(starter_rates()).report.value.unwrap();
    assert!(
        book.materials.iter().all(|m| m.rate.is_none()) && book.machines.iter().all(|m| m.rate.is_none())
    );
    assert!(book.people.iter().all(|p| p.wage.is_none() && p.burden.is_none()));
    assert!(book.overhead.is_none() && book.profit.is_none() && book.tax.is_none() && book.minimum.is_none());
    assert!(book.plant.concrete.is_none() && book.plant.fuel.is_none());
    assert!(book.other.iter().all(|other| other.amount.is_none()));
}

#[test]
fn one_slip_is_one_fault_at_its_place() {
    // What is replaced, by what, the code, and the column at which the caret starts.
    let cases = [
        ("rate_book = 1", "rate_book = 2", "wrong-version", 13),
        ("currency = \"USD\"", "currency = \"USB\"", "unknown-currency", 12),
        ("wage = \"34 USD/h\"", "wage = \"34 EUR/h\"", "mixed-currencies", 8),
        ("wage = \"34 USD/h\"", "wage = \"-34 USD/h\"", "out-of-range", 8),
        ("wage = \"34 USD/h\"", "wage = 34", "bare-number", 8),
        ("wage = \"34 USD/h\"", "wage = \"34 USD/yd3\"", "not-a-quantity", 8),
        ("price = \"0.12 USD/ft2\"", "price = \"0.12 USD/acre\"", "not-a-quantity", 9),
        ("price = \"0.12 USD/ft2\"", "price = \"NaN USD/ft2\"", "not-a-quantity", 9),
        ("price = \"0.12 USD/ft2\"", "price = \"1e300 USD/ft2\"", "not-a-quantity", 9),
        ("price = \"0.12 USD/ft2\"", "price = \"99999999999999 USD/ft2\"", "out-of-range", 9),
        ("price = \"0.12 USD/ft2\"", "price = \"-0.12 USD/ft2\"", "out-of-range", 9),
        ("price = \"0.12 USD/ft2\"", "price = \"0.12\"", "not-a-quantity", 9),
        ("price = \"0.12 USD/ft2\"", "prise = \"0.12 USD/ft2\"", "unknown-key", 1),
        ("price = \"0.12 USD/ft2\"", "price = \"\"\nprice = \"\"", "not-toml", 1),
        ("item = \"poly\"", "item = \"stone\"", "double-name", 8),
        ("item = \"poly\"", "", "missing-key", 0),
        ("what = \"air\"", "what = \"steam\"", "unknown-word", 8),
        ("margin = \"12 %\"", "margin = \"100 %\"", "margin-too-high", 10),
        ("margin = \"12 %\"", "margin = \"12 %\"\nmarkup = \"12 %\"", "two-profits", 10),
        ("margin = \"12 %\"", "margin = \"-12 %\"", "out-of-range", 10),
        ("price = \"85 USD/day\"", "price = \"85 USD/yd3\"", "machine-by-what", 9),
        ("on = \"materials\"", "on = \"material\"", "unknown-word", 6),
        ("  \"Permit,", "  7, \"Permit,", "wrong-type", 3),
        ("valid = \"30 days\"", "valid = \"0 days\"", "out-of-range", 9),
    ];
    for (from, to, code, column) in cases {
        assert!(DOLLAR.contains(from), "{from} is not in the demo");
        let parsed = read(&DOLLAR.replacen(from, to, 1));
        let told = told(&parsed);
        assert_eq!(told.len(), 1, "{to}: {told:?}\n{}", rendered(&parsed));
        assert_eq!(told[0].0, code, "{to}: {}", rendered(&parsed));
        assert!(column == 0 || told[0].2 == column, "{to}: {told:?}");
        assert!(told[0].1 > 0, "{to}: the fault has no line");
        assert!(parsed.report.value.is_none());
        let hint = &parsed.report.notes[0].hint;
        assert!(!hint.is_empty(), "{to} has no hint");
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let mut text = DOLLAR.replacen("34 USD/h", "34", 1);
    text = text.replacen("margin = \"12 %\"", "margin = \"130 %\"", 1);
    text = text.replacen("0.12 USD/ft2", "0.12 USD/acre", 1).replacen("38 %", "38 percentage", 1);
    assert_eq!(read(&text).report.notes.len(), 4, "{}", rendered(&read(&text)));
}

/// Missing tables are blanks; only the head must be there. Nothing panics on what is no rate book at all.
#[test]
fn what_is_left_out_is_blank_and_rubbish_is_told() {
    let least = "rate_book = 1\nbook = { name = \"b\", currency = \"USD\" }\n";
    let book = read(least).report.value.unwrap();
    assert_eq!(book, pour::price::RateBook::blank("b", basis::Currency(*b"USD")));
    for bad in [
        "",
        "flatwright = 1",
        "rate_book = 1",
        "rate_book = nan",
        "[[",
        "rate_book = 1\nbook = 3\nmaterial = 4\n",
    ] {
        assert!(read(bad).report.value.is_none(), "{bad}");
        assert!(!read(bad).report.notes.is_empty(), "{bad}");
    }
    assert_eq!(read_rates(&[0xff, 0xfe, 0x00], "r.toml").report.notes[0].code, "not-utf-8");
    for cut in (0..DOLLAR.len()).step_by(97).filter(|cut| DOLLAR.is_char_boundary(*cut)) {
        let _ = rendered(&read(&DOLLAR[..cut]));
    }
}

/// The reader asks for each key of the table of keys, when every table is there.
#[test]
fn the_reader_asks_for_every_key() {
    let table = DeTable::parse(starter_rates()).expect("the text is TOML");
    let mut f = Findings::default();
    let root = Table::open(&RATE_BOOK, table.get_ref(), Place::job(), 0..0, &mut f);
    crate::rate_book::rates(&root, &mut f);
    // The table of the version is read before all others.
    f.asked.insert((RATE_BOOK.doc, "rate_book"));
    let mut known = BTreeSet::new();
    for_each_table(&RATE_BOOK, &mut |spec| known.extend(spec.keys.iter().map(|key| (spec.doc, key.name))));
    let idle: Vec<_> = known.difference(&f.asked).collect();
    assert!(idle.is_empty(), "in the table of keys, but never read: {idle:?}");
}

#[test]
fn the_page_lists_every_key() {
    let (_, rest) = PAGE.split_once("<!-- keys -->\n").expect("the page has the mark");
    let listed = rest.split_once("<!-- end of keys -->").expect("the page has the end mark").0;
    let expected = tables_of(&RATE_BOOK);
    assert!(listed.trim() == expected.trim(), "put this into docs/rate-book.md:\n{expected}");
}

#[test]
fn the_example_in_the_page_reads_without_a_fault() {
    let block = PAGE.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next()).unwrap();
    let parsed = read(block);
    assert!(parsed.report.notes.is_empty(), "{}", rendered(&parsed));
}

/// Items that the price counts are named on the page.
#[test]
fn the_page_names_every_item() {
    for item in pour::price::ITEMS {
        assert!(PAGE.contains(&format!("`{item}`")), "{item}");
    }
}

/// Editors read the file in the tree; `flatwright schema rates` prints the same.
#[test]
fn the_schema_in_the_tree_is_this_one() {
    let in_tree: Value =
        serde_json::from_str(include_str!("../../../schema/rates.schema.json")).expect("JSON");
    assert!(
        in_tree == rates_schema(),
        "write schema/rates.schema.json anew: cargo run -p cli -- schema rates"
    );
}
