//! Bars each way over the floor, as long as the floor less its cover, in pieces that can be bought.

use ground::P2;
use ground::polygon::bounds;

use super::rows::laps;

/// Lengths under this are rounding, m.
const TINY: f64 = 1e-6;

/// How bars lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BarLaying {
    /// Greatest distance of neighbours, m.
    pub spacing: f64,
    /// Least distance from the edge, m.
    pub cover: f64,
    /// Lap of two bars in one line, m.
    pub lap: f64,
    /// Longest bar that is sold, m.
    pub stock: f64,
    /// Bars are cut to whole steps of this, downward, m.
    pub step: f64,
    /// Shorter bars are left out, m.
    pub least: f64,
}

/// A bar in the frame of the lines: it runs along `x` at `y`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bar {
    /// Where its line is, m.
    pub y: f64,
    /// From, m.
    pub from: f64,
    /// To, m.
    pub to: f64,
    /// Index of the line, so that neighbours can be told together.
    pub line: usize,
}

/// Bars along `x` in rings of which the first is the boundary and the others are openings.
///
/// Lines are spread evenly between the covers of the low and the high side, no farther apart than the spacing. What of a line lies
/// nearer to an edge than the cover is cut off; a run longer than a bar is lapped, every other line from the far end.
pub(super) fn bars(rings: &[Vec<P2>], how: &BarLaying) -> Vec<Bar> {
    let Some(boundary) = rings.first().filter(|ring| ring.len() > 2) else { return Vec::new() };
    let (low, high) = bounds(boundary);
    let (first, last) = (low.y + how.cover, high.y - how.cover);
    if last - first < -TINY {
        return Vec::new();
    }
    let gaps = ((last - first).max(0.0) / how.spacing - TINY).ceil().max(0.0);
    let mut all = Vec::new();
    for line in 0..=gaps as usize {
        let y = if gaps > 0.0 { first + (last - first) * line as f64 / gaps } else { first };
        for [a, b] in runs(rings, y, how.cover) {
            let length = ((b - a) / how.step + TINY).floor() * how.step;
            if length < how.least {
                continue;
            }
            let start = a + 0.5 * (b - a - length);
            for [from, to] in laps(0.0, length, how.stock, how.lap) {
                let [from, to] = if line % 2 == 1 { [length - to, length - from] } else { [from, to] };
                all.push(Bar { y, from: start + from, to: start + to, line });
            }
        }
    }
    all
}

/// Runs of the line `y` that lie inside the rings and no nearer to any of them than the cover.
fn runs(rings: &[Vec<P2>], y: f64, cover: f64) -> Vec<[f64; 2]> {
    let mut crossings = Vec::new();
    let mut kept_off: Vec<[f64; 2]> = Vec::new();
    for ring in rings {
        for (i, &a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            if (a.y > y) != (b.y > y) {
                crossings.push(a.x + (y - a.y) * (b.x - a.x) / (b.y - a.y));
            }
            kept_off.extend(near(a, b, y, cover - TINY));
        }
    }
    crossings.sort_by(f64::total_cmp);
    kept_off.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut all = Vec::new();
    for pair in crossings.chunks_exact(2) {
        let mut from = pair[0];
        for off in kept_off.iter().filter(|off| off[1] > pair[0] && off[0] < pair[1]) {
            if off[0] > from + TINY {
                all.push([from, off[0]]);
            }
            from = from.max(off[1]);
        }
        if pair[1] > from + TINY {
            all.push([from, pair[1]]);
        }
    }
    all
}

/// The stretch of the line `y` nearer to a side than `off`.
fn near(a: P2, b: P2, y: f64, off: f64) -> Option<[f64; 2]> {
    if off <= 0.0 || (a.y - y).min(b.y - y) > off || (y - a.y).min(y - b.y) > off {
        return None;
    }
    let mut found: Option<[f64; 2]> = None;
    let mut add = |low: f64, high: f64| {
        if low <= high {
            let [l, h] = found.unwrap_or([low, high]);
            found = Some([l.min(low), h.max(high)]);
        }
    };
    for end in [a, b] {
        let half = off * off - (y - end.y) * (y - end.y);
        if half > 0.0 {
            add(end.x - half.sqrt(), end.x + half.sqrt());
        }
    }
    // Beside the side itself: between its ends and within `off` of it, both linear in x.
    let along = (b - a).unit();
    let across = along.left();
    let long = a.distance(b);
    let linear = |slope: f64, value: f64, low: f64, high: f64| -> [f64; 2] {
        if slope.abs() < 1e-12 {
            return if (low..=high).contains(&value) { [f64::MIN, f64::MAX] } else { [1.0, 0.0] };
        }
        let (p, q) = ((low - value) / slope, (high - value) / slope);
        [p.min(q), p.max(q)]
    };
    let origin = P2::new(0.0, y) - a;
    let ends = linear(along.x, origin.dot(along), 0.0, long);
    let beside = linear(across.x, origin.dot(across), -off, off);
    let (low, high) = (ends[0].max(beside[0]), ends[1].min(beside[1]));
    if low.is_finite() && high.is_finite() && low > f64::MIN && high < f64::MAX {
        add(low, high);
    }
    found
}

