//! A calendar file: events that every calendar program reads [@rfc5545].
//!
//! Instants are written in UTC, so that no time zone has to be described. Lines are folded at 75 bytes and never within a
//! letter. The stamp is handed in: the same events and stamp give the same bytes.

use jiff::Timestamp;
use jiff::tz::TimeZone;

/// One event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarEvent {
    /// A name that no other event in the world has and that stays when the event is moved.
    pub uid: String,
    /// When it begins.
    pub start: Timestamp,
    /// When it ends.
    pub end: Timestamp,
    /// What it is, in a line.
    pub summary: String,
    /// More about it; may be empty.
    pub description: String,
}

/// Most bytes of a line before it is folded, without its end [@rfc5545], 3.1.
const LONGEST_LINE: usize = 75;

/// Writes a calendar. `stamp` is when its information was last changed.
///
/// ```
/// # use formats::{CalendarEvent, calendar};
/// let at = |text: &str| text.parse::<jiff::Timestamp>().expect("an instant");
/// let event = CalendarEvent {
///     uid: "load-1@flatwright".into(),
///     start: at("2026-06-12T12:00:00Z"),
///     end: at("2026-06-12T12:45:00Z"),
///     summary: "Load 1: 8 yd3, shed; back".into(),
///     description: String::new(),
/// };
/// let text = calendar("Boat shed", at("2026-06-01T00:00:00Z"), &[event]);
/// assert!(text.contains("\r\nDTSTART:20260612T120000Z\r\n"));
/// assert!(text.contains("\r\nSUMMARY:Load 1: 8 yd3\\, shed\\; back\r\n"));
/// ```
#[must_use]
pub fn calendar(name: &str, stamp: Timestamp, events: &[CalendarEvent]) -> String {
    let mut text = String::new();
    let mut line = |name: &str, value: &str| fold(&mut text, &format!("{name}:{value}"));
    line("BEGIN", "VCALENDAR");
    line("VERSION", "2.0");
    line("PRODID", "-//flatwright//papers//EN");
    line("CALSCALE", "GREGORIAN");
    line("X-WR-CALNAME", &escaped(name));
    for event in events {
        line("BEGIN", "VEVENT");
        line("UID", &escaped(&event.uid));
        line("DTSTAMP", &utc(stamp));
        line("DTSTART", &utc(event.start));
        line("DTEND", &utc(event.end));
        line("SUMMARY", &escaped(&event.summary));
        if !event.description.is_empty() {
            line("DESCRIPTION", &escaped(&event.description));
        }
        line("END", "VEVENT");
    }
    line("END", "VCALENDAR");
    text
}

fn utc(instant: Timestamp) -> String {
    let at = TimeZone::UTC.to_datetime(instant);
    let (date, time) = (at.date(), at.time());
    format!(
        "{:04}{:02}{:02}T{:02}{:02}{:02}Z",
        date.year(),
        date.month(),
        date.day(),
        time.hour(),
        time.minute(),
        time.second()
    )
}

/// Text as a value [@rfc5545], 3.3.11: no control characters but the line break, which is written as two letters.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// Appends a line, folded: further lines begin with a space that counts among their bytes.
fn fold(text: &mut String, line: &str) {
    let mut used = 0;
    for c in line.chars() {
        if used + c.len_utf8() > LONGEST_LINE {
            text.push_str("\r\n ");
            used = 1;
        }
        used += c.len_utf8();
        text.push(c);
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn event(summary: &str) -> CalendarEvent {
        let start: Timestamp = "2026-03-08T07:59:59Z".parse().unwrap();
        CalendarEvent {
            uid: "a@b".into(),
            start,
            end: start,
            summary: summary.into(),
            description: String::new(),
        }
    }

    fn unfolded_summary(text: &str) -> String {
        let flat = text.replace("\r\n ", "");
        let line = flat.split("\r\n").find_map(|line| line.strip_prefix("SUMMARY:")).unwrap().to_owned();
        let mut out = String::new();
        let mut letters = line.chars();
        while let Some(c) = letters.next() {
            match (c, if c == '\\' { letters.next() } else { None }) {
                (_, Some('n')) => out.push('\n'),
                (_, Some(escaped)) => out.push(escaped),
                (c, None) => out.push(c),
            }
        }
        out
    }

    #[test]
    fn no_event_is_slipped_in_by_a_name() {
        let text = calendar("x", Timestamp::UNIX_EPOCH, &[event("shed\r\nEND:VEVENT\r\nBEGIN:VEVENT")]);
        assert_eq!(text.split("\r\n").filter(|line| *line == "BEGIN:VEVENT").count(), 1);
    }

    proptest! {
        #[test]
        fn every_text_comes_back_and_no_line_is_too_long(summary in "\\PC{0,300}") {
            let text = calendar("x", Timestamp::UNIX_EPOCH, &[event(&summary)]);
            prop_assert!(text.split("\r\n").all(|line| line.len() <= LONGEST_LINE));
            prop_assert!(text.ends_with("END:VCALENDAR\r\n"));
            prop_assert_eq!(unfolded_summary(&text), summary.chars().filter(|c| !c.is_control()).collect::<String>());
        }
    }
}
