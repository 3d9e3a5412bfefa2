//! The floor as a sheet: what the caller hands over, and the order in which it is drawn.

mod canvas;
pub mod dayline;
mod dimensions;
mod field;
mod labels;
mod layers;
mod legend;
mod outline;
mod page;
pub mod screen;
mod svg;
mod table;
mod text;

use basis::UnitSystem;
use ground::{P2, P3};

pub use field::neat_limits;
pub use layers::laid::{LaidLabel, LaidLayer, LaidLine, LaidOf, LaidSheet};
pub use layers::state::{BayHatch, BayStateMark, StateLayer};
pub(crate) use page::neat_scale;
pub use table::Table;
pub(crate) use text::cut;

/// All that every layer shows: the floor's outline and what the sheet says of itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FloorDrawing {
    /// What the title block says.
    pub sheet: Sheet,
    /// The floor's boundary, m.
    pub boundary: Vec<P2>,
    /// Sides to dimension, one for each edge of the outline.
    pub sides: Vec<Side>,
    /// Places without concrete.
    pub holes: Vec<NamedRing>,
    /// Corners by name.
    pub corners: Vec<Spot>,
    /// Width and height of the whole, for where no side runs all along; empty for none.
    pub overall: [String; 2],
    /// Doors.
    pub doors: Vec<DoorMark>,
    /// Thickened edges, pads and footings below the floor: drawn dashed.
    pub below: Vec<NamedRing>,
}

/// What the title block says; empty texts are left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Name of the job.
    pub job: String,
    /// The laser set-up for which readings hold.
    pub setup: String,
    /// Which of how many sheets: `sheet 3 of 6`.
    pub number: String,
    /// The day of the pour as the caller wants it read.
    pub date: String,
    /// Paper and scales: letter and feet, or A4 and metres.
    pub units: UnitSystem,
    /// Remarks below the legend.
    pub notes: Vec<String>,
}

impl Default for Sheet {
    /// An empty title block on A4.
    fn default() -> Self {
        let [job, setup, number, date] = [const { String::new() }; 4];
        Self { job, setup, number, date, units: UnitSystem::Metric, notes: Vec::new() }
    }
}

/// A side of the outline with its measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// From corner to corner; more than two points for a curved side, m.
    pub run: Vec<P2>,
    /// Its length in the user's units.
    pub label: String,
    /// What stands along it.
    pub kind: SideKind,
}

/// What stands along a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SideKind {
    /// A form board.
    Form,
    /// A wall.
    Wall,
    /// An existing slab.
    ExistingSlab,
}

/// A closed line with a name.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedRing {
    /// Its corners, m.
    pub ring: Vec<P2>,
    /// What to write at it; may be empty.
    pub label: String,
    /// Further lines: size, place.
    pub more: Vec<String>,
}

/// A door in the boundary.
#[derive(Debug, Clone, PartialEq)]
pub struct DoorMark {
    /// One jamb, m.
    pub a: P2,
    /// The other jamb, m.
    pub b: P2,
    /// Its name.
    pub label: String,
    /// Further lines: width and place, `form 1/2" low`.
    pub more: Vec<String>,
}

/// A point with a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Where, m.
    pub at: P2,
    /// What to write at it.
    pub label: String,
}

/// A surface in flat pieces, shown as bands between limits.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Field {
    /// Convex pieces with the value in `z`, in the unit of the limits.
    pub pieces: Vec<Vec<P3>>,
    /// Values between the bands, rising; at most [`MOST_BANDS`] bands are told apart.
    pub limits: Vec<f64>,
    /// What each band is called, one more than limits.
    pub names: Vec<String>,
    /// What each limit is called.
    pub levels: Vec<String>,
}

/// So many bands have a hatch of their own.
pub const MOST_BANDS: usize = 6;

/// One drawing's own content.
#[derive(Debug, Clone, PartialEq)]
pub enum Layer {
    /// The base as shot.
    Base(BaseLayer),
    /// Concrete thickness.
    Thickness(ThicknessLayer),
    /// How the finish falls.
    Fall(FallLayer),
    /// Bays, their order and where each load ends.
    Loads(LoadsLayer),
    /// Pads with readings.
    Pads(PadsLayer),
    /// What the chutes reach.
    Reach(ReachLayer),
    /// Joints and panels.
    Joints(JointsLayer),
    /// What each bay is like at an instant.
    State(StateLayer),
    /// Sheets or bars as they lie.
    Laid(LaidLayer),
}

/// The base as shot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BaseLayer {
    /// Elevations as bands.
    pub field: Field,
    /// Shots with their elevations.
    pub shots: Vec<ShotMark>,
    /// Where further shots would help most.
    pub next: Vec<Spot>,
}

