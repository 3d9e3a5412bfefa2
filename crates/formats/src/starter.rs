//! The starter job that a new job is made from.

/// A commented job file that reads without a fault: a plain garage floor to be changed line by line.
///
/// ```
/// let no_file = |_: &str| Err("none".to_owned());
/// let parsed = formats::read_job(formats::starter(), "new.toml", &no_file);
/// assert!(parsed.report.value.is_some());
/// ```
#[must_use]
pub const fn starter() -> &'static str {
    include_str!("starter.toml")
}
