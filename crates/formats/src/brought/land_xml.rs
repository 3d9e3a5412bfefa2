//! Points and surfaces of a LandXML survey.
//!
//! Coordinates stand as northing, easting, elevation [@landxml-1-2]: y before x. Document types, and with them entities of one's own, are
//! refused.

use std::collections::BTreeMap;

use basis::{Note, Place};
use ground::P3;
use roxmltree::{Document, Node, ParsingOptions};

use super::{Brought, FARTHEST, FileKind, Layers, LengthUnit, ReadOptions, Spot};
use crate::job_toml::Findings;
use crate::quantity::shown;

/// Most elements, attributes and texts of a file.
const MOST_NODES: u32 = 1_000_000;
/// Deepest nesting of a survey is 8 or so.
const DEEPEST: usize = 64;

/// Reads a survey.
pub(super) fn read(text: &str, options: &ReadOptions, f: &mut Findings) -> Option<Brought> {
    let parsing = ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    if too_deep(text) {
        let message = format!("elements stand over {DEEPEST} deep in each other");
        f.notes.push(Note::fault("not-xml", Place::job(), message, "this is no survey: save it anew"));
        return None;
    }
    let document = match Document::parse_with_options(text, parsing) {
        Ok(document) => document,
        Err(error) => {
            not_xml(text, &error, f);
            return None;
        }
    };
    let root = document.root_element();
    if root.tag_name().name() != "LandXML" {
        let message = format!("the file is <{}>, not <LandXML>", shown(root.tag_name().name()));
        f.fault("unknown-file", &Place::at("root"), &head(text, root), message, "export it as LandXML 1.2");
        return None;
    }
    let unit = match options.unit {
        Some(unit) => unit,
        None => stated_unit(text, root, f)?,
    };
    let mut reading = Reading { text, metres: unit.one().in_metres(), layers: Layers::default(), flat: 0, f };
    for child in elements(root) {
        match child.tag_name().name() {
            "CgPoints" => reading.points(child),
            "Surfaces" => {
                elements(child).filter(|s| s.tag_name().name() == "Surface").for_each(|s| reading.surface(s))
            }
            _ => {}
        }
    }
    if reading.flat > 0 {
        let message = format!("points without elevation, not taken: {}", reading.flat);
        reading.f.notes.push(Note::remark("drawing-in-part", Place::job(), message));
    }
    let layers = reading.layers.holding();
    if layers.is_empty() && !basis::report::has_fault(&f.notes) {
        let hint = "export the points (CgPoints) or the surface";
        f.notes.push(Note::fault(
            "empty-drawing",
            Place::job(),
            "the survey has neither points nor a surface",
            hint,
        ));
    }
    Some(Brought { kind: FileKind::LandXml, unit, layers })
}

/// Whether tags stand absurdly deep, counted without reading them: the parser need not try.
fn too_deep(text: &str) -> bool {
    let bytes = text.as_bytes();
    let (mut depth, mut most) = (0_usize, 0);
    for (i, _) in text.match_indices('<') {
        match bytes.get(i + 1) {
            Some(b'/') => depth = depth.saturating_sub(1),
            Some(b'?' | b'!') => {}
            _ => {
                let end = bytes[i..].iter().position(|byte| *byte == b'>').map_or(bytes.len(), |at| i + at);
                if bytes.get(end.wrapping_sub(1)) != Some(&b'/') {
                    depth += 1;
                    most = most.max(depth);
                }
            }
        }
        if most > DEEPEST {
            return true;
        }
    }
    false
}

fn not_xml(text: &str, error: &roxmltree::Error, f: &mut Findings) {
    let at = error.pos();
    let line = usize::try_from(at.row).unwrap_or(1).max(1);
    let start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let end = text[start..].find('\n').map_or(text.len(), |length| start + length);
    let message = match error {
        roxmltree::Error::DtdDetected => "the file has a document type; surveys have none".to_owned(),
        roxmltree::Error::NodesLimitReached => format!("the file has over {MOST_NODES} parts"),
        other => format!("this is no XML: {}", shown(&other.to_string())),
    };
    f.fault("not-xml", &Place::at(format!("line {line}")), &(start..end), message, "export the survey anew");
}

/// The stretch of an element's first line.
fn head(text: &str, node: Node<'_, '_>) -> std::ops::Range<usize> {
    let range = node.range();
    let line = text[range.clone()].find(['\n', '>']).map_or(range.end, |end| range.start + end);
    range.start..line
}

fn elements<'a, 'i>(node: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    node.children().filter(Node::is_element)
}

fn child<'a, 'i>(node: Node<'a, 'i>, name: &str) -> Option<Node<'a, 'i>> {
    elements(node).find(|child| child.tag_name().name() == name)
}

