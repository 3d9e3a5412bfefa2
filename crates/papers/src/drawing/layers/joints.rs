//! Joints in the order of cutting, panels by number, strips, dowels, bars and places kept off.

use ground::P2;
use ground::polygon::distance_to_segment;

use super::super::canvas::Canvas;
use super::super::outline::inside;
use super::super::page::Box2;
use super::super::svg::{Anchor, Ink, TextAt};
use super::super::{JointMark, JointsLayer, PanelMark};
use super::Key;

/// Radius of a cut's number, mm.
const RADIUS: f64 = 2.4;
/// A strip round an opening is drawn so far off it, mm.
const OFF: f64 = 1.0;
/// Where along a joint its number is tried.
const TRIED: [f64; 15] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.45, 0.55, 0.35, 0.65, 0.25, 0.75, 0.2, 0.8, 0.12, 0.88];

pub(super) fn under(canvas: &mut Canvas, layer: &JointsLayer) {
    for panel in layer.panels.iter().filter(|panel| panel.is_over) {
        let ring = canvas.run(&panel.ring);
        canvas.under.rings("h2", &[ring]);
    }
    for place in &layer.kept_off {
        let ring = canvas.run(&place.ring);
        canvas.under.rings("hx", std::slice::from_ref(&ring));
        canvas.under.rings("kept", &[ring]);
    }
}

pub(super) fn over(canvas: &mut Canvas, layer: &JointsLayer) {
    for ring in &layer.strips {
        let ring = canvas.run(ring);
        if ring.len() > 2 {
            let middle = ground::polygon::centroid(&ring);
            let grown = ring.iter().map(|p| *p + (*p - middle).unit() * OFF).collect();
            canvas.ink.rings("strip", &[grown]);
        }
    }
    for (class, lines) in [("dowel", &layer.dowels), ("bars", &layer.bars)] {
        for (a, b) in lines {
            if let [a, b] = canvas.run(&[*a, *b])[..] {
                canvas.ink.line(class, a, b);
            }
        }
    }
    let runs: Vec<(P2, P2)> = layer.joints.iter().filter_map(|joint| on_page(canvas, joint)).collect();
    for (joint, (a, b)) in layer.joints.iter().zip(&runs) {
        canvas.ink.line(class(joint), *a, *b);
        canvas.taken.avoid(*a, *b, 8.0);
    }
    for (i, run) in runs.iter().enumerate() {
        if let Some(at) = spot(canvas, &runs, i) {
            number(&mut canvas.labels, at, i + 1);
            canvas.block(at, RADIUS + 0.2);
        } else {
            canvas.homeless.push(format!("cut {}", i + 1));
            canvas.taken.avoid(run.0, run.1, 8.0);
        }
    }
    for (i, panel) in layer.panels.iter().enumerate() {
        number_of_panel(canvas, i + 1, panel);
    }
    for place in &layer.kept_off {
        let ring = canvas.run(&place.ring);
        if ring.len() > 2 {
            let label = super::super::canvas::Label {
                more: vec![place.label.clone()],
                called: "no joint:".to_owned(),
                ..Default::default()
            };
            canvas.label(ground::polygon::centroid(&ring), 0.6, &label);
        }
    }
}

fn on_page(canvas: &Canvas, joint: &JointMark) -> Option<(P2, P2)> {
    if let [a, b] = canvas.run(&[joint.a, joint.b])[..] { Some((a, b)) } else { None }
}

const fn class(joint: &JointMark) -> &'static str {
    if joint.is_forced { "forced" } else { "joint" }
}

