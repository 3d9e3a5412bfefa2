//! The base as shot: bands of elevation, shots with their elevations.

use ground::P2;

use super::super::canvas::{Canvas, Label};
use super::super::{BaseLayer, ShotMark, Spot, field};
use super::{Contours, Key};

pub(super) fn over(canvas: &mut Canvas, layer: &BaseLayer, contours: &Contours) {
    let label = |shot: &ShotMark| Label {
        bold: shot.label.clone(),
        more: vec![shot.name.clone()],
        called: format!("{}:", shot.name),
    };
    for spot in &layer.next {
        if let Some(at) = canvas.mark(spot.at) {
            canvas.labels.circle("bad", at, 2.2);
            canvas.labels.circle("dot", at, 0.7);
            canvas.block(at, 2.4);
            canvas.label(at, 2.4, &Label { bold: spot.label.clone(), ..Label::default() });
        }
    }
    let marks: Vec<(P2, Label)> = layer.shots.iter().map(|shot| (shot.at, label(shot))).collect();
    dots(canvas, &marks, (contours, &layer.field.levels));
}

/// Small marks with a label beside each: all marks first, so that no label hides one; then the levels of
/// contours, which have many places to choose from.
pub(super) fn dots(canvas: &mut Canvas, marks: &[(P2, Label)], levels_of: (&Contours, &[String])) {
    let places: Vec<_> = marks.iter().map(|(at, _)| canvas.mark(*at)).collect();
    for at in places.iter().flatten() {
        canvas.labels.circle("dot", *at, 0.8);
        canvas.block(*at, 0.9);
    }
    for ((_, label), at) in marks.iter().zip(&places) {
        if let Some(at) = at {
            canvas.label(*at, 0.9, label);
        }
    }
    let (contours, levels) = levels_of;
    field::levels(canvas, contours, levels);
}

/// A spot's label as it stands.
pub(super) fn spot(spot: &Spot) -> (P2, Label) {
    (spot.at, Label { bold: spot.label.clone(), ..Label::default() })
}

pub(super) fn keys(layer: &BaseLayer) -> Vec<(Key, String)> {
    let mut keys = vec![(
        Key::Mark(|ink, at| ink.circle("dot", at, 0.8)),
        "shot: its elevation and its name".to_owned(),
    )];
    keys.extend(super::bands(&layer.field));
    keys
}
