//! Which crate may know which: the arrows of `docs/architecture.md`.

use std::collections::BTreeSet;

use house::tree;

/// Each crate with those of the workspace that it may depend on.
const ARROWS: &[(&str, &[&str])] = &[
    ("basis", &[]),
    ("ground", &["basis"]),
    ("clock", &["basis"]),
    ("pour", &["basis", "ground", "clock"]),
    ("formats", &["basis", "ground", "clock", "pour"]),
    ("papers", &["basis", "ground", "clock", "pour"]),
    ("press", &[]),
    ("store", &["basis", "ground", "clock", "pour", "formats"]),
    ("web", &["basis", "ground", "clock", "pour", "formats", "papers", "press", "store"]),
    ("cli", &["basis", "ground", "clock", "pour", "formats", "papers", "press", "store", "web"]),
    ("bench", &["basis", "ground", "clock", "pour", "formats", "papers", "press"]),
    ("house", &["basis", "ground", "clock", "pour", "formats", "papers", "press"]),
];

/// Libraries that stand for the outside world; no pure crate may name them.
const OUTSIDE: &[&str] = &["tokio", "axum", "hyper", "rusqlite", "reqwest", "rayon", "clap", "tempfile"];

struct Manifest {
    name: String,
    dependencies: BTreeSet<String>,
    for_tests: BTreeSet<String>,
}

fn manifests() -> Vec<Manifest> {
    let keys = |table: &toml::Table, name: &str| {
        let part = table.get(name).and_then(toml::Value::as_table);
        part.map(|part| part.keys().cloned().collect()).unwrap_or_default()
    };
    let read = |path: std::path::PathBuf| {
        let table: toml::Table = tree::text(&path).parse().expect("a manifest that cargo has read");
        let name = table["package"]["name"].as_str().unwrap_or_default().to_owned();
        Manifest {
            name,
            dependencies: keys(&table, "dependencies"),
            for_tests: keys(&table, "dev-dependencies"),
        }
    };
    let found: Vec<_> =
        tree::files("crates", &["toml"]).into_iter().filter(|p| p.ends_with("Cargo.toml")).collect();
    assert!(found.len() >= 7, "only {} manifests under crates/", found.len());
    found.into_iter().map(read).collect()
}

#[test]
fn crates_know_only_those_that_they_may_know() {
    let ours: BTreeSet<&str> = ARROWS.iter().map(|(name, _)| *name).collect();
    let mut wrong = Vec::new();
    for crate_ in manifests() {
        let Some((_, may)) = ARROWS.iter().find(|(name, _)| *name == crate_.name) else {
            wrong.push(format!("{} has no row in the table of arrows", crate_.name));
            continue;
        };
        for known in crate_.dependencies.union(&crate_.for_tests) {
            if ours.contains(known.as_str()) && !may.contains(&known.as_str()) {
                wrong.push(format!("{} must not know {known}", crate_.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_table_of_arrows_has_no_circle() {
    for (index, (name, may)) in ARROWS.iter().enumerate() {
        for known in *may {
            let at = ARROWS.iter().position(|(other, _)| other == known);
            assert!(at.is_some_and(|at| at < index), "{name} knows {known}, which stands after it");
        }
    }
}

#[test]
fn ground_and_clock_do_not_know_each_other() {
    let may = |name: &str| ARROWS.iter().find(|(other, _)| *other == name).map_or(&[][..], |(_, may)| *may);
    assert!(!may("ground").contains(&"clock") && !may("clock").contains(&"ground"));
}

#[test]
fn pure_crates_bring_no_outside_world() {
    let pure = ["basis", "ground", "clock", "pour", "formats", "papers"];
    for crate_ in manifests().iter().filter(|c| pure.contains(&c.name.as_str())) {
        for outside in OUTSIDE {
            assert!(!crate_.dependencies.contains(*outside), "{} must not know {outside}", crate_.name);
        }
    }
}

#[test]
fn only_formats_serialises_types() {
    for crate_ in manifests() {
        let may = ["formats", "store", "web"].contains(&crate_.name.as_str());
        assert!(may || !crate_.dependencies.contains("serde"), "{} must not know serde", crate_.name);
    }
}
