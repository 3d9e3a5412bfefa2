//! The drawings of a plan, one a layer: what each shows is taken from the plan, nothing is figured anew.

mod as_built;
mod fall;
mod floor;
mod joint_sheet;
mod laid;
mod pour_sheets;

use basis::quantity::{feet_inches, rod, thickness};
use basis::{Length, RodMarks, UnitSystem};
use ground::survey::ShotOn;
use ground::{P2, P3, Plane};
use pour::Job;
use pour::day::{Day, FloorOfDay};
use pour::plan::Plan;

pub use as_built::as_built_sheets;
pub(crate) use floor::drawing as floor_drawing;
pub(crate) use joint_sheet::{from as saw_from, joints as joint_layer};
pub use laid::takeoff_sheets;
pub(crate) use pour_sheets::from_edge;

use crate::clock_sheets::day_line;
use crate::drawing::screen::OnScreen;
use crate::drawing::{
    BaseLayer, Field, FloorDrawing, Layer, ShotMark, Spot, ThicknessLayer, draw, draw_for_screen, neat_limits,
};

/// The drawings of a plan with their file names, in the order of the work; with a day its day line comes last.
#[must_use]
pub fn sheets(job: &Job, plan: &Plan, day: Option<&Day>) -> Vec<(String, String)> {
    let mut floor = floor::drawing(job, plan);
    let layers = [
        ("base.svg", Layer::Base(base(job, plan))),
        ("thickness.svg", Layer::Thickness(thick(job, plan))),
        ("fall.svg", Layer::Fall(fall::layer(job, plan))),
        ("loads.svg", Layer::Loads(pour_sheets::loads(job, plan))),
        ("pads.svg", Layer::Pads(pour_sheets::pads(job, plan))),
        ("reach.svg", Layer::Reach(pour_sheets::reach(job, plan))),
        ("joints.svg", Layer::Joints(joint_sheet::joints(job, plan))),
    ];
    let count = layers.len() + usize::from(day.is_some());
    let numbered = layers.into_iter().enumerate().map(|(i, (name, layer))| {
        floor.sheet.number = format!("Sheet {} of {count}", i + 1);
        (name.to_owned(), draw(&floor, &layer))
    });
    let mut sheets: Vec<(String, String)> = numbered.collect();
    if let Some(day) = day {
        let number = format!("Sheet {count} of {count}");
        sheets.extend(day_line(&[FloorOfDay { job, plan }], day, &number));
    }
    sheets
}

/// What a screen shows of the floor, one at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ScreenLayer {
    /// The outline with its measures, and how the finish falls.
    Outline,
    /// The base as shot, with the best next shot.
    Base,
    /// Concrete thickness.
    Thickness,
    /// Bays, their order and where each load ends.
    Loads,
    /// Pads with readings.
    Pads,
    /// What the chutes reach.
    Reach,
}

/// One layer of the floor for a screen; `id` tells the drawings of a page apart.
#[must_use]
pub fn floor_for_screen(job: &Job, plan: &Plan, shown: ScreenLayer, id: &str) -> OnScreen {
    let floor = floor::drawing(job, plan);
    let floor = if shown == ScreenLayer::Outline { floor } else { without_measures(floor) };
    let layer = match shown {
        ScreenLayer::Outline => Layer::Fall(fall::layer(job, plan)),
        ScreenLayer::Base => Layer::Base(shots_by_name(base(job, plan), plan)),
        ScreenLayer::Thickness => Layer::Thickness(thick(job, plan)),
        ScreenLayer::Loads => Layer::Loads(pour_sheets::loads(job, plan)),
        ScreenLayer::Pads => Layer::Pads(pour_sheets::pads(job, plan)),
        ScreenLayer::Reach => Layer::Reach(pour_sheets::reach(job, plan)),
    };
    draw_for_screen(&floor, &layer, id)
}

/// A floor whose sides are not measured, so that it comes out larger.
pub(crate) fn without_measures(mut floor: FloorDrawing) -> FloorDrawing {
    floor.sides.iter_mut().for_each(|side| side.label.clear());
    floor.overall = [String::new(), String::new()];
    floor
}

/// The base with its shots by name: their elevations stand in the list below it.
fn shots_by_name(mut layer: BaseLayer, plan: &Plan) -> BaseLayer {
    layer.shots.iter_mut().for_each(|shot| shot.label = std::mem::take(&mut shot.name));
    BaseLayer { next: next(plan), ..layer }
}

