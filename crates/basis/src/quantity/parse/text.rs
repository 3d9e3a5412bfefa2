//! Brings a person's text into plain characters and steps through it.

use super::{QuantityFault, Slip};

/// No quantity is longer than this many characters.
const LONGEST: usize = 120;

/// The text with typographic marks made plain: primes, fractions, raised digits, minus signs, spaces.
pub(super) fn plain(said: &str) -> Result<String, Slip> {
    if said.chars().nth(LONGEST).is_some() {
        return Err(Slip::form(format!("goes on for more than {LONGEST} characters")));
    }
    let mut out = String::with_capacity(said.len() + 8);
    for c in said.chars() {
        match plain_mark(c) {
            Some(mark) => out.push_str(mark),
            None if c.is_whitespace() => out.push(' '),
            None => out.push(c),
        }
    }
    let out = out.replace("''", "\"");
    if out.trim().is_empty() {
        return Err(Slip::new(QuantityFault::Empty, "holds nothing"));
    }
    Ok(out)
}

/// Fractions get spaces on both sides so that digits beside them stay apart.
fn plain_mark(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => " 1/2 ",
        '¼' => " 1/4 ",
        '¾' => " 3/4 ",
        '⅛' => " 1/8 ",
        '⅜' => " 3/8 ",
        '⅝' => " 5/8 ",
        '⅞' => " 7/8 ",
        '⅓' => " 1/3 ",
        '⅔' => " 2/3 ",
        '′' | '‘' | '’' | 'ʹ' => "'",
        '″' | '“' | '”' | 'ʺ' => "\"",
        '²' => "2",
        '³' => "3",
        '⁄' | '∕' => "/",
        '−' | '–' | '‐' | '‑' => "-",
        '±' => "+-",
        'º' => "°",
        _ => return None,
    })
}

/// What follows the number that the text begins with: its unit.
pub(super) fn after_number(plain: &str) -> &str {
    plain.trim_start_matches(|c: char| c.is_ascii_digit() || " .,+-/".contains(c))
}

/// A user's text, short enough to be quoted, control characters made visible.
pub(super) fn quoted(said: &str) -> String {
    let mut out = String::new();
    for c in said.chars().take(40) {
        if c.is_control() { out.extend(c.escape_default()) } else { out.push(c) }
    }
    if said.chars().nth(40).is_some() {
        out.push('…');
    }
    out
}

/// A place in the plain text.
#[derive(Debug, Clone)]
pub(super) struct Cursor {
    chars: Vec<char>,
    at: usize,
}

impl Cursor {
    pub(super) fn new(plain: &str) -> Self {
        Self { chars: plain.trim().chars().collect(), at: 0 }
    }
    pub(super) fn peek(&self) -> Option<char> {
        self.chars.get(self.at).copied()
    }
    pub(super) fn peek_after(&self, n: usize) -> Option<char> {
        self.chars.get(self.at + n).copied()
    }
    pub(super) fn is_done(&self) -> bool {
        self.at >= self.chars.len()
    }
    pub(super) fn step(&mut self) {
        self.at += 1;
    }
    pub(super) fn place(&self) -> usize {
        self.at
    }
    pub(super) fn back_to(&mut self, place: usize) {
        self.at = place;
    }
    /// Steps over a character if it is the next one.
    pub(super) fn take(&mut self, c: char) -> bool {
        let found = self.peek() == Some(c);
        if found {
            self.at += 1;
        }
        found
    }
    /// Steps over the characters that are so and returns them.
    pub(super) fn take_while(&mut self, is_so: impl Fn(char) -> bool) -> String {
        let from = self.at;
        while self.peek().is_some_and(&is_so) {
            self.at += 1;
        }
        self.chars[from..self.at].iter().collect()
    }
    pub(super) fn skip_spaces(&mut self) {
        while self.peek() == Some(' ') {
            self.at += 1;
        }
    }
    /// A leading sign as a factor.
    pub(super) fn sign(&mut self) -> f64 {
        self.skip_spaces();
        if self.take('-') {
            return -1.0;
        }
        self.take('+');
        1.0
    }
    /// What is left, for a message.
    pub(super) fn rest(&self) -> String {
        let rest: String = self.chars[self.at.min(self.chars.len())..].iter().collect();
        quoted(rest.trim())
    }
}
