//! Files stay short, say what they are, hold nothing unfinished and nothing of one machine.

use house::{source, tree};

const MOST_LINES: usize = 800;

/// Marks of unfinished work, joined here so that this file does not hold them.
const UNFINISHED: &[&str] = &[
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("to", "do!("),
    concat!("unimpl", "emented!("),
    concat!("place", "holder"),
    concat!("not yet impl", "emented"),
    concat!("not impl", "emented"),
    concat!("#[", "ignore"),
    concat!("<<<<", "<<< "),
    concat!(">>>>", ">>> "),
];

/// Folders of one machine, and hosts of package registries.
const FOREIGN: &[&str] = &[
    concat!("/wo", "rk/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/tm", "p/fw"),
    concat!("crates", ".io"),
    concat!("py", "pi.org"),
    concat!("python", "hosted"),
    concat!("npm", "js.org"),
    concat!("deb.", "debian"),
];

fn our_pages() -> Vec<std::path::PathBuf> {
    let mut pages = tree::files("", &["rs", "md", "toml", "py", "css", "js", "csv", "bib", "json", "svg"]);
    pages.extend([tree::root().join("check"), tree::root().join(".ci/run")]);
    pages.retain(|path| !tree::shown(path).starts_with("out/"));
    pages
}

#[test]
fn source_files_are_short() {
    let long: Vec<String> = tree::files("crates", &["rs"])
        .iter()
        .map(|path| (tree::shown(path), tree::text(path).lines().count()))
        .filter(|(_, lines)| *lines > MOST_LINES)
        .map(|(shown, lines)| format!("{shown}: {lines} lines"))
        .collect();
    assert!(long.is_empty(), "more than {MOST_LINES} lines:\n{}", long.join("\n"));
}

#[test]
fn source_files_say_what_they_are() {
    let silent: Vec<String> = tree::files("crates", &["rs"])
        .iter()
        .filter(|path| !source::is_test_file(&tree::shown(path)) && !tree::text(path).starts_with("//! "))
        .map(|path| tree::shown(path))
        .collect();
    assert!(silent.is_empty(), "no `//!` on the first line:\n{}", silent.join("\n"));
}

fn lines_with(words: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for path in our_pages() {
        for (index, line) in tree::text(&path).lines().enumerate() {
            // What a field shows while it is empty is an attribute of HTML by that name.
            let line = line.replace(concat!("place", "holder="), "");
            for word in words.iter().filter(|word| line.contains(**word)) {
                found.push(format!("{}:{}: {word}", tree::shown(&path), index + 1));
            }
        }
    }
    found
}

#[test]
fn nothing_is_left_unfinished() {
    let found = lines_with(UNFINISHED);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn nothing_names_a_machine_or_a_registry_host() {
    let found = lines_with(FOREIGN);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_crate_takes_the_lints_of_the_workspace() {
    for path in tree::files("crates", &["toml"]).iter().filter(|path| path.ends_with("Cargo.toml")) {
        assert!(tree::text(path).contains("[lints]\nworkspace = true"), "{}", tree::shown(path));
    }
}
