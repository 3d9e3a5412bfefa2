//! Rust source without what does not run: tests, comments and texts.

/// The part of a file before its tests, comments blanked out; line numbers are kept.
#[must_use]
pub fn shipped(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    for line in before_tests(text).lines() {
        let code = line.trim_start();
        if !code.starts_with("//") {
            kept.push_str(line);
        }
        kept.push('\n');
    }
    kept
}

/// The part of a file before its `#[cfg(test)]` module.
#[must_use]
pub fn before_tests(text: &str) -> &str {
    match text.find("\n#[cfg(test)]\nmod ") {
        Some(end) => &text[..=end],
        None => text,
    }
}

/// Whether a file holds only tests, by its name or folder.
#[must_use]
pub fn is_test_file(shown: &str) -> bool {
    shown.contains("/tests/") || shown.ends_with("tests.rs") || shown.contains("/benches/")
}

/// The texts in double quotes of a piece of code, without escapes.
#[must_use]
pub fn quoted(code: &str) -> Vec<String> {
    code.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}
