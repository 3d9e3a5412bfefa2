//! A sheet being drawn: ink below, labels above, and what found no room.

use ground::P2;

use super::labels::Taken;
use super::page::{Box2, Page, is_point};
use super::screen;
use super::svg::{Anchor, Ink, STYLE, TextAt, mm};
use super::text::{self, escaped};

/// Size of the type of labels, mm: 9 points; more where there is room.
const MAIN: f64 = 3.2;
/// Size of second lines, mm: 8 points; more where there is room.
const SECOND: f64 = 2.8;
/// Size of the type beside the floor, mm: nearly 9 points.
pub(super) const SMALL: f64 = 3.1;
/// A label that costs its place so much is better smaller: it hides an edge or a load line.
const WORTH_SMALLER: f64 = 5.0;
/// More marks than this are not drawn.
const MOST_MARKS: usize = 2000;
/// More labels than this are not tried.
const MOST_LABELS: usize = 500;

/// A label: a line in bold and further lines.
#[derive(Debug, Clone, Default)]
pub(super) struct Label {
    pub bold: String,
    pub more: Vec<String>,
    /// How it is told apart where it finds no room; empty for by itself.
    pub called: String,
}

/// A sheet being drawn.
#[derive(Debug)]
pub(super) struct Canvas {
    pub page: Page,
    /// How much larger than the smallest the type on the floor is.
    zoom: f64,
    /// What labels may hide: fills, contours, arcs.
    pub under: Ink,
    /// White behind labels.
    boxes: Ink,
    /// What labels never hide: the outline, dimensions, load lines.
    pub ink: Ink,
    /// Marks and texts.
    pub labels: Ink,
    pub taken: Taken,
    /// Labels without room.
    pub homeless: Vec<String>,
    /// Labels that had to stand on a line that they had better not cross, or lead across it.
    pub crossing: usize,
    /// Marks that are not drawn: no numbers, off the sheet, or too many.
    pub left_out: usize,
    marks: usize,
    tried: usize,
}

impl Canvas {
    pub(super) fn new(page: Page, zoom: f64) -> Self {
        Self {
            page,
            zoom,
            under: Ink::default(),
            boxes: Ink::default(),
            ink: Ink::default(),
            labels: Ink::default(),
            taken: Taken::default(),
            homeless: Vec::new(),
            crossing: 0,
            left_out: 0,
            marks: 0,
            tried: 0,
        }
    }

    /// Size of the type of labels, mm.
    pub(super) fn main(&self) -> f64 {
        MAIN * self.zoom
    }
    /// Size of the type of second lines, mm.
    pub(super) fn second(&self) -> f64 {
        SECOND * self.zoom
    }

    /// The page point of a mark, or nothing if it cannot be drawn.
    pub(super) fn mark(&mut self, p: P2) -> Option<P2> {
        let at = self.page.at(p);
        let at = if is_point(p) { at } else { P2::new(f64::NAN, f64::NAN) };
        self.has_room_at(at).then_some(at)
    }

    /// Whether a mark at a page point is drawn; counts it either way.
    pub(super) fn has_room_at(&mut self, at: P2) -> bool {
        let is_drawn = self.marks < MOST_MARKS && self.page.area.holds(Box2::new(at, at));
        if is_drawn {
            self.marks += 1;
        } else {
            self.left_out += 1;
        }
        is_drawn
    }

    /// A line of the floor on the page; points that are none are left out.
    pub(super) fn run(&self, points: &[P2]) -> Vec<P2> {
        points.iter().filter(|p| is_point(**p)).map(|p| self.page.at(*p)).collect()
    }

    /// Keeps labels off a mark.
    pub(super) fn block(&mut self, at: P2, radius: f64) {
        self.taken.block(Box2::new(at, at).grown(radius));
    }

    /// Clears the ground for a text.
    pub(super) fn white(&mut self, place: Box2) {
        self.boxes.rect("box", place.low, place.size());
    }

