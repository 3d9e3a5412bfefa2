//! What each layer draws under and over the outline, and what it says of itself.

mod base;
mod fall;
mod joints;
pub(super) mod laid;
mod loads;
mod pads;
mod reach;
pub(super) mod state;
mod thickness;

use ground::P2;

use self::laid::{LaidLayer, LaidOf};
use super::canvas::Canvas;
use super::page::TextRoom;
use super::svg::{Ink, mm};
use super::{Field, FloorDrawing, Layer, MOST_BANDS, SideKind, Table};

/// A sample in the legend.
pub(super) enum Key {
    /// A filled box.
    Fill(&'static str),
    /// A line.
    Line(&'static str),
    /// A door.
    Door,
    /// What lies below the floor.
    Below,
    /// A place without concrete.
    Hole,
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
        Layer::Joints(_) => "Joints",
        Layer::Laid(layer) => return super::text::clean(&layer.title),
        Layer::State(layer) => return super::text::clean(&format!("The floor at {}", layer.at)),
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

/// Lines between bands on the page, by limit.
pub(super) type Contours = Vec<Vec<(P2, P2)>>;

/// A table of the layer, if it has one.
pub(super) fn table(layer: &Layer) -> Option<&Table> {
    match layer {
        Layer::Loads(layer) => Some(&layer.table),
        Layer::Pads(layer) => Some(&layer.table),
        Layer::Reach(layer) => Some(&layer.table),
        Layer::Joints(layer) => Some(&layer.table),
        Layer::State(layer) => Some(&layer.table),
        Layer::Laid(layer) => Some(&layer.table),
        _ => None,
    }
    .filter(|table| !table.rows.is_empty())
}

/// Where the text may stand: a long table wants the height of the sheet.
pub(super) fn text_room(layer: &Layer) -> TextRoom {
    if table(layer).is_some_and(|table| table.rows.len() > 4) { TextRoom::Beside } else { TextRoom::Any }
}

/// Whether a door of this name is already named as the way out.
pub(super) fn is_way_out(layer: &Layer) -> impl Fn(&str) -> bool {
    let exit = match layer {
        Layer::Loads(layer) => layer.exit.as_ref().map(|exit| exit.label.as_str()),
        _ => None,
    };
    move |name| exit == Some(name)
}

/// Draws what lies under the outline.
pub(super) fn under(canvas: &mut Canvas, floor: &FloorDrawing, layer: &Layer) -> Contours {
    match layer {
        Layer::Base(layer) => return super::field::draw(canvas, &layer.field),
        Layer::Thickness(layer) => return thickness::under(canvas, layer),
        Layer::Fall(layer) => fall::under(canvas, layer),
        Layer::Loads(layer) => on_floor_only(canvas, floor, |canvas| loads::under(canvas, layer)),
        Layer::Reach(layer) => reach::under(canvas, floor, layer),
        Layer::State(layer) => on_floor_only(canvas, floor, |canvas| state::under(canvas, layer)),
        Layer::Joints(layer) => on_floor_only(canvas, floor, |canvas| joints::under(canvas, layer)),
        Layer::Laid(layer) => on_floor_only(canvas, floor, |canvas| laid::under(canvas, layer)),
        Layer::Pads(_) => {}
    }
    Contours::new()
}

/// Draws what lies over the outline.
pub(super) fn over(canvas: &mut Canvas, floor: &FloorDrawing, layer: &Layer, contours: &Contours) {
    match layer {
        Layer::Base(layer) => base::over(canvas, layer, contours),
        Layer::Thickness(layer) => thickness::over(canvas, layer, contours),
        Layer::Fall(layer) => fall::over(canvas, floor, layer),
        Layer::Loads(layer) => loads::over(canvas, layer),
        Layer::Pads(layer) => pads::over(canvas, layer),
        Layer::Reach(layer) => reach::over(canvas, floor, layer),
        Layer::Joints(layer) => joints::over(canvas, layer),
        Layer::State(layer) => state::over(canvas, floor, layer),
        Layer::Laid(layer) => laid::over(canvas, layer),
    }
}

/// More doors, openings and footings than this are not told in the legend.
const MOST_TOLD: usize = 6;

/// The legend: first the layer's own marks, then the outline's.
pub(super) fn keys(floor: &FloorDrawing, layer: &Layer) -> Vec<(Key, String)> {
    let mut keys = match layer {
        Layer::Base(layer) => base::keys(layer),
        Layer::Thickness(layer) => thickness::keys(layer),
        Layer::Fall(layer) => fall::keys(layer),
        Layer::Loads(layer) => loads::keys(layer),
        Layer::Pads(layer) => pads::keys(layer),
        Layer::Reach(layer) => reach::keys(layer),
        Layer::Joints(layer) => joints::keys(layer),
        Layer::State(layer) => state::keys(layer),
        Layer::Laid(layer) => laid::keys(layer),
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
    let told = |name: &str, more: &[String]| {
        let named = if name.is_empty() { more.join(", ") } else { format!("{name}: {}", more.join(", ")) };
        named.trim_end_matches(": ").to_owned()
    };
    // Beside a table there is no room for what the other sheets tell.
    let is_short = table(layer).is_some_and(|table| table.rows.len() > 4);
    for door in floor.doors.iter().take(if is_short { 1 } else { MOST_TOLD }) {
        let what = if is_short { "door".to_owned() } else { told(&door.label, &door.more) };
        keys.push((Key::Door, what));
    }
    for ring in floor.below.iter().take(MOST_TOLD) {
        keys.push((Key::Below, told(&ring.label, &ring.more)));
    }
    for ring in floor.holes.iter().take(if is_short { 0 } else { MOST_TOLD }) {
        keys.push((Key::Hole, told(&ring.label, &ring.more)));
    }
    keys
}

/// What a user of this sheet must know.
pub(super) fn notes(layer: &Layer) -> Vec<String> {
    let own: &[String] = match layer {
        Layer::Reach(layer) => &layer.notes,
        Layer::Joints(layer) => &layer.notes,
        Layer::Laid(layer) => &layer.notes,
        _ => &[],
    };
    let told = match layer {
        Layer::Pads(_) => {
            "Readings hold for the set-up above until the laser is moved or bumped. Check the benchmark before the first pad."
        }
        Layer::Reach(_) => {
            "Keep people clear of the truck's path and of the chute's swing; keep off power lines."
        }
        Layer::Base(_) => {
            "Elevations of the base between shots are expected values: shoot before relying on one."
        }
        Layer::Thickness(_) => {
            "Thickness above the base; thickened edges and footings go deeper. Shoot before relying on a place between shots."
        }
        Layer::State(_) => {
            "From the middle of the bands: on half of all days a bay is not yet so far. A boot and an eye on the slab decide."
        }
        Layer::Joints(_) => {
            "Make a trial cut: start when the edge hardly ravels. Water or vacuum on the saw: its dust holds silica."
        }
        Layer::Laid(LaidLayer { of: LaidOf::Birdbaths, .. }) => {
            "What is told as like noise may not be there. No way of finishing leaves a floor without any birdbath."
        }
        Layer::Laid(LaidLayer { of: LaidOf::Lines, .. }) => {
            "By the procedure of ASTM E1155; which number counts is for the contract to say."
        }
        Layer::Laid(_) => "Laps, cover and steel follow the drawing where there is one.",
        Layer::Fall(_) | Layer::Loads(_) => "Measures written here go before measures taken off the sheet.",
    };
    own.iter().cloned().chain([told.to_owned()]).collect()
}

/// The legend of a surface in bands.
fn bands(field: &Field) -> Vec<(Key, String)> {
    const FILLS: [&str; MOST_BANDS] = ["h0", "h1", "h2", "h3", "h4", "h5"];
    let named = FILLS.iter().zip(&field.names).filter(|(_, name)| !name.is_empty());
    named.map(|(class, name)| (Key::Fill(class), name.clone())).collect()
}

/// Draws under the labels what is cut off at the floor's outline.
fn on_floor_only(canvas: &mut Canvas, floor: &FloorDrawing, draw: impl FnOnce(&mut Canvas)) {
    let outline = canvas.run(&floor.boundary);
    if outline.len() < 3 {
        return draw(canvas);
    }
    let d: Vec<String> = outline.iter().map(|p| format!("{} {}", mm(p.x), mm(p.y))).collect();
    let clip = format!("<clipPath id=\"floor\"><path d=\"M{}Z\"/></clipPath>\n", d.join("L"));
    canvas.under.raw(&clip);
    canvas.under.raw("<g clip-path=\"url(#floor)\">\n");
    draw(canvas);
    canvas.under.raw("</g>\n");
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
