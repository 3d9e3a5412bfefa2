//! Bays and loads, pads, reach: what the crew has in hand while it pours.

use basis::math::{cos, sin};
use basis::quantity::{area, length, slope, volume};
use basis::{Area, Length};
use ground::P2;
use ground::outline::EdgeShape;
use pour::Job;
use pour::pads::{Pad, Tie, TieTo};
use pour::plan::Plan;

use super::floor::edge_name;
use crate::drawing::{
    BayMark, LoadLine, LoadsLayer, PadMark, PadsLayer, ReachArc, ReachLayer, Spot, StandMark, Table, Tape,
};

fn table<const N: usize>(head: [&str; N], rows: impl Iterator<Item = [String; N]>) -> Table {
    Table { head: head.map(str::to_owned).to_vec(), rows: rows.map(|row| row.to_vec()).collect() }
}

pub(super) fn loads(job: &Job, plan: &Plan) -> LoadsLayer {
    let bays = plan.bays.bays.iter().zip(&plan.loads.bays).map(|(bay, takes)| BayMark {
        rings: vec![bay.window.corners().to_vec()],
        toward: bay.axis,
        label: volume(*takes, job.units),
    });
    let last = plan.loads.lines.len();
    let tape = |l: &pour::loads::LoadLine| {
        from_edge(plan, l.end.line).map_or_else(
            || format!("{} from the start of bay {}", length(l.end.along, job.units), l.end.bay),
            |(distance, edge)| format!("{} from {edge}", length(distance, job.units)),
        )
    };
    let lines = plan.loads.lines.iter().filter(|l| l.load < last).map(|l| LoadLine {
        a: l.end.line[0],
        b: l.end.line[1],
        label: format!("load {} ends, {}", l.load, volume(l.size, job.units)),
        tape: tape(l),
    });
    let exit = plan.bays.exit.as_ref().map(|e| Spot { at: e.middle(), label: e.name.clone() });
    let rows = plan.loads.lines.iter().map(|l| {
        let ends = if l.load < last { tape(l) } else { "the floor is full".to_owned() };
        [l.load.to_string(), volume(l.size, job.units), l.end.bay.to_string(), ends]
    });
    LoadsLayer {
        bays: bays.collect(),
        lines: lines.collect(),
        exit,
        table: table(["load", "brings", "bay", "ends at"], rows),
    }
}

/// The tape from the nearest straight edge that runs along a line and lies beside its middle.
pub(crate) fn from_edge(plan: &Plan, [a, b]: [P2; 2]) -> Option<(Length, String)> {
    let (middle, along) = (a.lerp(b, 0.5), (b - a).unit());
    let corners = &plan.outline.corners;
    let distance = |i: usize| {
        let (from, to) = (&corners[i], &corners[(i + 1) % corners.len()]);
        let edge = (to.at - from.at).unit();
        let s = (middle - from.at).dot(edge);
        let is_straight = plan.outline.edges.get(i).is_none_or(|e| e.shape == EdgeShape::Straight);
        let is_beside = (0.0..=from.at.distance(to.at)).contains(&s) && edge.cross(along).abs() < 5e-3;
        let away = (middle - from.at).cross(edge).abs();
        (is_straight && is_beside).then(|| (Length::metres(away), edge_name(plan, i)))
    };
    (0..corners.len()).filter_map(distance).min_by(|p, q| p.0.total_cmp(&q.0))
}

/// The tapes of a pad, each from its foot on the edge.
fn tapes(job: &Job, plan: &Plan, pad: &Pad) -> Vec<Tape> {
    let corners = &plan.outline.corners;
    let foot = |to: &TieTo| match to {
        TieTo::Corner(name) => corners.iter().find(|c| c.name == *name).map(|c| c.at),
        TieTo::Edge(name) => (0..corners.len()).find_map(|i| {
            let (a, b) = (&corners[i], &corners[(i + 1) % corners.len()]);
            let along = (b.at - a.at).unit();
            (format!("{}-{}", a.name, b.name) == *name).then(|| a.at + along * (pad.at - a.at).dot(along))
        }),
    };
    let tape =
        |tie: &pour::pads::Tie| Some(Tape { from: foot(&tie.to)?, label: length(tie.distance, job.units) });
    pad.ties.iter().filter_map(tape).collect()
}

pub(super) fn pads(job: &Job, plan: &Plan) -> PadsLayer {
    let mark = |pad: &Pad| PadMark {
        at: pad.at,
        number: pad.number,
        reading: pad.reading.said(job.rod),
        tapes: tapes(job, plan, pad),
    };
    let tie = |tie: &Tie| {
        let (TieTo::Edge(name) | TieTo::Corner(name)) = &tie.to;
        format!("{} {name}", length(tie.distance, job.units))
    };
    let rows =
        plan.pads.pads.iter().map(|pad| {
            [pad.number.to_string(), pad.reading.said(job.rod), tie(&pad.ties[0]), tie(&pad.ties[1])]
        });
    PadsLayer {
        pads: plan.pads.pads.iter().map(mark).collect(),
        struck: plan.pads.lines.iter().map(|l| (l.from, l.to)).collect(),
        table: table(["pad", "rod reads", "tape from", "tape from"], rows),
    }
}

pub(super) fn reach(job: &Job, plan: &Plan) -> ReachLayer {
    let Some(found) = &plan.reach else { return ReachLayer::default() };
    let told = |l: Length| length(l, job.units);
    let stands = job.stands.iter().map(|stand| {
        let facing = stand.facing.in_radians();
        let arcs =
            found.chutes.iter().map(|set| ReachArc { radius: set.reach.in_metres(), label: told(set.reach) });
        StandMark {
            at: stand.at,
            label: stand.name.clone(),
            facing: P2::new(cos(facing), sin(facing)),
            half_swing: stand.swing.in_radians(),
            arcs: arcs.collect(),
        }
    });
    let rows = found.stands.iter().flat_map(|stand| {
        found.chutes.iter().zip(&stand.areas).enumerate().map(move |(i, (set, reached))| {
            let name = if i == 0 { stand.name.clone() } else { String::new() };
            let chutes = std::iter::once("main".to_owned()).chain(set.extensions.iter().map(|e| told(*e)));
            let chutes = chutes.collect::<Vec<_>>().join(" + ");
            [name, chutes, told(set.reach), area(*reached, job.units)]
        })
    });
    ReachLayer {
        stands: stands.collect(),
        beyond: found.outside.clone(),
        limit: found.limit.clone(),
        beyond_label: beyond(job, found),
        table: table(["stand", "chutes", "reach", "floor"], rows),
        notes: too_flat(job, found),
    }
}

/// What is out of reach, in words.
fn beyond(job: &Job, found: &pour::reach::Reach) -> String {
    if found.beyond.area <= Area::ZERO {
        return String::new();
    }
    let mut told = format!(
        "out of reach: {}, {}",
        area(found.beyond.area, job.units),
        volume(found.beyond.volume, job.units)
    );
    if let Some(carried) = &found.carried {
        told.push_str(&format!(", {} loads by {}", carried.loads, carried.by));
    }
    told
}

/// Says when a chute is long enough for a hatched place but would lie too flat there.
fn too_flat(job: &Job, found: &pour::reach::Reach) -> Vec<String> {
    let flat = found.reasons[pour::reach::Beyond::TooFlat as usize].1.area;
    let told = format!(
        "{} of the hatched part lies within a chute's length, but a chute would fall less than {} there.",
        area(flat, job.units),
        slope(job.chutes.least_fall, job.units)
    );
    if flat > found.whole.area * 1e-3 { vec![told] } else { Vec::new() }
}
