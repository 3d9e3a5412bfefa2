//! The drawings of a plan, one a layer: what each shows is taken from the plan, nothing is figured anew.

use basis::math::{cos, sin};
use basis::quantity::{area, feet_inches, length, rod, slope, thickness, volume};
use basis::{Length, RodMarks, Slope, UnitSystem};
use ground::floor::polygon_of;
use ground::outline::EdgeKind;
use ground::polygon::{clip_convex, signed_area};
use ground::survey::ShotOn;
use ground::{P2, P3, Plane};
use pour::Job;
use pour::pads::{Pad, TieTo};
use pour::plan::Plan;

use crate::drawing::{
    Arrow, BaseLayer, BayMark, DoorMark, FallLayer, Field, FloorDrawing, Layer, LoadLine, LoadsLayer,
    NamedRing, PadMark, PadsLayer, ReachArc, ReachLayer, Sheet, Side, SideKind, Spot, StandMark, Tape,
    ThicknessLayer, draw, neat_limits,
};

/// Spots at which the fall is drawn, across the longer side.
const ARROWS_ACROSS: f64 = 6.0;

/// The drawings of a plan with their file names, in the order of the work.
#[must_use]
pub fn sheets(job: &Job, plan: &Plan) -> Vec<(&'static str, String)> {
    let floor = floor_drawing(job, plan);
    let layers = [
        ("base.svg", Layer::Base(base(job, plan))),
        ("thickness.svg", Layer::Thickness(thick(job, plan))),
        ("fall.svg", Layer::Fall(fall(job, plan))),
        ("loads.svg", Layer::Loads(loads(job, plan))),
        ("pads.svg", Layer::Pads(pads(job, plan))),
        ("reach.svg", Layer::Reach(reach(job, plan))),
    ];
    layers.into_iter().map(|(name, layer)| (name, draw(&floor, &layer))).collect()
}

fn floor_drawing(job: &Job, plan: &Plan) -> FloorDrawing {
    let corners = &plan.outline.corners;
    let sides = (0..corners.len()).map(|edge| {
        let parts: Vec<_> = plan.floor.segments.iter().filter(|s| s.edge == edge).collect();
        let mut run: Vec<P2> = parts.iter().map(|s| s.a).collect();
        run.extend(parts.last().map(|s| s.b));
        let along: f64 = parts.iter().map(|s| s.a.distance(s.b)).sum();
        let kind = match plan.outline.edges.get(edge).map(|e| e.kind) {
            Some(EdgeKind::Wall) => SideKind::Wall,
            Some(EdgeKind::ExistingSlab) => SideKind::ExistingSlab,
            _ => SideKind::Form,
        };
        // Jambs part a straight side in several; it is drawn as one.
        let straight =
            plan.outline.edges.get(edge).is_none_or(|e| e.shape == ground::outline::EdgeShape::Straight);
        if straight && run.len() > 2 {
            run = vec![run[0], run[run.len() - 1]];
        }
        Side { run, label: length(Length::metres(along), job.units), kind }
    });
    let named = |ring: &ground::Polygon, label: &str| NamedRing {
        ring: ring.corners().to_vec(),
        label: label.to_owned(),
    };
    FloorDrawing {
        sheet: Sheet {
            job: job.name.clone(),
            setup: plan.levelled.setups.get(plan.datum).map_or(String::new(), |s| s.name.clone()),
            date: String::new(),
            units: job.units,
            notes: vec![format!(
                "Floor {}, {} thick. Local codes and licensed design govern.",
                area(basis::Area::square_metres(plan.floor.area), job.units),
                thickness(job.slab.nominal, job.units)
            )],
        },
        boundary: plan.floor.boundary.corners().to_vec(),
        sides: sides.collect(),
        holes: plan
            .floor
            .holes
            .iter()
            .zip(&plan.outline.openings)
            .map(|(ring, o)| named(ring, &o.name))
            .collect(),
        doors: plan
            .floor
            .doors
            .iter()
            .map(|d| DoorMark { a: d.a, b: d.b, label: plan.outline.doors[d.door].name.clone() })
            .collect(),
        below: plan.outline.footings.iter().map(|f| named(&polygon_of(&f.shape), &f.name)).collect(),
    }
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
    Field { pieces, limits, names }
}

