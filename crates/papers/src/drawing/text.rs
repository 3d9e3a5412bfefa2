//! Makes texts of users fit for a sheet.

/// Longer texts are cut.
const LONGEST: usize = 80;

/// One line without control characters, direction marks or what XML cannot hold; cut with an ellipsis.
pub(super) fn clean(text: &str) -> String {
    cut(text, LONGEST)
}

/// As [`clean`], to so many characters.
pub(crate) fn cut(text: &str, longest: usize) -> String {
    let mut out = String::new();
    let mut kept = 0;
    let mut was_space = true;
    for c in text.chars() {
        let c = if c.is_whitespace() { ' ' } else { c };
        if is_dropped(c) || (c == ' ' && was_space) {
            continue;
        }
        if kept == longest {
            out.pop();
            out.push('…');
            return out;
        }
        was_space = c == ' ';
        out.push(c);
        kept += 1;
    }
    out.trim_end().to_owned()
}

/// Controls, marks that turn the direction of what follows, and code points outside XML 1.0.
fn is_dropped(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        || matches!(c, '\u{fffe}' | '\u{ffff}' | '\u{feff}')
}

/// For text and attributes of XML.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// Width in mm, on the wide side, since the viewer's font is not known.
pub(super) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(|c| width_of(c) * size).sum()
}

fn width_of(c: char) -> f64 {
    match c {
        ' ' | '.' | ',' | '\'' | '|' | 'i' | 'l' | 'j' | ':' | ';' | '(' | ')' | '/' | '-' => 0.4,
        'm' | 'M' | 'W' | 'w' | '%' | '→' | '←' | '↑' | '↓' | '↗' | '↘' | '↙' | '↖' => 0.95,
        c if c.is_ascii_uppercase() => 0.74,
        c if c < '\u{1100}' => 0.65,
        _ => 1.1,
    }
}

/// Breaks a text into lines no wider than `most` mm.
pub(super) fn wrap(text: &str, size: f64, most: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        for piece in pieces(word, size, most) {
            let line = lines.last().map_or("", String::as_str);
            let joined = if line.is_empty() { piece.clone() } else { format!("{line} {piece}") };
            if width(&joined, size) <= most {
                lines.pop();
                lines.push(joined);
            } else {
                lines.push(piece);
            }
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// A word in pieces that fit.
fn pieces(word: &str, size: f64, most: f64) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut used = 0.0;
    for c in word.chars() {
        let wide = width_of(c) * size;
        if used + wide > most && used > 0.0 {
            out.push(String::new());
            used = 0.0;
        }
        used += wide;
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    out
}
