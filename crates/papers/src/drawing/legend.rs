//! The title block, the legend, the scale bar and what found no room.

use basis::UnitSystem;
use ground::P2;

use super::canvas::{Canvas, SMALL};
use super::layers::{self, Key};
use super::page::Box2;
use super::screen::Sample;
use super::svg::{Anchor, Ink, TextAt};
use super::{FloorDrawing, Layer, text};

/// Width of a legend's sample, mm.
const SAMPLE: f64 = 9.0;
/// Lines of the list of labels without room.
const MOST_LISTED: usize = 40;

/// Columns being filled from the top.
pub(super) struct Flow {
    columns: Vec<Box2>,
    column: usize,
    y: f64,
    lost: usize,
}

impl Flow {
    fn new(columns: Vec<Box2>) -> Self {
        let y = columns.first().map_or(0.0, |column| column.low.y + 3.0);
        Self { columns, column: 0, y, lost: 0 }
    }
    /// Room of this height at the foot of what is filled, or nothing when all is full.
    pub(super) fn room(&mut self, height: f64) -> Option<P2> {
        while let Some(column) = self.columns.get(self.column) {
            if self.y + height <= column.high.y - 2.0 {
                let at = P2::new(column.low.x + 3.0, self.y);
                self.y += height;
                return Some(at);
            }
            self.column += 1;
            self.y = self.columns.get(self.column).map_or(0.0, |next| next.low.y + 3.0);
        }
        self.lost += 1;
        None
    }
    /// Whether something of this height still finds room.
    pub(super) fn has_room(&self, height: f64) -> bool {
        let here = self.columns.get(self.column).is_some_and(|c| self.y + height <= c.high.y - 2.0);
        here || self.column + 1 < self.columns.len()
    }
    pub(super) fn width(&self) -> f64 {
        self.columns.first().map_or(0.0, |column| column.size().x - 6.0)
    }
}

/// Draws all text beside the floor.
pub(super) fn draw(canvas: &mut Canvas, floor: &FloorDrawing, layer: &Layer) {
    frames(canvas);
    let mut flow = Flow::new(canvas.page.columns.clone());
    title(canvas, &mut flow, floor, layer);
    scale_bar(canvas, &mut flow, floor.sheet.units);
    flow.y += 1.5;
    for (key, what) in layers::keys(floor, layer) {
        legend_row(canvas, &mut flow, &key, &what);
    }
    flow.y += 1.5;
    for note in layers::notes(layer).into_iter().chain(floor.sheet.notes.iter().cloned()) {
        lines(canvas, &mut flow, &text::cut(&note, 300), SMALL, "s");
    }
    if let Some(table) = layers::table(layer) {
        flow.y += 1.5;
        super::table::draw(canvas, &mut flow, table);
        flow.y += 1.0;
    }
    list(canvas, &mut flow);
}

fn frames(canvas: &mut Canvas) {
    let page = canvas.page.clone();
    let (low, high) = page.columns.iter().fold((page.area.low, page.area.high), |(low, high), column| {
        (low, P2::new(high.x.max(column.high.x), high.y.max(column.high.y)))
    });
    canvas.labels.rect("frame", low, high - low);
    if let Some(first) = page.columns.first() {
        let end =
            if page.columns.len() == 1 { P2::new(first.low.x, high.y) } else { P2::new(high.x, first.low.y) };
        canvas.labels.line("frame", first.low, end);
    }
}

/// Wraps a text into the flow.
fn lines(canvas: &mut Canvas, flow: &mut Flow, text: &str, size: f64, class: &str) {
    for line in text::wrap(text, size, flow.width()) {
        if let Some(at) = flow.room(size * 1.3) {
            let at = at + P2::new(0.0, size);
            canvas.labels.text(TextAt { at, size, class, anchor: Anchor::Start, turn: 0.0 }, &line);
        }
    }
}

fn title(canvas: &mut Canvas, flow: &mut Flow, floor: &FloorDrawing, layer: &Layer) {
    let sheet = &floor.sheet;
    lines(canvas, flow, &layers::title(layer), 5.6, "b");
    lines(canvas, flow, &text::clean(&sheet.job), 4.2, "b");
    if !sheet.number.is_empty() {
        lines(canvas, flow, &text::clean(&sheet.number), SMALL, "");
    }
    for (what, value) in [("Laser set-up", &sheet.setup), ("Pour", &sheet.date)] {
        let value = text::clean(value);
        if !value.is_empty() {
            lines(canvas, flow, &format!("{what}: {value}"), SMALL, "");
        }
    }
    let units = match sheet.units {
        UnitSystem::Us => ("letter", "feet and inches"),
        UnitSystem::Metric => ("A4", "metres and millimetres"),
    };
    let scale = canvas.page.scale.name.clone();
    lines(canvas, flow, &format!("Scale {scale}"), SMALL, "b");
    lines(canvas, flow, &format!("on {} paper printed at 100 %; {}.", units.0, units.1), SMALL, "");
}

