//! The base as shot: bands of elevation, shots with their elevations.

use super::super::canvas::{Canvas, Label};
use super::super::{BaseLayer, Spot};
use super::Key;

pub(super) fn over(canvas: &mut Canvas, layer: &BaseLayer) {
    dots(canvas, &layer.shots);
}

/// Small marks with a label beside each; all marks first, so that no label hides one.
pub(super) fn dots(canvas: &mut Canvas, spots: &[Spot]) {
    let places: Vec<_> = spots.iter().map(|spot| canvas.mark(spot.at)).collect();
    for at in places.iter().flatten() {
        canvas.labels.circle("dot", *at, 0.8);
        canvas.block(*at, 0.9);
    }
    for (spot, at) in spots.iter().zip(&places) {
        if let Some(at) = at {
            canvas.label(*at, 0.9, &Label { bold: spot.label.clone(), ..Label::default() });
        }
    }
}

pub(super) fn keys(layer: &BaseLayer) -> Vec<(Key, String)> {
    let mut keys =
        vec![(Key::Mark(|ink, at| ink.circle("dot", at, 0.8)), "shot, with its elevation".to_owned())];
    keys.extend(super::bands(&layer.field));
    keys
}
