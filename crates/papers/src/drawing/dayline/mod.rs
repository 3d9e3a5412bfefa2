//! The day line: weather, trucks, and every bay's rounds on one axis of local time.

mod axis;
mod foot;
mod lanes;
mod rows;

use ground::P2;

use super::Sheet;
use super::page::{Box2, paper};
use super::svg::{Anchor, Ink, STYLE, TextAt, mm};
use super::text::{self, escaped};

/// Everything the day line shows. Times are hours from an instant that the caller chooses.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayLine {
    /// What the title block says.
    pub sheet: Sheet,
    /// Start of the axis, h.
    pub from: f64,
    /// End of the axis, h.
    pub until: f64,
    /// Full hours of local time.
    pub hours: Vec<HourMark>,
    /// When it is dark, h.
    pub nights: Vec<(f64, f64)>,
    /// What is told of the sun: `sun up 5:17 am`.
    pub sun: Vec<(f64, String)>,
    /// The weather at some hours.
    pub weather: Vec<WeatherMark>,
    /// The floors in the order of the day.
    pub floors: Vec<FloorLane>,
    /// Short names and what they stand for: `M1`, `36 in. walk-behind`.
    pub keys: Vec<(String, String)>,
}

/// A full hour.
#[derive(Debug, Clone, PartialEq)]
pub struct HourMark {
    /// When, h.
    pub at: f64,
    /// What the clock shows: `7 am`.
    pub label: String,
}

/// The weather at an hour.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherMark {
    /// When, h.
    pub at: f64,
    /// Air temperature in any unit: only its course is drawn.
    pub air: f64,
    /// The figure for it.
    pub air_label: String,
    /// Wind, cloud and rain.
    pub sky: String,
}

/// A floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FloorLane {
    /// Its name; empty when it is the only one.
    pub name: String,
    /// Its trucks.
    pub trucks: Vec<Bar>,
    /// Its bays in order of placing.
    pub bays: Vec<BayLane>,
}

/// A bay.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BayLane {
    /// What it is called.
    pub name: String,
    /// Its placing, rounds and milestones, in their order.
    pub bars: Vec<Bar>,
    /// What else is told of it, and when: what comes after the axis ends.
    pub beside: Vec<[String; 2]>,
}

/// Something that takes time, with how sure its ends are.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bar {
    /// What it is.
    pub kind: BarKind,
    /// What it is called, before its times: `trowel 2`.
    pub name: String,
    /// What to write at it.
    pub label: String,
    /// One day in ten it starts before this, h.
    pub low: f64,
    /// Its likely start, h.
    pub from: f64,
    /// Its likely end, h; the start again for a milestone.
    pub until: f64,
    /// One day in ten it ends after this, h.
    pub high: f64,
    /// The work planned in it, in order of time.
    pub work: Vec<Work>,
}

/// What a bar is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BarKind {
    /// A truck on site.
    Truck,
    /// A bay being placed.
    Placing,
    /// When a round can be worked.
    Window,
    /// The window at which a day without a plan fails.
    Failing,
    /// A single instant.
    Milestone,
    /// Planned work without a window of its own.
    #[default]
    Work,
}

/// Work that is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Start, h.
    pub from: f64,
    /// End, h.
    pub until: f64,
    /// Who, by letters.
    pub who: String,
    /// With what, short; empty for hand tools.
    pub with: String,
    /// Which part of the bay, empty for all of it: `2b`.
    pub part: String,
}

