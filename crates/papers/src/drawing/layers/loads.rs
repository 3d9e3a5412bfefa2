//! Bays in order of placing, and the lines at which loads end.

use ground::P2;

use super::super::canvas::{Canvas, Label};
use super::super::outline::inside;
use super::super::page::Box2;
use super::super::svg::{Anchor, Ink, TextAt};
use super::super::{BayMark, LoadsLayer, text};
use super::{Key, arrow, on_page};

pub(super) fn under(canvas: &mut Canvas, layer: &LoadsLayer) {
    for (i, bay) in layer.bays.iter().enumerate() {
        let rings: Vec<Vec<P2>> = bay.rings.iter().map(|ring| canvas.run(ring)).collect();
        // Every other bay is tinted, so that neighbours stand apart.
        canvas.under.rings(if i % 2 == 0 { "h0" } else { "h1" }, &rings);
        canvas.under.rings("bay", &rings);
    }
}

pub(super) fn over(canvas: &mut Canvas, layer: &LoadsLayer) {
    for line in &layer.lines {
        let run = canvas.run(&[line.a, line.b]);
        canvas.ink.run("load", &run);
        if let [a, b] = run[..] {
            canvas.taken.avoid(a, b, 8.0);
        }
    }
    if let Some(exit) = &layer.exit
        && let Some(at) = canvas.mark(exit.at)
    {
        leave(&mut canvas.labels, at);
        canvas.block(at, 2.0);
        canvas.label(at, 2.0, &Label { bold: format!("way out: {}", exit.label), ..Label::default() });
    }
    for (i, bay) in layer.bays.iter().enumerate() {
        number(canvas, i + 1, bay);
    }
    for line in &layer.lines {
        if let [a, b] = canvas.run(&[line.a, line.b])[..] {
            let label = Label { bold: line.label.clone(), more: vec![line.tape.clone()], ..Label::default() };
            canvas.label(a.lerp(b, 0.5), 0.6, &label);
        }
    }
}

/// The bay's number in a ring, its volume below it, an arrow in the direction of placing.
fn number(canvas: &mut Canvas, number: usize, bay: &BayMark) {
    let widest = bay.rings.iter().map(|ring| canvas.run(ring)).filter(|ring| ring.len() > 2);
    let area = |ring: &Vec<P2>| ground::polygon::signed_area(ring).abs();
    let Some(ring) = widest.max_by(|a, b| area(a).total_cmp(&area(b))) else { return };
    let at = inside(&ring);
    if !canvas.has_room_at(at) {
        return;
    }
    let told = number.to_string();
    let radius = 3.6 + 1.2 * (told.len() as f64 - 1.0);
    canvas.labels.circle("ring", at, radius);
    let how = TextAt { at: at + P2::new(0.0, 1.9), size: 5.4, class: "b", anchor: Anchor::Middle, turn: 0.0 };
    canvas.labels.text(how, &told);
    canvas.block(at, radius);
    let along = on_page(bay.toward);
    if along.is_finite() && along.norm() > 0.5 {
        arrow(&mut canvas.labels, at + along * (radius + 0.8), at + along * (radius + 9.0));
        for off in [2.5, 4.5, 6.5, 8.5] {
            canvas.block(at + along * (radius + off), 1.0);
        }
    }
    let label = text::cut(&bay.label, 40);
    let below = at + P2::new(0.0, radius + 2.4);
    let size = canvas.second();
    let half = P2::new(text::width(&label, size) * 0.5 + 0.3, size * 0.6);
    let place = Box2::new(below - half, below + half);
    if along.y > 0.5 || !canvas.taken.is_free(place) {
        canvas.label(
            at,
            radius,
            &Label { more: vec![label], called: format!("bay {number}"), ..Label::default() },
        );
        return;
    }
    canvas.taken.block(place);
    canvas.white(place);
    let how = TextAt { at: below + P2::new(0.0, 1.0), size, class: "", anchor: Anchor::Middle, turn: 0.0 };
    canvas.labels.text(how, &label);
}

/// The way out: a square in a square.
fn leave(ink: &mut Ink, at: P2) {
    ink.rect("ring", at - P2::new(2.0, 2.0), P2::new(4.0, 4.0));
    ink.rect("head", at - P2::new(1.0, 1.0), P2::new(2.0, 2.0));
}

pub(super) fn keys(layer: &LoadsLayer) -> Vec<(Key, String)> {
    let mut keys = vec![(Key::Line("bay"), "bay; number = order of placing".to_owned())];
    if layer.bays.iter().any(|bay| bay.toward.norm() > 0.0) {
        keys.push((
            Key::Mark(|ink, at| arrow(ink, at - P2::new(4.0, 0.0), at + P2::new(4.0, 0.0))),
            "placed this way".to_owned(),
        ));
    }
    if !layer.lines.is_empty() {
        keys.push((Key::Line("load"), "a load ends here".to_owned()));
    }
    if layer.exit.is_some() {
        keys.push((Key::Mark(leave), "the crew's way out".to_owned()));
    }
    keys
}