/// A bar of a neat length, halved, with its ends told.
fn scale_bar(canvas: &mut Canvas, flow: &mut Flow, units: UnitSystem) {
    let (unit, name, steps): (f64, &str, &[f64]) = match units {
        UnitSystem::Us => (0.3048, "ft", &[1.0, 2.0, 4.0, 10.0, 20.0, 40.0, 100.0, 200.0, 400.0, 1000.0]),
        UnitSystem::Metric => {
            (1.0, "m", &[0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0])
        }
    };
    let most = flow.width() - 10.0;
    let fits = |step: &&f64| canvas.page.length(**step * unit) <= most;
    let Some(step) = steps.iter().rev().find(fits) else { return };
    let length = canvas.page.length(step * unit);
    let Some(at) = flow.room(8.0) else { return };
    let at = at + P2::new(1.0, 2.0);
    canvas.labels.rect("key", at, P2::new(length, 1.6));
    canvas.labels.rect("head", at, P2::new(length * 0.5, 1.6));
    for (share, told) in
        [(0.0, "0".to_owned()), (0.5, format!("{}", step * 0.5)), (1.0, format!("{step} {name}"))]
    {
        let at = at + P2::new(length * share, 4.6);
        canvas.labels.text(TextAt { at, size: 2.6, class: "", anchor: Anchor::Middle, turn: 0.0 }, &told);
    }
}

fn legend_row(canvas: &mut Canvas, flow: &mut Flow, key: &Key, what: &str) {
    let wrapped = text::wrap(&text::cut(what, 200), SMALL, flow.width() - SAMPLE - 2.0);
    let height = (wrapped.len() as f64 * SMALL * 1.25).max(4.4);
    let Some(at) = flow.room(height + 0.5) else { return };
    sample(&mut canvas.labels, at, key);
    for (i, line) in wrapped.iter().enumerate() {
        let at = at + P2::new(SAMPLE + 2.0, SMALL * (1.1 + 1.25 * i as f64));
        canvas.labels.text(TextAt { at, size: SMALL, class: "", anchor: Anchor::Start, turn: 0.0 }, line);
    }
}

/// Draws a sample of a key in a box of 9 by 4.6 mm.
fn sample(ink: &mut Ink, at: P2, key: &Key) {
    let middle = at + P2::new(SAMPLE * 0.5, 2.2);
    let across = P2::new(SAMPLE * 0.5, 0.0);
    match key {
        Key::Fill(class) => {
            ink.rect(class, at + P2::new(0.0, 0.4), P2::new(SAMPLE, 3.8));
            ink.rect("key", at + P2::new(0.0, 0.4), P2::new(SAMPLE, 3.8));
        }
        Key::Below => {
            ink.rect("hb", at + P2::new(0.0, 0.4), P2::new(SAMPLE, 3.8));
            ink.rect("below", at + P2::new(0.0, 0.4), P2::new(SAMPLE, 3.8));
        }
        Key::Hole => ink.rect("hole", middle - P2::new(1.6, 1.6), P2::new(3.2, 3.2)),
        Key::Line(class) => ink.line(class, middle - across, middle + across),
        Key::Door => {
            for y in [-0.5, 0.5] {
                ink.line("sill", middle - across + P2::new(0.0, y), middle + across + P2::new(0.0, y));
            }
            for end in [middle - across, middle + across] {
                ink.line("jamb", end - P2::new(0.0, 1.6), end + P2::new(0.0, 1.6));
            }
        }
        Key::Mark(draw) => draw(ink, middle),
    }
}

/// The legend as samples with their words.
pub(super) fn samples(keys: &[(Key, String)]) -> Vec<Sample> {
    let one = |(key, what): &(Key, String)| {
        let mut ink = Ink::default();
        sample(&mut ink, P2::new(0.6, 0.4), key);
        Sample::new(&ink, P2::new(SAMPLE + 1.2, 5.4), text::clean(what))
    };
    keys.iter().map(one).collect()
}

/// Labels without room, marks not drawn, and what the list itself has no room for.
fn list(canvas: &mut Canvas, flow: &mut Flow) {
    if canvas.left_out > 0 {
        let told =
            format!("{} points are not drawn: off the sheet, too many, or no numbers.", canvas.left_out);
        lines(canvas, flow, &told, SMALL, "b");
    }
    let homeless = std::mem::take(&mut canvas.homeless);
    if homeless.is_empty() {
        return;
    }
    let one = SMALL * 1.3;
    if !flow.has_room(2.0 * one) {
        // Two lines find room above the foot only as one.
        let told = format!("No room on the floor for {}", homeless.join(", "));
        lines(canvas, flow, &text::cut(&told, 60), SMALL, "b");
        return;
    }
    lines(canvas, flow, "No room on the floor for:", SMALL, "b");
    for (i, told) in homeless.iter().enumerate() {
        let is_last = i + 1 == homeless.len();
        let height = text::wrap(told, SMALL, flow.width()).len() as f64 * one;
        if i == MOST_LISTED || !flow.has_room(height + if is_last { 0.0 } else { one }) {
            lines(canvas, flow, &format!("and {} more", homeless.len() - i), SMALL, "s");
            return;
        }
        lines(canvas, flow, told, SMALL, "s");
    }
}
