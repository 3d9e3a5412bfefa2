//! Every citation key resolves, and every source is cited.

use std::collections::{BTreeMap, BTreeSet};

use house::tree;

fn listed() -> BTreeSet<String> {
    let list = tree::text(&tree::root().join("docs/references.bib"));
    let mut keys = BTreeSet::new();
    for line in list.lines().filter(|line| line.starts_with('@')) {
        let key = line.split_once('{').map_or("", |(_, rest)| rest).trim().trim_end_matches(',');
        assert!(!key.is_empty(), "an entry without a key: {line}");
        assert!(keys.insert(key.to_owned()), "docs/references.bib holds `{key}` twice");
    }
    keys
}

/// Each key cited as `[@key]` or `[@one; @two]`, with the first place.
fn cited() -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut pages = tree::files("", &["md", "rs", "py"]);
    pages.retain(|path| !tree::shown(path).starts_with("crates/house/tests/house/"));
    for path in pages {
        for (index, line) in tree::text(&path).lines().enumerate() {
            for key in keys_of(line) {
                found.entry(key).or_insert_with(|| format!("{}:{}", tree::shown(&path), index + 1));
            }
        }
    }
    found
}

fn keys_of(line: &str) -> Vec<String> {
    let mut keys = Vec::new();
    for inside in line.split("[@").skip(1).filter_map(|rest| rest.split_once(']')).map(|(inside, _)| inside) {
        for part in inside.split(';') {
            let part = part.trim().trim_start_matches('@');
            let end = part.find(|c: char| c == ',' || c.is_whitespace()).unwrap_or(part.len());
            keys.push(part[..end].to_owned());
        }
    }
    keys.retain(|key| key != "key");
    keys
}

#[test]
fn keys_are_read_from_a_line() {
    assert_eq!(keys_of("so [@a-2012, eq. 3] and [@b; @c2]."), ["a-2012", "b", "c2"]);
}

#[test]
fn every_key_resolves() {
    let listed = listed();
    let lost: Vec<String> = cited()
        .into_iter()
        .filter(|(key, _)| !listed.contains(key))
        .map(|(key, at)| format!("{at}: [@{key}]"))
        .collect();
    assert!(lost.is_empty(), "cited, but not in docs/references.bib:\n{}", lost.join("\n"));
}

#[test]
fn every_source_is_cited() {
    let cited = cited();
    let idle: Vec<String> = listed().into_iter().filter(|key| !cited.contains_key(key)).collect();
    assert!(idle.is_empty(), "in docs/references.bib, but cited nowhere: {}", idle.join(", "));
}
