//! The floor as seen along one direction: where lines may run, how long they are, what stands between them.

use ground::P2;

/// Lines nearer to each other than this are one, m.
const SAME: f64 = 1e-3;
/// How far beside a line is looked, so that an edge of the floor along it is no joint, m.
const BESIDE: f64 = 1e-5;
/// A floor is looked at in at most so many stripes.
const MOST_STRIPES: usize = 60;
/// At most so many places for lines in a direction.
const MOST_PLACES: usize = 140;

/// Where a straight line `x = at` is inside rings (even-odd), as runs of `y`.
pub(super) fn inside(rings: &[Vec<P2>], at: f64) -> Vec<[f64; 2]> {
    let mut crossings = Vec::new();
    for ring in rings {
        for (i, &a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            if (a.x > at) != (b.x > at) {
                crossings.push(a.y + (at - a.x) * (b.y - a.y) / (b.x - a.x));
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// The runs of a joint at `x = at`: concrete on both sides of it.
pub(super) fn chords(rings: &[Vec<P2>], at: f64) -> Vec<[f64; 2]> {
    let (left, right) = (inside(rings, at - BESIDE), inside(rings, at + BESIDE));
    let both = left.iter().flat_map(|l| right.iter().map(|r| [l[0].max(r[0]), l[1].min(r[1])]));
    both.filter(|run| run[1] - run[0] > SAME).collect()
}

/// Rings with right and up exchanged.
pub(super) fn transposed(rings: &[Vec<P2>]) -> Vec<Vec<P2>> {
    rings.iter().map(|ring| ring.iter().map(|p| P2::new(p.y, p.x)).collect()).collect()
}

/// Lines `x = place` that may be drawn, both ends of the floor included.
#[derive(Debug, Clone)]
pub(super) struct Along {
    /// Rising; the first and the last are the floor's ends.
    pub places: Vec<f64>,
    /// Length of the joint there, m.
    pub lengths: Vec<f64>,
    /// A jamb stands there.
    pub jamb: Vec<bool>,
    /// Widths of floor between two places, by `first * n + last`.
    pub between: Vec<Vec<f64>>,
}

/// What lines are wanted or not wanted along a direction.
#[derive(Debug, Clone, Default)]
pub(super) struct Wishes {
    /// Lines that may be asked for: corners, columns, forced joints.
    pub marks: Vec<f64>,
    /// Jambs.
    pub jambs: Vec<f64>,
    /// Places where no joint may run.
    pub keep_off: Vec<Vec<P2>>,
    /// Lines that run whatever is kept off.
    pub forced: Vec<f64>,
}

impl Along {
    /// Looks along a floor of which `rings` bound the concrete and `large` leaves out small openings.
    pub(super) fn new(rings: &[Vec<P2>], large: &[Vec<P2>], wishes: &Wishes, most: f64) -> Option<Self> {
        let all = large.iter().flatten().map(|p| p.x);
        let low = all.clone().fold(f64::INFINITY, f64::min);
        let high = all.fold(f64::NEG_INFINITY, f64::max);
        if !(high - low).is_finite() || high - low < SAME {
            return None;
        }
        let places = places(low, high, large, wishes, most);
        let lengths = places.iter().map(|x| chords(rings, *x).iter().map(|c| c[1] - c[0]).sum()).collect();
        let jamb = places.iter().map(|x| wishes.jambs.iter().any(|j| (j - x).abs() < SAME)).collect();
        let between = between(&places, large, most);
        Some(Self { places, lengths, jamb, between })
    }

    /// Index of a place.
    pub(super) fn index(&self, at: f64) -> Option<usize> {
        self.places.iter().position(|x| (x - at).abs() < SAME)
    }
}

fn places(low: f64, high: f64, large: &[Vec<P2>], wishes: &Wishes, most: f64) -> Vec<f64> {
    let is_inner = |x: &f64| *x > low + SAME && *x < high - SAME;
    let mut fixed = vec![low, high];
    fixed.extend(wishes.forced.iter().chain(&wishes.marks).filter(|x| is_inner(x)));
    let kept_off = |x: f64| {
        let runs: Vec<[f64; 2]> =
            wishes.keep_off.iter().flat_map(|zone| inside(std::slice::from_ref(zone), x)).collect();
        let is_forced = wishes.forced.iter().any(|f| (f - x).abs() < SAME);
        !is_forced && chords(large, x).iter().any(|c| runs.iter().any(|r| c[0] < r[1] && r[0] < c[1]))
    };
    let mut found: Vec<f64> = Vec::new();
    let add = |x: f64, found: &mut Vec<f64>| {
        let is_new = found.iter().all(|f| (f - x).abs() >= SAME);
        if is_new && found.len() < MOST_PLACES && (x == low || x == high || !kept_off(x)) {
            found.push(x);
        }
    };
    fixed
        .iter()
        .chain(&wishes.jambs)
        .filter(|x| is_inner(x) || **x == low || **x == high)
        .for_each(|x| add(*x, &mut found));
    fixed.sort_by(f64::total_cmp);
    // Even parts of every stretch between fixed lines, fewest parts first.
    for extra in 0..4 {
        for (i, a) in fixed.iter().enumerate() {
            for b in &fixed[i + 1..] {
                let parts = ((b - a) / most - 1e-9).ceil().clamp(1.0, 1000.0) as usize + extra;
                (1..parts).for_each(|k| add(a + (b - a) * k as f64 / parts as f64, &mut found));
            }
        }
    }
    // Even feet where there is room left: lines that even parts do not offer.
    let foot = 0.3048;
    let feet = ((high - low) / foot).clamp(0.0, 1000.0) as usize;
    (1..=feet).map(|k| low + foot * k as f64).filter(is_inner).for_each(|x| add(x, &mut found));
    found.sort_by(f64::total_cmp);
    found
}

/// Widths of the floor's stripes between every two places.
fn between(places: &[f64], large: &[Vec<P2>], most: f64) -> Vec<Vec<f64>> {
    let turned = transposed(large);
    let ys = stripe_ends(large, most);
    let step = ys.len().div_ceil(MOST_STRIPES).max(1);
    let stripes: Vec<Vec<[f64; 2]>> =
        ys.windows(2).step_by(step).map(|w| widest(&turned, large, [w[0], w[1]])).collect();
    let n = places.len();
    let mut all = vec![Vec::new(); n * n];
    for (i, &a) in places.iter().enumerate() {
        for (j, &b) in places.iter().enumerate().skip(i + 1) {
            let runs = stripes.iter().flatten().map(|r| r[1].min(b) - r[0].max(a));
            let mut widths: Vec<f64> = runs.filter(|w| *w > SAME).collect();
            widths.sort_by(f64::total_cmp);
            widths.dedup_by(|p, q| (*p - *q).abs() < SAME);
            all[i * n + j] = widths;
        }
    }
    all
}

/// Where stripes end: at edges across the lines, and between those at most a panel apart. The corners of arcs and skew edges are no
/// ends: what they cut off a panel is judged with the panel.
fn stripe_ends(large: &[Vec<P2>], most: f64) -> Vec<f64> {
    let edges = large.iter().flat_map(|ring| (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]]));
    let mut ends: Vec<f64> = edges.filter(|[a, b]| (a.y - b.y).abs() < SAME).map(|[a, _]| a.y).collect();
    let all = large.iter().flatten().map(|p| p.y);
    ends.push(all.clone().fold(f64::INFINITY, f64::min));
    ends.push(all.fold(f64::NEG_INFINITY, f64::max));
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < SAME);
    let mut fine = vec![ends[0]];
    for w in ends.windows(2) {
        let parts = ((w[1] - w[0]) / most - 1e-9).ceil().clamp(1.0, 1000.0) as usize;
        fine.extend((1..=parts).map(|k| w[0] + (w[1] - w[0]) * k as f64 / parts as f64));
    }
    fine
}

/// The runs of floor in a stripe, each as wide as it gets there.
fn widest(turned: &[Vec<P2>], large: &[Vec<P2>], [low, high]: [f64; 2]) -> Vec<[f64; 2]> {
    let margin = 1e-3 * (high - low);
    let mut looks: Vec<f64> = large.iter().flatten().map(|p| p.y).filter(|y| *y > low && *y < high).collect();
    looks.extend([low + margin, 0.5 * (low + high), high - margin]);
    let mut runs: Vec<[f64; 2]> = looks.iter().flat_map(|y| inside(turned, *y)).collect();
    runs.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for run in runs {
        match joined.last_mut() {
            Some(last) if run[0] < last[1] => last[1] = last[1].max(run[1]),
            _ => joined.push(run),
        }
    }
    joined
}