/// A shot.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotMark {
    /// Where the stick stood, m.
    pub at: P2,
    /// Its name.
    pub name: String,
    /// Its elevation.
    pub label: String,
}

/// Concrete thickness.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ThicknessLayer {
    /// Thickness as bands.
    pub field: Field,
    /// Thickness at chosen spots.
    pub spots: Vec<Spot>,
    /// The thinnest place.
    pub thinnest: Option<Spot>,
    /// The thickest place.
    pub thickest: Option<Spot>,
    /// Where the slab is thinner than accepted, m.
    pub thin: Vec<Vec<P2>>,
    /// What that is called: `under 3-1/2", the least accepted`.
    pub thin_label: String,
}

/// How the finish falls.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FallLayer {
    /// Arrows down the fall.
    pub arrows: Vec<Arrow>,
    /// Ridges, m.
    pub ridges: Vec<(P2, P2)>,
    /// Valleys, m.
    pub valleys: Vec<(P2, P2)>,
    /// Other points with elevations.
    pub points: Vec<Spot>,
    /// High points with elevations.
    pub highs: Vec<Spot>,
    /// Low points with elevations.
    pub lows: Vec<Spot>,
    /// Tapers at doors.
    pub tapers: Vec<NamedRing>,
}

/// An arrow with a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrow {
    /// Its middle, m.
    pub at: P2,
    /// Where it points; only the direction counts.
    pub toward: P2,
    /// What to write at it.
    pub label: String,
}

/// Bays, their order and where each load ends.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoadsLayer {
    /// Bays in order of placing, numbered from 1.
    pub bays: Vec<BayMark>,
    /// Lines between loads.
    pub lines: Vec<LoadLine>,
    /// Where the crew leaves.
    pub exit: Option<Spot>,
    /// The loads in words.
    pub table: Table,
}

/// A bay.
#[derive(Debug, Clone, PartialEq)]
pub struct BayMark {
    /// Its corners, m; several rings if it is in parts.
    pub rings: Vec<Vec<P2>>,
    /// Which way it is placed; zero for none.
    pub toward: P2,
    /// What to write under its number: `3.25 yd3`.
    pub label: String,
}

/// The line at which a load ends.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadLine {
    /// From, m.
    pub a: P2,
    /// To, m.
    pub b: P2,
    /// Which loads it parts: `load 1 | 2`.
    pub label: String,
    /// Where to find it with the tape: `12' 3" from the back wall`.
    pub tape: String,
}

/// Pads with readings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PadsLayer {
    /// The pads.
    pub pads: Vec<PadMark>,
    /// Lines to be struck between pads, m.
    pub struck: Vec<(P2, P2)>,
    /// The pads in words.
    pub table: Table,
}

/// A pad.
#[derive(Debug, Clone, PartialEq)]
pub struct PadMark {
    /// Where, m.
    pub at: P2,
    /// Its number.
    pub number: usize,
    /// What the rod reads.
    pub reading: String,
    /// Distances to edges.
    pub tapes: Vec<Tape>,
}

/// A distance with the tape.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// Foot on the edge from which it is measured, m.
    pub from: P2,
    /// The distance: `12' 3"`.
    pub label: String,
}

/// What the chutes reach.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReachLayer {
    /// Where trucks stand.
    pub stands: Vec<StandMark>,
    /// What no chute reaches, m.
    pub beyond: Vec<Vec<P2>>,
    /// The edge of that on the floor, m.
    pub limit: Vec<(P2, P2)>,
    /// How that is placed: `out of reach: 2.5 yd3 by wheelbarrow`.
    pub beyond_label: String,
    /// The stands in words.
    pub table: Table,
    /// What else to know.
    pub notes: Vec<String>,
}

/// Where a truck stands.
#[derive(Debug, Clone, PartialEq)]
pub struct StandMark {
    /// Where the chute hinges, m.
    pub at: P2,
    /// Its name.
    pub label: String,
    /// Which way the chute points in its middle position; only the direction counts.
    pub facing: P2,
    /// Angle from the middle position to either side, radians.
    pub half_swing: f64,
    /// How far each make-up of the chute reaches, rising.
    pub arcs: Vec<ReachArc>,
}

/// Joints in the order of cutting, and what else keeps cracks away.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct JointsLayer {
    /// In the order of cutting, numbered from 1.
    pub joints: Vec<JointMark>,
    /// How deep they are cut: `1"`.
    pub depth: String,
    /// Panels, numbered from 1.
    pub panels: Vec<PanelMark>,
    /// Rings round which an isolation strip stands, m.
    pub strips: Vec<Vec<P2>>,
    /// What that is called; empty without.
    pub strip: String,
    /// Dowels, m.
    pub dowels: Vec<(P2, P2)>,
    /// What they are called; empty without.
    pub dowel: String,
    /// Bars across inner corners, m.
    pub bars: Vec<(P2, P2)>,
    /// What they are called; empty without.
    pub bar: String,
    /// Places where no joint may run.
    pub kept_off: Vec<NamedRing>,
    /// The cuts in words.
    pub table: Table,
    /// What else to know.
    pub notes: Vec<String>,
}

