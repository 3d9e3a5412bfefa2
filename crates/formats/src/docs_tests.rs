//! `docs/job-file.md` lists every key as the table of keys has it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::job_toml::example_of;
use crate::keys::{JOB_FILE, Kind, Measure, Need, RATE_BOOK, TableSpec, for_each_table, own_examples};
use crate::quantity::{self, ReadQuantity};

const PAGE: &str = include_str!("../../../docs/job-file.md");

/// The tables of keys as Markdown, each under its heading.
pub(crate) fn tables_of(file: &TableSpec) -> String {
    let mut out = String::new();
    let mut told = BTreeSet::new();
    add("", file, Many::One, &mut out, &mut told);
    out
}

#[derive(Clone, Copy)]
enum Many {
    One,
    Any,
}

fn add(path: &str, spec: &TableSpec, many: Many, out: &mut String, told: &mut BTreeSet<&'static str>) {
    let heading = match (path, many) {
        ("", _) => "The whole file".to_owned(),
        (path, Many::One) => format!("`[{path}]`"),
        (path, Many::Any) => format!("`[[{path}]]`"),
    };
    writeln!(out, "### {heading}\n\n{}\n", spec.doc).expect("a string takes it");
    writeln!(out, "| key | | as in | meaning |\n| --- | --- | --- | --- |").expect("a string takes it");
    for key in spec.keys {
        let need = if key.need == Need::Required { "must" } else { "may" };
        let example = example_of(spec.called, key);
        writeln!(out, "| `{}` | {need} | `{example}` | {} |", key.name, key.doc).expect("a string takes it");
    }
    out.push('\n');
    for key in spec.keys {
        let (inner, many) = match key.kind {
            Kind::Table(inner) => (inner, Many::One),
            Kind::Tables(inner) => (inner, Many::Any),
            _ => continue,
        };
        // Sights, ridges and the like are told once, under the first key that has them.
        if told.insert(inner.doc) {
            let path = if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
            add(&path, inner, many, out, told);
        }
    }
}

#[test]
fn the_page_lists_every_key() {
    let (_, rest) = PAGE.split_once("<!-- keys -->\n").expect("the page has the mark");
    let listed = rest.split_once("<!-- end of keys -->").expect("the page has the end mark").0;
    let expected = tables_of(&JOB_FILE);
    assert!(listed.trim() == expected.trim(), "put this into docs/job-file.md:\n{expected}");
}

#[test]
fn examples_in_the_page_read_without_a_fault() {
    let blocks: Vec<&str> =
        PAGE.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(blocks.len() >= 2);
    let parsed = crate::demo_tests::read(blocks[0]);
    assert!(parsed.report.notes.is_empty(), "{}", crate::demo_tests::rendered(&parsed));
    // The later blocks replace the corners of the first by a walk, or add to it.
    for block in &blocks[1..] {
        let text: toml::Table = block.parse().expect("the block is TOML");
        for key in text.keys() {
            assert!(JOB_FILE.key(key).is_some(), "{key}");
        }
    }
}

/// Whether a value reads as what its key holds.
fn reads(kind: &Kind, value: &str) -> bool {
    fn good<Q: ReadQuantity>(text: &str) -> bool {
        quantity::read::<Q>(text.trim()).is_ok()
    }
    let (measure, parts) = match kind {
        Kind::Quantity(measure, _) => (measure, vec![value]),
        Kind::Estimate(measure, _) => (measure, value.split("+-").collect()),
        _ => return false,
    };
    let read: fn(&str) -> bool = match measure {
        Measure::Length => good::<basis::Length>,
        Measure::Slope => good::<basis::Slope>,
        Measure::Angle => good::<basis::Angle>,
        Measure::Volume => good::<basis::Volume>,
        Measure::VolumeRate => good::<basis::VolumeRate>,
        Measure::TimeSpan => good::<basis::TimeSpan>,
        Measure::Share => good::<basis::Share>,
        Measure::PricePerVolume => good::<quantity::PriceText<basis::Volume>>,
        Measure::Temperature => good::<basis::Temperature>,
        Measure::Density => good::<basis::Density>,
        Measure::Speed => good::<basis::Speed>,
        Measure::Money => good::<quantity::MoneyText>,
        Measure::PricePerTime => good::<quantity::PriceText<basis::TimeSpan>>,
        Measure::PricePerAnything => good::<crate::rate_book::RateText>,
        Measure::AreaRate => good::<basis::AreaRate>,
        Measure::Cover => good::<basis::Cover>,
        _ => return false,
    };
    parts.len() == if matches!(kind, Kind::Estimate(..)) { 2 } else { 1 } && parts.into_iter().all(read)
}

#[test]
fn every_example_of_its_own_belongs_to_a_key_and_reads() {
    for (called, name, value) in own_examples() {
        let mut found = 0;
        let mut see = |spec: &'static TableSpec| {
            if let Some(key) = spec.key(name).filter(|_| spec.called == called) {
                found += 1;
                assert!(reads(&key.kind, value), "{called}.{name} = {value}");
            }
        };
        for_each_table(&JOB_FILE, &mut see);
        for_each_table(&RATE_BOOK, &mut see);
        assert!(found > 0, "no key {called}.{name}");
    }
}
