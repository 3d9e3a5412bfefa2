//! The reference libraries, timed in the same run on one core.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

/// The repository's folder.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// Runs a script of `crates/bench/python` with a JSON question on its input, on one thread, and reads its JSON answer.
pub fn ask(script: &str, question: &Value) -> Result<Value, String> {
    answer(&root().join("crates/bench/python").join(script), question)
}

/// The same with a script of the reference tests.
pub fn ask_reference(script: &str, question: &Value) -> Result<Value, String> {
    answer(&root().join("tests/reference").join(script), question)
}

fn answer(script: &Path, question: &Value) -> Result<Value, String> {
    let name = script.display();
    let python = root().join(".venv/bin/python");
    if !python.is_file() {
        return Err("the reference libraries are not installed: run ./check once".to_owned());
    }
    let mut command = Command::new(python);
    command.arg(script);
    for threads in ["OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"] {
        command.env(threads, "1");
    }
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{name} did not start: {error}"))?;
    if let Some(mut input) = child.stdin.take() {
        input.write_all(question.to_string().as_bytes()).map_err(|error| error.to_string())?;
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    serde_json::from_slice(&output.stdout).map_err(|error| format!("{name} gave no answer: {error}"))
}

/// A number of the answer.
pub fn number(answer: &Value, name: &str) -> f64 {
    answer[name].as_f64().unwrap_or(f64::NAN)
}
