//! The built program, run as a user runs it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::SystemTime;

use crate::tree;

/// Where the test build has put the program.
///
/// # Panics
/// When it is not built, or older than its source: a test that needs it must not pass without it.
#[must_use]
pub fn path() -> PathBuf {
    let test = std::env::current_exe().unwrap_or_default();
    let folder = test.ancestors().nth(2).map(PathBuf::from).unwrap_or_default();
    let program = folder.join(format!("flatwright{}", std::env::consts::EXE_SUFFIX));
    let source = tree::files("crates", &["rs"]);
    let newest = source.iter().filter(|path| is_built_in(path)).filter_map(|path| changed(path)).max();
    assert!(
        changed(&program).is_some_and(|built| newest.is_none_or(|newest| built >= newest)),
        "the program is not built from this source: run `cargo build --workspace --all-targets` first, or ./check"
    );
    program
}

fn changed(path: &Path) -> Option<SystemTime> {
    fs::metadata(path).and_then(|file| file.modified()).ok()
}

fn is_built_in(path: &Path) -> bool {
    let shown = tree::shown(path);
    let crates = ["house", "bench"].iter().any(|name| shown.starts_with(&format!("crates/{name}/")));
    !crates && shown.contains("/src/")
}

/// Runs the program from the root of the tree.
///
/// # Panics
/// When it cannot be started.
#[must_use]
pub fn run(arguments: &[&str]) -> Output {
    let started = Command::new(path()).args(arguments).current_dir(tree::root()).output();
    started.unwrap_or_else(|error| panic!("flatwright {arguments:?} did not start: {error}"))
}
