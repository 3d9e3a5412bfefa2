//! The program as it is started by people: what it says when something is wrong, and that no acknowledged event is lost by a kill.

#![allow(clippy::unwrap_used, reason = "a test stops where something fails")]

mod faults;
mod http;
mod killed;
mod tls;

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};

/// The program, to be told what to do.
fn flatwright(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_flatwright"));
    command.args(args).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// Runs it to its end.
fn run(args: &[&str]) -> Output {
    flatwright(args).output().unwrap()
}

/// Runs it with one line of input.
fn told(args: &[&str], line: &str) -> Output {
    let mut child = flatwright(args).stdin(Stdio::piped()).spawn().unwrap();
    writeln!(child.stdin.take().unwrap(), "{line}").unwrap();
    child.wait_with_output().unwrap()
}

fn errors(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A server that ends with its test.
struct Served {
    child: Child,
    /// Host and port.
    address: String,
    /// All that it said before the last line of its greeting.
    hello: String,
}

impl Served {
    fn start(folder: &Path, more: &[&str]) -> Self {
        let mut args = vec!["serve", "--listen", "127.0.0.1:0", "--data", folder.to_str().unwrap()];
        args.extend(more);
        let mut child = flatwright(&args).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut hello = String::new();
        loop {
            let Some(Ok(line)) = lines.next() else {
                let output = child.wait_with_output().unwrap();
                panic!("it did not start: {}", errors(&output));
            };
            if line.starts_with("Ctrl-C") {
                break;
            }
            hello += &line;
            hello += "\n";
        }
        let told = hello.lines().find_map(|line| line.strip_prefix("The app is at ")).unwrap();
        let address = told.split("://").nth(1).unwrap().trim_end_matches('/').to_owned();
        Self { child, address, hello }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
