//! What the chutes reach from where the trucks stand, and what lies beyond.

use basis::math;
use ground::polygon::{centroid, distance_to_segment};
use ground::{P2, Polygon};

use super::super::canvas::{Canvas, Label};
use super::super::field;
use super::super::svg::Ink;
use super::super::{FloorDrawing, ReachLayer, StandMark, text};
use super::{Key, on_floor_only, on_page};

/// Chords of an arc.
const CHORDS: usize = 96;
/// Lines of the stands' arcs, so that two stands are told apart.
const ARCS: [&str; 3] = ["a0", "a1", "a2"];
/// Where on an arc its label is tried, as shares of the swing.
const TRIED: [f64; 17] =
    [0.0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3, 0.4, -0.4, 0.48, -0.48, 0.55, -0.55, 0.63, -0.63, 0.7, -0.7];

pub(super) fn under(canvas: &mut Canvas, floor: &FloorDrawing, layer: &ReachLayer) {
    let rings: Vec<Vec<P2>> = layer.beyond.iter().map(|ring| canvas.run(ring)).collect();
    canvas.under.rings("hx", &rings);
    let limit = on_paper(canvas, &layer.limit);
    for run in field::chains(&limit) {
        canvas.under.run("limit", &run);
    }
    for (a, b) in limit {
        canvas.taken.avoid(a, b, 2.0);
    }
    // Arcs are thin beside the floor and heavy on it.
    let arcs: Vec<(usize, Vec<P2>)> = layer
        .stands
        .iter()
        .enumerate()
        .filter_map(|(i, stand)| Some((i, seen(canvas, stand)?)))
        .flat_map(|(i, seen)| {
            seen.arcs.iter().map(|(radius, _)| (i, seen.sector(*radius))).collect::<Vec<_>>()
        })
        .collect();
    for (_, arc) in &arcs {
        canvas.under.run("faint", arc);
    }
    on_floor_only(canvas, floor, |canvas| {
        for (i, arc) in &arcs {
            canvas.under.run(ARCS[i % ARCS.len()], &arc[1..arc.len() - 1]);
        }
    });
}

pub(super) fn over(canvas: &mut Canvas, floor: &FloorDrawing, layer: &ReachLayer) {
    for stand in &layer.stands {
        draw_stand(canvas, stand);
    }
    if let Some(at) = middle(canvas, floor, layer) {
        let told = text::clean(&layer.beyond_label);
        let mut lines = told.split(", ").map(str::to_owned);
        let label = Label {
            bold: lines.next().unwrap_or_default(),
            more: lines.collect(),
            called: "hatched:".to_owned(),
        };
        canvas.label(at, 0.0, &label);
    }
    let outline = Polygon::new(canvas.run(&floor.boundary));
    for stand in &layer.stands {
        let Some(seen) = seen(canvas, stand) else { continue };
        for (radius, label) in &seen.arcs {
            let spots: Vec<P2> = TRIED.iter().map(|share| seen.on(*radius, seen.swing * share)).collect();
            let is_inside = |p: &P2| outline.contains(*p) && outline.distance_to_edge(*p) > 2.0;
            let spots = spots.into_iter().filter(is_inside).map(|p| (p, P2::default()));
            let told = format!("{} {label}", stand.label);
            // An arc without its name asks for smaller type; its reach stands in the table as well.
            let is_on_floor = spots.clone().next().is_some();
            if !canvas.label_on(spots, &told) && is_on_floor {
                canvas.crossing += 1;
            }
        }
    }
}

/// Lines of the floor on the page.
fn on_paper(canvas: &Canvas, lines: &[(P2, P2)]) -> Vec<(P2, P2)> {
    let both = |(a, b): &(P2, P2)| if let [a, b] = canvas.run(&[*a, *b])[..] { Some((a, b)) } else { None };
    lines.iter().filter_map(both).collect()
}

