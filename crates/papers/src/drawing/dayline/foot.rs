//! What the marks of the day line mean, and what its user must know.

use ground::P2;

use super::super::page::Box2;
use super::super::screen::Sample;
use super::super::svg::Ink;
use super::super::text;
use super::{DayLine, write, write_about};

/// Size of the type, mm.
const SIZE: f64 = 3.0;
/// Height of a line, mm.
const LINE: f64 = 4.2;
/// Width of a sample, mm.
const SAMPLE: f64 = 17.0;

/// A sample and what it means.
struct Key {
    draw: fn(&mut Ink, P2),
    what: String,
}

fn keys(day: &DayLine) -> Vec<Key> {
    let bars = || day.floors.iter().flat_map(|floor| floor.bays.iter().flat_map(|bay| &bay.bars));
    let mut keys = vec![
        Key {
            draw: window,
            what: "can be worked: bar on the likely day, ends of its line 1 day in 10 sooner or later".into(),
        },
        Key { draw: placing, what: "truck on site; bay being placed".into() },
    ];
    if bars().any(|bar| !bar.work.is_empty()) {
        keys.push(Key { draw: work, what: "planned: who (A, B ...) and with what".into() });
    }
    if bars().any(|bar| bar.kind == super::BarKind::Failing) {
        keys.push(Key { draw: failing, what: "no plan: this round fails first".into() });
    }
    if bars().any(|bar| bar.kind == super::BarKind::Milestone) {
        keys.push(Key { draw: milestone, what: "from here, likely".into() });
    }
    if day.nights.iter().any(|(from, until)| *from < day.until && *until > day.from) {
        keys.push(Key { draw: night, what: "night".into() });
    }
    keys
}

/// The legend as samples with their words.
pub(super) fn samples(day: &DayLine) -> Vec<Sample> {
    let one = |key: Key| {
        let mut ink = Ink::default();
        (key.draw)(&mut ink, P2::new(0.6, 2.7));
        Sample::new(&ink, P2::new(SAMPLE + 1.2, 5.4), key.what)
    };
    keys(day).into_iter().map(one).collect()
}

fn notes(day: &DayLine) -> Vec<String> {
    let tools: Vec<String> = day.keys.iter().map(|(short, long)| format!("{short} = {long}")).collect();
    let tools = (!tools.is_empty()).then(|| format!("{}.", tools.join("; ")));
    tools.into_iter().chain(day.sheet.notes.iter().map(|note| text::cut(note, 300))).collect()
}

/// Height of all of it on so wide a sheet, mm.
pub(super) fn height(day: &DayLine, wide: f64) -> f64 {
    let lines: usize = notes(day).iter().map(|note| text::wrap(note, SIZE, wide).len()).sum();
    let last = places(day, wide).last().map_or(0.0, |place| place.y);
    3.0 + last + LINE + lines as f64 * LINE
}

/// Where each key stands: beside one another as far as there is room.
fn places(day: &DayLine, wide: f64) -> Vec<P2> {
    let mut at = P2::new(0.0, 0.0);
    keys(day)
        .iter()
        .map(|key| {
            let takes = SAMPLE + 1.5 + text::width(&key.what, SIZE);
            if at.x > 0.0 && at.x + takes > wide {
                at = P2::new(0.0, at.y + LINE);
            }
            let place = at;
            at.x += takes + 5.0;
            place
        })
        .collect()
}

/// Draws keys and notes in a box at the foot of the sheet.
pub(super) fn draw(ink: &mut Ink, day: &DayLine, room: Box2) {
    let wide = room.size().x;
    ink.line("frame", room.low + P2::new(0.0, 1.0), P2::new(room.high.x, room.low.y + 1.0));
    let places = places(day, wide);
    for (key, place) in keys(day).iter().zip(&places) {
        let at = room.low + *place + P2::new(0.0, 4.2);
        (key.draw)(ink, at);
        write(ink, at + P2::new(SAMPLE + 1.5, 1.0), SIZE, "", &key.what);
    }
    let mut y = room.low.y + 3.0 + places.last().map_or(0.0, |place| place.y) + LINE;
    for line in notes(day).iter().flat_map(|note| text::wrap(note, SIZE, wide)) {
        y += LINE;
        write(ink, P2::new(room.low.x, y - 1.0), SIZE, "s", &line);
    }
}

fn whisker(ink: &mut Ink, at: P2) {
    ink.line("whisker", at, at + P2::new(SAMPLE, 0.0));
    for end in [0.0, SAMPLE] {
        ink.line("whisker", at + P2::new(end, -1.1), at + P2::new(end, 1.1));
    }
}

fn window(ink: &mut Ink, at: P2) {
    whisker(ink, at);
    ink.rect("open", at + P2::new(5.0, -1.8), P2::new(7.0, 3.6));
}

fn failing(ink: &mut Ink, at: P2) {
    whisker(ink, at);
    ink.rect("failing", at + P2::new(5.0, -1.8), P2::new(7.0, 3.6));
}

fn placing(ink: &mut Ink, at: P2) {
    ink.rect("truck", at + P2::new(0.5, -1.5), P2::new(7.0, 3.0));
    ink.rect("placing", at + P2::new(9.5, -1.5), P2::new(7.0, 3.0));
}

fn work(ink: &mut Ink, at: P2) {
    ink.rect("open", at + P2::new(0.5, -1.9), P2::new(16.0, 3.8));
    ink.rect("work", at + P2::new(2.0, -1.5), P2::new(13.0, 3.0));
    write_about(ink, at + P2::new(8.5, 1.0), 2.8, "b", "A M1");
}

fn milestone(ink: &mut Ink, at: P2) {
    whisker(ink, at);
    super::lanes::diamond(ink, at + P2::new(SAMPLE * 0.5, 0.0));
}

fn night(ink: &mut Ink, at: P2) {
    ink.rect("hn", at + P2::new(0.0, -2.0), P2::new(SAMPLE, 4.0));
    ink.rect("key", at + P2::new(0.0, -2.0), P2::new(SAMPLE, 4.0));
}