    /// Writes a label near a page point, or puts it on the list.
    pub(super) fn label(&mut self, at: P2, radius: f64, label: &Label) {
        let bold = text::cut(&label.bold, 40);
        let more: Vec<String> = label.more.iter().map(|line| text::cut(line, 40)).collect();
        let lines: Vec<(&str, f64)> = std::iter::once((bold.as_str(), self.main()))
            .chain(more.iter().map(|line| (line.as_str(), self.second())))
            .filter(|(line, _)| !line.is_empty())
            .collect();
        if lines.is_empty() {
            return;
        }
        self.tried += 1;
        let widest = lines.iter().map(|(line, size)| text::width(line, *size)).fold(0.0, f64::max);
        let size = P2::new(widest + 0.8, lines.iter().map(|(_, size)| size * 1.12).sum::<f64>() + 0.5);
        let found = if self.tried > MOST_LABELS {
            None
        } else {
            self.taken.find(self.page.area.grown(-1.0), at, radius, size)
        };
        let Some(found) = found else {
            let told: Vec<&str> = lines.iter().map(|(line, _)| *line).collect();
            self.homeless.push(format!("{} {}", label.called, told.join(", ")).trim().to_owned());
            return;
        };
        self.crossing += usize::from(found.crossed >= WORTH_SMALLER);
        if let Some((a, b)) = found.leader {
            self.labels.line("lead", a, b);
        }
        self.lines_in(found.place, &lines);
    }

    /// Writes one small line about the first of some points at which it hides nothing.
    ///
    /// Each point comes with a way in which the line stands off it; none for about it.
    /// Gives whether it found room.
    pub(super) fn label_on(&mut self, points: impl Iterator<Item = (P2, P2)>, told: &str) -> bool {
        let told = text::cut(told, 40);
        let size = self.second();
        let half = P2::new(text::width(&told, size) + 0.6, size * 1.25) * 0.5;
        for (at, way) in points {
            let at = at + P2::new(way.x * (half.x + 1.0), way.y * (half.y + 0.6));
            let place = Box2::new(at - half, at + half);
            if self.page.area.holds(place) && self.taken.is_clear(place) {
                self.taken.block(place.grown(0.3));
                self.lines_in(place, &[(told.as_str(), size)]);
                return true;
            }
        }
        false
    }

    fn lines_in(&mut self, place: Box2, lines: &[(&str, f64)]) {
        self.white(place);
        let mut y = place.low.y + 0.1;
        for (i, (line, size)) in lines.iter().enumerate() {
            y += size * 1.12;
            let class = if i == 0 && *size == self.main() { "b" } else { "s" };
            let at = P2::new(place.centre().x, y - size * 0.22);
            self.labels.text(TextAt { at, size: *size, class, anchor: Anchor::Middle, turn: 0.0 }, line);
        }
    }

    /// The ink alone, for a screen: the style sheet and the hatches stand once in the page.
    pub(super) fn finish_for_screen(self, title: &str, id: &str) -> String {
        let (w, h) = (mm(self.page.size.x), mm(self.page.size.y));
        let ink = [&self.under, &self.boxes, &self.ink, &self.labels].map(|ink| ink.0.as_str()).concat();
        screen::wrapped(id, &format!("0 0 {w} {h}"), "", title, &ink)
    }

    /// The finished sheet.
    pub(super) fn finish(self, title: &str, job: &str) -> String {
        let (w, h) = (mm(self.page.size.x), mm(self.page.size.y));
        let title = escaped(&format!("{} - {title}", text::clean(job)));
        let area = self.page.area;
        let (x, y, size) = (mm(area.low.x), mm(area.low.y), area.size());
        let mut out = Ink::default();
        out.raw(&format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n\
             <title>{title}</title>\n{STYLE}<clipPath id=\"area\"><rect x=\"{x}\" y=\"{y}\" width=\"{}\" \
             height=\"{}\"/></clipPath>\n<rect class=\"box\" x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\"/>\n\
             <g clip-path=\"url(#area)\">\n",
            mm(size.x),
            mm(size.y)
        ));
        out.raw(&self.under.0);
        out.raw(&self.boxes.0);
        out.raw(&self.ink.0);
        out.raw("</g>\n");
        out.raw(&self.labels.0);
        out.raw("</svg>\n");
        out.0
    }
}
