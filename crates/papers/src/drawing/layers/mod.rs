//! What each layer draws under and over the outline, and what it says of itself.

mod base;
mod fall;
mod loads;
mod pads;
mod reach;
mod thickness;

use ground::P2;

use super::canvas::Canvas;
use super::svg::Ink;
use super::{Field, FloorDrawing, Layer, MOST_BANDS, SideKind};

/// A sample in the legend.
pub(super) enum Key {
    /// A filled box.
    Fill(&'static str),
    /// A line.
    Line(&'static str),
    /// A door.
    Door,
    /// A mark drawn about a point.
    Mark(fn(&mut Ink, P2)),
}

/// The drawing's title.
pub(super) fn title(layer: &Layer) -> String {
    match layer {
        Layer::Base(_) => "Base as shot",
        Layer::Thickness(_) => "Thickness",
        Layer::Fall(_) => "Fall",
        Layer::Loads(_) => "Bays and loads",
        Layer::Pads(_) => "Pads",
        Layer::Reach(_) => "Reach",
    }
    .to_owned()
}

/// Points beside the floor that the sheet should hold.
pub(super) fn points_outside(layer: &Layer) -> Vec<P2> {
    match layer {
        Layer::Reach(reach) => reach.stands.iter().map(|stand| stand.at).collect(),
        _ => Vec::new(),
    }
}

/// Draws what lies under the outline.
pub(super) fn under(canvas: &mut Canvas, layer: &Layer) {
    match layer {
        Layer::Base(layer) => super::field::draw(canvas, &layer.field),
        Layer::Thickness(layer) => super::field::draw(canvas, &layer.field),
        Layer::Fall(layer) => fall::under(canvas, layer),
        Layer::Loads(layer) => loads::under(canvas, layer),
        Layer::Reach(layer) => reach::under(canvas, layer),
        Layer::Pads(_) => {}
    }
}

/// Draws what lies over the outline.
pub(super) fn over(canvas: &mut Canvas, layer: &Layer) {
    match layer {
        Layer::Base(layer) => base::over(canvas, layer),
        Layer::Thickness(layer) => thickness::over(canvas, layer),
        Layer::Fall(layer) => fall::over(canvas, layer),
        Layer::Loads(layer) => loads::over(canvas, layer),
        Layer::Pads(layer) => pads::over(canvas, layer),
        Layer::Reach(layer) => reach::over(canvas, layer),
    }
}

/// The legend: first the layer's own marks, then the outline's.
pub(super) fn keys(floor: &FloorDrawing, layer: &Layer) -> Vec<(Key, String)> {
    let mut keys = match layer {
        Layer::Base(layer) => base::keys(layer),
        Layer::Thickness(layer) => thickness::keys(layer),
        Layer::Fall(layer) => fall::keys(layer),
        Layer::Loads(layer) => loads::keys(layer),
        Layer::Pads(layer) => pads::keys(layer),
        Layer::Reach(layer) => reach::keys(layer),
    };
    let kinds = [
        (SideKind::Form, "form"),
        (SideKind::Wall, "wall, with isolation strip"),
        (SideKind::ExistingSlab, "existing slab"),
    ];
    for (kind, what) in kinds {
        if floor.sides.iter().any(|side| side.kind == kind) {
            keys.push((Key::Line(super::outline::class(kind)), what.to_owned()));
        }
    }
    if !floor.doors.is_empty() {
        keys.push((Key::Door, "door".to_owned()));
    }
    if !floor.below.is_empty() {
        keys.push((Key::Line("below"), "thickened edge or footing below".to_owned()));
    }
    keys
}

/// What a user of this sheet must know.
pub(super) fn notes(layer: &Layer) -> &'static [&'static str] {
    match layer {
        Layer::Pads(_) => &[
            "Readings hold for the set-up above until the laser is moved or bumped. Check the benchmark before the first pad.",
        ],
        Layer::Reach(_) => &[
            "On plan. Keep people clear of the truck's path and of the chute's swing; keep off power lines.",
        ],
        Layer::Thickness(_) | Layer::Base(_) => &["Between shots the surface is drawn as if flat."],
        Layer::Fall(_) | Layer::Loads(_) => {
            &["Measures written here go before measures taken off the sheet."]
        }
    }
}

/// The legend of a surface in bands.
fn bands(field: &Field) -> Vec<(Key, String)> {
    const FILLS: [&str; MOST_BANDS] = ["h0", "h1", "h2", "h3", "h4", "h5"];
    FILLS.iter().zip(&field.names).map(|(class, name)| (Key::Fill(class), name.clone())).collect()
}

/// An arrow from a tail to a tip with a solid head.
fn arrow(ink: &mut Ink, tail: P2, tip: P2) {
    let along = (tip - tail).unit();
    let back = tip - along * 2.8;
    ink.line("arrow", tail, back);
    ink.rings("head", &[vec![tip, back + along.left() * 1.1, back - along.left() * 1.1]]);
}

/// A direction of the floor on the page.
fn on_page(direction: P2) -> P2 {
    P2::new(direction.x, -direction.y).unit()
}
