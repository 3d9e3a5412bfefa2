//! What a file of another program brings: rings, spots and triangles of a DXF drawing [@dxf-reference] or a LandXML survey [@landxml-1-2].
//!
//! [`read_brought`] reads the file to its end, with every fault at its line, and says what it holds, layer by layer. What of it is taken is
//! chosen then: [`outline_of`] takes an outline, [`shots_of`] takes shots; [`put_outline`] and [`put_shots`] write them into the text
//! of a job. Nothing is taken that was not told before.
//!
//! The reader of DXF is our own, of group codes: the library at hand asks the clock and draws random handles, and a pure crate does neither.

mod chains;
mod dxf;
mod groups;
mod land_xml;
mod outline;
mod put;
mod shots;
mod unit;

use basis::{Length, Note, Place, Report};
use ground::{P2, P3};

use crate::job_toml::Findings;
use crate::quantity::shown;
use crate::source::{SourceFile, SourceMap};

pub use outline::{OutlineWish, TakenOutline, outline_of};
pub use put::{put_corners, put_outline, put_shots, put_shots_file, put_weather_file};
pub use shots::{ShotWish, TakenShots, shots_of};
pub use unit::{LengthUnit, read_origin};

/// Largest drawing or survey file that is read: 10 MB.
pub const LARGEST_BROUGHT: usize = 10_000_000;
/// Most vertices, spots and corners of triangles that are taken from one file.
pub const MOST_SPOTS: usize = 100_000;
/// Farthest from the origin of the file that anything may stand, m.
const FARTHEST: f64 = 1e7;
/// Faults shown for one file; the rest are counted.
const MOST_FAULTS: usize = 50;

/// What kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// A drawing: ASCII DXF.
    Dxf,
    /// A survey: LandXML.
    LandXml,
}

/// How a file is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadOptions {
    /// Its unit of length, where the file does not say it or says it wrong.
    pub unit: Option<LengthUnit>,
    /// Ends of lines that are no farther apart than this meet.
    pub close: Length,
}

impl Default for ReadOptions {
    fn default() -> Self {
        Self { unit: None, close: Length::millimetres(2.0) }
    }
}

/// What a file holds, in metres: x right (easting), y up (northing).
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// Which kind of file it was.
    pub kind: FileKind,
    /// The unit of its lengths.
    pub unit: LengthUnit,
    /// Its layers that hold something, in the order in which they are met.
    pub layers: Vec<Layer>,
}

/// A layer of a drawing, a group of points or a surface of a survey.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layer {
    /// Its name.
    pub name: String,
    /// Closed rings.
    pub rings: Vec<Ring>,
    /// Circles: middle and radius, m.
    pub circles: Vec<(P2, f64)>,
    /// Spots with an elevation.
    pub spots: Vec<Spot>,
    /// Triangles.
    pub faces: Vec<[P3; 3]>,
    /// Chains of lines that do not close.
    pub open: usize,
}

/// A closed ring: `bulges[i]` tells how it runs from `corners[i]` to the next.
///
/// A bulge is the tangent of a quarter of the arc's angle, positive where the arc turns left; nought is straight.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ring {
    /// Corners in order round, m.
    pub corners: Vec<P2>,
    /// Bulge of each edge.
    pub bulges: Vec<f64>,
    /// Largest gap between two ends that were joined, m.
    pub gap: f64,
}

/// A spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Its name, if the file gives one.
    pub name: Option<String>,
    /// Where it is, m.
    pub at: P3,
}

/// A file as read: what it holds if nothing is at fault, all notes, and where their places are.
#[derive(Debug, Clone)]
pub struct ParsedBrought {
    /// What it holds, and the notes.
    pub report: Report<Brought>,
    /// From places to lines.
    pub source: SourceMap,
}

/// Which kind of file these bytes are, by how they begin; nothing for neither.
///
/// ```
/// use formats::brought::{FileKind, kind_of};
/// assert_eq!(kind_of(b"  0\nSECTION\n  2\nHEADER\n"), Some(FileKind::Dxf));
/// assert_eq!(kind_of(b"<?xml version=\"1.0\"?><LandXML/>"), Some(FileKind::LandXml));
/// assert_eq!(kind_of(b"x,y,reading\n"), None);
/// ```
#[must_use]
pub fn kind_of(bytes: &[u8]) -> Option<FileKind> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let start = bytes.trim_ascii_start();
    if start.starts_with(b"<") {
        return Some(FileKind::LandXml);
    }
    let code = start.split(|byte| *byte == b'\n').next().unwrap_or_default().trim_ascii();
    (is_binary(bytes) || code == b"0" || code == b"999").then_some(FileKind::Dxf)
}

/// The binary form of DXF begins with 22 bytes of its own.
fn is_binary(bytes: &[u8]) -> bool {
    bytes.get(7..18) == Some(b" Binary DXF") && bytes.get(20..22) == Some(b"\x1a\0")
}

