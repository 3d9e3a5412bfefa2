//! The floor as a drawing: DXF of release 12, in text [@dxf-reference].
//!
//! That release is the one that everything reads: no handles, no object tables. Lengths stand in the job's unit, feet or metres.

use std::fmt::Write as _;

use basis::math::{asin, tan};
use basis::{Length, UnitSystem};
use ground::outline::{EdgeShape, OpeningKind, Shape};
use ground::polygon::signed_area;
use ground::{P2, P3};
use pour::Job;
use pour::plan::Plan;

/// Layers in the order of the day.
const LAYERS: [&str; 9] =
    ["OUTLINE", "DOORS", "OPENINGS", "FOOTINGS", "BAYS", "JOINTS", "PADS", "READINGS", "SHOTS"];
/// Size of lettering, m: 3 in. on the floor.
const LETTERS: f64 = 0.0762;

/// The floor as a drawing: outline with its arcs, doors, openings, footings, bays, joints; pads and shots as points with elevations, pads
/// with what the stick must read.
///
/// ```
/// let job = formats::read_job(formats::starter(), "new.toml", &|_| Err(String::new())).report.value.unwrap();
/// let plan = pour::plan::plan(&job, 1).value.unwrap();
/// let drawing = formats::carried::floor_dxf(&job, &plan);
/// let read = formats::brought::read_brought(drawing.as_bytes(), "floor.dxf", &Default::default());
/// assert!(read.report.value.unwrap().layers.iter().any(|layer| layer.name == "OUTLINE"));
/// ```
#[must_use]
pub fn floor_dxf(job: &Job, plan: &Plan) -> String {
    let mut out =
        Drawing { text: String::new(), unit: if job.units == UnitSystem::Us { 0.3048 } else { 1.0 } };
    out.head(job, plan);
    outline(&mut out, plan);
    doors(&mut out, plan);
    plan.outline.openings.iter().for_each(|opening| {
        // What is no hole is drawn as well: a drain's body is left out of the concrete like any other.
        let layer = match opening.kind {
            OpeningKind::Opening | OpeningKind::Column | OpeningKind::Pipe | OpeningKind::Drain => "OPENINGS",
        };
        shape(&mut out, layer, &opening.shape);
    });
    plan.outline.footings.iter().for_each(|footing| shape(&mut out, "FOOTINGS", &footing.shape));
    for bay in &plan.bays.bays {
        out.ring("BAYS", bay.window.corners(), &[]);
    }
    for joint in &plan.joints.joints {
        out.line("JOINTS", joint.a, joint.b);
    }
    pads(&mut out, job, plan);
    for shot in &plan.levelled.shots {
        out.point("SHOTS", P3 { x: shot.at.x, y: shot.at.y, z: shot.z });
    }
    out.group(0, "ENDSEC");
    out.group(0, "EOF");
    out.text
}

struct Drawing {
    text: String,
    /// The drawing's unit, m.
    unit: f64,
}

impl Drawing {
    fn group(&mut self, code: i32, value: &str) {
        // Writing to a string cannot fail.
        let _ = write!(self.text, "{code:3}\n{value}\n");
    }

    /// A length in the drawing's unit, to a tenth of a nanometre, without noughts at its end.
    fn length(&mut self, code: i32, metres: f64) {
        let text = format!("{:.10}", metres / self.unit);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        let text = if text == "-0" { "0" } else { text };
        self.group(code, if text.is_empty() { "0" } else { text });
    }

    fn number(&mut self, code: i32, value: f64) {
        self.group(code, &format!("{value:.15}"));
    }

    fn at(&mut self, code: i32, at: P2) {
        self.length(code, at.x);
        self.length(code + 10, at.y);
    }

    fn entity(&mut self, kind: &str, layer: &str) {
        self.group(0, kind);
        self.group(8, layer);
    }

    fn line(&mut self, layer: &str, a: P2, b: P2) {
        self.entity("LINE", layer);
        self.at(10, a);
        self.at(11, b);
    }

    fn point(&mut self, layer: &str, at: P3) {
        self.entity("POINT", layer);
        self.at(10, P2::new(at.x, at.y));
        self.length(30, at.z);
    }

    fn words(&mut self, layer: &str, at: P2, words: &str) {
        self.entity("TEXT", layer);
        self.at(10, at);
        self.length(40, LETTERS);
        self.group(1, &plain(words));
    }

