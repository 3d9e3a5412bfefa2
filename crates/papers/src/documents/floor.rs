//! The floor for the documents: points in millimetres on the page, at a neat scale; the template draws and labels them.

use basis::math::{cos, sin};
use ground::P2;
use ground::outline::EdgeKind;
use ground::polygon::{bounds, centroid, distance_to_segment};
use serde_json::{Value, json};

use super::facts::Facts;
use crate::drawing::{cut, neat_scale};

/// Room for the drawing, mm; what both papers have between their margins.
const ROOM: P2 = P2 { x: 186.0, y: 150.0 };
/// Room around the floor for names and stands, mm.
const AROUND: f64 = 13.0;
/// A stand farther from the floor than this is told but not drawn, m.
const NEAR: f64 = 8.0;
/// So many steps find where a line across a bay enters and leaves the floor.
const STEPS: usize = 240;

/// From metres on the floor to millimetres on the page.
struct Frame {
    low: P2,
    high: P2,
    ratio: f64,
}

impl Frame {
    fn at(&self, p: P2) -> [f64; 2] {
        let mm = 1000.0 / self.ratio;
        [(p.x - self.low.x) * mm + AROUND, (self.high.y - p.y) * mm + AROUND].map(rounded)
    }
    fn ring(&self, ring: &[P2]) -> Vec<[f64; 2]> {
        ring.iter().map(|p| self.at(*p)).collect()
    }
}

/// A hundredth of a millimetre is finer than ink.
fn rounded(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// The floor with bays, load lines, pads and stands.
pub(super) fn drawing(facts: &Facts<'_>) -> Value {
    let plan = facts.plan;
    let boundary = plan.floor.boundary.corners();
    let (low, high) = bounds(boundary);
    let beside =
        |p: &P2| p.x > low.x - NEAR && p.x < high.x + NEAR && p.y > low.y - NEAR && p.y < high.y + NEAR;
    let stands: Vec<_> = facts.job.stands.iter().filter(|stand| beside(&stand.at)).collect();
    let mut whole = boundary.to_vec();
    whole.extend(stands.iter().map(|stand| stand.at));
    let (low, high) = bounds(&whole);
    let size = high - low;
    let room = ROOM - P2::new(2.0 * AROUND, 2.0 * AROUND);
    let least = (1000.0 * size.x / room.x).max(1000.0 * size.y / room.y).max(1.0);
    let (ratio, scale) = neat_scale(facts.job.units, least);
    let frame = Frame { low, high, ratio };
    let middle = low.lerp(high, 0.5);
    json!({
        "width": rounded(size.x * 1000.0 / ratio + 2.0 * AROUND),
        "height": rounded(size.y * 1000.0 / ratio + 2.0 * AROUND),
        "scale": facts.words.with("scale", &[("scale", crate::words::Said::same(scale))]).json(),
        "boundary": frame.ring(boundary),
        "walls": walls(facts, &frame),
        "holes": plan.floor.holes.iter().map(|hole| frame.ring(hole.corners())).collect::<Vec<_>>(),
        "corners": corners(facts, &frame, middle),
        "doors": doors(facts, &frame),
        "sides": sides(facts, &frame),
        // Whether the struck lines run across the sheet.
        "across": plan.bays.axis.x.abs() > plan.bays.axis.y.abs(),
        "bays": bays(facts, &frame),
        "loads": loads(facts, &frame),
        "pads": pads(facts, &frame),
        "joints": joints(facts, &frame),
        "struck": plan.pads.lines.iter().map(|l| [frame.at(l.from), frame.at(l.to)]).collect::<Vec<_>>(),
        "stands": stands.iter().map(|stand| json!({
            "at": frame.at(stand.at),
            "toward": [rounded(cos(stand.facing.in_radians())), rounded(-sin(stand.facing.in_radians()))],
            "name": cut(&stand.name, 24),
        })).collect::<Vec<_>>(),
    })
}

/// Joints with their numbers, panels by number, bars, dowels, places kept off.
fn joints(facts: &Facts<'_>, frame: &Frame) -> Value {
    let layer = crate::plan_sheets::joint_layer(facts.job, facts.plan);
    let cuts: Vec<Value> = layer
        .joints
        .iter()
        .enumerate()
        .map(|(i, joint)| {
            let others = layer.joints.iter().enumerate().filter(|(other, _)| *other != i);
            let others: Vec<[P2; 2]> = others.map(|(_, other)| [other.a, other.b]).collect();
            // The number stands where no other joint crosses, as near the middle as can be.
            let room = 3.0 * frame.ratio / 1000.0;
            let is_free = |p: &P2| others.iter().all(|[a, b]| distance_to_segment(*p, *a, *b) > room);
            let mut tried = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].iter().map(|t| joint.a.lerp(joint.b, *t));
            let spot = tried.find(is_free).unwrap_or_else(|| joint.a.lerp(joint.b, 0.5));
            json!({
                "n": i + 1, "a": frame.at(joint.a), "b": frame.at(joint.b), "spot": frame.at(spot),
                "forced": joint.is_forced,
            })
        })
        .collect();
    let panels = layer.panels.iter().enumerate().map(|(i, panel)| {
        json!({"n": i + 1, "at": frame.at(centroid(&panel.ring)), "over": panel.is_over, "ring": frame.ring(&panel.ring)})
    });
    let lines =
        |lines: &[(P2, P2)]| lines.iter().map(|(a, b)| [frame.at(*a), frame.at(*b)]).collect::<Vec<_>>();
    json!({
        "cuts": cuts,
        "panels": panels.collect::<Vec<_>>(),
        "strips": layer.strips.iter().map(|ring| frame.ring(ring)).collect::<Vec<_>>(),
        "dowels": lines(&layer.dowels),
        "bars": lines(&layer.bars),
        "kept": layer.kept_off.iter().map(|place| {
            json!({"ring": frame.ring(&place.ring), "name": cut(&place.label, 24), "at": frame.at(centroid(&place.ring))})
        }).collect::<Vec<_>>(),
    })
}