/// Reads a drawing or a survey.
///
/// # Errors
/// Refused with every fault at its line: no such file, not closed sections, numbers that are none, names of points that are not there,
/// over 10 MB or 100,000 spots. What is not read, such as texts and hatches, is told.
#[must_use]
pub fn read_brought(bytes: &[u8], file_name: &str, options: &ReadOptions) -> ParsedBrought {
    let mut f = Findings::default();
    let mut source = SourceMap::default();
    let refusal = refusal(bytes, file_name);
    let kind = kind_of(bytes).filter(|_| refusal.is_none());
    f.notes.extend(refusal);
    let text = kind.map_or_else(String::new, |_| decoded(bytes));
    let value = match kind {
        Some(FileKind::Dxf) => dxf::read(&text, options, &mut f),
        Some(FileKind::LandXml) => land_xml::read(&text, options, &mut f),
        None => None,
    };
    told_in_part(&mut f.notes);
    source.files.push(SourceFile { name: file_name.to_owned(), text });
    source.pins.append(&mut f.pins);
    let value = value.filter(|_| !basis::report::has_fault(&f.notes));
    ParsedBrought { report: Report { value, notes: f.notes }, source }
}

fn refusal(bytes: &[u8], file_name: &str) -> Option<Note> {
    let note = |code, message: String, hint: &str| Some(Note::fault(code, Place::job(), message, hint));
    let name = shown(file_name);
    if bytes.len() > LARGEST_BROUGHT {
        let message = format!("{name} has {} MB; at most 10 MB are read", bytes.len() / 1_000_000);
        return note("file-too-large", message, "save only the layers that are wanted");
    }
    if bytes.trim_ascii().is_empty() {
        return note("empty-file", format!("{name} is empty"), "check that this is the right file");
    }
    if is_binary(bytes) {
        return note("binary-drawing", format!("{name} is a binary drawing"), "save it as an ASCII DXF file");
    }
    if kind_of(bytes).is_none() {
        let message = format!("{name} is neither a DXF drawing nor a LandXML survey");
        return note("unknown-file", message, "a DXF file begins with 0 and SECTION, LandXML with <LandXML>");
    }
    None
}

/// Text of a file. Old drawings stand in a code page: a line that is no UTF-8 is read byte by byte, so that two names stay two.
fn decoded(bytes: &[u8]) -> String {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => {
            let line = |line: &[u8]| match std::str::from_utf8(line) {
                Ok(text) => text.to_owned(),
                Err(_) => line.iter().map(|byte| char::from(*byte)).collect(),
            };
            bytes.split_inclusive(|byte| *byte == b'\n').map(line).collect()
        }
    }
}

fn told_in_part(notes: &mut Vec<Note>) {
    let faults = notes.iter().filter(|note| note.severity == basis::Severity::Fault).count();
    if faults > MOST_FAULTS {
        let mut kept = 0;
        notes.retain(|note| {
            kept += usize::from(note.severity == basis::Severity::Fault);
            note.severity != basis::Severity::Fault || kept <= MOST_FAULTS
        });
        let message = format!("{} more faults in the file are not shown", faults - MOST_FAULTS);
        notes.push(Note::fault("more-faults", Place::job(), message, "mend these first"));
    }
}

/// What the file holds while it is read: layers by their names, bounded.
#[derive(Default)]
struct Layers {
    all: Vec<Layer>,
    by_name: std::collections::BTreeMap<String, usize>,
    spots: usize,
}

impl Layers {
    fn named(&mut self, name: &str) -> &mut Layer {
        let at = *self.by_name.entry(name.to_owned()).or_insert_with(|| {
            self.all.push(Layer { name: name.to_owned(), ..Layer::default() });
            self.all.len() - 1
        });
        &mut self.all[at]
    }

    /// Counts spots; false when there are too many, which is noted once.
    fn count(&mut self, spots: usize, f: &mut Findings) -> bool {
        let before = self.spots;
        self.spots = self.spots.saturating_add(spots);
        if before <= MOST_SPOTS && self.spots > MOST_SPOTS {
            let message = format!("the file holds over {MOST_SPOTS} vertices and spots");
            let hint = "save only the layers that are wanted";
            f.notes.push(Note::fault("too-many-spots", Place::job(), message, hint));
        }
        self.spots <= MOST_SPOTS
    }

    fn holding(self) -> Vec<Layer> {
        let holds = |layer: &Layer| {
            !(layer.rings.is_empty()
                && layer.circles.is_empty()
                && layer.spots.is_empty()
                && layer.faces.is_empty())
                || layer.open > 0
        };
        self.all.into_iter().filter(holds).collect()
    }
}

#[cfg(test)]
mod tests;
