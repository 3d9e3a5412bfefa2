//! The reference libraries, asked over JSON.

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::tree;

/// Runs `tests/reference/<script>.py` with a JSON question on its input and reads its JSON answer.
///
/// # Panics
/// When the libraries are missing or the script fails: a comparison that did not take place has not passed.
#[must_use]
pub fn ask(script: &str, question: &Value) -> Value {
    let root = tree::root();
    let python = root.join(".venv/bin/python");
    assert!(python.is_file(), "the reference libraries are not installed: run ./check once, it makes .venv");
    let mut child = Command::new(python)
        .arg(root.join("tests/reference").join(format!("{script}.py")))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{script}.py did not start: {error}"));
    if let Some(mut input) = child.stdin.take() {
        // A script that fails early closes its input; its own message tells more than the broken pipe.
        let _ = input.write_all(question.to_string().as_bytes());
    }
    let output = child.wait_with_output().unwrap_or_else(|error| panic!("{script}.py was lost: {error}"));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{script}.py failed:\n{told}");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{script}.py gave no JSON ({error}):\n{told}"))
}

/// A number of the answer by its name.
///
/// # Panics
/// When the answer holds no such number.
#[must_use]
pub fn number(answer: &Value, name: &str) -> f64 {
    answer[name].as_f64().unwrap_or_else(|| panic!("no number `{name}` in {answer}"))
}

/// A list of numbers of the answer by its name.
///
/// # Panics
/// When the answer holds no such list.
#[must_use]
pub fn numbers(answer: &Value, name: &str) -> Vec<f64> {
    let list = answer[name].as_array().unwrap_or_else(|| panic!("no list `{name}` in {answer}"));
    list.iter().map(|value| value.as_f64().unwrap_or(f64::NAN)).collect()
}
