//! Every note that the tool can make is explained in `docs/notes.md`.

use std::collections::{BTreeMap, BTreeSet};

use house::{markdown, source, tree};

const MAKERS: &[&str] = &["fault(", "warning(", "remark(", "code: "];

/// Words with a hyphen that are no codes.
const WORDS: &[&str] = &["set-up", "last-load"];

/// Each code that the shipped source makes a note with, with the first place.
fn made() -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for path in tree::files("crates", &["rs"]) {
        let shown = tree::shown(&path);
        if source::is_test_file(&shown) || shown.starts_with("crates/house/") {
            continue;
        }
        for code in codes_of(&source::shipped(&tree::text(&path))) {
            found.entry(code).or_insert_with(|| shown.clone());
        }
    }
    found
}

fn codes_of(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for maker in MAKERS {
        for after in code.split(maker).skip(1) {
            let Some(text) = after.trim_start().strip_prefix('"') else { continue };
            let Some((text, _)) = text.split_once('"') else { continue };
            if is_code(text) {
                found.push(text.to_owned());
            }
        }
    }
    // A code may also come from a table or a choice made before the note; then it has a hyphen.
    if code.contains("Note::") || code.contains("code: ") {
        found.extend(
            source::quoted(code)
                .into_iter()
                .filter(|text| text.contains('-') && !WORDS.contains(&text.as_str())),
        );
        found.retain(|text| is_code(text));
    }
    found.sort();
    found.dedup();
    found
}

fn is_code(text: &str) -> bool {
    let letters = text.chars().any(|c| c.is_ascii_lowercase());
    let plain = letters && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    plain && !text.is_empty() && !text.starts_with('-') && !text.ends_with('-')
}

fn explained() -> BTreeMap<String, Vec<String>> {
    let page = tree::text(&tree::root().join("docs/notes.md"));
    let rows = markdown::rows(&page).into_iter();
    rows.map(|(_, cells)| (cells[0].trim_matches('`').to_owned(), cells)).collect()
}

#[test]
fn codes_are_found_in_source() {
    let code = "notes.push(Note::fault(\n    \"too-few-shots\", place, m, h));\nremark(\"six-shots\", p);\n\
                let code = if a { \"one-way\" } else { \"other-way\" };\n";
    assert_eq!(codes_of(code), ["one-way", "other-way", "six-shots", "too-few-shots"]);
}

#[test]
fn a_note_is_explained_once() {
    let page = tree::text(&tree::root().join("docs/notes.md"));
    let mut seen = BTreeSet::new();
    let is_code_row = |cells: &[String]| is_code(cells[0].trim_matches('`')) && cells[0].starts_with('`');
    let rows = markdown::rows(&page).into_iter().map(|(_, cells)| cells);
    let again: Vec<String> = rows
        .filter(|cells| is_code_row(cells))
        .map(|cells| cells[0].clone())
        .filter(|code| !seen.insert(code.clone()))
        .collect();
    assert!(again.is_empty(), "explained twice in docs/notes.md: {}", again.join(", "));
}

#[test]
fn every_note_is_explained() {
    let explained = explained();
    let missing: Vec<String> = made()
        .into_iter()
        .filter(|(code, _)| !explained.contains_key(code))
        .map(|(code, at)| format!("| `{code}` |  |  |   <- made in {at}"))
        .collect();
    assert!(missing.is_empty(), "{} rows missing in docs/notes.md:\n{}", missing.len(), missing.join("\n"));
}

#[test]
fn every_row_explains_a_note_that_is_made() {
    let made = made();
    let idle: Vec<String> = explained().into_keys().filter(|code| !made.contains_key(code)).collect();
    assert!(idle.is_empty(), "docs/notes.md explains notes that nothing makes: {}", idle.join(", "));
}

#[test]
fn every_row_says_what_it_means_and_what_to_do() {
    let short: BTreeSet<String> = explained()
        .into_iter()
        .filter(|(_, cells)| cells.len() != 3 || cells.iter().any(String::is_empty))
        .map(|(code, _)| code)
        .collect();
    assert!(short.is_empty(), "rows of docs/notes.md without three cells: {short:?}");
}
