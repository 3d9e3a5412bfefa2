//! What each bay is like at an instant.

use ground::{P2, Polygon};

use super::super::canvas::Canvas;
use super::super::outline::inside;
use super::super::page::Box2;
use super::super::svg::{Anchor, TextAt};
use super::super::{FloorDrawing, Table, text};
use super::Key;

/// What each bay is like at an instant.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StateLayer {
    /// The instant in local time: `11:30 am`.
    pub at: String,
    /// The bays in order of placing.
    pub bays: Vec<BayStateMark>,
    /// The bays in words.
    pub table: Table,
}

/// A bay with its state.
#[derive(Debug, Clone, PartialEq)]
pub struct BayStateMark {
    /// Its corners, m.
    pub ring: Vec<P2>,
    /// How it is hatched.
    pub hatch: BayHatch,
    /// What it is called: `bay 2`.
    pub name: String,
    /// Its state: `ready for float`.
    pub state: String,
    /// What comes next, and what to see to.
    pub more: Vec<String>,
}

/// How a bay is hatched, from no concrete to hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BayHatch {
    /// White: no concrete yet.
    Empty,
    /// Dots: being placed.
    Placing,
    /// Thin slanted lines: just struck off.
    Fresh,
    /// Waves: water stands.
    Water,
    /// Upright lines: wait.
    Waiting,
    /// Heavy slanted lines: a round is due.
    Due,
    /// A close grid: past all rounds.
    Stiff,
    /// Close slanted lines: saw.
    Saw,
    /// A slanted grid: people may walk on it.
    Walk,
}

impl BayHatch {
    const fn class(self) -> &'static str {
        match self {
            Self::Empty => "h0",
            Self::Placing => "h1",
            Self::Fresh => "h2",
            Self::Water => "hw",
            Self::Waiting => "ht",
            Self::Due => "hx",
            Self::Stiff => "h5",
            Self::Saw => "h3",
            Self::Walk => "h4",
        }
    }

    const fn told(self) -> &'static str {
        match self {
            Self::Empty => "not placed",
            Self::Placing => "being placed",
            Self::Fresh => "fresh",
            Self::Water => "bleed water stands: wait",
            Self::Waiting => "dull, too soft: wait",
            Self::Due => "a round is due",
            Self::Stiff => "too stiff to work",
            Self::Saw => "saw",
            Self::Walk => "carries people or more",
        }
    }
}

/// Waves, which no other drawing has.
pub(in super::super) const WAVES: &str = r##"<style>.hw{fill:url(#pw);stroke:none}</style>
<pattern id="pw" width="4" height="2.4" patternUnits="userSpaceOnUse"><rect class="h0" width="4" height="2.4"/><path d="M0 1.2Q1 .2 2 1.2T4 1.2" style="stroke:#444;stroke-width:.22"/></pattern>
"##;

pub(super) fn under(canvas: &mut Canvas, layer: &StateLayer) {
    canvas.under.raw(WAVES);
    for bay in &layer.bays {
        let ring = canvas.run(&bay.ring);
        canvas.under.rings(bay.hatch.class(), std::slice::from_ref(&ring));
        canvas.under.rings("bay", &[ring]);
    }
}

pub(super) fn over(canvas: &mut Canvas, floor: &FloorDrawing, layer: &StateLayer) {
    for bay in &layer.bays {
        let ring = canvas.run(&bay.ring);
        if ring.len() > 2 && canvas.has_room_at(inside(&ring)) {
            told(canvas, floor, bay, &ring);
        }
    }
}

/// Writes a bay's state within the bay, so that nobody takes it for the neighbour's: all of it, or name and state, or its name.
fn told(canvas: &mut Canvas, floor: &FloorDrawing, bay: &BayStateMark, ring: &[P2]) {
    let room = [ring.to_vec(), canvas.run(&floor.boundary)].map(Polygon::new);
    let name = vec![(bay.name.clone(), "b")];
    let state: Vec<Line> = vec![(bay.state.clone(), "b"), (bay.name.clone(), "s")];
    let all = state.iter().cloned().chain(bay.more.iter().map(|line| (line.clone(), "s"))).collect();
    for (i, lines) in [all, state, name].into_iter().enumerate() {
        for wide in [60.0, 40.0, 32.0, 29.0, 26.0, 23.0, 20.0, 17.0, 14.5] {
            if !has_whole_words(canvas, &lines, wide) {
                continue;
            }
            let block = Block::new(canvas, &lines, wide);
            if let Some(at) = block.place(canvas, &room, inside(ring)) {
                block.write(canvas, at);
                if i > 0 {
                    canvas.homeless.push(bay.name.clone());
                }
                return;
            }
        }
    }
    canvas.homeless.push(bay.name.clone());
}

