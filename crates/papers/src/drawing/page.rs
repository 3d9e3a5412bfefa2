//! Paper, neat scales, and where a point of the floor lies on the page.

use basis::UnitSystem;
use ground::P2;
use ground::polygon::bounds;

use super::FloorDrawing;

/// Margin of the sheet, mm.
const MARGIN: f64 = 8.0;
/// Room for dimensions around the floor, mm.
const AROUND: f64 = 17.5;
/// Room around what stands beside the floor, mm.
const AROUND_STAND: f64 = 11.0;
/// Width of a column of text, mm.
const COLUMN: f64 = 80.0;
/// Height of a strip of text, mm.
const STRIP: f64 = 52.0;
/// Width of a drawing on the screen, mm: on a phone 375 px wide, type of 3.2 mm is then 11 px tall, and more where there is room.
const SCREEN: f64 = 100.0;
/// A drawing on the screen is no taller than this, mm.
const SCREEN_TALLEST: f64 = 150.0;
/// A point farther from the datum than this is no point of a floor, m.
const FARTHEST: f64 = 1e6;

/// A scale and what it is called.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    /// One on the page is so many on the floor.
    pub ratio: f64,
    /// `1/4 in = 1 ft (1:48)`.
    pub name: String,
}

/// An upright box, page mm or floor m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Box2 {
    pub low: P2,
    pub high: P2,
}

impl Box2 {
    pub(super) fn new(low: P2, high: P2) -> Self {
        Self { low, high }
    }
    pub(super) fn size(self) -> P2 {
        self.high - self.low
    }
    pub(super) fn centre(self) -> P2 {
        self.low.lerp(self.high, 0.5)
    }
    pub(super) fn meets(self, other: Self) -> bool {
        self.low.x < other.high.x
            && other.low.x < self.high.x
            && self.low.y < other.high.y
            && other.low.y < self.high.y
    }
    pub(super) fn holds(self, other: Self) -> bool {
        self.low.x <= other.low.x
            && self.low.y <= other.low.y
            && other.high.x <= self.high.x
            && other.high.y <= self.high.y
    }
    pub(super) fn grown(self, by: f64) -> Self {
        let by = P2::new(by, by);
        Self::new(self.low - by, self.high + by)
    }
}

/// Where the text of a sheet may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TextRoom {
    /// Beside the floor or below it.
    Any,
    /// Beside it: there is a table.
    Beside,
}

/// The sheet with its parts.
#[derive(Debug, Clone)]
pub(super) struct Page {
    pub size: P2,
    /// Where the floor is drawn.
    pub area: Box2,
    /// Columns of text, filled in this order.
    pub columns: Vec<Box2>,
    pub scale: Scale,
    centre: P2,
}

/// Whether a point can be drawn.
pub(super) fn is_point(p: P2) -> bool {
    p.x.abs() < FARTHEST && p.y.abs() < FARTHEST
}

/// The floor and what shares its sheet, m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    floor: Box2,
    whole: Box2,
}

/// The box around the floor, and with it those points beside it that are near enough to share its sheet.
pub(super) fn extent(floor: &FloorDrawing, beside: Vec<P2>) -> Extent {
    let of_floor = floor.boundary.iter().chain(floor.sides.iter().flat_map(|side| &side.run));
    let mut points: Vec<P2> = of_floor.copied().filter(|p| is_point(*p)).collect();
    if points.is_empty() {
        points.push(P2::default());
    }
    let (low, high) = bounds(&points);
    let floor = Box2::new(low, high);
    let size = floor.size();
    let near = floor.grown((size.x.max(size.y) * 0.5).max(8.0));
    points.extend(beside.into_iter().filter(|p| near.holds(Box2::new(*p, *p))));
    let (low, high) = bounds(&points);
    Extent { floor, whole: Box2::new(low, high) }
}

impl Extent {
    /// The least ratio at which all fits about the middle of an area on the page.
    fn least_ratio(self, area: P2) -> f64 {
        let centre = self.whole.centre();
        let fit = |inner: Box2, around: f64| {
            let (up, down) = (inner.high - centre, centre - inner.low);
            let (x, y) = (up.x.max(down.x), up.y.max(down.y));
            (1000.0 * x / (area.x * 0.5 - around)).max(1000.0 * y / (area.y * 0.5 - around))
        };
        fit(self.floor, AROUND).max(fit(self.whole, AROUND_STAND))
    }
}

/// Letter or A4, landscape, mm.
pub(super) fn paper(units: UnitSystem) -> P2 {
    match units {
        UnitSystem::Us => P2::new(279.4, 215.9),
        UnitSystem::Metric => P2::new(297.0, 210.0),
    }
}

