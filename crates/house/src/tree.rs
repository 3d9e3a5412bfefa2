//! The files of the working tree.

use std::fs;
use std::path::{Path, PathBuf};

/// The root of the working tree.
#[must_use]
pub fn root() -> PathBuf {
    // Asked while running, not while compiling: a build folder may serve several copies of the tree.
    let here = std::env::var("CARGO_MANIFEST_DIR").unwrap_or_else(|_| env!("CARGO_MANIFEST_DIR").to_owned());
    Path::new(&here).ancestors().nth(2).map(Path::to_path_buf).unwrap_or_default()
}

/// All files under a folder of the tree with one of these extensions, sorted by path.
#[must_use]
pub fn files(under: &str, extensions: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    collect(&root().join(under), extensions, &mut found);
    found.sort();
    found
}

/// The jobs of the demonstration; rate books stand in a folder of their own beside them.
#[must_use]
pub fn demo_jobs() -> Vec<PathBuf> {
    let demo = root().join("demo");
    files("demo", &["toml"]).into_iter().filter(|path| path.parent() == Some(demo.as_path())).collect()
}

fn collect(folder: &Path, extensions: &[&str], found: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if path.is_dir() {
            if !name.starts_with('.') && name != "target" && name != "node_modules" {
                collect(&path, extensions, found);
            }
        } else if extensions.iter().any(|e| path.extension().is_some_and(|own| own == *e)) {
            found.push(path);
        }
    }
}

/// The text of a file; empty when it cannot be read.
#[must_use]
pub fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_default()
}

/// A path as seen from the root, for messages.
#[must_use]
pub fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).display().to_string()
}