fn pads(facts: &Facts<'_>, frame: &Frame) -> Vec<Value> {
    // A reading keeps clear of an edge of the floor close below or above its pad, millimetres on the page.
    let up = |mm: f64| P2::new(0.0, mm * frame.ratio / 1000.0);
    let on_floor = |p: P2| facts.plan.floor.boundary.contains(p);
    let pad = |pad: &pour::pads::Pad| {
        json!({
            "at": frame.at(pad.at), "n": pad.number, "reads": facts.reading(pad.reading).json(),
            "low": !on_floor(pad.at - up(3.0)), "high": !on_floor(pad.at + up(7.0)),
        })
    };
    facts.plan.pads.pads.iter().map(pad).collect()
}

fn walls(facts: &Facts<'_>, frame: &Frame) -> Vec<[[f64; 2]; 2]> {
    let segments = facts.plan.floor.segments.iter();
    segments.filter(|s| s.kind != EdgeKind::Free).map(|s| [frame.at(s.a), frame.at(s.b)]).collect()
}

fn corners(facts: &Facts<'_>, frame: &Frame, middle: P2) -> Vec<Value> {
    let outward = |at: P2| {
        // Away from the floor: whichever of eight sides is outside and farthest from the middle.
        let sides =
            (0..8).map(|i| f64::from(i) * core::f64::consts::FRAC_PI_4).map(|a| P2::new(cos(a), sin(a)));
        // Two millimetres on the page.
        let near = 2.0 * frame.ratio / 1000.0;
        let free = sides.filter(|side| !facts.plan.floor.boundary.contains(at + *side * near));
        let away = (at - middle).unit();
        free.max_by(|a, b| a.dot(away).total_cmp(&b.dot(away))).unwrap_or(away)
    };
    let spot = |corner: &ground::outline::Corner| {
        let out = outward(corner.at);
        json!({"at": frame.at(corner.at), "out": [rounded(out.x), rounded(-out.y)], "name": cut(&corner.name, 14)})
    };
    facts.plan.floor.corners.iter().map(spot).collect()
}

