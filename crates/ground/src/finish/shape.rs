//! The main shapes: plane, crown, valley, warp, spots.

use basis::math::{cos, sin};
use basis::{Note, Slope};

use super::{FinishDesign, FinishShape, fault, margin};
use crate::outline::Floor;
use crate::point::turn;
use crate::polygon::{clip_half, signed_area};
use crate::tin::Tin;
use crate::{Facet, P2, P3, Plane, tin, words};

/// Steepest fall taken for a floor.
const STEEPEST: Slope = Slope::percent(25.0);
/// Pieces of a warp along each side.
const WARP_PIECES: usize = 24;

pub(super) fn facets(design: &FinishDesign, floor: &Floor, notes: &mut Vec<Note>) -> Vec<Facet> {
    let whole = enlarged(floor);
    match &design.shape {
        FinishShape::Plane { through, elevation, fall, toward } => {
            check_fall(design, *fall, notes);
            let angle = toward.in_radians();
            let down = P2::new(cos(angle), sin(angle)) * fall.in_ratio();
            let plane = Plane { at: *through, z0: elevation.in_metres(), gx: -down.x, gy: -down.y };
            check_finite(design, &[plane.z0, plane.gx, plane.gy, through.x, through.y], notes);
            vec![Facet { ring: whole, plane }]
        }
        FinishShape::Crown { line, fall } => folded(design, line, -fall.in_ratio(), *fall, &whole, notes),
        FinishShape::Valley { line, fall } => folded(design, line, fall.in_ratio(), *fall, &whole, notes),
        FinishShape::Warp { corners } => warp(design, corners, floor, notes),
        FinishShape::Points { spots, breaks } => {
            let mut own = Vec::new();
            let built = tin::triangulate(spots, breaks).unload(&mut own);
            notes.extend(own.into_iter().map(|n| Note { place: design.place.clone(), ..n }));
            let Some(built) = built else { return Vec::new() };
            spread_out(design, &built, floor, notes)
        }
    }
}

/// The triangles of spots, with a margin when a corner of the floor stands just outside them.
fn spread_out(design: &FinishDesign, built: &Tin, floor: &Floor, notes: &mut Vec<Note>) -> Vec<Facet> {
    let outside = floor.boundary.corners().iter().filter(|&&c| built.z(c).is_none());
    let farthest = outside.map(|&c| (margin::distance(built, c), c)).max_by(|a, b| a.0.total_cmp(&b.0));
    let mut facets = built.facets();
    let Some((distance, c)) = farthest else { return facets };
    if distance > margin::REACHED {
        notes.push(Note::in_both(|units| {
            let message = format!("the spots do not reach the floor's corner {}", words::spot(c, units));
            fault(design, "finish-leaves-floor-uncovered", message, "add a spot at or beyond that corner")
        }));
        return facets;
    }
    notes.push(Note::in_both(|units| {
        let message = format!(
            "the floor's corner {} stands {} outside the spots; the nearest triangle is carried on to it",
            words::spot(c, units),
            words::fine(distance, units)
        );
        Note::remark("corner-just-outside-spots", design.place.clone(), message)
    }));
    facets.extend(margin::margin(built));
    facets
}

/// An upright rectangle well around the floor.
fn enlarged(floor: &Floor) -> Vec<P2> {
    let (low, high) = floor.boundary.bounds();
    let margin = P2::new(1.0, 1.0) * (1.0 + (high - low).norm());
    crate::Polygon::rectangle(low - margin, high + margin).corners().to_vec()
}

fn check_fall(design: &FinishDesign, fall: Slope, notes: &mut Vec<Note>) {
    if !fall.is_finite() || fall.abs() > STEEPEST {
        let message = format!("a fall of {:.3} is no floor's", fall.in_ratio());
        notes.push(fault(
            design,
            "fall-out-of-range",
            message,
            "1/8 in/ft is about 1 %; check figure and unit",
        ));
    }
}

