//! What the pages say is so: commands run, links lead somewhere, the glossary is in order.

use std::collections::BTreeSet;

use house::{markdown, program, tree};

fn pages() -> Vec<std::path::PathBuf> {
    let mut pages = tree::files("docs", &["md"]);
    pages.extend(["README.md", "CONTRIBUTING.md"].map(|name| tree::root().join(name)));
    pages
}

/// The commands of the blocks marked `sh`, each with its page and line.
fn commands() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for path in pages() {
        for block in markdown::blocks(&tree::text(&path)).into_iter().filter(|block| block.language == "sh") {
            for line in block.text.lines().map(|line| line.split(" #").next().unwrap_or_default().trim()) {
                if !line.is_empty() && !line.starts_with('#') {
                    found.push((format!("{}:{}", tree::shown(&path), block.line), line.to_owned()));
                }
            }
        }
    }
    found
}

/// What a page's command asks of the program; `None` for commands that are not the program's.
fn asked(command: &str) -> Option<Vec<String>> {
    let rest = ["cargo run --release -p cli -- ", "cargo run -p cli -- ", "flatwright "]
        .iter()
        .find_map(|start| command.strip_prefix(start))?;
    let mut words = Vec::new();
    for (index, part) in rest.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    Some(words)
}

/// Commands that this test run is itself made of, or that take the whole machine.
const RUN_ELSEWHERE: &[&str] =
    &["./check", "cargo test", "cargo fmt", "cargo clippy", "cargo doc", "cargo build"];

#[test]
fn commands_are_split_as_a_shell_splits_them() {
    let words = asked("flatwright balance demo/a.toml --placed \"bay 1, 12 ft\"").unwrap_or_default();
    assert_eq!(words, ["balance", "demo/a.toml", "--placed", "bay 1, 12 ft"]);
    assert_eq!(asked("./check"), None);
}

#[test]
fn commands_shown_in_the_pages_run() {
    let folder = tempfile::tempdir().expect("a folder for what the commands write");
    let mut wrong = Vec::new();
    let mut ran = 0;
    for (at, command) in commands() {
        let Some(words) = asked(&command) else {
            if !RUN_ELSEWHERE.iter().any(|known| command.starts_with(known)) {
                wrong.push(format!(
                    "{at}: `{command}` is neither the program's nor a known one; mark it `text`"
                ));
            }
            continue;
        };
        ran += 1;
        let output = std::process::Command::new(program::path())
            .args(inside(&words, folder.path()))
            .current_dir(tree::root())
            .output();
        match output {
            Ok(output) if output.status.success() => {}
            Ok(output) => {
                wrong.push(format!(
                    "{at}: `{command}`: {}\n{}",
                    output.status,
                    String::from_utf8_lossy(&output.stderr)
                ));
            }
            Err(error) => wrong.push(format!("{at}: `{command}`: {error}")),
        }
    }
    assert!(ran > 0, "no page shows a command of the program");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The words with the folder after `--out`, or the file after `new`, moved into a temporary folder.
fn inside(words: &[String], folder: &std::path::Path) -> Vec<String> {
    let mut moved = words.to_vec();
    for index in 1..moved.len() {
        if moved[index - 1] == "--out" || moved[index - 1] == "new" {
            moved[index] = folder.join(&moved[index]).display().to_string();
        }
    }
    moved
}

/// Words of a text that begin with two dashes.
fn flags(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| c.is_whitespace() || "`[]<>,;|".contains(c));
    words.filter(|word| word.starts_with("--") && word.len() > 2).map(str::to_owned).collect()
}

#[test]
fn the_readme_tells_all_commands_and_no_flag_that_is_none() {
    let readme = tree::text(&tree::root().join("README.md"));
    let mut told = BTreeSet::new();
    for (line, cells) in markdown::rows(&readme) {
        let Some(command) = cells[0].strip_prefix("`flatwright ").and_then(|rest| rest.split(' ').next())
        else {
            continue;
        };
        told.insert(command.trim_end_matches('`').to_owned());
        let output = program::run(&[command.trim_end_matches('`'), "--help"]);
        let known = flags(&String::from_utf8_lossy(&output.stdout));
        let strange: Vec<String> = flags(&cells.join(" ")).difference(&known).cloned().collect();
        assert!(strange.is_empty(), "README.md:{line}: `{command}` has no {strange:?}");
    }
    let help = program::run(&["--help"]);
    let help = String::from_utf8_lossy(&help.stdout).into_owned();
    let listed =
        help.split("Commands:").nth(1).unwrap_or_default().split("Options:").next().unwrap_or_default();
    let all: BTreeSet<String> = listed
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect();
    assert_eq!(told, all, "the table of commands in README.md against --help");
}

#[test]
fn links_between_pages_lead_somewhere() {
    let mut lost = Vec::new();
    for path in pages() {
        let text = tree::text(&path);
        assert!(!text.is_empty(), "{} is empty or missing", tree::shown(&path));
        for target in
            text.split("](").skip(1).filter_map(|rest| rest.split_once(')')).map(|(target, _)| target)
        {
            let file = target.split('#').next().unwrap_or_default();
            let outside = file.is_empty() || file.contains("://") || file.contains(' ');
            if !outside && !path.parent().is_some_and(|folder| folder.join(file).exists()) {
                lost.push(format!("{}: {target}", tree::shown(&path)));
            }
        }
    }
    assert!(lost.is_empty(), "links to nothing:\n{}", lost.join("\n"));
}

#[test]
fn the_glossary_is_well_formed() {
    let page = tree::text(&tree::root().join("docs/glossary.md"));
    let mut seen = BTreeSet::new();
    let mut wrong = Vec::new();
    for (line, cells) in markdown::rows(&page) {
        if cells.len() != 3 || cells.iter().any(String::is_empty) {
            wrong.push(format!(
                "line {line}: a row is `| term | unit | meaning |`, with `-` where there is no unit"
            ));
        } else if !seen.insert(cells[0].to_lowercase()) {
            wrong.push(format!("line {line}: `{}` stands twice", cells[0]));
        }
    }
    assert!(wrong.is_empty(), "docs/glossary.md:\n{}", wrong.join("\n"));
}

#[test]
fn every_method_page_names_its_checks_and_limits() {
    let pages = tree::files("docs/methods", &["md"]);
    assert!(!pages.is_empty(), "docs/methods is empty");
    for path in pages {
        let text = tree::text(&path).to_lowercase();
        assert!(text.contains("limit"), "{} does not say its limits", tree::shown(&path));
        let checked = ["check", "test"].iter().any(|word| text.contains(word));
        assert!(checked, "{} does not say what it is checked against", tree::shown(&path));
    }
}