/// An elevation as the rod's owner reads it.
fn elevation(job: &Job, z: Length) -> String {
    match (job.units, job.rod) {
        (UnitSystem::Us, RodMarks::Tenths) => rod(z, RodMarks::Tenths),
        (UnitSystem::Us, _) => feet_inches(z, 8),
        (UnitSystem::Metric, _) => format!("{:.3}", z.in_metres()),
    }
}

fn base(job: &Job, plan: &Plan) -> BaseLayer {
    let cells = plan.ground.mesh.cells.iter().map(|c| (c.ring.as_slice(), c.base));
    let shots = plan.levelled.shots.iter().filter(|s| s.on == ShotOn::Base);
    BaseLayer {
        field: field(job, pieces(cells), |z| elevation(job, z)),
        shots: shots.map(|s| Spot { at: s.at, label: elevation(job, Length::metres(s.z)) }).collect(),
    }
}

fn thick(job: &Job, plan: &Plan) -> ThicknessLayer {
    let cells = plan.ground.mesh.cells.iter().map(|c| (c.ring.as_slice(), c.thickness()));
    let spots = plan.prep.base.iter().filter_map(|p| {
        let here = ground::thickness::at(&plan.ground.mesh, p.at)?;
        Some(Spot { at: p.at, label: thickness(here, job.units) })
    });
    let thinnest = plan.ground.thinnest.map(|(t, sd)| Spot {
        at: t.at,
        label: format!("{} \u{b1} {}", thickness(t.thickness, job.units), thickness(sd, job.units)),
    });
    ThicknessLayer {
        field: field(job, pieces(cells), |l| thickness(l, job.units)),
        spots: spots.collect(),
        thinnest,
    }
}

fn fall(job: &Job, plan: &Plan) -> FallLayer {
    let (low, high) = plan.floor.boundary.bounds();
    let step = ((high.x - low.x).max(high.y - low.y) / ARROWS_ACROSS).max(0.1);
    let (columns, rows) = (((high.x - low.x) / step) as usize, ((high.y - low.y) / step) as usize);
    let spots = (0..=rows).flat_map(|row| (0..=columns).map(move |column| (row, column)));
    let arrows = spots.filter_map(|(row, column)| {
        let at = low + P2::new(column as f64 + 0.5, row as f64 + 0.5) * step;
        let gradient = plan.design.gradient(at).filter(|_| plan.floor.contains(at))?;
        let label = slope(Slope::ratio(gradient.norm()), job.units);
        (gradient.norm() > 1e-6).then_some(Arrow { at, toward: gradient * -1.0, label })
    });
    let heights: Vec<(P2, f64)> =
        plan.outline.corners.iter().filter_map(|c| Some((c.at, plan.design.z(c.at)?))).collect();
    let top = heights.iter().map(|h| h.1).fold(f64::NEG_INFINITY, f64::max);
    let bottom = heights.iter().map(|h| h.1).fold(f64::INFINITY, f64::min);
    let spot = |(at, z): &(P2, f64)| Spot { at: *at, label: elevation(job, Length::metres(*z)) };
    let tapers = plan.floor.doors.iter().map(|d| {
        let inward = (d.b - d.a).unit().left() * d.taper;
        let label = format!("taper {}", thickness(Length::metres(d.drop), job.units));
        NamedRing { ring: vec![d.a, d.b, d.b + inward, d.a + inward], label }
    });
    FallLayer {
        arrows: arrows.collect(),
        breaks: Vec::new(),
        highs: heights.iter().filter(|h| top - h.1 < 1e-4).map(spot).collect(),
        lows: heights.iter().filter(|h| h.1 - bottom < 1e-4).map(spot).collect(),
        tapers: tapers.collect(),
    }
}