fn stated_unit(text: &str, root: Node<'_, '_>, f: &mut Findings) -> Option<LengthUnit> {
    let hint = format!("say which: {}", LengthUnit::words().join(", "));
    let units =
        child(root, "Units").and_then(|units| child(units, "Metric").or_else(|| child(units, "Imperial")));
    let Some(units) = units else {
        f.notes.push(Note::fault(
            "unit-not-stated",
            Place::job(),
            "the survey does not say its unit of length",
            hint,
        ));
        return None;
    };
    let said = units.attribute("linearUnit").unwrap_or_default();
    let unit = LengthUnit::of_survey(said);
    if unit.is_none() {
        let message = format!("\"{}\" is no unit of length for a site", shown(said));
        f.fault("unit-not-stated", &Place::at("Units"), &head(text, units), message, hint);
    }
    unit
}

struct Reading<'t, 'f> {
    text: &'t str,
    metres: f64,
    layers: Layers,
    /// Points without elevation.
    flat: usize,
    f: &'f mut Findings,
}

impl Reading<'_, '_> {
    fn fault(&mut self, node: Node<'_, '_>, code: &'static str, message: impl Into<String>, hint: &str) {
        let at = head(self.text, node);
        let place = Place::at(format!("byte {}", at.start));
        self.f.fault(code, &place, &at, message, hint);
    }

    /// Northing, easting and elevation of an element; nothing for a fault, or for a point that is flat and so counted.
    fn spot(&mut self, node: Node<'_, '_>) -> Option<P3> {
        let said = node.text().unwrap_or_default();
        let numbers: Option<Vec<f64>> = said
            .split_ascii_whitespace()
            .take(4)
            .map(|word| word.parse::<f64>().ok().filter(|n| n.is_finite()))
            .collect();
        let Some(numbers) = numbers.filter(|numbers| (2..=3).contains(&numbers.len())) else {
            let message = format!("\"{}\" is no northing, easting and elevation", shown(said.trim()));
            self.fault(node, "drawing-number", message, "export the survey anew");
            return None;
        };
        let far = numbers.iter().any(|value| (value * self.metres).abs() > FARTHEST);
        if far {
            let message = format!("{} is over 10,000 km from the origin", shown(said.trim()));
            self.fault(node, "spot-out-of-range", message, "check the survey and its unit");
            return None;
        }
        let Some(elevation) = numbers.get(2) else {
            self.flat += 1;
            return None;
        };
        Some(P3 { x: numbers[1] * self.metres, y: numbers[0] * self.metres, z: elevation * self.metres })
    }

    fn points(&mut self, group: Node<'_, '_>) {
        let layer =
            group.attribute("name").map_or_else(|| "points".to_owned(), |name| format!("points {name}"));
        for point in elements(group) {
            match point.tag_name().name() {
                "CgPoints" => self.points(point),
                // A point that only refers to another has no coordinates of its own.
                "CgPoint" if point.attribute("pntRef").is_none() => {
                    let Some(at) = self.spot(point) else { continue };
                    if !self.layers.count(1, self.f) {
                        return;
                    }
                    let name = point.attribute("name").map(str::to_owned);
                    self.layers.named(&layer).spots.push(Spot { name, at });
                }
                _ => {}
            }
        }
    }

    fn surface(&mut self, surface: Node<'_, '_>) {
        let layer = format!("surface {}", surface.attribute("name").unwrap_or_default());
        let Some(definition) = child(surface, "Definition") else { return };
        let mut spots: BTreeMap<&str, P3> = BTreeMap::new();
        for point in child(definition, "Pnts").into_iter().flat_map(elements) {
            let Some(id) = point.attribute("id").filter(|_| point.tag_name().name() == "P") else { continue };
            let Some(at) = self.spot(point) else { continue };
            if !self.layers.count(1, self.f) {
                return;
            }
            if spots.insert(id, at).is_some() {
                let message = format!("two spots of the surface are called {}", shown(id));
                self.fault(point, "double-name", message, "export the survey anew");
            }
        }
        let mut faces = Vec::new();
        for list in elements(definition).filter(|list| list.tag_name().name() == "Faces") {
            for face in elements(list)
                .filter(|face| face.tag_name().name() == "F" && face.attribute("i") != Some("1"))
            {
                if !self.layers.count(1, self.f) {
                    return;
                }
                faces.extend(self.face(face, &spots));
            }
        }
        let layer = self.layers.named(&layer);
        // Spots of no triangle lie beyond the surface's edge.
        if faces.is_empty() {
            layer.spots.extend(spots.into_iter().map(|(id, at)| Spot { name: Some(id.to_owned()), at }));
        } else {
            layer.faces.extend(faces);
        }
    }

    fn face(&mut self, face: Node<'_, '_>, spots: &BTreeMap<&str, P3>) -> Option<[P3; 3]> {
        let said = face.text().unwrap_or_default();
        let ids: Vec<&str> = said.split_ascii_whitespace().take(5).collect();
        let [a, b, c] = ids[..] else {
            let message = format!("a face has three corners, this has \"{}\"", shown(said.trim()));
            self.fault(face, "face-impossible", message, "export the survey as a TIN");
            return None;
        };
        let corner = |id: &str| spots.get(id).copied();
        let corners = (corner(a), corner(b), corner(c));
        let (Some(a), Some(b), Some(c)) = corners else {
            let message = format!("a face names a spot that is not there: {}", shown(said.trim()));
            self.fault(face, "face-impossible", message, "export the survey anew");
            return None;
        };
        Some([a, b, c])
    }
}
