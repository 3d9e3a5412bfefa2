//! Notes as text for a terminal: what, where, the line with a caret under the place, and a hint.

use std::fmt::Write as _;

use basis::{Note, Severity};

use crate::source::{Locator, SourceMap, Span};

/// Whether the text carries colour for a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Plain text.
    Plain,
    /// Colour by ANSI escapes.
    Colour,
}

/// How notes are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoteStyle {
    /// Plain or coloured.
    pub ink: Ink,
    /// Columns of the terminal; source lines are trimmed to it. At least 40 are used.
    pub width: usize,
}

impl Default for NoteStyle {
    fn default() -> Self {
        Self { ink: Ink::Plain, width: 100 }
    }
}

/// Sets notes as text, in the order of the files, those about the job as a whole first.
#[must_use]
pub fn render_notes(notes: &[Note], source: &SourceMap, style: NoteStyle) -> String {
    let locator = Locator::new(source);
    let mut placed: Vec<_> = notes.iter().map(|note| (locator.locate(&note.place), note)).collect();
    placed.sort_by_key(|(span, _)| *span);
    let mut out = String::new();
    for (span, note) in placed {
        set_note(&mut out, note, span, source, style);
    }
    out
}

fn set_note(out: &mut String, note: &Note, span: Option<Span>, source: &SourceMap, style: NoteStyle) {
    let head = format!("{} [{}]", note.severity, note.code);
    line(out, &format!("{}: {}", inked(&head, note.severity, style), safe(&note.message)));
    if let Some((span, position)) = span.and_then(|span| Some((span, source.position(span)?))) {
        line(out, &format!("  --> {}:{}:{}", safe(&position.file), position.line, position.column));
        show_line(out, span, position.line, note.severity, source, style);
    } else if let Some(file) = source.files.first() {
        line(out, &format!("  --> {}", safe(&file.name)));
    }
    if !note.hint.is_empty() {
        line(out, &format!("  hint: {}", safe(&note.hint)));
    }
    out.push('\n');
}

fn line(out: &mut String, text: &str) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{text}");
}

fn inked(text: &str, severity: Severity, style: NoteStyle) -> String {
    let colour = match severity {
        Severity::Fault => "1;31",
        Severity::Warning => "1;33",
        Severity::Remark => "1;36",
    };
    match style.ink {
        Ink::Plain => text.to_owned(),
        Ink::Colour => format!("\u{1b}[{colour}m{text}\u{1b}[0m"),
    }
}

/// The source line, trimmed around the span, with carets under the span.
fn show_line(
    out: &mut String,
    span: Span,
    number: usize,
    severity: Severity,
    source: &SourceMap,
    style: NoteStyle,
) {
    let Some(file) = source.files.get(span.file) else { return };
    let (_, range) = file.line_at(span.start);
    let gutter = number.to_string();
    let room = style.width.max(40) - gutter.len() - 5;
    let window = Window::around(&file.text, range, span, room);
    line(out, &format!("  {gutter} | {}", window.text));
    let carets = inked(&"^".repeat(window.carets), severity, style);
    line(out, &format!("  {} | {}{carets}", " ".repeat(gutter.len()), " ".repeat(window.before)));
}

/// A part of a line as shown.
struct Window {
    text: String,
    /// Columns before the first caret.
    before: usize,
    carets: usize,
}

impl Window {
    fn around(text: &str, line: std::ops::Range<usize>, span: Span, room: usize) -> Self {
        // A line may hold megabytes; only the characters near the span are looked at.
        let start = floor_char(text, span.start.clamp(line.start, line.end));
        let end = floor_char(text, span.end.clamp(start, line.end));
        let from = back_by(text, line.start, start, room / 3);
        let mut shown = String::from(if from > line.start { "..." } else { "" });
        shown.push_str(&safe(&text[from..start]));
        let before = width(&shown);
        let left = room.saturating_sub(before + 3).max(1);
        let marked = fitting(&text[start..end], left);
        let carets = width(&marked).max(1);
        shown.push_str(&marked);
        let rest = &text[start..line.end];
        let tail = fitting(&text[end..line.end], left.saturating_sub(width(&marked)));
        shown.push_str(&tail);
        if width(&fitting(rest, left + 1)) > left {
            shown.push_str("...");
        }
        Self { text: shown.trim_end().to_owned(), before, carets }
    }
}

fn floor_char(text: &str, mut byte: usize) -> usize {
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

/// The byte up to so many columns before `from`, not before `least`.
fn back_by(text: &str, least: usize, from: usize, columns: usize) -> usize {
    let mut at = from;
    let mut used = 0;
    for (index, character) in text[least..from].char_indices().rev() {
        used += width(&safe(character.encode_utf8(&mut [0; 4])));
        if used > columns {
            break;
        }
        at = least + index;
    }
    at
}

/// As much of the text as fits into so many columns, made safe.
fn fitting(text: &str, columns: usize) -> String {
    let mut out = String::new();
    let mut used = 0;
    for character in text.chars() {
        let shown = safe(character.encode_utf8(&mut [0; 4]));
        used += width(&shown);
        if used > columns {
            break;
        }
        out.push_str(&shown);
    }
    out
}

/// Text in which every character stands in its own columns, left to right: tabs become a space, and what
/// a terminal would obey, hide or turn round is spelled out.
fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\t' => out.push(' '),
            plain if is_plain(plain) => out.push(plain),
            // Writing to a string cannot fail.
            other => drop(write!(out, "<U+{:04X}>", other as u32)),
        }
    }
    out
}

/// Neither a control, nor of no width, nor of a script that runs from right to left.
fn is_plain(character: char) -> bool {
    !character.is_control()
        && !matches!(character as u32,
            0x00AD | 0x0300..=0x036F | 0x0483..=0x0489 | 0x0590..=0x08FF | 0x0900..=0x0DFF | 0x0E31..=0x0EFF
            | 0x1AB0..=0x1AFF | 0x1DC0..=0x1DFF | 0x200B..=0x200F | 0x2028..=0x202E | 0x2060..=0x206F
            | 0x20D0..=0x20FF | 0xFB1D..=0xFDFF | 0xFE00..=0xFE2F | 0xFE70..=0xFEFF | 0xFFF0..=0xFFFF
            | 0x10800..=0x10FFF | 0x1E800..=0x1EFFF | 0xE0000..=0x10FFFF)
}

/// Columns that safe text takes: wide East Asian characters and pictures take two.
fn width(text: &str) -> usize {
    text.chars()
        .map(|character| match character as u32 {
            0x1100..=0x115F
            | 0x2E80..=0xA4CF
            | 0xAC00..=0xD7A3
            | 0xF900..=0xFAFF
            | 0xFE30..=0xFE6F
            | 0xFF00..=0xFF60
            | 0xFFE0..=0xFFE6
            | 0x1F300..=0x1FAFF
            | 0x20000..=0x3FFFD => 2,
            _ => 1,
        })
        .sum()
}
