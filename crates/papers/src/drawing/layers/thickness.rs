//! Concrete thickness: bands, spots, the thinnest place.

use ground::P2;

use super::super::ThicknessLayer;
use super::super::canvas::{Canvas, Label};
use super::super::svg::Ink;
use super::Key;

pub(super) fn over(canvas: &mut Canvas, layer: &ThicknessLayer) {
    if let Some(spot) = &layer.thinnest
        && let Some(at) = canvas.mark(spot.at)
    {
        thinnest(&mut canvas.labels, at);
        canvas.block(at, 2.6);
        let label = Label { bold: format!("thinnest {}", spot.label), ..Label::default() };
        canvas.label(at, 2.6, &label);
    }
    super::base::dots(canvas, &layer.spots);
}

/// A ring with a cross, seen at arm's length.
fn thinnest(ink: &mut Ink, at: P2) {
    ink.circle("bad", at, 2.3);
    for way in [P2::new(1.6, 1.6), P2::new(1.6, -1.6)] {
        ink.line("arrow", at - way, at + way);
    }
}

pub(super) fn keys(layer: &ThicknessLayer) -> Vec<(Key, String)> {
    let mut keys = Vec::new();
    if layer.thinnest.is_some() {
        keys.push((Key::Mark(thinnest), "thinnest place".to_owned()));
    }
    if !layer.spots.is_empty() {
        keys.push((Key::Mark(|ink, at| ink.circle("dot", at, 0.8)), "thickness at a spot".to_owned()));
    }
    keys.extend(super::bands(&layer.field));
    keys
}
