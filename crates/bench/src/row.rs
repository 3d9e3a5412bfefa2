//! One row of the results: what is measured, the bar, the figure, and whether it meets the bar.

use std::time::{Duration, Instant};

/// One measured figure.
#[derive(Debug, Clone)]
pub struct Row {
    /// What is measured.
    pub what: String,
    /// The bar, for people.
    pub bar: &'static str,
    /// The figure, for people.
    pub figure: String,
    /// Whether the figure meets the bar; absent where there is none.
    pub met: Option<bool>,
}

impl Row {
    /// A figure with a bar.
    pub fn judged(what: impl Into<String>, bar: &'static str, figure: String, met: bool) -> Self {
        Self { what: what.into(), bar, figure, met: Some(met) }
    }

    /// A figure that stands beside the others.
    pub fn told(what: impl Into<String>, figure: String) -> Self {
        Self { what: what.into(), bar: "-", figure, met: None }
    }

    /// A measurement that could not be made.
    pub fn failed(what: impl Into<String>, bar: &'static str, why: String) -> Self {
        Self { what: what.into(), bar, figure: why, met: Some(false) }
    }

    /// As a line of a Markdown table.
    pub fn line(&self) -> String {
        let met = match self.met {
            Some(true) => "met",
            Some(false) => "not met",
            None => "-",
        };
        format!("| {} | {} | {} | {met} |\n", self.what, self.bar, self.figure)
    }
}

/// The shortest of so many runs: on a shared machine the others measure the neighbours.
pub fn best_of<T>(runs: u32, mut work: impl FnMut() -> T) -> Duration {
    (0..runs.max(1))
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

/// A time in milliseconds for people.
pub fn milliseconds(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1e3)
}
