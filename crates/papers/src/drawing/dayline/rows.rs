//! Bars in rows, each with its words beside it, none on another.

use super::super::text;
use super::{Axis, Bar, BarKind, Work};

/// Size of the words at a bar, mm.
pub(super) const WORDS: f64 = 3.1;
/// Size of the letters in a box of planned work, mm.
pub(super) const LETTERS: f64 = 2.9;
/// Gap between what stands in one row, mm.
const APART: f64 = 2.0;
/// Gap between a bar and its words, mm.
const BESIDE: f64 = 1.2;
/// Longest words at a bar, in letters.
const LONGEST: usize = 60;

/// A bar with the place of its words.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub bar: Bar,
    pub words: String,
    pub left: f64,
}

impl Placed {
    fn start(&self, axis: Axis) -> f64 {
        self.left.min(left_most(&self.bar, axis))
    }

    fn end(&self, axis: Axis) -> f64 {
        (self.left + text::width(&self.words, WORDS)).max(right_most(&self.bar, axis))
    }
}

/// Bars in rows, each in the first row in which it and its words find room.
pub(super) fn rows(bars: &[Bar], axis: Axis) -> Vec<Vec<Placed>> {
    let mut rows: Vec<Vec<Placed>> = Vec::new();
    for bar in bars.iter().filter(|bar| is_drawn(bar, axis)).flat_map(in_turn) {
        let told = text::cut(&told(&bar, axis), LONGEST);
        let found = (0..=rows.len()).find_map(|row| {
            let taken: &[Placed] = rows.get(row).map_or(&[], Vec::as_slice);
            fitted(&bar, &told, taken, axis).map(|placed| (row, placed))
        });
        let Some((row, placed)) = found else {
            // A bar over nearly all of the axis has its words in a row of their own.
            let none =
                Bar { low: axis.from, from: axis.from, until: axis.from, high: axis.from, ..Bar::default() };
            rows.push(vec![Placed { bar: none, words: told, left: axis.left }]);
            let left = left_most(&bar, axis);
            rows.push(vec![Placed { bar, words: String::new(), left }]);
            continue;
        };
        if row == rows.len() {
            rows.push(Vec::new());
        }
        rows[row].push(placed);
    }
    rows
}

/// The bar with the work that is done in turn, and a bar for each further work at the same time.
fn in_turn(bar: &Bar) -> Vec<Bar> {
    let mut tracks: Vec<Vec<Work>> = vec![Vec::new()];
    let real = |work: &&Work| work.from.is_finite() && work.until.is_finite() && work.until > work.from;
    for work in bar.work.iter().filter(real) {
        let is_free = |track: &Vec<Work>| track.last().is_none_or(|last| last.until <= work.from + 1e-9);
        match tracks.iter_mut().find(|track| is_free(track)) {
            Some(track) => track.push(work.clone()),
            None => tracks.push(vec![work.clone()]),
        }
    }
    let mut tracks = tracks.into_iter();
    let first = Bar { work: tracks.next().unwrap_or_default(), ..bar.clone() };
    let more = tracks.filter_map(|work| {
        let (from, until) = (work.first()?.from, work.last()?.until);
        let parts: Vec<&str> = work.iter().map(|work| work.part.as_str()).collect();
        let label = format!("{} {}", bar.name, parts.join(", "));
        Some(Bar {
            kind: BarKind::Work,
            name: bar.name.clone(),
            label,
            low: from,
            from,
            until,
            high: until,
            work,
        })
    });
    std::iter::once(first).chain(more).collect()
}

/// The bar with its words to its left or right, if both find room beside what stands there.
fn fitted(bar: &Bar, told: &str, taken: &[Placed], axis: Axis) -> Option<Placed> {
    let wide = text::width(told, WORDS);
    let (low, high) = (left_most(bar, axis), right_most(bar, axis));
    let is_free = |left: &f64| {
        let (from, until) = (left.min(low), (left + wide).max(high));
        from >= axis.left + 1.5 - if low < axis.left + 1.5 && *left > low { 2.0 } else { 0.0 }
            && until <= axis.right + 3.0
            && taken.iter().all(|other| until + APART < other.start(axis) || other.end(axis) + APART < from)
    };
    let left = [low - BESIDE - wide, high + BESIDE].into_iter().find(is_free)?;
    Some(Placed { bar: bar.clone(), words: told.to_owned(), left })
}

/// Who and with what, or who alone, as far as the box holds it.
pub(super) fn in_box(work: &Work, axis: Axis) -> Option<String> {
    let wide = axis.x(axis.clamped(work.until)) - axis.x(axis.clamped(work.from));
    let who = text::cut(&work.who, 12);
    [who_with(work), who].into_iter().find(|told| text::width(told, LETTERS) <= wide - 0.6)
}

fn who_with(work: &Work) -> String {
    text::cut(format!("{} {}", work.who, work.with).trim(), 24)
}

/// The words of a bar; who works in it with what as well, where a box does not hold that.
fn told(bar: &Bar, axis: Axis) -> String {
    let is_unsaid = |work: &Work| in_box(work, axis).is_none_or(|told| told != who_with(work));
    if !bar.work.iter().any(is_unsaid) {
        return bar.label.clone();
    }
    let mut all: Vec<String> = Vec::new();
    for told in bar.work.iter().map(who_with) {
        if !all.contains(&told) {
            all.push(told);
        }
    }
    format!("{}: {}", bar.label, all.join(", "))
}

fn is_drawn(bar: &&Bar, axis: Axis) -> bool {
    let times = [bar.low, bar.from, bar.until, bar.high];
    let meets = bar.low <= axis.until && bar.high >= axis.from;
    times.iter().all(|time| time.is_finite()) && meets && bar.low <= bar.high
}

fn left_most(bar: &Bar, axis: Axis) -> f64 {
    let first = bar.work.iter().map(|work| work.from).fold(bar.low, f64::min);
    axis.x(axis.clamped(first))
}

fn right_most(bar: &Bar, axis: Axis) -> f64 {
    let last = bar.work.iter().map(|work| work.until).fold(bar.high, f64::max);
    axis.x(axis.clamped(last))
}