impl Page {
    /// The sheet on which the floor comes out largest: text beside it or below it.
    pub(super) fn new(units: UnitSystem, extent: Extent, text: TextRoom) -> Self {
        let size = paper(units);
        let whole = Box2::new(P2::new(MARGIN, MARGIN), size - P2::new(MARGIN, MARGIN));
        let [beside, below] = [with_column(whole), with_strip(whole)].map(|(area, columns)| {
            let scale = scale(units, extent.least_ratio(area.size()));
            Self { size, area, columns, scale, centre: extent.whole.centre() }
        });
        if text == TextRoom::Any && below.scale.ratio < beside.scale.ratio { below } else { beside }
    }

    /// A page as wide as a phone on which nothing stands but the floor, with so much room around it, mm.
    pub(super) fn for_screen(extent: Extent, around: f64) -> Self {
        let room = P2::new(SCREEN, SCREEN_TALLEST);
        let centre = extent.whole.centre();
        let (up, down) = (extent.whole.high - centre, centre - extent.whole.low);
        let half = P2::new(up.x.max(down.x).max(0.1), up.y.max(down.y).max(0.1));
        let inner = room * 0.5 - P2::new(around, around);
        let ratio = (1000.0 * half.x / inner.x).max(1000.0 * half.y / inner.y);
        let size = P2::new(room.x, 2.0 * (1000.0 * half.y / ratio + around));
        let area = Box2::new(P2::default(), size);
        Self { size, area, columns: Vec::new(), scale: Scale { ratio, name: String::new() }, centre }
    }

    /// A point of the floor on the page, mm; `y` turns over.
    pub(super) fn at(&self, p: P2) -> P2 {
        let d = (p - self.centre) * (1000.0 / self.scale.ratio);
        self.area.centre() + P2::new(d.x, -d.y)
    }
    /// A length of the floor on the page, mm.
    pub(super) fn length(&self, metres: f64) -> f64 {
        metres * 1000.0 / self.scale.ratio
    }
}

fn with_column(whole: Box2) -> (Box2, Vec<Box2>) {
    let split = whole.high.x - COLUMN;
    let area = Box2::new(whole.low, P2::new(split, whole.high.y));
    (area, vec![Box2::new(P2::new(split, whole.low.y), whole.high)])
}

fn with_strip(whole: Box2) -> (Box2, Vec<Box2>) {
    let split = whole.high.y - STRIP;
    let area = Box2::new(whole.low, P2::new(whole.high.x, split));
    let wide = whole.size().x / 3.0;
    let column = |i: f64| {
        let left = whole.low.x + wide * i;
        Box2::new(P2::new(left, split), P2::new(left + wide, whole.high.y))
    };
    (area, [0.0, 1.0, 2.0].map(column).to_vec())
}

const US_SCALES: &[(f64, &str)] = &[
    (12.0, "1 in = 1 ft"),
    (16.0, "3/4 in = 1 ft"),
    (24.0, "1/2 in = 1 ft"),
    (32.0, "3/8 in = 1 ft"),
    (48.0, "1/4 in = 1 ft"),
    (60.0, "1 in = 5 ft"),
    (64.0, "3/16 in = 1 ft"),
    (72.0, "1 in = 6 ft"),
    (96.0, "1/8 in = 1 ft"),
    (120.0, "1 in = 10 ft"),
    (128.0, "3/32 in = 1 ft"),
    (192.0, "1/16 in = 1 ft"),
    (240.0, "1 in = 20 ft"),
    (360.0, "1 in = 30 ft"),
    (480.0, "1 in = 40 ft"),
    (600.0, "1 in = 50 ft"),
    (1200.0, "1 in = 100 ft"),
];

/// The largest neat scale of at least this ratio: the ratio and its name.
pub(crate) fn neat_scale(units: UnitSystem, least: f64) -> (f64, String) {
    let Scale { ratio, name } = scale(units, least);
    (ratio, name)
}

/// The largest neat scale of at least this ratio.
fn scale(units: UnitSystem, least: f64) -> Scale {
    if units == UnitSystem::Us
        && let Some((ratio, name)) = US_SCALES.iter().find(|(ratio, _)| *ratio >= least)
    {
        return Scale { ratio: *ratio, name: format!("{name} (1:{ratio})") };
    }
    let mut ratio = 10.0;
    'decades: loop {
        for step in [1.0, 2.0, 2.5, 5.0, 7.5] {
            if ratio * step >= least {
                ratio *= step;
                break 'decades;
            }
        }
        ratio *= 10.0;
    }
    Scale { ratio, name: format!("1:{ratio}") }
}