/// The page point of the hatched part that lies farthest from its edges.
fn middle(canvas: &Canvas, floor: &FloorDrawing, layer: &ReachLayer) -> Option<P2> {
    let ring = canvas.run(&floor.boundary);
    let mut edges: Vec<(P2, P2)> = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])).collect();
    edges.extend(on_paper(canvas, &layer.limit));
    let away =
        |p: P2| edges.iter().map(|(a, b)| distance_to_segment(p, *a, *b)).fold(f64::INFINITY, f64::min);
    let step = layer.beyond.len() / 600 + 1;
    let rings = layer.beyond.iter().step_by(step).map(|ring| canvas.run(ring)).filter(|ring| ring.len() > 2);
    let spots = rings.map(|ring| centroid(&ring)).filter(|p| p.is_finite()).map(|p| (away(p), p));
    spots.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, p)| p)
}

/// A stand on the page.
struct Seen {
    at: P2,
    facing: P2,
    swing: f64,
    /// Radii in mm with their labels.
    arcs: Vec<(f64, String)>,
}

impl Seen {
    fn on(&self, radius: f64, angle: f64) -> P2 {
        let (sin, cos) = (math::sin(angle), math::cos(angle));
        self.at + (self.facing * cos + self.facing.left() * sin) * radius
    }
    fn sector(&self, radius: f64) -> Vec<P2> {
        sector(self.at, self.facing, self.swing, radius)
    }
}

/// Where a stand and its arcs come on the page; nothing if it cannot be drawn.
fn seen(canvas: &Canvas, stand: &StandMark) -> Option<Seen> {
    let [at] = canvas.run(&[stand.at])[..] else { return None };
    let facing = on_page(stand.facing);
    let is_direction = facing.is_finite() && facing.norm() > 0.5;
    let is_near = canvas.page.area.holds(super::super::page::Box2::new(at, at));
    if !is_direction || !is_near {
        return None;
    }
    let swing =
        if stand.half_swing.is_finite() { stand.half_swing.clamp(0.0, std::f64::consts::PI) } else { 0.0 };
    let arcs = stand.arcs.iter().map(|arc| (canvas.page.length(arc.radius), arc.label.clone()));
    let arcs = arcs.filter(|(radius, _)| *radius > 0.0 && *radius < 1e4).collect();
    Some(Seen { at, facing, swing, arcs })
}

fn draw_stand(canvas: &mut Canvas, stand: &StandMark) {
    let Some(at) = canvas.mark(stand.at) else {
        canvas.homeless.push(format!("stand {}", text::cut(&stand.label, 40)));
        return;
    };
    let facing = on_page(stand.facing);
    let facing = if facing.norm() > 0.5 { facing } else { P2::new(0.0, -1.0) };
    truck(&mut canvas.labels, at, facing);
    for back in [0.0, 2.0, 4.0] {
        canvas.block(at - facing * back, 2.2);
    }
    canvas.label(at, 3.0, &Label { bold: stand.label.clone(), called: "stand".into(), ..Label::default() });
}

/// From the hinge along one end of the swing, round the arc, and back.
fn sector(at: P2, facing: P2, swing: f64, radius: f64) -> Vec<P2> {
    let mut run = vec![at];
    for i in 0..=CHORDS {
        let angle = swing * (2.0 * i as f64 / CHORDS as f64 - 1.0);
        let (sin, cos) = (math::sin(angle), math::cos(angle));
        run.push(at + (facing * cos + facing.left() * sin) * radius);
    }
    run.push(at);
    run
}

/// A truck's tail: a box behind the hinge.
fn truck(ink: &mut Ink, at: P2, facing: P2) {
    let (back, side) = (facing * -5.0, facing.left() * 1.8);
    ink.rings("ring", &[vec![at + side, at - side, at - side + back, at + side + back]]);
    ink.circle("dot", at, 1.0);
}

pub(super) fn keys(layer: &ReachLayer) -> Vec<(Key, String)> {
    let mut keys: Vec<(Key, String)> = vec![(
        Key::Mark(|ink, at| truck(ink, at + P2::new(2.5, 0.0), P2::new(1.0, 0.0))),
        "truck; chute hinges at the dot".to_owned(),
    )];
    for (stand, class) in layer.stands.iter().zip(ARCS) {
        keys.push((Key::Line(class), format!("reach from {}", text::cut(&stand.label, 40))));
    }
    if !layer.beyond.is_empty() {
        keys.push((Key::Fill("hx"), "out of reach of every stand".to_owned()));
        if !layer.limit.is_empty() {
            keys.push((Key::Line("limit"), "the edge of that part".to_owned()));
        }
    }
    keys
}
