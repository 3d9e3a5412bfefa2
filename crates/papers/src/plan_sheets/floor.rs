//! What every sheet shows: the outline with its measures, doors, openings, what lies below, the title block.

use basis::Length;
use basis::quantity::{area, length, thickness};
use ground::P2;
use ground::floor::polygon_of;
use ground::outline::{EdgeKind, EdgeShape};
use pour::Job;
use pour::pads::{Tie, TieTo, ties};
use pour::plan::Plan;

use crate::drawing::{DoorMark, FloorDrawing, NamedRing, Sheet, Side, SideKind, Spot};

pub(crate) fn drawing(job: &Job, plan: &Plan) -> FloorDrawing {
    let (low, high) = plan.floor.boundary.bounds();
    let told = |metres: f64| length(Length::metres(metres), job.units);
    FloorDrawing {
        sheet: sheet(job, plan),
        boundary: plan.floor.boundary.corners().to_vec(),
        sides: sides(job, plan),
        holes: openings(job, plan),
        corners: plan.outline.corners.iter().map(|c| Spot { at: c.at, label: c.name.clone() }).collect(),
        overall: [told(high.x - low.x), told(high.y - low.y)],
        doors: doors(job, plan),
        below: below(job, plan),
    }
}

fn sheet(job: &Job, plan: &Plan) -> Sheet {
    Sheet {
        job: job.name.clone(),
        setup: plan.levelled.setups.get(plan.datum).map_or(String::new(), |s| s.name.clone()),
        number: String::new(),
        date: job.day.first_truck.map_or(String::new(), |t| {
            format!("{}, first truck {:02}:{:02}", t.date(), t.hour(), t.minute())
        }),
        units: job.units,
        notes: vec![format!(
            "Floor {}, {} thick. Local codes and licensed design govern.",
            area(basis::Area::square_metres(plan.floor.area), job.units),
            thickness(job.slab.nominal, job.units)
        )],
    }
}

fn sides(job: &Job, plan: &Plan) -> Vec<Side> {
    let corners = &plan.outline.corners;
    let sides = (0..corners.len()).map(|edge| {
        let parts: Vec<_> = plan.floor.segments.iter().filter(|s| s.edge == edge).collect();
        let mut run: Vec<P2> = parts.iter().map(|s| s.a).collect();
        run.extend(parts.last().map(|s| s.b));
        let along: f64 = parts.iter().map(|s| s.a.distance(s.b)).sum();
        let kind = match plan.outline.edges.get(edge).map(|e| e.kind) {
            Some(EdgeKind::Wall) => SideKind::Wall,
            Some(EdgeKind::ExistingSlab) => SideKind::ExistingSlab,
            _ => SideKind::Form,
        };
        // Jambs part a straight side in several; it is drawn as one.
        let straight = plan.outline.edges.get(edge).is_none_or(|e| e.shape == EdgeShape::Straight);
        if straight && run.len() > 2 {
            run = vec![run[0], run[run.len() - 1]];
        }
        let label = length(Length::metres(along), job.units);
        let label = match plan.outline.edges.get(edge).map(|e| e.shape) {
            Some(EdgeShape::ArcOut(r) | EdgeShape::ArcIn(r)) => {
                format!("arc {label}, radius {}", length(r, job.units))
            }
            _ => label,
        };
        Side { run, label, kind }
    });
    sides.collect()
}

/// A spot by its two tapes: `10' from B-C, 9" from A-B`.
fn place(job: &Job, plan: &Plan, at: P2) -> Vec<String> {
    let told = |tie: Tie| {
        let (TieTo::Edge(name) | TieTo::Corner(name)) = tie.to;
        format!("{} from {name}", length(tie.distance, job.units))
    };
    ties(&plan.floor, &plan.outline, at).map(told).to_vec()
}

fn openings(job: &Job, plan: &Plan) -> Vec<NamedRing> {
    let mark = |(ring, o): (&ground::Polygon, &ground::outline::Opening)| {
        let (low, high) = ring.bounds();
        let size = [high.x - low.x, high.y - low.y].map(|l| thickness(Length::metres(l), job.units));
        let more = vec![
            format!("{} x {}", size[0], size[1]),
            format!("its middle {}", place(job, plan, low.lerp(high, 0.5)).join(", ")),
        ];
        NamedRing { ring: ring.corners().to_vec(), label: o.name.clone(), more }
    };
    plan.floor.holes.iter().zip(&plan.outline.openings).map(mark).collect()
}

fn doors(job: &Job, plan: &Plan) -> Vec<DoorMark> {
    let mark = |d: &ground::outline::PlacedDoor| {
        let door = &plan.outline.doors[d.door];
        let corner = plan.outline.corners.get(door.edge).map_or("", |c| c.name.as_str());
        let (wide, start) = (length(door.width, job.units), length(door.start, job.units));
        let mut more = vec![format!("{wide} wide, {start} from {corner}")];
        if door.drop > Length::ZERO {
            more.push(format!("form {} low", thickness(door.drop, job.units)));
        }
        DoorMark { a: d.a, b: d.b, label: door.name.clone(), more }
    };
    plan.floor.doors.iter().map(mark).collect()
}

/// Footings, and thickened edges as wide as they are dug.
fn below(job: &Job, plan: &Plan) -> Vec<NamedRing> {
    let deep = |depth: Length| format!("{} below the base", thickness(depth, job.units));
    let footings = plan.outline.footings.iter().map(|f| NamedRing {
        ring: polygon_of(&f.shape).corners().to_vec(),
        label: f.name.clone(),
        more: vec![deep(f.depth)],
    });
    let thickened = plan.outline.thickened.iter().map(|t| NamedRing {
        ring: strip(plan, t.edge, (t.flat + t.haunch).in_metres()),
        label: format!("thickened {}", edge_name(plan, t.edge)),
        more: vec![
            deep(t.depth),
            format!("{} flat", thickness(t.flat, job.units)),
            format!("{} haunch", thickness(t.haunch, job.units)),
        ],
    });
    footings.chain(thickened).collect()
}

/// An edge by its corners: `A-B`.
pub(super) fn edge_name(plan: &Plan, edge: usize) -> String {
    let corners = &plan.outline.corners;
    let name = |i: usize| corners.get(i % corners.len().max(1)).map_or("", |c| c.name.as_str());
    format!("{}-{}", name(edge), name(edge + 1))
}

/// The strip along an edge, so wide to the inside.
fn strip(plan: &Plan, edge: usize, wide: f64) -> Vec<P2> {
    let parts: Vec<_> = plan.floor.segments.iter().filter(|s| s.edge == edge).collect();
    let mut outer: Vec<P2> = parts.iter().map(|s| s.a).collect();
    outer.extend(parts.last().map(|s| s.b));
    let n = outer.len();
    let inner = (0..n).rev().map(|i| {
        let (before, after) = (outer[i.saturating_sub(1)], outer[(i + 1).min(n - 1)]);
        outer[i] + (after - before).unit().left() * wide
    });
    let inner: Vec<P2> = inner.collect();
    outer.extend(inner);
    outer
}
