//! The whole plan of the boat shed as a cold process: time and peak memory.

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::python::root;
use crate::row::{Row, milliseconds};

const RUNS: usize = 25;

/// Builds the program, runs it cold, and tells the shortest and the middle time and the largest memory.
pub fn rows() -> Vec<Row> {
    let what = "plan of the boat shed, cold process";
    match measured() {
        Ok((times, peak)) => {
            let (best, middle) = (times[0], times[times.len() / 2]);
            let figure = format!("{} (middle of {RUNS}: {})", milliseconds(best), milliseconds(middle));
            vec![
                Row::judged(what, "250 ms", figure, middle < Duration::from_millis(250)),
                Row::told("its peak memory", format!("{:.1} MB", peak / 1024.0)),
            ]
        }
        Err(why) => vec![Row::failed(what, "250 ms", why)],
    }
}

fn measured() -> Result<(Vec<Duration>, f64), String> {
    let program = program()?;
    let (mut times, mut peak) = (Vec::new(), 0.0_f64);
    for _ in 0..RUNS {
        let start = Instant::now();
        let mut child = Command::new(&program)
            .args(["plan", "demo/boat-shed.toml"])
            .current_dir(root())
            .stdout(Stdio::null())
            .spawn()
            .map_err(|error| error.to_string())?;
        let status = format!("/proc/{}/status", child.id());
        let ended = loop {
            // The high-water mark only rises, so the last look before the end is the peak but for the last half millisecond.
            peak = peak.max(high_water(&status));
            if let Some(ended) = child.try_wait().map_err(|error| error.to_string())? {
                break ended;
            }
            std::thread::sleep(Duration::from_micros(500));
        };
        times.push(start.elapsed());
        if !ended.success() {
            return Err(format!("the plan ended with {ended}"));
        }
    }
    times.sort();
    Ok((times, peak))
}

/// The program as cargo builds it for release.
fn program() -> Result<PathBuf, String> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let built = Command::new(cargo)
        .args(["build", "--release", "--quiet", "--locked", "-p", "cli"])
        .current_dir(root())
        .status();
    if !built.is_ok_and(|status| status.success()) {
        return Err("the program does not build".to_owned());
    }
    let beside = std::env::current_exe().map_err(|error| error.to_string())?.with_file_name("flatwright");
    if beside.is_file() { Ok(beside) } else { Err("the bench itself is no release build".to_owned()) }
}

/// Most memory that a process has held, kB; 0 once it has ended.
fn high_water(status: &str) -> f64 {
    let text = std::fs::read_to_string(status).unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|rest| rest.trim().trim_end_matches("kB").trim().parse().ok()).unwrap_or(0.0)
}
