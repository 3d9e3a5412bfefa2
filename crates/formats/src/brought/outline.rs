//! The outline and the openings that a drawing brings.

use basis::math::{atan, sin, tan};
use basis::quantity::length;
use basis::{Length, Note, Place, Report, UnitSystem};
use ground::P2;
use ground::outline::EdgeShape;
use ground::polygon::signed_area;

use super::{Brought, Layer, Ring};
use crate::quantity::shown;

/// An outline farther than this from the origin of the drawing is brought near, m.
const FAR: f64 = 1000.0;
/// Vertices closer than this are one, m.
const ONE: f64 = 1e-4;
/// An arc of over three eighths of a circle is drawn as two or more: a job's arc is always the shorter one.
const LONGEST_ARC: f64 = 0.75 * std::f64::consts::PI;

/// What is wanted of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineWish {
    /// The layer that holds the outline; without it the only one that holds rings.
    pub layer: Option<String>,
    /// The layer that holds the openings; without it that of the outline.
    pub openings: Option<String>,
    /// The point of the drawing that becomes the origin of the plan, m; without it the drawing's own, or the low corner of an outline that
    /// is farther than 1 km from it.
    pub origin: Option<P2>,
    /// Units in which lengths are told.
    pub units: UnitSystem,
}

/// An outline as it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenOutline {
    /// Corners in order round, with the floor on the left, m.
    pub corners: Vec<P2>,
    /// How each edge runs from its corner to the next.
    pub shapes: Vec<EdgeShape>,
    /// Openings as polygons, m.
    pub openings: Vec<Vec<P2>>,
    /// Round openings: middle and diameter, m.
    pub round: Vec<(P2, f64)>,
    /// The point of the drawing that is the origin of the plan, m.
    pub origin: P2,
}

/// Takes an outline: the largest ring of its layer; rings within it are openings.
///
/// # Errors
/// Refused when the layer is not there, when more than one holds rings and none is named, and when a ring has fewer than three corners.
#[must_use]
pub fn outline_of(brought: &Brought, wish: &OutlineWish) -> Report<TakenOutline> {
    let mut notes = Vec::new();
    let taken = taken(brought, wish, &mut notes);
    match taken {
        Some(taken) if !basis::report::has_fault(&notes) => Report::with(taken, notes),
        _ => Report::refused(notes),
    }
}

fn taken(brought: &Brought, wish: &OutlineWish, notes: &mut Vec<Note>) -> Option<TakenOutline> {
    let layer = layer_of(brought, wish, notes)?;
    let (index, ring) = largest(layer)?;
    if ring.gap > 1e-6 {
        let gap = basis::quantity::thickness(Length::metres(ring.gap), wish.units);
        let message = format!("ends of lines up to {gap} apart were joined");
        notes.push(Note::warning(
            "gaps-joined",
            Place::job(),
            message,
            "look whether the drawing means that",
        ));
    }
    let origin = wish.origin.unwrap_or_else(|| near(ring, wish.units));
    if origin != P2::default() {
        let said = |metres: f64| length(Length::metres(metres), wish.units);
        let message = format!("the plan's origin is the drawing's {}, {}", said(origin.x), said(origin.y));
        notes.push(Note::remark("origin-moved", Place::job(), message));
    }
    let ring = tidy(ring, origin);
    if ring.corners.len() < 3 {
        let hint = "check the layer; a circle is no outline yet: draw it as arcs";
        notes.push(Note::fault(
            "too-few-corners",
            Place::job(),
            "the ring has fewer than three corners",
            hint,
        ));
        return None;
    }
    let (corners, shapes) = shaped(&ring);
    let mut out = TakenOutline { corners, shapes, openings: Vec::new(), round: Vec::new(), origin };
    openings(brought, wish, (layer, index), &mut out, notes);
    Some(out)
}