fn doors(facts: &Facts<'_>, frame: &Frame) -> Vec<Value> {
    let door = |placed: &ground::outline::PlacedDoor| {
        let name = facts.plan.outline.doors.get(placed.door).map_or("", |door| door.name.as_str());
        // Walking from the first jamb to the second the floor lies on the left, so the right is outside.
        let out = (placed.a - placed.b).unit().left();
        json!({
            "a": frame.at(placed.a), "b": frame.at(placed.b), "out": [rounded(out.x), rounded(-out.y)],
            "name": cut(name, 24),
        })
    };
    facts.plan.floor.doors.iter().map(door).collect()
}

/// The measure of each side, outside its middle.
fn sides(facts: &Facts<'_>, frame: &Frame) -> Vec<Value> {
    let side = |side: &crate::drawing::Side| {
        let (a, b) = (*side.run.first()?, *side.run.last()?);
        let middle = side.run[side.run.len() / 2];
        let middle = if side.run.len() == 2 { a.lerp(b, 0.5) } else { middle };
        // The floor lies on the left of its edges, so the right is outside.
        let out = (a - b).unit().left();
        let long: f64 = side.run.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        let long = facts.length(basis::Length::metres(long));
        Some(json!({"at": frame.at(middle), "out": [rounded(out.x), rounded(-out.y)], "long": long}))
    };
    crate::plan_sheets::floor_drawing(facts.job, facts.plan).sides.iter().filter_map(side).collect()
}

fn bays(facts: &Facts<'_>, frame: &Frame) -> Vec<Value> {
    let bay = |(bay, takes): (&pour::bays::Bay, &basis::Volume)| {
        let label = widest(facts, bay);
        let end = bay.start + bay.axis * bay.length.in_metres();
        let sides = [0.5, -0.5].map(|side| {
            // A hair inside, so that a side along an edge of the floor counts as on it.
            let off = bay.axis.left() * (side * 0.998 * bay.width.in_metres());
            inside(facts, [bay.start + off, end + off]).map(|[a, b]| [frame.at(a), frame.at(b)])
        });
        json!({
            "n": bay.number,
            "start": frame.at(bay.start), "end": frame.at(end), "label": frame.at(label),
            "toward": [rounded(bay.axis.x), rounded(-bay.axis.y)],
            "ends": inside(facts, bay.line_at(bay.length)).map(|[a, b]| [frame.at(a), frame.at(b)]),
            "sides": sides,
            "takes": basis::quantity::volume(*takes, facts.job.units),
        })
    };
    facts.plan.bays.bays.iter().zip(&facts.plan.loads.bays).map(bay).collect()
}

/// A place for the bay's number: near its start, on the floor.
fn widest(facts: &Facts<'_>, bay: &pour::bays::Bay) -> P2 {
    let along = |share: f64| bay.start + bay.axis * (bay.length.in_metres() * share);
    let shares = [0.14, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8];
    shares.iter().map(|s| along(*s)).find(|p| facts.plan.floor.contains(*p)).unwrap_or_else(|| along(0.5))
}

fn loads(facts: &Facts<'_>, frame: &Frame) -> Vec<Value> {
    let last = facts.plan.loads.lines.len();
    let line = |line: &pour::loads::LoadLine| {
        let [a, b] = inside(facts, line.end.line)?;
        let bay = facts.plan.bays.bays.iter().find(|bay| bay.number == line.end.bay)?;
        let toward = [rounded(bay.axis.x), rounded(-bay.axis.y)];
        Some(json!({"n": line.load, "a": frame.at(a), "b": frame.at(b), "toward": toward}))
    };
    facts.plan.loads.lines.iter().filter(|l| l.load < last).filter_map(line).collect()
}

/// The part of a line between its first and its last point on the floor.
fn inside(facts: &Facts<'_>, [a, b]: [P2; 2]) -> Option<[P2; 2]> {
    let points = (0..=STEPS).map(|i| a.lerp(b, (i as f64 + 1e-3) / (STEPS as f64 + 2e-3)));
    let on: Vec<P2> = points.filter(|p| facts.plan.floor.contains(*p)).collect();
    Some([*on.first()?, *on.last()?])
}