/// Where one more shot would help most.
fn next(plan: &Plan) -> Vec<Spot> {
    let first = plan.ground.next_shots.first();
    first.map(|shot| Spot { at: shot.at, label: "shoot here next".to_owned() }).into_iter().collect()
}

/// Rings with the value of a plane over them, and the values' range.
fn pieces<'a>(cells: impl Iterator<Item = (&'a [P2], Plane)>) -> (Vec<Vec<P3>>, f64, f64) {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let rings = cells
        .map(|(ring, plane)| {
            ring.iter()
                .map(|&p| {
                    let z = plane.z(p);
                    (low, high) = (low.min(z), high.max(z));
                    p.at(z)
                })
                .collect()
        })
        .collect();
    (rings, low, high)
}

/// Bands of a surface at neat steps: eighths of an inch and up, or five millimetres and up.
fn field(job: &Job, (pieces, low, high): (Vec<Vec<P3>>, f64, f64), name: impl Fn(Length) -> String) -> Field {
    let steps: Vec<f64> = match job.units {
        UnitSystem::Us => {
            [0.125, 0.25, 0.5, 1.0, 2.0].iter().map(|i| Length::inches(*i).in_metres()).collect()
        }
        UnitSystem::Metric => vec![0.005, 0.01, 0.02, 0.05],
    };
    let limits = neat_limits(low, high, &steps);
    let mut names: Vec<String> = Vec::new();
    for (i, limit) in limits.iter().enumerate() {
        let here = name(Length::metres(*limit));
        names.push(if i == 0 {
            format!("under {here}")
        } else {
            format!("{} to {here}", name(Length::metres(limits[i - 1])))
        });
    }
    names.push(
        limits
            .last()
            .map_or_else(|| name(Length::metres(low)), |l| format!("over {}", name(Length::metres(*l)))),
    );
    let levels = limits.iter().map(|limit| name(Length::metres(*limit))).collect();
    Field { pieces, limits, names, levels }
}

/// An elevation as the rod's owner reads it.
fn elevation(job: &Job, z: Length) -> String {
    match (job.units, job.rod) {
        (UnitSystem::Us, RodMarks::Tenths) => rod(z, RodMarks::Tenths),
        (UnitSystem::Us, _) => feet_inches(z, 8),
        (UnitSystem::Metric, _) => format!("{:.3} m", z.in_metres()),
    }
}

fn base(job: &Job, plan: &Plan) -> BaseLayer {
    let cells = plan.ground.mesh.cells.iter().map(|c| (c.ring.as_slice(), c.base));
    let shots = plan.levelled.shots.iter().filter(|s| s.on == ShotOn::Base);
    let mark = |s: &ground::survey::LevelledShot| ShotMark {
        at: s.at,
        name: s.name.clone(),
        label: elevation(job, Length::metres(s.z)),
    };
    BaseLayer {
        field: field(job, pieces(cells), |z| elevation(job, z)),
        shots: shots.map(mark).collect(),
        next: Vec::new(),
    }
}

fn thick(job: &Job, plan: &Plan) -> ThicknessLayer {
    let mesh = &plan.ground.mesh;
    let cells = mesh.cells.iter().map(|c| (c.ring.as_slice(), c.thickness()));
    let spots = plan.prep.base.iter().filter_map(|p| {
        let here = ground::thickness::at(mesh, p.at)?;
        Some(Spot { at: p.at, label: thickness(here, job.units) })
    });
    let thinnest = plan.ground.thinnest.map(|(t, sd)| Spot {
        at: t.at,
        label: format!("{} \u{b1} {}", thickness(t.thickness, job.units), thickness(sd, job.units)),
    });
    let thickest = ground::thickness::thickest(mesh)
        .map(|t| Spot { at: t.at, label: thickness(t.thickness, job.units) });
    let under = ground::thickness::bands(mesh, &[Length::metres(-10.0), job.slab.minimum]);
    let mut field = field(job, pieces(cells), |l| thickness(l, job.units));
    let ends_there = |limit: &f64| (limit - job.slab.minimum.in_metres()).abs() < 1e-6;
    if let Some(first) = field.names.first_mut().filter(|_| field.limits.first().is_some_and(ends_there)) {
        // The hatch of what is too thin says the same.
        first.clear();
    }
    ThicknessLayer {
        field,
        spots: spots.collect(),
        thinnest,
        thickest,
        thin: under.into_iter().flatten().collect(),
        thin_label: format!("under {}, the least accepted", thickness(job.slab.minimum, job.units)),
    }
}