fn check_finite(design: &FinishDesign, values: &[f64], notes: &mut Vec<Note>) {
    if values.iter().any(|v| v.is_nan() || v.abs() > 1e6) {
        let message = "the finish has a figure that no site has".to_owned();
        notes.push(fault(design, "finish-out-of-range", message, "check its elevations and places"));
    }
}

/// Two planes that meet in a line; `side` is the rise per metre away from it.
fn folded(
    design: &FinishDesign,
    line: &[P3; 2],
    side: f64,
    fall: Slope,
    whole: &[P2],
    notes: &mut Vec<Note>,
) -> Vec<Facet> {
    check_fall(design, fall, notes);
    let (a, b) = (line[0].plan(), line[1].plan());
    check_finite(design, &[a.x, a.y, b.x, b.y, line[0].z, line[1].z], notes);
    let run = a.distance(b);
    if !run.is_finite() || run <= 1e-3 {
        let message = "the line of the crown or valley has no length".to_owned();
        notes.push(fault(design, "finish-line-without-length", message, "give its two ends"));
        return Vec::new();
    }
    let along = (b - a).unit();
    let rise = (line[1].z - line[0].z) / run;
    [1.0, -1.0]
        .into_iter()
        .map(|hand| {
            let gradient = along * rise + along.left() * (hand * side);
            let mut ring = Vec::new();
            clip_half(whole, |p| hand * turn(a, b, p), &mut ring);
            Facet { ring, plane: Plane { at: a, z0: line[0].z, gx: gradient.x, gy: gradient.y } }
        })
        .filter(|f| !f.ring.is_empty())
        .collect()
}

/// A bilinear surface as small triangles; the largest error against the true warp is told.
fn warp(design: &FinishDesign, corners: &[P3; 4], floor: &Floor, notes: &mut Vec<Note>) -> Vec<Facet> {
    let ring = corners.map(P3::plan);
    let values: Vec<f64> = corners.iter().flat_map(|c| [c.x, c.y, c.z]).collect();
    check_finite(design, &values, notes);
    let outer = crate::Polygon::new(ring.to_vec());
    let left_out = floor.boundary.corners().iter().find(|&&c| !outer.contains(c));
    if let Some(&c) = left_out {
        notes.push(Note::in_both(|units| {
            let message =
                format!("the four corners do not reach the floor's corner {}", words::spot(c, units));
            fault(
                design,
                "finish-leaves-floor-uncovered",
                message,
                "give four corners around the whole floor",
            )
        }));
        return Vec::new();
    }
    let at = |u: f64, v: f64| {
        let mix = |f: fn(&P3) -> f64| {
            let [a, b, c, d] = [0, 1, 2, 3].map(|i| f(&corners[i]));
            a * (1.0 - u) * (1.0 - v) + b * u * (1.0 - v) + c * u * v + d * (1.0 - u) * v
        };
        P3::new(mix(|p| p.x), mix(|p| p.y), mix(|p| p.z))
    };
    let step = 1.0 / WARP_PIECES as f64;
    let mut facets = Vec::new();
    for i in 0..WARP_PIECES {
        for j in 0..WARP_PIECES {
            let (u, v) = (i as f64 * step, j as f64 * step);
            let [a, b, c, d] = [at(u, v), at(u + step, v), at(u + step, v + step), at(u, v + step)];
            for [p, q, r] in [[a, b, c], [a, c, d]] {
                let mut ring = vec![p.plan(), q.plan(), r.plan()];
                if signed_area(&ring) < 0.0 {
                    ring.reverse();
                }
                facets.extend(Plane::through(p, q, r).map(|plane| Facet { ring, plane }));
            }
        }
    }
    // Half the twist of one small cell, at its middle: |a − b + c − d| / 4 over n² cells.
    let twist = (corners[0].z - corners[1].z + corners[2].z - corners[3].z).abs();
    let error = twist * step * step * 0.25;
    notes.push(Note::in_both(|units| {
        let off = words::fine(error, units);
        let message = format!("the warp is drawn as small triangles, off by at most {off}");
        Note::remark("warp-drawn-as-facets", design.place.clone(), message)
    }));
    facets
}