/// The floor inside a window, as rings.
fn floor_in(plan: &Plan, window: &ground::Polygon) -> Vec<Vec<P2>> {
    let parts = plan.floor.triangles.iter().map(|t| clip_convex(t, window.corners()));
    parts.filter(|ring| signed_area(ring) > 1e-9).collect()
}

fn loads(job: &Job, plan: &Plan) -> LoadsLayer {
    let bays = plan.bays.bays.iter().zip(&plan.loads.bays).map(|(bay, takes)| BayMark {
        rings: vec![bay.window.corners().to_vec()],
        toward: bay.axis,
        label: volume(*takes, job.units),
    });
    let last = plan.loads.lines.len();
    let lines = plan.loads.lines.iter().filter(|l| l.load < last).map(|l| LoadLine {
        a: l.end.line[0],
        b: l.end.line[1],
        label: format!("load {} | {}", l.load, l.load + 1),
        tape: format!("{} from the start of bay {}", length(l.end.along, job.units), l.end.bay),
    });
    let exit = plan.bays.exit.as_ref().map(|e| Spot { at: e.middle(), label: e.name.clone() });
    LoadsLayer { bays: bays.collect(), lines: lines.collect(), exit }
}

/// The tapes of a pad, each from its foot on the edge.
fn tapes(job: &Job, plan: &Plan, pad: &Pad) -> Vec<Tape> {
    let corners = &plan.outline.corners;
    let foot = |to: &TieTo| match to {
        TieTo::Corner(name) => corners.iter().find(|c| c.name == *name).map(|c| c.at),
        TieTo::Edge(name) => (0..corners.len()).find_map(|i| {
            let (a, b) = (&corners[i], &corners[(i + 1) % corners.len()]);
            let along = (b.at - a.at).unit();
            (format!("{}-{}", a.name, b.name) == *name).then(|| a.at + along * (pad.at - a.at).dot(along))
        }),
    };
    let tape =
        |tie: &pour::pads::Tie| Some(Tape { from: foot(&tie.to)?, label: length(tie.distance, job.units) });
    pad.ties.iter().filter_map(tape).collect()
}

fn pads(job: &Job, plan: &Plan) -> PadsLayer {
    let mark = |pad: &Pad| PadMark {
        at: pad.at,
        number: pad.number,
        reading: pad.reading.said(job.rod),
        tapes: tapes(job, plan, pad),
    };
    PadsLayer {
        pads: plan.pads.pads.iter().map(mark).collect(),
        struck: plan.pads.lines.iter().map(|l| (l.from, l.to)).collect(),
    }
}

fn reach(job: &Job, plan: &Plan) -> ReachLayer {
    let Some(found) = &plan.reach else { return ReachLayer::default() };
    let stands = job.stands.iter().map(|stand| {
        let facing = stand.facing.in_radians();
        let arcs = found.chutes.iter().map(|set| ReachArc {
            radius: set.reach.in_metres(),
            label: if set.extensions.is_empty() { "main".to_owned() } else { length(set.reach, job.units) },
        });
        StandMark {
            at: stand.at,
            label: stand.name.clone(),
            facing: P2::new(cos(facing), sin(facing)),
            half_swing: stand.swing.in_radians(),
            arcs: arcs.collect(),
        }
    });
    let beyond_label = if found.beyond.area > basis::Area::ZERO {
        format!(
            "beyond reach: {}, {}",
            area(found.beyond.area, job.units),
            volume(found.beyond.volume, job.units)
        )
    } else {
        String::new()
    };
    let beyond = found
        .bays
        .iter()
        .filter(|b| b.beyond.area.in_square_metres() > 0.99 * b.whole.area.in_square_metres())
        .filter_map(|b| plan.bays.bays.iter().find(|bay| bay.number == b.bay))
        .flat_map(|bay| floor_in(plan, &bay.window));
    ReachLayer { stands: stands.collect(), beyond: beyond.collect(), beyond_label }
}
