//! `docs/job-file.md` lists every key as the table of keys has it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::job_toml::example_of;
use crate::keys::{JOB_FILE, Kind, Need, TableSpec};

const PAGE: &str = include_str!("../../../docs/job-file.md");

/// The tables of keys as Markdown, each under its heading.
fn tables() -> String {
    let mut out = String::new();
    let mut told = BTreeSet::new();
    add("", &JOB_FILE, Many::One, &mut out, &mut told);
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
        let example = example_of(key.name, &key.kind);
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
    let expected = tables();
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
