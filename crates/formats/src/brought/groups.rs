//! A DXF file as its groups: a code on one line, a value on the next.

use std::ops::Range;

use basis::Place;

use crate::job_toml::Findings;
use crate::quantity::shown;

/// A group.
#[derive(Debug, Clone)]
pub(super) struct Group<'t> {
    /// Its code.
    pub code: i32,
    /// Its value without blanks around.
    pub value: &'t str,
    /// Where the value stands.
    pub at: Range<usize>,
    /// The line of the value, from 1.
    pub line: usize,
}

impl Group<'_> {
    /// Where it is, for a note.
    pub fn place(&self) -> Place {
        Place::at(format!("line {}", self.line))
    }
}

/// The groups of a file up to `EOF`.
///
/// A code that is no number is a fault and ends the reading: after it nothing can be told apart.
pub(super) fn groups<'t>(text: &'t str, f: &mut Findings) -> Vec<Group<'t>> {
    let mut found = Vec::new();
    let mut start = 0;
    let mut lines = text.split_inclusive('\n').enumerate().map(|(index, line)| {
        let at = start;
        start += line.len();
        (index + 1, at, line)
    });
    while let Some((line, at, code)) = lines.next() {
        let Ok(number) = code.trim().parse::<i32>() else {
            // A blank line at the very end is none.
            if code.trim().is_empty() && text[at..].trim().is_empty() {
                break;
            }
            let message = format!("line {line} should hold a group code, it says \"{}\"", shown(code.trim()));
            let hint = "the file was cut off or changed by hand: save it anew";
            let place = Place::at(format!("line {line}"));
            f.fault("not-a-group", &place, &(at..at + code.trim_end().len()), message, hint);
            return found;
        };
        let Some((line, at, value)) = lines.next() else {
            let message = "the file ends in the middle of a group";
            f.fault(
                "drawing-cut-off",
                &Place::at(format!("line {line}")),
                &(at..text.len()),
                message,
                "save it anew",
            );
            return found;
        };
        let inside = value.trim();
        let from = at + (value.len() - value.trim_start().len());
        found.push(Group { code: number, value: inside, at: from..from + inside.len(), line });
        if number == 0 && inside == "EOF" {
            return found;
        }
    }
    let end = text.len();
    let message = "the file ends without EOF";
    f.fault("drawing-cut-off", &Place::at("end"), &(end..end), message, "it was cut off: save it anew");
    found
}
