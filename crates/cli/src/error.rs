//! What can go wrong for a person at the command line, and with which exit code.

use std::path::Path;

/// A failure with its words and exit code: 1 for a file that cannot be read or written, 2 for faults in the input.
#[derive(Debug)]
pub struct Failure {
    /// What is printed on standard error.
    pub text: String,
    /// The exit code.
    pub code: u8,
}

impl Failure {
    /// Faults in the user's input, rendered.
    pub fn faults(text: String) -> Self {
        Self { text, code: 2 }
    }
    /// A file that cannot be read or written.
    pub fn file(path: &Path, what: &str, why: &std::io::Error) -> Self {
        Self { text: format!("cannot {what} {}: {why}\n", path.display()), code: 1 }
    }
}
