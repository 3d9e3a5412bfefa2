//! How the finish falls: arrows down, high and low points, ridges and valleys, tapers at doors.

use ground::{P2, Polygon};

use super::super::canvas::{Canvas, Label};
use super::super::field;
use super::super::svg::Ink;
use super::super::{FallLayer, FloorDrawing, Spot};
use super::{Key, arrow, on_page};

/// Half the length of an arrow, mm.
const HALF: f64 = 6.0;

pub(super) fn under(canvas: &mut Canvas, layer: &FallLayer) {
    for taper in &layer.tapers {
        let ring = canvas.run(&taper.ring);
        canvas.under.rings("ht", std::slice::from_ref(&ring));
        canvas.under.rings("dim", &[ring]);
    }
    for (class, lines) in [("ridge", &layer.ridges), ("valley", &layer.valleys)] {
        let on_page: Vec<(P2, P2)> = lines
            .iter()
            .filter_map(|(a, b)| if let [a, b] = canvas.run(&[*a, *b])[..] { Some((a, b)) } else { None })
            .collect();
        // Joined, so that dashes run on.
        for run in field::chains(&on_page) {
            canvas.under.run(class, &run);
        }
        for (a, b) in on_page {
            canvas.taken.avoid(a, b, 1.5);
        }
    }
}

pub(super) fn over(canvas: &mut Canvas, floor: &FloorDrawing, layer: &FallLayer) {
    points(canvas, &layer.highs, high, "high ");
    points(canvas, &layer.lows, low, "low ");
    points(canvas, &layer.points, |ink, at| ink.circle("dot", at, 0.8), "");
    let outline = Polygon::new(canvas.run(&floor.boundary));
    let mut labels = Vec::new();
    for one in &layer.arrows {
        let along = on_page(one.toward);
        let Some(at) = canvas.mark(one.at) else { continue };
        if along.is_finite() && along.norm() > 0.5 {
            let (tail, tip) = (at - along * HALF, at + along * HALF);
            let is_inside = |p: P2| outline.contains(p) && outline.distance_to_edge(p) > 0.8;
            let is_free = canvas.taken.is_free_along((tail, tip));
            if outline.corners().len() > 2 && !(is_inside(tail) && is_inside(tip) && is_free) {
                continue;
            }
            arrow(&mut canvas.labels, tail, tip);
            for step in [-0.8, -0.4, 0.0, 0.4, 0.8] {
                canvas.block(at + along * (HALF * step), 1.0);
            }
        }
        labels.push((at, Label { bold: one.label.clone(), ..Label::default() }));
    }
    for (at, label) in labels {
        canvas.label(at, 1.2, &label);
    }
}

fn points(canvas: &mut Canvas, spots: &[Spot], draw: fn(&mut Ink, P2), word: &str) {
    for spot in spots {
        if let Some(at) = canvas.mark(spot.at) {
            draw(&mut canvas.labels, at);
            canvas.block(at, 1.8);
            let label = Label { bold: format!("{word}{}", spot.label), ..Label::default() };
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
    if !layer.points.is_empty() {
        keys.push((Key::Mark(|ink, at| ink.circle("dot", at, 0.8)), "elevation of the finish".to_owned()));
    }
    if !layer.ridges.is_empty() {
        keys.push((Key::Line("ridge"), "ridge: falls away to both sides".to_owned()));
    }
    if !layer.valleys.is_empty() {
        keys.push((Key::Line("valley"), "valley: falls to it from both sides".to_owned()));
    }
    let mut told: Vec<&str> = Vec::new();
    for taper in layer.tapers.iter().filter(|taper| taper.ring.len() > 2) {
        if !told.contains(&taper.label.as_str()) {
            told.push(&taper.label);
            keys.push((Key::Fill("ht"), format!("at doors: {}", taper.label)));
        }
    }
    keys
}
