//! The built program, run as a user runs it.

use std::path::PathBuf;
use std::process::{Command, Output};

use crate::tree;

/// Where the test build has put the program.
///
/// # Panics
/// When it is not built: a test that needs it must not pass without it.
#[must_use]
pub fn path() -> PathBuf {
    let test = std::env::current_exe().unwrap_or_default();
    let folder = test.ancestors().nth(2).map(PathBuf::from).unwrap_or_default();
    let program = folder.join(format!("flatwright{}", std::env::consts::EXE_SUFFIX));
    assert!(
        program.is_file(),
        "the program is not built: run `cargo build --workspace --all-targets` first, or ./check"
    );
    program
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