/// Marks of the day line beside those of the other drawings.
pub(super) const DAY_STYLE: &str = r##"<style>
.hour{stroke:#888;stroke-width:.15}
.course{stroke-width:.5}
.whisker{stroke-width:.35;stroke-linecap:butt}
.truck{fill:#fff;stroke-width:.5}
.placing{fill:url(#dp);stroke-width:.5}
.open{fill:#8a8a8a;stroke-width:.35}
.failing{fill:url(#px);stroke-width:.6;stroke-dasharray:1.4 .8;stroke-linecap:butt}
.work{fill:#fff;stroke-width:.7}
.hn{fill:url(#dn);stroke:none}
</style>
<defs>
<pattern id="dp" width="1.4" height="1.4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="h0" width="1.4" height="1.4"/><path d="M0 .7H1.4" style="stroke:#000;stroke-width:.22"/></pattern>
<pattern id="dn" width="3.2" height="3.2" patternUnits="userSpaceOnUse" patternTransform="rotate(-60)"><rect class="h0" width="3.2" height="3.2" style="fill:#f1f1f1"/><path d="M0 1.6H3.2" style="stroke:#b5b5b5;stroke-width:.14"/></pattern>
</defs>
"##;

/// Margin of the sheet, mm.
const MARGIN: f64 = 8.0;
/// Room for names left of the axis, mm.
const GUTTER: f64 = 26.0;
/// Room between the axis' end and the margin, mm.
const RIGHT: f64 = 5.0;
/// Height of the title, mm.
const TITLE: f64 = 13.0;
/// More sheets than this are not drawn.
const MOST_SHEETS: usize = 12;

/// The axis on a sheet.
#[derive(Debug, Clone, Copy)]
struct Axis {
    from: f64,
    until: f64,
    left: f64,
    right: f64,
}

impl Axis {
    /// Where a time stands, mm.
    fn x(self, at: f64) -> f64 {
        self.left + (at - self.from) / (self.until - self.from) * (self.right - self.left)
    }
    fn holds(self, at: f64) -> bool {
        (self.from..=self.until).contains(&at)
    }
    /// A time brought onto the axis.
    fn clamped(self, at: f64) -> f64 {
        at.clamp(self.from, self.until)
    }
}

/// Draws the day line on as many sheets as its lanes take.
///
/// Letter or A4 landscape by the units of the sheet. Ink is black on white; hatches, line weights and words tell
/// things apart. What is no number is left out.
#[must_use]
pub fn draw_day_line(day: &DayLine) -> Vec<String> {
    let size = paper(day.sheet.units);
    let is_axis = day.from.is_finite() && day.until.is_finite() && day.until > day.from;
    let axis = Axis {
        from: if is_axis { day.from } else { 0.0 },
        until: if is_axis { day.until } else { 1.0 },
        left: MARGIN + GUTTER,
        right: size.x - MARGIN - RIGHT,
    };
    let foot = foot::height(day, size.x - 2.0 * MARGIN);
    let top = MARGIN + TITLE + axis::HEIGHT;
    let area = Box2::new(P2::new(MARGIN, top), P2::new(size.x - MARGIN, size.y - MARGIN - foot));
    // The tallest rows that take as few sheets as the lowest.
    let drawn = lanes::ROWS.map(|row| lanes::paged(day, axis, area, row));
    let least = drawn.iter().map(Vec::len).min();
    let mut sheets = drawn.into_iter().find(|sheets| Some(sheets.len()) == least).unwrap_or_default();
    sheets.truncate(MOST_SHEETS);
    let count = sheets.len();
    sheets
        .into_iter()
        .enumerate()
        .map(|(i, lanes)| {
            let of = if count > 1 { format!("page {} of {count}", i + 1) } else { String::new() };
            sheet(day, axis, area, &lanes, &of)
        })
        .collect()
}

/// The day line for a screen, with what its page must know.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayLineOnScreen {
    /// The lanes on their axis.
    pub svg: String,
    /// The names of the lanes, to stand before them.
    pub names: String,
    /// The legend.
    pub keys: Vec<super::screen::Sample>,
    /// The axis: from and until, h; and where these stand, mm.
    pub axis: [f64; 4],
    /// Width of the names, width of the lanes, and height, mm.
    pub size: [f64; 3],
}

/// Millimetres for an hour on the screen, so that a round of ten minutes can be seen; our own choice.
const HOUR: f64 = 21.0;

/// Pixels for a millimetre of the strip: its small type is then 12 px tall.
const PIXELS: f64 = 4.0;

/// Draws the day line for a screen: one strip, names apart so that they can stay while the strip is moved.
#[must_use]
pub fn draw_day_line_for_screen(day: &DayLine, id: &str) -> DayLineOnScreen {
    let is_axis = day.from.is_finite() && day.until.is_finite() && day.until > day.from;
    let (from, until) = if is_axis { (day.from, day.until) } else { (0.0, 1.0) };
    let left = MARGIN + GUTTER;
    let axis = Axis { from, until, left, right: left + HOUR * (until - from) };
    let top = axis::HEIGHT;
    let area = Box2::new(P2::new(MARGIN, top), P2::new(axis.right, f64::INFINITY));
    let lanes = lanes::paged(day, axis, area, lanes::ROWS[0]).into_iter().next().unwrap_or_default();
    let (mut under, mut over, mut names) = (Ink::default(), Ink::default(), Ink::default());
    axis::draw(&mut under, [&mut over, &mut names], day, axis, [0.0, lanes.bottom]);
    let strip = [&under, &lanes.under, &over, &lanes.over].map(|ink| ink.0.as_str()).concat();
    let height = lanes.bottom + 1.0;
    let (wide, first) = (axis.right + RIGHT - left + 2.0, left - 2.0);
    let sized = |wide: f64| format!(" width=\"{}\" height=\"{}\"", mm(wide * PIXELS), mm(height * PIXELS));
    let view = format!("{} 0 {} {}", mm(first), mm(wide), mm(height));
    let svg = super::screen::wrapped(id, &view, &sized(wide), "Day line", &strip);
    let gutter = left - MARGIN + 1.0;
    let view = format!("{} 0 {} {}", mm(MARGIN - 1.0), mm(gutter), mm(height));
    let names = [&names, &lanes.names].map(|ink| ink.0.as_str()).concat();
    let names = super::screen::wrapped(
        &format!("{id}-names"),
        &view,
        &sized(gutter),
        "Lanes of the day line",
        &names,
    );
    let size = [gutter, wide, height];
    DayLineOnScreen {
        svg,
        names,
        keys: foot::samples(day),
        axis: [from, until, axis.left - first, axis.right - first],
        size,
    }
}

fn sheet(day: &DayLine, axis: Axis, area: Box2, lanes: &lanes::Lanes, of: &str) -> String {
    let size = paper(day.sheet.units);
    let mut under = Ink::default();
    let mut over = Ink::default();
    // Nights and hours run through the lanes as far as they are filled.
    let bottom = lanes.bottom.min(area.high.y);
    let mut names = Ink::default();
    axis::draw(&mut under, [&mut over, &mut names], day, axis, [MARGIN + TITLE, bottom]);
    title(&mut over, day, of);
    foot::draw(&mut over, day, Box2::new(P2::new(area.low.x, area.high.y), size - P2::new(MARGIN, MARGIN)));
    let (w, h) = (mm(size.x), mm(size.y));
    let told = escaped(&format!("{} - Day line", text::clean(&day.sheet.job)));
    let mut out = Ink::default();
    out.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n\
         <title>{told}</title>\n{STYLE}{DAY_STYLE}<rect class=\"box\" x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\"/>\n"
    ));
    for ink in [&under, &lanes.under, &over, &names, &lanes.over, &lanes.names] {
        out.raw(&ink.0);
    }
    out.raw("</svg>\n");
    out.0
}

fn title(ink: &mut Ink, day: &DayLine, of: &str) {
    let sheet = &day.sheet;
    let right = paper(sheet.units).x - MARGIN;
    let mut at = P2::new(MARGIN, MARGIN + 5.6);
    write(ink, at, 6.2, "b", "Day line");
    at.x += 33.0;
    let date = text::clean(&sheet.date);
    let number = text::clean(&[sheet.number.as_str(), of].join(" "));
    let corner = text::width(&date, 3.6).max(text::width(&number, 3.1));
    let mut job = text::clean(&sheet.job);
    for longest in (4..80).rev() {
        if text::width(&job, 4.8) <= right - corner - 4.0 - at.x {
            break;
        }
        job = text::cut(&sheet.job, longest);
    }
    write(ink, at, 4.8, "b", &job);
    write(ink, P2::new(right - 1.07 * text::width(&date, 3.6), at.y), 3.6, "b", &date);
    write(ink, P2::new(right - text::width(&number, 3.1), at.y + 5.0), 3.1, "", &number);
    let setup = text::clean(&sheet.setup);
    write(ink, P2::new(MARGIN, at.y + 5.0), 3.1, "s", &setup);
}

/// Writes a text that starts at a point; nothing for none.
fn write(ink: &mut Ink, at: P2, size: f64, class: &str, told: &str) {
    if !told.is_empty() {
        ink.text(TextAt { at, size, class, anchor: Anchor::Start, turn: 0.0 }, told);
    }
}

/// Writes a text about a point.
fn write_about(ink: &mut Ink, at: P2, size: f64, class: &str, told: &str) {
    if !told.is_empty() {
        ink.text(TextAt { at, size, class, anchor: Anchor::Middle, turn: 0.0 }, told);
    }
}
