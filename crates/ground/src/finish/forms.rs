//! The floor follows the forms as they stand.

use basis::{Length, Note, Place, Report};

use super::FinishSurface;
use crate::outline::Floor;
use crate::polygon::{clip_convex, signed_area};
use crate::{Facet, P2, P3, tin, words};

/// A form shot farther from the boundary than this is not a form of this floor, m.
const BESIDE: f64 = 0.15;
/// A stretch between form shots longer than this is told, m.
const LONG_STRETCH: f64 = 10.0;
/// Within this of a jamb the stick may stand on either of the two forms that meet there, m.
const AT_JAMB: f64 = 0.05;
/// Just beside a jamb, m.
const ASIDE: f64 = 1e-4;

/// A form top as shot.
#[derive(Debug, Clone, PartialEq)]
pub struct FormShot {
    /// Its name.
    pub name: String,
    /// Where, m.
    pub at: P2,
    /// Elevation, m.
    pub z: f64,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How far a form stands from its design.
#[derive(Debug, Clone, PartialEq)]
pub struct FormDeviation {
    /// Name of the shot.
    pub name: String,
    /// The spot on the floor's edge, m.
    pub at: P2,
    /// Elevation as shot, m.
    pub z: f64,
    /// Elevation as shot less designed: positive is high.
    pub deviation: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A deviation on the boundary: how far round it is, and by how much it is off.
struct Off {
    round: f64,
    by: f64,
}

/// Replaces the designed edge by the forms as shot.
///
/// The deviation runs straight from form shot to form shot round the floor, and is nought at the
/// `controls`, the spots inside that are set by the laser (the pads). Between, the floor is struck from
/// edge to pad, so the deviation is laid on as triangles.
#[must_use]
pub fn follow_forms(
    design: &FinishSurface,
    floor: &Floor,
    forms: &[FormShot],
    controls: &[P2],
) -> Report<(FinishSurface, Vec<FormDeviation>)> {
    let mut notes = Vec::new();
    let corners = floor.boundary.corners();
    let starts = distances_round(corners);
    let mut offs = Vec::new();
    let mut deviations = Vec::new();
    for form in forms {
        let Some((spot, round)) = on_boundary(corners, &starts, form.at) else {
            let message =
                format!("form shot {} stands away from the floor's edge; it is not used", form.name);
            notes.push(Note::warning(
                "form-shot-off-the-edge",
                form.place.clone(),
                message,
                "check where it was taken",
            ));
            continue;
        };
        let Some(by) = deviation_at(design, floor, spot, form.z) else { continue };
        offs.push(Off { round, by });
        let deviation = Length::metres(by);
        deviations.push(FormDeviation {
            name: form.name.clone(),
            at: spot,
            z: form.z,
            deviation,
            place: form.place.clone(),
        });
    }
    offs.sort_by(|a, b| a.round.total_cmp(&b.round));
    if offs.is_empty() {
        return Report::with((design.clone(), deviations), notes);
    }
    let whole = starts.last().copied().unwrap_or(0.0);
    tell_stretches(&offs, whole, &mut notes);
    let mut spots: Vec<P3> =
        corners.iter().zip(&starts).map(|(c, &s)| c.at(off_at(&offs, whole, s))).collect();
    spots.extend(deviations.iter().map(|d| d.at.at(d.deviation.in_metres())));
    spots.extend(controls.iter().map(|c| c.at(0.0)));
    let Some(correction) = tin::triangulate(&spots, &[]).unload(&mut Vec::new()) else {
        return Report::with((design.clone(), deviations), notes);
    };
    let facets = raised(design.facets(), &correction.facets());
    Report::with((FinishSurface::new(facets), deviations), notes)
}

/// Elevation as shot less designed. At a jamb the design has two heights, the floor's and the door
/// form's; the shot is of the one that it is nearer to.
fn deviation_at(design: &FinishSurface, floor: &Floor, spot: P2, shot: f64) -> Option<f64> {
    let designed = |p: P2| design.z(p.lerp(inside_of(floor, p), 1e-6)).or_else(|| design.z(p));
    let mut spots = vec![spot];
    for door in &floor.doors {
        let along = (door.b - door.a).unit();
        for jamb in [door.a, door.b].into_iter().filter(|j| j.distance(spot) <= AT_JAMB) {
            spots.extend([jamb - along * ASIDE, jamb + along * ASIDE]);
        }
    }
    let offs = spots.into_iter().filter_map(designed).map(|z| shot - z);
    offs.min_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// Distance round the boundary at each corner, and the whole way round at the end.
fn distances_round(corners: &[P2]) -> Vec<f64> {
    let n = corners.len();
    let mut starts = vec![0.0];
    for i in 0..n {
        starts.push(starts[i] + corners[i].distance(corners[(i + 1) % n]));
    }
    starts
}

/// The spot of the boundary nearest to `p`, and how far round it is.
fn on_boundary(corners: &[P2], starts: &[f64], p: P2) -> Option<(P2, f64)> {
    let n = corners.len();
    let nearest = (0..n).map(|i| {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        let run = a.distance(b);
        let t = ((p - a).dot(b - a) / (run * run)).clamp(0.0, 1.0);
        (a.lerp(b, t), starts[i] + t * run)
    });
    nearest
        .min_by(|x, y| x.0.distance(p).total_cmp(&y.0.distance(p)))
        .filter(|(spot, _)| spot.distance(p) <= BESIDE)
}

/// A point of the floor near a spot of its edge: the middle of the nearest triangle.
fn inside_of(floor: &Floor, spot: P2) -> P2 {
    let middles = floor.triangles.iter().map(|t| (t[0] + t[1] + t[2]) / 3.0);
    middles.min_by(|a, b| a.distance(spot).total_cmp(&b.distance(spot))).unwrap_or(spot)
}

/// Deviation at a distance round, straight between the shots on either side.
fn off_at(offs: &[Off], whole: f64, round: f64) -> f64 {
    let after = offs.iter().position(|o| o.round >= round);
    let (first, last) = (&offs[0], &offs[offs.len() - 1]);
    let (low, high) = match after {
        Some(0) => ((last.round - whole, last.by), (first.round, first.by)),
        Some(i) => ((offs[i - 1].round, offs[i - 1].by), (offs[i].round, offs[i].by)),
        None => ((last.round, last.by), (first.round + whole, first.by)),
    };
    let span = high.0 - low.0;
    if span <= 0.0 { low.1 } else { low.1 + (high.1 - low.1) * (round - low.0) / span }
}

fn tell_stretches(offs: &[Off], whole: f64, notes: &mut Vec<Note>) {
    let gaps = (0..offs.len()).map(|i| {
        let next = offs.get(i + 1).map_or(offs[0].round + whole, |o| o.round);
        next - offs[i].round
    });
    let longest = gaps.fold(0.0, f64::max);
    if longest > LONG_STRETCH {
        notes.push(Note::in_both(|units| {
            let long = words::long(longest, units);
            let message =
                format!("between two form shots lie {long} of edge; the deviation is carried across");
            Note::remark("forms-shot-far-apart", Place::at("setup"), message)
        }));
    }
}

/// A layer raised by a correction; where the correction does not reach, the layer stays.
fn raised(layer: &[Facet], correction: &[Facet]) -> Vec<Facet> {
    let mut result = Vec::new();
    for facet in layer {
        for part in correction {
            let ring = clip_convex(&facet.ring, &part.ring);
            if signed_area(&ring) > 1e-14 {
                result.push(Facet { ring, plane: facet.plane.plus(&part.plane) });
            }
        }
    }
    result
}