fn layer_of<'b>(brought: &'b Brought, wish: &OutlineWish, notes: &mut Vec<Note>) -> Option<&'b Layer> {
    let with: Vec<&Layer> = brought.layers.iter().filter(|layer| !layer.rings.is_empty()).collect();
    let names =
        || with.iter().map(|layer| format!("\"{}\"", shown(&layer.name))).collect::<Vec<_>>().join(", ");
    let found = match &wish.layer {
        Some(name) => with.iter().find(|layer| layer.name == *name).copied(),
        None if with.len() == 1 => with.first().copied(),
        None => None,
    };
    if found.is_some() {
        return found;
    }
    let (code, message, hint) = match (&wish.layer, with.is_empty()) {
        (_, true) => {
            let open: usize = brought.layers.iter().map(|layer| layer.open).sum();
            let message = format!("no closed ring in the file; chains of lines that do not close: {open}");
            ("no-ring", message, "close the outline in the drawing, or join over wider gaps".to_owned())
        }
        (None, _) => {
            let message = format!("{} layers hold rings", with.len());
            ("which-layer", message, format!("name the layer of the outline: {}", names()))
        }
        (Some(name), _) => {
            let message = format!("no layer \"{}\" holds a ring", shown(name));
            ("which-layer", message, format!("layers with rings: {}", names()))
        }
    };
    notes.push(Note::fault(code, Place::job(), message, hint));
    None
}

/// Area with its sign and its arcs, m².
fn area(ring: &Ring) -> f64 {
    let straight = signed_area(&ring.corners);
    let arcs = (0..ring.corners.len()).map(|i| {
        let bulge = ring.bulges.get(i).copied().unwrap_or(0.0);
        if bulge == 0.0 {
            return 0.0;
        }
        let chord = ring.corners[i].distance(ring.corners[(i + 1) % ring.corners.len()]);
        let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        let sweep = 4.0 * atan(bulge);
        radius * radius * (sweep - sin(sweep)) / 2.0
    });
    straight + arcs.sum::<f64>()
}

fn largest(layer: &Layer) -> Option<(usize, &Ring)> {
    layer.rings.iter().enumerate().max_by(|(_, a), (_, b)| area(a).abs().total_cmp(&area(b).abs()))
}

/// The origin: that of the drawing, or a whole unit under the low corner of a ring that is far from it.
fn near(ring: &Ring, units: UnitSystem) -> P2 {
    let low = |of: fn(&P2) -> f64| ring.corners.iter().map(of).fold(f64::INFINITY, f64::min);
    let (x, y) = (low(|p| p.x), low(|p| p.y));
    let far = ring.corners.iter().any(|p| p.x.abs() > FAR || p.y.abs() > FAR);
    if !far || !x.is_finite() {
        return P2::default();
    }
    let step = if units == UnitSystem::Us { 0.3048 } else { 1.0 };
    P2::new((x / step).floor() * step, (y / step).floor() * step)
}

/// A ring with the floor on its left, at the plan's origin, without repeated corners and with its long arcs in parts.
fn tidy(ring: &Ring, origin: P2) -> Ring {
    let count = ring.corners.len();
    let mut out = Ring::default();
    let bulge = |i: usize| ring.bulges.get(i).copied().unwrap_or(0.0);
    let is_left = area(ring) >= 0.0;
    for i in 0..count {
        // Walked the other way, the edge that led to a corner leads away from it and turns the other way.
        let (at, leads) =
            if is_left { (i, bulge(i)) } else { (count - 1 - i, -bulge((2 * count - 2 - i) % count)) };
        let (a, b) = (
            ring.corners[at],
            ring.corners[if is_left { (i + 1) % count } else { (2 * count - 2 - i) % count }],
        );
        if a.distance(b) > ONE {
            in_parts(a - origin, b - origin, leads, &mut out);
        }
    }
    out
}

/// An edge, or the parts of a long arc.
fn in_parts(a: P2, b: P2, bulge: f64, out: &mut Ring) {
    let sweep = 4.0 * atan(bulge);
    let parts = (sweep.abs() / LONGEST_ARC).ceil().max(1.0) as usize;
    if parts == 1 {
        out.corners.push(a);
        out.bulges.push(bulge);
        return;
    }
    // The middle of the circle stands on the chord's own perpendicular.
    let half = (b - a) / 2.0;
    let centre = a + half + half.left() * ((1.0 - bulge * bulge) / (2.0 * bulge));
    let part = sweep / parts as f64;
    let (from, each) = (a - centre, tan(part / 4.0));
    for i in 0..parts {
        let angle = part * i as f64;
        let (c, s) = (basis::math::cos(angle), sin(angle));
        out.corners.push(centre + P2::new(from.x * c - from.y * s, from.x * s + from.y * c));
        out.bulges.push(each);
    }
}

