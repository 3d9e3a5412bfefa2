//! Joints: what is sawn where, in which order and from when.

use basis::quantity::{length, thickness};
use basis::{Length, TimeSpan};
use clock::events::{Event, Milestone};
use ground::P2;
use pour::Job;
use pour::joints::{CornerBars, DowelPlace, Joint, Saw, StripAt};
use pour::plan::Plan;
use pour::wall::Wall;

use crate::drawing::{JointMark, JointsLayer, NamedRing, PanelMark, Table};

/// Half of the length of a bar across a corner: two of 4 ft (from memory).
const HALF_BAR: Length = Length::feet(2.0);
/// How far into the floor the bars lie, m (common practice, no source).
const BARS_IN: [f64; 2] = [0.1, 0.28];

pub(crate) fn joints(job: &Job, plan: &Plan) -> JointsLayer {
    let found = &plan.joints;
    let told = |l: Length| length(l, job.units);
    let strips = found.strips.iter().any(|strip| strip.at == StripAt::Opening);
    let dowel = found.dowels.as_ref().map(|dowels| {
        let bar = dowels.bar;
        format!(
            "dowel: {} of {} by {}, {} apart",
            dowels.places.len(),
            thickness(bar.diameter, job.units),
            told(bar.length),
            told(bar.spacing)
        )
    });
    let places = found.dowels.iter().flat_map(|dowels| {
        let half = dowels.bar.length.in_metres() * 0.5;
        dowels.places.iter().map(move |p| bar_at(p, half))
    });
    let unknown =
        if job.joints.stone.is_none() { " Stone not known: spaced as for small stone." } else { "" };
    let spaced = format!("At most {} apart.{unknown}", told(found.apart));
    JointsLayer {
        joints: found
            .joints
            .iter()
            .map(|j| JointMark { a: j.a, b: j.b, is_forced: j.forced.is_some() })
            .collect(),
        depth: thickness(found.cut, job.units),
        panels: found.panels.iter().map(panel).collect(),
        strips: rings(plan),
        strip: if strips { "isolation strip round it, full depth".to_owned() } else { String::new() },
        dowels: places.collect(),
        dowel: dowel.unwrap_or_default(),
        bars: found.corners.iter().flat_map(bars).collect(),
        bar: if found.corners.is_empty() {
            String::new()
        } else {
            format!("two #4 bars of {} across the corner", told(HALF_BAR * 2.0))
        },
        kept_off: found
            .kept_off
            .iter()
            .map(|place| NamedRing {
                ring: place.ring.corners().to_vec(),
                label: place.name.clone(),
                more: Vec::new(),
            })
            .collect(),
        table: table(job, plan),
        notes: vec![spaced],
    }
}

fn panel(panel: &pour::joints::Panel) -> PanelMark {
    PanelMark { ring: panel.ring.corners().to_vec(), is_over: !panel.breaks.is_empty() }
}

/// Openings that stand isolated.
fn rings(plan: &Plan) -> Vec<Vec<P2>> {
    let openings = plan.floor.holes.iter().zip(&plan.outline.openings);
    let isolated = openings.filter(|(_, o)| o.kind != ground::outline::OpeningKind::Opening);
    isolated.map(|(ring, _)| ring.corners().to_vec()).collect()
}

fn bar_at(place: &DowelPlace, half: f64) -> (P2, P2) {
    (place.at - place.inward * half, place.at + place.inward * half)
}

/// Two bars across a corner, square to the way into the floor.
fn bars(corner: &CornerBars) -> [(P2, P2); 2] {
    BARS_IN.map(|far| {
        let middle = corner.at + corner.inward * far;
        let along = corner.inward.left() * HALF_BAR.in_metres();
        (middle - along, middle + along)
    })
}

fn table(job: &Job, plan: &Plan) -> Table {
    let forecast = plan.forecast.as_ref();
    let wall = forecast.map(|f| Wall { zone: &f.zone, start: f.first_truck, units: job.units });
    let mut head = vec!["cut", "long", "tape from", "after bay"];
    if wall.is_some() {
        head.push(match plan.joints.saw {
            Saw::Conventional => "wet saw",
            Saw::EarlyEntry => "early saw",
        });
    }
    let row = |(i, joint): (usize, &Joint)| {
        let tape = joint.tape.as_ref();
        let tape = tape.map_or_else(String::new, |(far, edge)| format!("{} {edge}", length(*far, job.units)));
        let mut row =
            vec![(i + 1).to_string(), length(joint.length(), job.units), tape, joint.after.to_string()];
        row.extend(wall.map(|wall| wall.perhaps(from(plan, joint))));
        row
    };
    Table {
        head: head.into_iter().map(str::to_owned).collect(),
        rows: plan.joints.joints.iter().enumerate().map(row).collect(),
    }
}

/// When the last bay that a joint crosses can likely be cut by the saw of the job.
pub(crate) fn from(plan: &Plan, joint: &Joint) -> Option<TimeSpan> {
    let forecast = plan.forecast.as_ref()?;
    let milestone = match plan.joints.saw {
        Saw::Conventional => Milestone::SawFrom,
        Saw::EarlyEntry => Milestone::EarlyEntryFrom,
    };
    let bay = forecast.bays.iter().find(|bay| bay.number == joint.after)?;
    bay.event(Event::At(milestone))?.middle
}