/// A joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointMark {
    /// One end, m.
    pub a: P2,
    /// The other end, m.
    pub b: P2,
    /// Whether the job asks for just this one.
    pub is_forced: bool,
}

/// A panel between joints.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelMark {
    /// Its outline, m.
    pub ring: Vec<P2>,
    /// Whether it breaks a rule.
    pub is_over: bool,
}

/// How far the chute reaches in one make-up.
#[derive(Debug, Clone, PartialEq)]
pub struct ReachArc {
    /// Radius on plan, m.
    pub radius: f64,
    /// What it is: `main`, `+ 8'`.
    pub label: String,
}

/// Draws one layer of the floor as an SVG sheet in letter or A4, landscape.
///
/// Type on the floor is as large as lets every label find room. Points that are no numbers are left out, as are
/// marks beyond the sheet; the sheet says how many. Texts are cut, freed of control characters and escaped.
///
/// ```
/// # use papers::drawing::*; use basis::UnitSystem; use ground::P2;
/// let corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)].map(|(x, y)| P2::new(x, y));
/// let sheet = Sheet { job: "Patio".into(), units: UnitSystem::Metric, ..Sheet::default() };
/// let side = Side { run: corners[..2].to_vec(), label: "6.000 m".into(), kind: SideKind::Form };
/// let floor = FloorDrawing { sheet, boundary: corners.to_vec(), sides: vec![side], ..FloorDrawing::default() };
/// let pads = PadMark { at: P2::new(3.0, 2.0), number: 1, reading: "1402 mm".into(), tapes: Vec::new() };
/// let layer = Layer::Pads(PadsLayer { pads: vec![pads], ..PadsLayer::default() });
/// let svg = draw(&floor, &layer);
/// assert!(svg.starts_with("<svg") && svg.contains("1402 mm") && svg.contains("1:50"));
/// ```
#[must_use]
pub fn draw(floor: &FloorDrawing, layer: &Layer) -> String {
    let extent = page::extent(floor, layers::points_outside(layer));
    let page = page::Page::new(floor.sheet.units, extent, layers::text_room(layer));
    let mut canvas = drawn(floor, layer, page.clone(), ZOOMS[0]);
    for zoom in &ZOOMS[1..] {
        if canvas.homeless.is_empty() && canvas.crossing == 0 {
            break;
        }
        canvas = drawn(floor, layer, page.clone(), *zoom);
    }
    legend::draw(&mut canvas, floor, layer);
    canvas.finish(&layers::title(layer), &floor.sheet.job)
}

/// Draws one layer of the floor for a screen: the floor alone, as wide as a phone, without title and legend.
///
/// `id` tells the drawings of a page apart. Without measures the floor comes out larger. See [`screen`] for what the page
/// must hold besides.
#[must_use]
pub fn draw_for_screen(floor: &FloorDrawing, layer: &Layer, id: &str) -> screen::OnScreen {
    let extent = page::extent(floor, layers::points_outside(layer));
    let has_measures = floor.sides.iter().any(|side| !side.label.is_empty());
    let page = page::Page::for_screen(extent, if has_measures { 17.5 } else { 6.0 });
    let mut canvas = drawn(floor, layer, page.clone(), ZOOMS[0]);
    for zoom in &ZOOMS[1..] {
        if canvas.homeless.is_empty() && canvas.crossing == 0 {
            break;
        }
        canvas = drawn(floor, layer, page.clone(), *zoom);
    }
    let keys = layers::keys(floor, layer);
    let without_room = canvas.homeless.clone();
    let svg = canvas.finish_for_screen(&layers::title(layer), id);
    screen::OnScreen { svg, keys: legend::samples(&keys), without_room, notes: layers::notes(layer) }
}

/// Sizes of type on the floor, largest first.
const ZOOMS: [f64; 4] = [1.5, 1.3, 1.15, 1.0];

/// The floor with one layer, without the text beside it.
fn drawn(floor: &FloorDrawing, layer: &Layer, page: page::Page, zoom: f64) -> canvas::Canvas {
    let mut canvas = canvas::Canvas::new(page, zoom);
    let contours = layers::under(&mut canvas, floor, layer);
    outline::draw(&mut canvas, floor);
    layers::over(&mut canvas, floor, layer, &contours);
    outline::names(&mut canvas, floor, layers::is_way_out(layer));
    canvas
}