/// Corners with the shape of each edge.
fn shaped(ring: &Ring) -> (Vec<P2>, Vec<EdgeShape>) {
    let count = ring.corners.len();
    let shapes = (0..count).map(|i| {
        let (bulge, chord) = (ring.bulges[i], ring.corners[i].distance(ring.corners[(i + 1) % count]));
        if bulge.abs() < 1e-9 {
            return EdgeShape::Straight;
        }
        let radius = Length::metres(chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs()));
        if bulge > 0.0 { EdgeShape::ArcOut(radius) } else { EdgeShape::ArcIn(radius) }
    });
    (ring.corners.clone(), shapes.collect())
}

/// Rings and circles of the layer of openings that stand within the outline.
fn openings(
    brought: &Brought,
    wish: &OutlineWish,
    (layer, index): (&Layer, usize),
    out: &mut TakenOutline,
    notes: &mut Vec<Note>,
) {
    let from = match &wish.openings {
        None => layer,
        Some(name) => match brought.layers.iter().find(|layer| layer.name == *name) {
            Some(found) => found,
            None => {
                let names: Vec<_> =
                    brought.layers.iter().map(|layer| format!("\"{}\"", shown(&layer.name))).collect();
                let message = format!("there is no layer \"{}\"", shown(name));
                notes.push(Note::fault(
                    "which-layer",
                    Place::job(),
                    message,
                    format!("layers: {}", names.join(", ")),
                ));
                return;
            }
        },
    };
    let outline = ground::Polygon::new(out.corners.clone());
    let (mut outside, mut bent) = (0, 0);
    for (i, ring) in from.rings.iter().enumerate() {
        if std::ptr::eq(from, layer) && i == index {
            continue;
        }
        let ring = tidy(ring, out.origin);
        if ring.corners.len() < 3 || !ring.corners.iter().all(|corner| outline.contains(*corner)) {
            outside += 1;
            continue;
        }
        bent += usize::from(ring.bulges.iter().any(|bulge| bulge.abs() > 1e-9));
        out.openings.push(drawn(&ring));
    }
    for (centre, radius) in &from.circles {
        let centre = *centre - out.origin;
        if outline.contains(centre) { out.round.push((centre, 2.0 * radius)) } else { outside += 1 }
    }
    if outside > 0 {
        let message = format!("rings that do not stand within the outline, not taken: {outside}");
        notes.push(Note::warning("ring-outside", Place::job(), message, "name the layer of the openings"));
    }
    if bent > 0 {
        let message = format!("openings with arcs, drawn with chords: {bent}");
        notes.push(Note::remark("opening-by-chords", Place::job(), message));
    }
}

/// A ring with its arcs drawn as chords that leave the arc by 1 mm at most.
fn drawn(ring: &Ring) -> Vec<P2> {
    let count = ring.corners.len();
    let mut out = Ring::default();
    for i in 0..count {
        let (a, b, bulge) = (ring.corners[i], ring.corners[(i + 1) % count], ring.bulges[i]);
        let radius = a.distance(b) * (1.0 + bulge * bulge) / (4.0 * bulge.abs()).max(1e-12);
        // A chord over the angle t leaves its arc by r(1 - cos(t/2)), nearly r t²/8.
        let step = (8.0 * 0.001 / radius).sqrt().clamp(0.05, LONGEST_ARC);
        let sweep = 4.0 * atan(bulge);
        let parts = (sweep.abs() / step).ceil().max(1.0);
        if parts < 2.0 {
            out.corners.push(a);
            continue;
        }
        let half = (b - a) / 2.0;
        let centre = a + half + half.left() * ((1.0 - bulge * bulge) / (2.0 * bulge));
        for part in 0..parts as usize {
            let angle = sweep / parts * part as f64;
            let (c, s, from) = (basis::math::cos(angle), sin(angle), a - centre);
            out.corners.push(centre + P2::new(from.x * c - from.y * s, from.x * s + from.y * c));
        }
    }
    out.corners
}
