//! The axis of local time with daylight and weather.

use ground::P2;

use super::super::svg::Ink;
use super::super::text;
use super::{Axis, DayLine, MARGIN, WeatherMark, write, write_about};

/// Height of the axis with daylight and weather, mm.
pub(super) const HEIGHT: f64 = 31.0;
/// Size of the figures of the hours, mm.
const FIGURE: f64 = 4.0;
/// Size of the figures of the weather, mm.
const SMALL: f64 = 3.0;

/// Draws the axis at the top of what lies between two heights, night and hours through the rest.
pub(super) fn draw(
    under: &mut Ink,
    [over, names]: [&mut Ink; 2],
    day: &DayLine,
    axis: Axis,
    [top, bottom]: [f64; 2],
) {
    night(under, day, axis, [top + 6.5, bottom]);
    hours(under, over, day, axis, [top, bottom]);
    let sun = top + 11.0;
    write(names, P2::new(MARGIN, sun), SMALL, "b", "sun");
    sunlight(over, day, axis, sun);
    weather([over, names], day, axis, top + 12.5);
    let foot = top + HEIGHT - 1.5;
    over.line("frame", P2::new(MARGIN, foot), P2::new(axis.right, foot));
}

fn night(ink: &mut Ink, day: &DayLine, axis: Axis, [top, bottom]: [f64; 2]) {
    for (from, until) in &day.nights {
        if !from.is_finite() || !until.is_finite() {
            continue;
        }
        let (left, right) = (axis.x(axis.clamped(*from)), axis.x(axis.clamped(*until)));
        if right > left {
            ink.rect("hn", P2::new(left, top), P2::new(right - left, bottom - top));
        }
    }
}

fn hours(under: &mut Ink, over: &mut Ink, day: &DayLine, axis: Axis, [top, bottom]: [f64; 2]) {
    let base = top + 6.5;
    over.line("frame", P2::new(axis.left, base), P2::new(axis.right, base));
    let mut free = f64::NEG_INFINITY;
    for mark in day.hours.iter().filter(|mark| axis.holds(mark.at)) {
        let x = axis.x(mark.at);
        under.line("hour", P2::new(x, base), P2::new(x, bottom));
        over.line("tick", P2::new(x, base - 1.4), P2::new(x, base));
        let label = text::cut(&mark.label, 12);
        let half = text::width(&label, FIGURE) * 0.5;
        // The first and last figure stand inside the sheet; where hours crowd, some stay without figure.
        if x - half > free && x + half < axis.right + 7.0 {
            write_about(over, P2::new(x, base - 2.2), FIGURE, "b", &label);
            free = x + half + 1.5;
        }
    }
}

/// Sunrise and sunset in words where they happen, or at the end beyond which they do.
fn sunlight(ink: &mut Ink, day: &DayLine, axis: Axis, y: f64) {
    let mut free = axis.left;
    for (at, told) in &day.sun {
        if !at.is_finite() {
            continue;
        }
        let told = text::cut(told, 30);
        let wide = text::width(&told, SMALL);
        let x = axis.x(axis.clamped(*at));
        if axis.holds(*at) {
            ink.line("tick", P2::new(x, y - 3.6), P2::new(x, y + 0.8));
        }
        let left = (x + 1.0).min(axis.right - wide).max(free);
        if left + wide <= axis.right + 0.1 {
            ink.rect("box", P2::new(left - 0.5, y - 2.9), P2::new(wide + 0.6, 3.8));
            write(ink, P2::new(left, y), SMALL, "", &told);
            free = left + wide + 2.0;
        }
    }
}

fn weather([ink, names]: [&mut Ink; 2], day: &DayLine, axis: Axis, top: f64) {
    let shown: Vec<&WeatherMark> =
        day.weather.iter().filter(|mark| axis.holds(mark.at) && mark.air.is_finite()).collect();
    let rows = [("air", top + 6.0), ("wind, sky", top + 15.0)];
    for (name, y) in rows {
        write(names, P2::new(MARGIN, y), SMALL, "b", name);
    }
    let (low, high) = shown.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), mark| {
        (low.min(mark.air), high.max(mark.air))
    });
    let span = (high - low).max(1e-9);
    let at = |mark: &WeatherMark| P2::new(axis.x(mark.at), top + 10.5 - 5.5 * (mark.air - low) / span);
    let line: Vec<P2> = shown.iter().map(|mark| at(mark)).collect();
    ink.run("course", &line);
    let mut free = [f64::NEG_INFINITY; 2];
    for mark in shown {
        let point = at(mark);
        let texts = [(&mark.air_label, point.y - 1.3), (&mark.sky, rows[1].1)];
        for ((told, y), free) in texts.into_iter().zip(&mut free) {
            let told = text::cut(told, 32);
            let wide = text::width(&told, SMALL);
            let left = (point.x - wide * 0.5).max(axis.left);
            if !told.is_empty() && left > *free && left + wide <= axis.right + 4.5 {
                ink.rect("box", P2::new(left - 0.3, y - 2.5), P2::new(wide + 0.6, 3.2));
                write(ink, P2::new(left, y), SMALL, "", &told);
                *free = left + wide + 3.0;
                if y < rows[1].1 - 1.0 {
                    ink.circle("head", point, 0.55);
                }
            }
        }
    }
}
