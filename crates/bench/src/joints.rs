//! Joint layouts of about 4 to 60 panels: time, panels over a limit, and sawing over the bound.

use basis::{Length, Place, UnitSystem};
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Opening, OpeningKind, Outline, Shape};
use ground::{P2, floor};
use pour::job::Jointing;
use pour::joints::{JointInput, JointPlan, joints};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use crate::row::{Row, best_of, milliseconds};

/// Floors of one size.
const FLOORS: u64 = 20;

/// Side of a panel that 4 in. and unknown stone allow, m.
const SIDE: f64 = 2.4384;

/// Shapes of floors: a rectangle, and others with inner corners.
#[derive(Debug, Clone, Copy)]
enum Plan {
    Rectangle,
    Elbow,
    Tee,
}

impl Plan {
    const ALL: [Self; 3] = [Self::Rectangle, Self::Elbow, Self::Tee];

    const fn words(self) -> &'static str {
        match self {
            Self::Rectangle => "rectangles",
            Self::Elbow => "L-shaped floors, a column",
            Self::Tee => "T-shaped floors, two columns and a drain",
        }
    }

    /// Corners over a box of `w` by `h` with arms that take part of it.
    fn corners(self, w: f64, h: f64, arms: [f64; 3]) -> Vec<P2> {
        let [a, b, c] = arms;
        let points = match self {
            Self::Rectangle => vec![(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)],
            Self::Elbow => vec![(0.0, 0.0), (w, 0.0), (w, b * h), (a * w, b * h), (a * w, h), (0.0, h)],
            Self::Tee => vec![
                (0.5 * a * w, 0.0),
                (w - 0.5 * c * w, 0.0),
                (w - 0.5 * c * w, b * h),
                (w, b * h),
                (w, h),
                (0.0, h),
                (0.0, b * h),
                (0.5 * a * w, b * h),
            ],
        };
        points.into_iter().map(|(x, y)| P2::new(x, y)).collect()
    }

    const fn openings(self) -> &'static [OpeningKind] {
        match self {
            Self::Rectangle => &[],
            Self::Elbow => &[OpeningKind::Column],
            Self::Tee => &[OpeningKind::Column, OpeningKind::Column, OpeningKind::Drain],
        }
    }
}

/// Each shape of floor at each size.
pub fn rows() -> Vec<Row> {
    let sizes = [4, 8, 15, 30, 60];
    sizes.iter().flat_map(|panels| Plan::ALL.map(|plan| row(*panels, plan))).collect()
}

fn row(wanted: u32, plan: Plan) -> Row {
    let what = format!("joints of about {wanted} panels, {}", plan.words());
    let floors: Vec<(Outline, Floor)> = (0..FLOORS).filter_map(|seed| made(wanted, plan, seed)).collect();
    let plans: Vec<JointPlan> = floors.iter().filter_map(laid).collect();
    if plans.len() < FLOORS as usize {
        return Row::failed(what, "-", format!("{} of {FLOORS} floors laid out", plans.len()));
    }
    let mut times: Vec<_> = floors.iter().map(|floor| best_of(3, || laid(floor))).collect();
    times.sort_unstable();
    let panels = plans.iter().map(|plan| plan.panels.len());
    let (least, most) = (panels.clone().min().unwrap_or(0), panels.clone().max().unwrap_or(0));
    let over = plans.iter().flat_map(|plan| &plan.panels).filter(|panel| !panel.breaks.is_empty()).count();
    let total: usize = panels.sum();
    let proven = plans.iter().filter(|plan| plan.sawn.in_metres() <= plan.least.in_metres() + 1e-6).count();
    let widest = plans.iter().map(|p| p.sawn.in_metres() / p.least.in_metres() - 1.0).fold(0.0, f64::max);
    let figure = format!(
        "{least} to {most} panels, {over} of {total} over a limit; {proven} of {FLOORS} at the bound of sawing, at most {:.0} % over; \
         {} in the middle, {} at most",
        100.0 * widest,
        milliseconds(times[times.len() / 2]),
        milliseconds(times[times.len() - 1])
    );
    Row::told(what, figure)
}

fn laid((outline, floor): &(Outline, Floor)) -> Option<JointPlan> {
    let wanted = Jointing::default();
    let depth = Length::inches(4.0);
    let input = JointInput { floor, outline, depth, wanted: &wanted, bays: &[], units: UnitSystem::Us };
    joints(&input).value
}

/// A floor with room for about so many panels.
fn made(wanted: u32, plan: Plan, seed: u64) -> Option<(Outline, Floor)> {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    let area = f64::from(wanted) * SIDE * SIDE * 0.85;
    let long = rng.random_range(1.0..1.8);
    let share = if matches!(plan, Plan::Rectangle) { 1.0 } else { 0.75 };
    let w = (area / share * long).sqrt();
    let h = area / share / w;
    let arms = [0; 3].map(|_| rng.random_range(0.4..0.6));
    let ring = plan.corners(w, h, arms);
    let name = |i: usize| char::from(b'a' + i as u8).to_string();
    let corner = |(i, at): (usize, &P2)| Corner { name: name(i), at: *at, place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let inside = ground::Polygon::new(ring.clone());
    let mut openings = Vec::new();
    for (i, kind) in plan.openings().iter().enumerate() {
        // Spots are drawn until one lies well inside; every shape of floor has such.
        let at = std::iter::repeat_with(|| P2::new(rng.random_range(0.0..w), rng.random_range(0.0..h)))
            .take(1000)
            .find(|at| {
                let near = [(-0.4, -0.4), (0.4, -0.4), (0.4, 0.4), (-0.4, 0.4)];
                near.iter().all(|(x, y)| inside.contains(*at + P2::new(*x, *y)))
            })?;
        let shape = square(at, 0.3);
        openings.push(Opening { name: format!("o{i}"), kind: *kind, shape, place: Place::job() });
    }
    let outline = Outline {
        corners: ring.iter().enumerate().map(corner).collect(),
        edges: vec![edge; ring.len()],
        openings,
        ..Outline::default()
    };
    let floor = floor::lay_out(&outline).value?;
    Some((outline, floor))
}

fn square(at: P2, side: f64) -> Shape {
    Shape::Rectangle { centre: at, width: Length::metres(side), height: Length::metres(side) }
}
