//! Every library that is built in stands under a licence that the project accepts.

use std::process::Command;

use house::tree;
use serde_json::Value;

fn accepted() -> Vec<String> {
    let table: toml::Table = tree::text(&tree::root().join("deny.toml")).parse().expect("deny.toml is TOML");
    let list = table["licenses"]["allow"].as_array().cloned().unwrap_or_default();
    list.iter().filter_map(|name| name.as_str().map(str::to_owned)).collect()
}

/// Whether an SPDX expression can be met with accepted licences.
fn is_met(expression: &str, accepted: &[String]) -> bool {
    let flat = expression.replace(['(', ')'], " ").replace('/', " OR ");
    // `AND` binds tighter than `OR`; with the brackets gone, every part of some choice must be accepted,
    // which is stricter than the expression for `(A OR B) AND C`: then all must hold but one of A, B.
    flat.split(" OR ")
        .any(|choice| choice.split(" AND ").all(|name| accepted.iter().any(|a| a == name.trim())))
}

#[test]
fn expressions_are_judged() {
    let accepted: Vec<String> = ["MIT", "Apache-2.0", "Unicode-3.0"].map(str::to_owned).to_vec();
    assert!(is_met("GPL-3.0 OR MIT", &accepted));
    assert!(is_met("MIT/Apache-2.0", &accepted));
    assert!(is_met("(MIT OR Apache-2.0) AND Unicode-3.0", &accepted));
    assert!(!is_met("GPL-3.0-only", &accepted));
    assert!(!is_met("MIT AND GPL-3.0-only", &accepted));
}

#[test]
fn every_library_has_an_accepted_licence() {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--format-version", "1"])
        .current_dir(tree::root())
        .output()
        .expect("cargo runs, for it runs this test");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("cargo metadata prints JSON");
    let packages = metadata["packages"].as_array().expect("a list of packages");
    let accepted = accepted();
    assert!(packages.len() > 50 && !accepted.is_empty());
    let refused: Vec<String> = packages
        .iter()
        .filter(|p| !p["license"].as_str().is_some_and(|licence| is_met(licence, &accepted)))
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["license"]))
        .collect();
    assert!(refused.is_empty(), "not accepted by deny.toml:\n{}", refused.join("\n"));
}