/// Whether no word has to be broken to fit a width.
fn has_whole_words(canvas: &Canvas, lines: &[Line], wide: f64) -> bool {
    lines.iter().all(|(line, class)| {
        let size = if *class == "b" { canvas.main() } else { canvas.second() };
        line.split_whitespace().all(|word| text::width(word, size) <= wide)
    })
}

/// A line with the class of its type.
type Line = (String, &'static str);

/// Lines one below the other.
struct Block {
    lines: Vec<(String, &'static str, f64)>,
    size: P2,
}

impl Block {
    /// Lines wrapped to a width.
    fn new(canvas: &Canvas, lines: &[Line], wide: f64) -> Self {
        let (main, second) = (canvas.main(), canvas.second());
        let size = |class: &str| if class == "b" { main } else { second };
        let wrapped = lines.iter().flat_map(|(line, class)| {
            text::wrap(&text::cut(line, 60), size(class), wide)
                .into_iter()
                .map(move |line| (line, *class, size(class)))
        });
        let lines: Vec<(String, &'static str, f64)> = wrapped.collect();
        let widest = lines.iter().map(|(line, _, size)| text::width(line, *size)).fold(0.0, f64::max);
        let tall: f64 = lines.iter().map(|(_, _, size)| size * 1.14).sum();
        Self { lines, size: P2::new(widest + 1.2, tall + 0.8) }
    }

    /// The free place within all rings that is nearest to a point.
    fn place(&self, canvas: &Canvas, rings: &[Polygon], near: P2) -> Option<Box2> {
        const STEPS: i32 = 24;
        let (low, high) = rings.first()?.bounds();
        let step = (high - low) * (1.0 / f64::from(STEPS));
        let grid = (0..=STEPS).flat_map(|i| {
            (0..=STEPS).map(move |j| low + P2::new(step.x * f64::from(i), step.y * f64::from(j)))
        });
        let mut spots: Vec<P2> = std::iter::once(near).chain(grid).collect();
        spots.sort_by(|a, b| a.distance(near).total_cmp(&b.distance(near)));
        let around = |at: P2| Box2::new(at - self.size * 0.5, at + self.size * 0.5);
        spots.into_iter().map(around).find(|place| {
            let is_within = |ring: &Polygon| holds(ring, *place);
            rings.iter().all(is_within) && canvas.page.area.holds(*place) && canvas.taken.is_free(*place)
        })
    }

    fn write(&self, canvas: &mut Canvas, place: Box2) {
        canvas.taken.block(place.grown(0.3));
        canvas.white(place);
        let mut y = place.low.y + 0.3;
        for (line, class, size) in &self.lines {
            y += size * 1.14;
            let at = P2::new(place.centre().x, y - size * 0.24);
            canvas.labels.text(TextAt { at, size: *size, class, anchor: Anchor::Middle, turn: 0.0 }, line);
        }
    }
}

/// Whether a ring holds a box: its corners and the middles of its sides, and no corner of the ring within it.
fn holds(ring: &Polygon, place: Box2) -> bool {
    let (low, high, middle) = (place.low, place.high, place.centre());
    let xs = [low.x, middle.x, high.x];
    let ys = [low.y, middle.y, high.y];
    let is_inside = xs.iter().all(|x| ys.iter().all(|y| ring.contains(P2::new(*x, *y))));
    is_inside && !ring.corners().iter().any(|corner| place.holds(Box2::new(*corner, *corner)))
}

pub(super) fn keys(layer: &StateLayer) -> Vec<(Key, String)> {
    let mut hatches: Vec<BayHatch> = layer.bays.iter().map(|bay| bay.hatch).collect();
    hatches.sort();
    hatches.dedup();
    let key = |hatch: BayHatch| (Key::Fill(hatch.class()), hatch.told().to_owned());
    let bay = (Key::Line("bay"), "bay".to_owned());
    hatches.into_iter().map(key).chain([bay]).collect()
}