/// The first place on a joint where its number hides neither another joint nor another number.
fn spot(canvas: &mut Canvas, runs: &[(P2, P2)], of: usize) -> Option<P2> {
    let (a, b) = runs[of];
    let others = || runs.iter().enumerate().filter(|(i, _)| *i != of).map(|(_, run)| *run);
    let is_open = |p: &P2| others().all(|(a, b)| distance_to_segment(*p, a, b) > RADIUS + 0.4);
    let tried = TRIED.iter().map(|t| a.lerp(b, *t));
    let free: Vec<P2> = tried.filter(|p| canvas.taken.is_free(Box2::new(*p, *p).grown(RADIUS))).collect();
    let found = free.iter().find(|p| is_open(p)).or(free.first()).copied()?;
    canvas.has_room_at(found).then_some(found)
}

/// The number of a cut in a disc.
fn number(ink: &mut Ink, at: P2, number: usize) {
    ink.circle("head", at, RADIUS);
    let told = number.to_string();
    let size = if told.len() < 3 { 3.0 } else { 6.0 / told.len() as f64 };
    let how =
        TextAt { at: at + P2::new(0.0, size * 0.36), size, class: "w", anchor: Anchor::Middle, turn: 0.0 };
    ink.text(how, &told);
}

fn number_of_panel(canvas: &mut Canvas, number: usize, panel: &PanelMark) {
    let ring = canvas.run(&panel.ring);
    if ring.len() < 3 {
        return;
    }
    let (low, high) = ground::polygon::bounds(&ring);
    let tried = [0.5, 0.35, 0.65, 0.25, 0.75].into_iter();
    let grid = tried.clone().flat_map(|x| tried.clone().map(move |y| P2::new(x, y)));
    let polygon = ground::Polygon::new(ring.clone());
    let spots: Vec<P2> = std::iter::once(inside(&ring))
        .chain(grid.map(|t| low + P2::new((high.x - low.x) * t.x, (high.y - low.y) * t.y)))
        .filter(|p| polygon.contains(*p))
        .collect();
    if !canvas.label_on(spots.into_iter().map(|p| (p, P2::default())), &number.to_string()) {
        canvas.homeless.push(format!("panel {number}"));
    }
}

pub(super) fn keys(layer: &JointsLayer) -> Vec<(Key, String)> {
    let mut keys = vec![(Key::Line("joint"), format!("saw cut, {} deep", layer.depth))];
    if layer.joints.iter().any(|joint| joint.is_forced) {
        keys.push((Key::Line("forced"), "saw cut that must be there".to_owned()));
    }
    keys.push((Key::Mark(|ink, at| number(ink, at, 1)), "order of cutting".to_owned()));
    keys.push((Key::Mark(panel_key), "number of the panel".to_owned()));
    if layer.panels.iter().any(|panel| panel.is_over) {
        keys.push((Key::Fill("h2"), "panel over a limit of size or shape".to_owned()));
    }
    for place in &layer.kept_off {
        keys.push((Key::Fill("hx"), format!("no joint here: {}", place.label)));
    }
    let marks = [
        (Key::Line("strip"), &layer.strip),
        (Key::Mark(dowel_key), &layer.dowel),
        (Key::Mark(bars_key), &layer.bar),
    ];
    keys.extend(
        marks.into_iter().filter(|(_, what)| !what.is_empty()).map(|(key, what)| (key, what.clone())),
    );
    keys
}

fn dowel_key(ink: &mut Ink, at: P2) {
    ink.line("slab", at - P2::new(4.0, 0.0), at + P2::new(4.0, 0.0));
    for x in [-2.6, 0.0, 2.6] {
        ink.line("dowel", at + P2::new(x, -1.4), at + P2::new(x, 1.4));
    }
}

fn bars_key(ink: &mut Ink, at: P2) {
    for off in [-0.8, 0.8] {
        ink.line("bars", at + P2::new(off - 1.4, 1.4), at + P2::new(off + 1.4, -1.4));
    }
}

fn panel_key(ink: &mut Ink, at: P2) {
    let how = TextAt { at: at + P2::new(0.0, 1.0), size: 2.8, class: "s", anchor: Anchor::Middle, turn: 0.0 };
    ink.text(how, "12");
}