#[cfg(test)]
mod tests {
    use ground::Polygon;
    use proptest::prelude::*;

    use super::*;

    const FT: f64 = 0.3048;

    fn how() -> BarLaying {
        BarLaying {
            spacing: 1.5 * FT,
            cover: 0.25 * FT,
            lap: 20.0 / 12.0 * FT,
            stock: 20.0 * FT,
            step: FT / 12.0,
            least: FT,
        }
    }

    fn ring(corners: &[(f64, f64)]) -> Vec<P2> {
        corners.iter().map(|(x, y)| P2::new(x * FT, y * FT)).collect()
    }

    /// Closed form: 24 ft by 20 ft, cover 3 in., 18 in. apart: 19.5 / 1.5 = 13 gaps, 14 lines, each of 23 ft 6 in. in two bars:
    /// 20 ft, and 23.5 + 20/12 - 20 = 5 ft 2 in.
    #[test]
    fn bars_on_a_rectangle_by_the_closed_form() {
        let bars = bars(&[ring(&[(0.0, 0.0), (24.0, 0.0), (24.0, 20.0), (0.0, 20.0)])], &how());
        assert_eq!(bars.len(), 28);
        let long = |bar: &Bar| ((bar.to - bar.from) / FT * 12.0).round() as i64;
        let mut lengths: Vec<i64> = bars.iter().map(long).collect();
        lengths.sort_unstable();
        assert_eq!((lengths[0], lengths[13], lengths[14], lengths[27]), (62, 62, 240, 240));
        // The neighbour begins with the short bar: its long one ends at the far side.
        let ends = |bar: &Bar| [bar.from, bar.to].map(|at| (at / FT * 12.0).round() as i64);
        assert_eq!(
            (long(&bars[0]), ends(&bars[0]), long(&bars[2]), ends(&bars[2])),
            (240, [3, 243], 240, [45, 285])
        );
    }

    #[test]
    fn an_opening_parts_the_bars_that_meet_it() {
        let rings = [
            ring(&[(0.0, 0.0), (16.0, 0.0), (16.0, 10.0), (0.0, 10.0)]),
            ring(&[(7.0, 4.0), (9.0, 4.0), (9.0, 6.0), (7.0, 6.0)]),
        ];
        let bars = bars(&rings, &how());
        // Eight lines 9.5 / 7 ft apart; the fourth, 0.25 + 3 * 9.5 / 7 = 4.32 ft up, meets the opening.
        let at = |y: f64| bars.iter().filter(|bar| (bar.y / FT - y).abs() < 0.01).count();
        assert_eq!((at(0.25), at(0.25 + 3.0 * 9.5 / 7.0), at(9.75)), (1, 2, 1));
    }

    #[test]
    fn no_room_no_bars() {
        assert!(bars(&[ring(&[(0.0, 0.0), (16.0, 0.0), (16.0, 0.4), (0.0, 0.4)])], &how()).is_empty());
        assert!(bars(&[], &how()).is_empty());
    }

    proptest! {
        /// No bar comes nearer to the edge than its cover, none is longer than what is sold, neighbours of a line lap.
        #[test]
        fn bars_keep_their_cover(
            a in 0.0..3.0_f64, b in 0.0..3.0_f64, c in 0.0..3.0_f64, d in 0.0..3.0_f64, cover in 0.02..0.3_f64,
        ) {
            let corners = vec![P2::new(a, 0.0), P2::new(12.0, b), P2::new(12.0 - c, 8.0), P2::new(0.0, 8.0 - d)];
            let how = BarLaying { spacing: 0.5, cover, lap: 0.5, stock: 4.0, step: 0.01, least: 0.3 };
            let bars = bars(std::slice::from_ref(&corners), &how);
            prop_assert!(!bars.is_empty());
            let polygon = Polygon::new(corners);
            for bar in &bars {
                prop_assert!(bar.to - bar.from <= 4.0 + 1e-9);
                for t in [0.0, 0.3, 1.0] {
                    let p = P2::new(bar.from + t * (bar.to - bar.from), bar.y);
                    prop_assert!(polygon.contains(p) && polygon.distance_to_edge(p) >= cover - 1e-5);
                }
            }
            for pair in bars.windows(2).filter(|pair| pair[0].line == pair[1].line) {
                let lap = pair[0].to.min(pair[1].to) - pair[0].from.max(pair[1].from);
                prop_assert!(lap >= 0.5 - 1e-6);
            }
        }
    }
}
