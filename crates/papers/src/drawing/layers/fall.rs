//! How the finish falls: arrows down, high and low points, ridges and valleys, tapers at doors.

use ground::P2;

use super::super::canvas::{Canvas, Label};
use super::super::svg::Ink;
use super::super::{FallLayer, Spot};
use super::{Key, arrow, on_page};

/// Half the length of an arrow, mm.
const HALF: f64 = 6.0;

pub(super) fn under(canvas: &mut Canvas, layer: &FallLayer) {
    for taper in &layer.tapers {
        let ring = canvas.run(&taper.ring);
        canvas.under.rings("ht", std::slice::from_ref(&ring));
        canvas.under.rings("dim", &[ring]);
    }
    for (a, b) in &layer.breaks {
        let run = canvas.run(&[*a, *b]);
        canvas.under.run("break", &run);
    }
}

pub(super) fn over(canvas: &mut Canvas, layer: &FallLayer) {
    points(canvas, &layer.highs, high, "high");
    points(canvas, &layer.lows, low, "low");
    let mut labels = Vec::new();
    for one in &layer.arrows {
        let along = on_page(one.toward);
        if let Some(at) = canvas.mark(one.at) {
            if along.is_finite() && along.norm() > 0.5 {
                arrow(&mut canvas.labels, at - along * HALF, at + along * HALF);
                for step in [-0.8, -0.4, 0.0, 0.4, 0.8] {
                    canvas.block(at + along * (HALF * step), 1.0);
                }
            }
            labels.push((at, Label { bold: one.label.clone(), ..Label::default() }));
        }
    }
    for (at, label) in labels {
        canvas.label(at, 1.2, &label);
    }
    for taper in &layer.tapers {
        let ring = canvas.run(&taper.ring);
        if ring.len() > 2 && !taper.label.is_empty() {
            let label = Label { more: vec![taper.label.clone()], called: "taper".into(), ..Label::default() };
            canvas.label(super::super::outline::inside(&ring), 0.0, &label);
        }
    }
}

fn points(canvas: &mut Canvas, spots: &[Spot], draw: fn(&mut Ink, P2), word: &str) {
    for spot in spots {
        if let Some(at) = canvas.mark(spot.at) {
            draw(&mut canvas.labels, at);
            canvas.block(at, 1.8);
            let label = Label { bold: format!("{word} {}", spot.label), ..Label::default() };
            canvas.label(at, 1.8, &label);
        }
    }
}

/// A solid triangle, tip up.
fn high(ink: &mut Ink, at: P2) {
    ink.rings("head", &[vec![at + P2::new(0.0, -1.9), at + P2::new(1.7, 1.3), at + P2::new(-1.7, 1.3)]]);
}

/// An open triangle, tip down.
fn low(ink: &mut Ink, at: P2) {
    ink.rings("ring", &[vec![at + P2::new(0.0, 1.9), at + P2::new(1.7, -1.3), at + P2::new(-1.7, -1.3)]]);
}

pub(super) fn keys(layer: &FallLayer) -> Vec<(Key, String)> {
    let mut keys: Vec<(Key, String)> = vec![
        (
            Key::Mark(|ink, at| arrow(ink, at - P2::new(4.0, 0.0), at + P2::new(4.0, 0.0))),
            "falls this way".to_owned(),
        ),
        (Key::Mark(high), "high point".to_owned()),
        (Key::Mark(low), "low point".to_owned()),
    ];
    if !layer.breaks.is_empty() {
        keys.push((Key::Line("break"), "ridge or valley".to_owned()));
    }
    if !layer.tapers.is_empty() {
        keys.push((Key::Fill("ht"), "taper to a door".to_owned()));
    }
    keys
}
