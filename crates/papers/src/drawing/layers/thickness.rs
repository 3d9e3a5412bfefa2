//! Concrete thickness: bands, spots, the thinnest place.

use ground::P2;

use super::super::canvas::{Canvas, Label};
use super::super::svg::Ink;
use super::super::{Spot, ThicknessLayer, field};
use super::{Contours, Key};

pub(super) fn under(canvas: &mut Canvas, layer: &ThicknessLayer) -> Contours {
    let contours = field::draw(canvas, &layer.field);
    let rings: Vec<Vec<P2>> = layer.thin.iter().map(|ring| canvas.run(ring)).collect();
    canvas.under.rings("h0", &rings);
    canvas.under.rings("hx", &rings);
    contours
}

pub(super) fn over(canvas: &mut Canvas, layer: &ThicknessLayer, contours: &Contours) {
    extreme(canvas, layer.thinnest.as_ref(), thinnest, "thinnest");
    extreme(canvas, layer.thickest.as_ref(), thickest, "thickest");
    let marks: Vec<(P2, Label)> = layer.spots.iter().map(super::base::spot).collect();
    super::base::dots(canvas, &marks, (contours, &layer.field.levels));
}

fn extreme(canvas: &mut Canvas, spot: Option<&Spot>, draw: fn(&mut Ink, P2), word: &str) {
    if let Some(spot) = spot
        && let Some(at) = canvas.mark(spot.at)
    {
        draw(&mut canvas.labels, at);
        canvas.block(at, 2.6);
        let label = Label { bold: format!("{word} {}", spot.label), ..Label::default() };
        canvas.label(at, 2.6, &label);
    }
}

/// A ring in a ring.
fn thickest(ink: &mut Ink, at: P2) {
    ink.circle("bad", at, 2.3);
    ink.circle("ring", at, 1.0);
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
    if layer.thickest.is_some() {
        keys.push((Key::Mark(thickest), "thickest place".to_owned()));
    }
    if !layer.spots.is_empty() {
        keys.push((Key::Mark(|ink, at| ink.circle("dot", at, 0.8)), "thickness at a spot".to_owned()));
    }
    keys.extend(super::bands(&layer.field));
    if !layer.thin.is_empty() {
        keys.push((Key::Fill("hx"), layer.thin_label.clone()));
    }
    keys
}