    /// A closed ring; edges without a bulge are straight.
    fn ring(&mut self, layer: &str, corners: &[P2], bulges: &[f64]) {
        self.entity("POLYLINE", layer);
        self.group(66, "1");
        self.group(70, "1");
        for (i, corner) in corners.iter().enumerate() {
            self.entity("VERTEX", layer);
            self.at(10, *corner);
            if let Some(bulge) = bulges.get(i).filter(|bulge| **bulge != 0.0) {
                self.number(42, *bulge);
            }
        }
        self.entity("SEQEND", layer);
    }

    fn head(&mut self, job: &Job, plan: &Plan) {
        self.group(999, &plain(&job.name));
        self.group(0, "SECTION");
        self.group(2, "HEADER");
        self.group(9, "$ACADVER");
        self.group(1, "AC1009");
        self.group(9, "$INSUNITS");
        self.group(70, if job.units == UnitSystem::Us { "2" } else { "6" });
        let (low, high) = plan.floor.boundary.bounds();
        for (name, corner) in [("$EXTMIN", low), ("$EXTMAX", high)] {
            self.group(9, name);
            self.at(10, corner);
            self.length(30, 0.0);
        }
        self.group(0, "ENDSEC");
        self.group(0, "SECTION");
        self.group(2, "TABLES");
        self.table("LTYPE", 1);
        self.group(0, "LTYPE");
        for (code, value) in
            [(2, "CONTINUOUS"), (70, "0"), (3, "Solid line"), (72, "65"), (73, "0"), (40, "0.0")]
        {
            self.group(code, value);
        }
        self.group(0, "ENDTAB");
        self.table("LAYER", LAYERS.len());
        for layer in LAYERS {
            self.group(0, "LAYER");
            // Black on white, white on black: the drawing says by its layers what a thing is, not by colour.
            for (code, value) in [(2, layer), (70, "0"), (62, "7"), (6, "CONTINUOUS")] {
                self.group(code, value);
            }
        }
        self.group(0, "ENDTAB");
        self.group(0, "ENDSEC");
        self.group(0, "SECTION");
        self.group(2, "ENTITIES");
    }

    fn table(&mut self, name: &str, rows: usize) {
        self.group(0, "TABLE");
        self.group(2, name);
        self.group(70, &rows.to_string());
    }
}

/// Words of one line in the letters that every reader knows.
fn plain(words: &str) -> String {
    let letter = |c: char| match c {
        '\u{bd}' => "1/2".to_owned(),
        c if c == ' ' || c.is_ascii_graphic() => c.to_string(),
        _ => "?".to_owned(),
    };
    words.chars().take(250).map(letter).collect()
}

/// The bulge of an edge of a chord, on a ring that is walked with the floor on its left (1) or right (-1).
fn bulge(shape: EdgeShape, chord: f64, side: f64) -> f64 {
    let of = |radius: Length| tan(asin((chord / (2.0 * radius.in_metres())).min(1.0)) / 2.0);
    match shape {
        EdgeShape::Straight => 0.0,
        EdgeShape::ArcOut(radius) => side * of(radius),
        EdgeShape::ArcIn(radius) => -side * of(radius),
    }
}

fn outline(out: &mut Drawing, plan: &Plan) {
    let corners: Vec<P2> = plan.outline.corners.iter().map(|corner| corner.at).collect();
    let side = if signed_area(&corners) < 0.0 { -1.0 } else { 1.0 };
    let bulges: Vec<f64> = corners
        .iter()
        .enumerate()
        .map(|(i, corner)| {
            let chord = corner.distance(corners[(i + 1) % corners.len()]);
            plan.outline.edges.get(i).map_or(0.0, |edge| bulge(edge.shape, chord, side))
        })
        .collect();
    out.ring("OUTLINE", &corners, &bulges);
}

fn doors(out: &mut Drawing, plan: &Plan) {
    for door in &plan.floor.doors {
        out.line("DOORS", door.a, door.b);
        if let Some(named) = plan.outline.doors.get(door.door) {
            out.words("DOORS", door.a, &named.name);
        }
    }
}

fn shape(out: &mut Drawing, layer: &str, shape: &Shape) {
    match shape {
        Shape::Circle { centre, diameter } => {
            out.entity("CIRCLE", layer);
            out.at(10, *centre);
            out.length(40, diameter.in_metres() / 2.0);
        }
        Shape::Polygon(_) | Shape::Rectangle { .. } => {
            let ring = ground::floor::polygon_of(shape);
            out.ring(layer, ring.corners(), &[]);
        }
    }
}

fn pads(out: &mut Drawing, job: &Job, plan: &Plan) {
    for pad in &plan.pads.pads {
        out.point("PADS", P3 { x: pad.at.x, y: pad.at.y, z: pad.elevation.in_metres() });
        out.words("READINGS", pad.at, &format!("{}: {}", pad.number, pad.reading.said(job.rod)));
    }
}
