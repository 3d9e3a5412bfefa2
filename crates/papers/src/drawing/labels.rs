//! Finds room for labels.

use ground::P2;

use super::page::Box2;

/// Gap between a mark and its label, mm.
const GAP: f64 = 0.9;
/// Distances at which a label is tried, beyond the mark; past the first a leader is drawn, mm.
const RINGS: [f64; 5] = [0.0, 4.0, 8.0, 13.0, 19.0];
/// The eight positions, best first.
const WAYS: [(f64, f64); 8] =
    [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0), (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0)];

/// What is taken on the page.
#[derive(Debug, Default)]
pub(super) struct Taken {
    boxes: Vec<Box2>,
    leaders: Vec<(P2, P2)>,
    lines: Vec<(P2, P2, f64)>,
}

/// Where a label goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Found {
    pub place: Box2,
    pub leader: Option<(P2, P2)>,
    /// What it costs to stand on lines there.
    pub crossed: f64,
}

impl Taken {
    /// Nothing may stand here.
    pub(super) fn block(&mut self, place: Box2) {
        self.boxes.push(place);
    }
    /// Labels had better not cross this line; the cost of crossing it in steps of a label's position.
    pub(super) fn avoid(&mut self, a: P2, b: P2, cost: f64) {
        self.lines.push((a, b, cost));
    }
    /// Whether nothing stands here yet.
    pub(super) fn is_free(&self, place: Box2) -> bool {
        !self.boxes.iter().any(|other| other.meets(place))
            && !self.leaders.iter().any(|line| crosses(place, *line))
    }
    /// Whether nothing stands here and no line that labels had better not cross runs through.
    pub(super) fn is_clear(&self, place: Box2) -> bool {
        self.is_free(place) && self.crossing(place) == 0.0
    }
    /// Whether a line meets nothing that stands.
    pub(super) fn is_free_along(&self, line: (P2, P2)) -> bool {
        !self.boxes.iter().any(|other| crosses(*other, line))
    }
    /// The best free place for a label of this size at a mark, taken at once; a mark without radius is an area.
    pub(super) fn find(&mut self, area: Box2, at: P2, radius: f64, size: P2) -> Option<Found> {
        let mut best = (radius == 0.0).then(|| self.centred(area, at, size)).flatten();
        for (ring, away) in RINGS.iter().enumerate() {
            // A nearer ring costs less, unless the label crosses a line there.
            if best.is_some_and(|(cost, _)| cost <= ring as f64 * 3.0) {
                break;
            }
            for (way, (x, y)) in WAYS.iter().enumerate() {
                let found = candidate(at, radius + GAP + away, P2::new(*x, *y), size, *away > 0.0);
                if !area.holds(found.place) || !self.fits(found) {
                    continue;
                }
                let led = found.leader.map_or(0.0, |leader| self.led_across(leader));
                let crossed = self.crossing(found.place) + led;
                let cost = ring as f64 * 3.0 + way as f64 * 0.1 + crossed;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, Found { crossed, ..found }));
                }
            }
        }
        let (_, found) = best?;
        self.block(found.place.grown(0.3));
        self.leaders.extend(found.leader);
        Some(found)
    }

    /// On the point itself, for the name of an area.
    fn centred(&self, area: Box2, at: P2, size: P2) -> Option<(f64, Found)> {
        let place = Box2::new(at - size * 0.5, at + size * 0.5);
        let is_free = area.holds(place) && self.is_free(place);
        let crossed = self.crossing(place);
        is_free.then_some((crossed, Found { place, leader: None, crossed }))
    }

    /// What it costs to cross the lines under a place.
    fn crossing(&self, place: Box2) -> f64 {
        self.lines.iter().filter(|(a, b, _)| crosses(place, (*a, *b))).map(|(.., cost)| cost).sum()
    }

    /// What it costs to lead across lines.
    fn led_across(&self, leader: (P2, P2)) -> f64 {
        let crossed = self.lines.iter().filter(|(a, b, _)| lines_cross(leader, (*a, *b)));
        crossed.map(|(.., cost)| cost * 0.4).sum()
    }

    fn fits(&self, found: Found) -> bool {
        self.is_free(found.place)
            && found.leader.is_none_or(|leader| {
                !self.leaders.iter().any(|other| lines_cross(leader, *other))
                    && !self.boxes.iter().any(|other| crosses(*other, leader))
            })
    }
}

fn candidate(at: P2, off: f64, way: P2, size: P2, has_leader: bool) -> Found {
    // Slanted ways stand nearer to the mark's corner.
    let off = if way.x != 0.0 && way.y != 0.0 { off * 0.75 } else { off };
    let near = at + way * off;
    let centre = near + P2::new(way.x * size.x, way.y * size.y) * 0.5;
    let half = size * 0.5;
    // The leader starts off the mark, so that the mark's own box does not count as crossed.
    let from = at + way.unit() * (off * way.norm()).min(3.2);
    Found {
        place: Box2::new(centre - half, centre + half),
        leader: has_leader.then_some((from, near)),
        crossed: 0.0,
    }
}

/// Whether a segment enters a box.
fn crosses(place: Box2, (a, b): (P2, P2)) -> bool {
    let inside = |p: P2| p.x > place.low.x && p.x < place.high.x && p.y > place.low.y && p.y < place.high.y;
    let (low, high) = (place.low, place.high);
    let (other, another) = (P2::new(high.x, low.y), P2::new(low.x, high.y));
    inside(a) || inside(b) || lines_cross((a, b), (low, high)) || lines_cross((a, b), (other, another))
}

fn lines_cross((a, b): (P2, P2), (c, d): (P2, P2)) -> bool {
    let side = |p: P2, q: P2, r: P2| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
