//! What the chutes reach from where the trucks stand, and what lies beyond.

use basis::math;
use ground::P2;

use super::super::canvas::{Canvas, Label, MAIN};
use super::super::outline::inside;
use super::super::svg::Ink;
use super::super::{ReachLayer, StandMark, text};
use super::{Key, on_page};

/// Chords of an arc.
const CHORDS: usize = 48;

pub(super) fn under(canvas: &mut Canvas, layer: &ReachLayer) {
    let rings: Vec<Vec<P2>> = layer.beyond.iter().map(|ring| canvas.run(ring)).collect();
    canvas.under.rings("hx", &rings);
}

pub(super) fn over(canvas: &mut Canvas, layer: &ReachLayer) {
    for stand in &layer.stands {
        draw_stand(canvas, stand);
    }
    let rings = layer.beyond.iter().map(|ring| canvas.run(ring)).filter(|ring| ring.len() > 2);
    let area = |ring: &Vec<P2>| ground::polygon::signed_area(ring).abs();
    if let Some(widest) = rings.max_by(|a, b| area(a).total_cmp(&area(b))) {
        let mut lines = text::wrap(&text::clean(&layer.beyond_label), MAIN, 48.0).into_iter();
        let label =
            Label { bold: lines.next().unwrap_or_default(), more: lines.collect(), ..Label::default() };
        canvas.label(inside(&widest), 0.0, &label);
    }
}

fn draw_stand(canvas: &mut Canvas, stand: &StandMark) {
    let Some(at) = canvas.mark(stand.at) else {
        canvas.homeless.push(format!("stand {}", text::cut(&stand.label, 40)));
        return;
    };
    let facing = on_page(stand.facing);
    let swing =
        if stand.half_swing.is_finite() { stand.half_swing.clamp(0.0, std::f64::consts::PI) } else { 0.0 };
    if facing.is_finite() && facing.norm() > 0.5 {
        for arc in &stand.arcs {
            let radius = canvas.page.length(arc.radius);
            if radius > 0.0 && radius < 1e4 {
                canvas.under.run("arc", &sector(at, facing, swing, radius));
                let tip = at + facing * radius;
                canvas.label(tip, 0.6, &Label { more: vec![arc.label.clone()], ..Label::default() });
            }
        }
    }
    let facing = if facing.norm() > 0.5 { facing } else { P2::new(0.0, -1.0) };
    truck(&mut canvas.labels, at, facing);
    for back in [0.0, 2.0, 4.0] {
        canvas.block(at - facing * back, 2.2);
    }
    canvas.label(at, 3.0, &Label { bold: stand.label.clone(), called: "stand".into(), ..Label::default() });
}

/// From the hinge along one end of the swing, round the arc, and back.
fn sector(at: P2, facing: P2, swing: f64, radius: f64) -> Vec<P2> {
    let mut run = vec![at];
    for i in 0..=CHORDS {
        let angle = swing * (2.0 * i as f64 / CHORDS as f64 - 1.0);
        let (sin, cos) = (math::sin(angle), math::cos(angle));
        run.push(at + (facing * cos + facing.left() * sin) * radius);
    }
    run.push(at);
    run
}

/// A truck's tail: a box behind the hinge.
fn truck(ink: &mut Ink, at: P2, facing: P2) {
    let (back, side) = (facing * -5.0, facing.left() * 1.8);
    ink.rings("ring", &[vec![at + side, at - side, at - side + back, at + side + back]]);
    ink.circle("dot", at, 1.0);
}

pub(super) fn keys(layer: &ReachLayer) -> Vec<(Key, String)> {
    let mut keys: Vec<(Key, String)> = vec![
        (
            Key::Mark(|ink, at| truck(ink, at + P2::new(2.5, 0.0), P2::new(1.0, 0.0))),
            "truck; chute hinges at the dot".to_owned(),
        ),
        (Key::Line("arc"), "reach of a chute".to_owned()),
    ];
    if !layer.beyond.is_empty() {
        keys.push((Key::Fill("hx"), "beyond reach".to_owned()));
    }
    keys
}
