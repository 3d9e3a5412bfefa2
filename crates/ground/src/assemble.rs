//! The ground put together: floor, finish and base in, thickness, volume and doubt out.

use basis::{Area, Estimate, Length, Note, Origin, Place, Report, Volume};

use crate::doubt::{Doubt, NextShot, doubt};
use crate::dug::dug;
use crate::finish::{FinishSurface, FormDeviation, FormShot, follow_forms};
use crate::gp::pool::MOST_SHOTS;
use crate::gp::{BaseShot, Process, ProcessInput, fit};
use crate::layer::Layer;
use crate::outline::{Floor, Outline};
use crate::overlay::{Mesh, overlay};
use crate::polygon::{clip_convex, signed_area};
use crate::quadrature::{Quadrature, quadrature};
use crate::survey::{Levelled, ShotOn};
use crate::thickness::{Thinnest, area_thinner_than, thinnest};
use crate::tin::{Tin, triangulate};
use crate::zones::{put_in, triangles_of};
use crate::{Facet, P2, P3, Polygon, volume, words};

/// Pieces of the floor for the doubt; more change the spread by less than a per cent.
const PIECES: usize = 220;
/// Spots across the longer side where the base's mean is drawn as triangles.
const DRAWN_ACROSS: f64 = 28.0;
/// Spread of a hand-dug trench or pit about its drawn depth, one standard deviation: half of the 3/4 in
/// that fine grade may be off [@aci117].
const DIGGING: Length = Length::inches(0.375);

/// A thickness under the least by no more than this cannot be read on a stick: common practice, no source.
const UNREADABLE: Length = Length::millimetres(1.0);

/// What the ground is put together from.
#[derive(Debug, Clone, Copy)]
pub struct GroundInput<'a> {
    /// The laid-out floor.
    pub floor: &'a Floor,
    /// The outline that it was laid out from.
    pub outline: &'a Outline,
    /// The designed top.
    pub design: &'a FinishSurface,
    /// The levelled survey.
    pub levelled: &'a Levelled,
    /// Index of the set-up from which the forms are set.
    pub datum: usize,
    /// Break lines of the base, with elevations.
    pub breaks: &'a [Vec<P3>],
    /// Parts of the base that are graded by themselves.
    pub zones: &'a [Polygon],
    /// Spots inside that the laser holds to design: the pads.
    pub controls: &'a [P2],
    /// Error of setting one form point or pad, one standard deviation.
    pub setting: Length,
    /// Least thickness accepted.
    pub minimum: Length,
}

/// The ground.
#[derive(Debug, Clone)]
pub struct Ground {
    /// Top of the floor as it will be struck: the design, or the forms as they stand.
    pub finish: FinishSurface,
    /// How far the forms as shot stand from the design.
    pub forms: Vec<FormDeviation>,
    /// The base as a process.
    pub process: Process,
    /// Its mean, drawn as triangles.
    pub base: Layer,
    /// Depth dug below it.
    pub dug: Layer,
    /// Finish, base and dug depth overlaid.
    pub mesh: Mesh,
    /// The floor in pieces, for the doubt.
    pub pieces: Quadrature,
    /// The doubt of the base.
    pub doubt: Doubt,
    /// Volume by plain triangles between the shots, where they reach.
    pub by_triangles: ByTriangles,
    /// Thinnest place of the expected slab, with one standard deviation there.
    pub thinnest: Option<(Thinnest, Length)>,
    /// Area expected to be under the least thickness.
    pub thin_area: Area,
    /// Where further shots would help most.
    pub next_shots: Vec<NextShot>,
    /// Variance of one form point or pad, m², and how many hold the floor.
    setting: (f64, usize),
}

/// The slab by plain triangles between the shots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByTriangles {
    /// Slab volume where the triangles reach, without what is dug.
    pub volume: Volume,
    /// The same from the process, over the same part of the floor.
    pub by_process: Volume,
    /// Share of the floor that the triangles reach.
    pub reached: f64,
}

/// Puts the ground together.
///
/// # Errors
/// Refused when the base cannot be told from its shots, when no base shot lies on or near the floor, or
/// when the base stands above the floor over more than a hundredth of it. Warnings name shots outside,
/// places under the least thickness, and forms lower than the ground.
#[must_use]
pub fn ground(input: &GroundInput<'_>) -> Report<Ground> {
    let mut notes = Vec::new();
    let forms = form_shots(input.levelled);
    let followed = follow_forms(input.design, input.floor, &forms, input.controls).unload(&mut notes);
    let (finish, deviations) = followed.unwrap_or_else(|| (input.design.clone(), Vec::new()));
    let shots = base_shots(input, &mut notes);
    let process_input = ProcessInput {
        shots: &shots,
        levelled: input.levelled,
        datum: Some(input.datum),
        intended: mean_fall(input.design),
    };
    let process = fit(&process_input).unload(&mut notes);
    let dug = dug(input.outline, input.floor).unload(&mut notes);
    let (Some(process), Some(dug)) = (process, dug) else { return Report::refused(notes) };
    let Some(base) = mean_surface(input, &process, &mut notes) else { return Report::refused(notes) };
    let mesh = overlay(input.floor, finish.facets(), &base, &dug);
    let pieces = quadrature(input.floor, PIECES);
    let doubt = doubt(&process, &pieces, &|p| zone_of(input.zones, p));
    let rod = shots.iter().map(|s| s.variance).sum::<f64>() / shots.len().max(1) as f64;
    let next_shots = doubt.next_shots(&pieces.weights, rod, 3);
    let thin = thinnest(&mesh)
        .map(|t| (t, Length::metres(process.variance(t.at, zone_of(input.zones, t.at)).sqrt())));
    let holds = input.floor.boundary.corners().len() + input.controls.len();
    let built = Ground {
        by_triangles: by_triangles(input, &shots, &finish, &mesh),
        thin_area: area_thinner_than(&mesh, input.minimum),
        setting: (input.setting.in_metres() * input.setting.in_metres(), holds),
        thinnest: thin,
        forms: deviations,
        finish,
        process,
        base: Layer::new(base),
        dug: Layer::new(dug),
        mesh,
        pieces,
        doubt,
        next_shots,
    };
    judge(input, &built, &mut notes);
    if basis::has_fault(&notes) { Report::refused(notes) } else { Report::with(built, notes) }
}

fn form_shots(levelled: &Levelled) -> Vec<FormShot> {
    let forms = levelled.shots.iter().filter(|s| s.on == ShotOn::Form);
    forms.map(|s| FormShot { name: s.name.clone(), at: s.at, z: s.z, place: s.place.clone() }).collect()
}

/// Mean rise of the designed top over a run of one along each axis: a base is graded along the floor.
fn mean_fall(design: &FinishSurface) -> P2 {
    let (mut sum, mut whole) = (P2::default(), 0.0);
    for facet in design.facets() {
        let area = signed_area(&facet.ring);
        sum = sum + P2::new(facet.plane.gx, facet.plane.gy) * area;
        whole += area;
    }
    if whole > 0.0 { sum / whole } else { P2::default() }
}

/// Part of the base at a spot: 0 is the main one.
#[must_use]
pub fn zone_of(zones: &[Polygon], p: P2) -> usize {
    zones.iter().position(|z| z.contains(p)).map_or(0, |i| i + 1)
}

fn base_shots(input: &GroundInput<'_>, notes: &mut Vec<Note>) -> Vec<BaseShot> {
    let (low, high) = input.floor.boundary.bounds();
    let beside = 0.25 * (high - low).norm();
    let mut outside = 0;
    let mut shots = Vec::new();
    for shot in input.levelled.shots.iter().filter(|s| s.on == ShotOn::Base) {
        let off = input.floor.boundary.distance_to_edge(shot.at);
        if !input.floor.boundary.contains(shot.at) && off > beside {
            outside += 1;
            if outside <= 20 {
                notes.push(Note::in_both(|units| {
                    let off = words::long(off, units);
                    let message =
                        format!("base shot {} lies {off} outside the floor; it is not used", shot.name);
                    Note::warning(
                        "shot-outside-the-floor",
                        shot.place.clone(),
                        message,
                        "check where it was taken",
                    )
                }));
            }
            continue;
        }
        shots.push(BaseShot {
            name: shot.name.clone(),
            at: shot.at,
            z: shot.z,
            variance: input.levelled.rod_variance(shot.setup),
            setup: shot.setup,
            zone: zone_of(input.zones, shot.at),
            place: shot.place.clone(),
        });
    }
    // Points of break lines were shot too; they belong to the set-up in use.
    for (i, spot) in input.breaks.iter().flatten().enumerate() {
        shots.push(BaseShot {
            name: format!("break {}", i + 1),
            at: spot.plan(),
            z: spot.z,
            variance: input.levelled.rod_variance(input.datum),
            setup: input.datum,
            zone: zone_of(input.zones, spot.plan()),
            place: Place::at("base.break"),
        });
    }
    tell_zones_without_shots(input.zones, &shots, notes);
    shots
}

/// A part of the base without shots takes the level of the part first shot, which it was set apart from.
fn tell_zones_without_shots(zones: &[Polygon], shots: &[BaseShot], notes: &mut Vec<Note>) {
    let bare = (0..zones.len()).filter(|i| !shots.iter().any(|s| s.zone == i + 1));
    notes.extend(bare.map(|i| {
        Note::warning(
            "zone-without-shots",
            Place::at("base").key("zone").index(i),
            "no shot of the base lies in this part: it is taken at the level of the rest",
            "shoot it, or take the zone out",
        )
    }));
}

/// The process' mean as triangles over the floor, each part of the base by itself.
fn mean_surface(input: &GroundInput<'_>, process: &Process, notes: &mut Vec<Note>) -> Option<Vec<Facet>> {
    let spots = drawn_spots(input, process);
    let main = process.sample(&spots, 0);
    let mut layer = triangulate(&main, input.breaks).unload(notes)?.facets();
    for (i, zone) in input.zones.iter().enumerate() {
        let own: Vec<P2> = spots
            .iter()
            .copied()
            .filter(|&p| zone.contains(p))
            .chain(zone.corners().iter().copied())
            .collect();
        let own = triangulate(&process.sample(&own, i + 1), &[]).unload(notes)?.facets();
        layer = put_in(&layer, zone, &own);
    }
    Some(layer)
}

/// Corners of the floor and its openings, the shots as the process took them, and a grid between.
fn drawn_spots(input: &GroundInput<'_>, process: &Process) -> Vec<P2> {
    let mut spots: Vec<P2> = input.floor.boundary.corners().to_vec();
    spots.extend(input.floor.holes.iter().flat_map(|h| h.corners().iter().copied()));
    spots.extend(process.spots().filter(|&p| input.floor.boundary.contains(p)));
    let (low, high) = input.floor.boundary.bounds();
    let step = ((high.x - low.x).max(high.y - low.y) / DRAWN_ACROSS).max(1e-3);
    let (columns, rows) = (((high.x - low.x) / step) as usize, ((high.y - low.y) / step) as usize);
    for row in 0..=rows {
        for column in 0..=columns {
            let p = low + P2::new(column as f64 + 0.5, row as f64 + 0.5) * step;
            if input.floor.boundary.contains(p) {
                spots.push(p);
            }
        }
    }
    // Pooled shots leave the floor's edges bare, and the mean is not straight from corner to corner.
    if input.levelled.shots.len() > MOST_SHOTS {
        spots.extend(along_edges(input.floor.boundary.corners(), step));
    }
    // Spots nearer than the triangulation can tell apart are one.
    spots.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    spots.dedup_by(|a, b| a.distance(*b) < 2e-3);
    spots
}

/// Spots along the sides of a ring, `step` apart or nearer.
fn along_edges(ring: &[P2], step: f64) -> Vec<P2> {
    let side = |i: usize| {
        let (from, to) = (ring[i], ring[(i + 1) % ring.len()]);
        let parts = (from.distance(to) / step).ceil().max(1.0);
        (1..parts as usize).map(move |k| from.lerp(to, k as f64 / parts))
    };
    (0..ring.len()).flat_map(side).collect()
}

/// The slab by plain triangles, beside the process over the same part.
fn by_triangles(
    input: &GroundInput<'_>,
    shots: &[BaseShot],
    finish: &FinishSurface,
    mesh: &Mesh,
) -> ByTriangles {
    let spots: Vec<P3> = shots.iter().map(|s| s.at.at(s.z)).collect();
    let none = ByTriangles { volume: Volume::ZERO, by_process: Volume::ZERO, reached: 0.0 };
    let Some(tin) = triangulate(&spots, input.breaks).value else { return none };
    let plain = overlay(input.floor, finish.facets(), &tin.facets(), &[]);
    let by_process = hull(&tin).map_or(0.0, |hull| {
        let slab = mesh.cells.iter().map(|c| {
            let ring = clip_convex(&c.ring, &hull);
            if ring.len() < 3 {
                0.0
            } else {
                signed_area(&ring) * c.thickness().z(crate::polygon::centroid(&ring))
            }
        });
        slab.sum()
    });
    ByTriangles {
        volume: volume::volume(&plain),
        by_process: Volume::cubic_metres(by_process),
        reached: 1.0 - plain.uncovered / input.floor.area,
    }
}

/// The convex hull of a triangulation, counter-clockwise (Andrew's monotone chain).
fn hull(tin: &Tin) -> Option<Vec<P2>> {
    let mut points: Vec<P2> = tin.points.iter().map(|p| p.plan()).collect();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = &P2>| {
        let mut ring: Vec<P2> = Vec::new();
        for &p in points {
            while ring.len() >= 2 && crate::point::turn(ring[ring.len() - 2], ring[ring.len() - 1], p) <= 0.0
            {
                ring.pop();
            }
            ring.push(p);
        }
        ring.pop();
        ring
    };
    let mut ring = chain(&mut points.iter());
    ring.extend(chain(&mut points.iter().rev()));
    (ring.len() >= 3).then_some(ring)
}

/// What the numbers say about the job.
fn judge(input: &GroundInput<'_>, built: &Ground, notes: &mut Vec<Note>) {
    let (_, above) = volume::cut_fill(&built.mesh);
    let buried = area_thinner_than(&built.mesh, Length::ZERO).in_square_metres();
    if buried > 0.01 * input.floor.area {
        notes.push(Note::in_both(|units| {
            let message = format!(
                "the base stands above the floor over {} ({}): finish and shots do not belong together",
                words::area(buried, units),
                words::volume(above, units)
            );
            let hint = "check the finish elevation, the benchmark and the backsight";
            Note::fault("finish-below-base", Place::at("finish"), message, hint)
        }));
        return;
    }
    let thin = built.thinnest.map_or(0.0, |(t, _)| t.thickness.in_metres());
    // A thousandth of the floor thinner by less than can be read is no warning's worth.
    let mere_rounding = built.thin_area.in_square_metres() < 1e-3 * input.floor.area
        && thin > (input.minimum - UNREADABLE).in_metres();
    if built.thin_area.in_square_metres() > 1e-6 && !mere_rounding {
        notes.push(Note::in_both(|units| {
            let message = format!(
                "{} are expected under the least thickness of {}; the thinnest is {}",
                words::area(built.thin_area.in_square_metres(), units),
                words::small(input.minimum.in_metres(), units),
                words::small(thin, units)
            );
            let hint = "cut the base there, or raise the floor";
            Note::warning("under-least-thickness", Place::at("slab.minimum"), message, hint)
        }));
    }
    if built.mesh.uncovered > 1e-6 * input.floor.area {
        notes.push(Note::in_both(|units| {
            let message = format!("{} of floor have no surface", words::area(built.mesh.uncovered, units));
            let hint = "add spots at the floor's edge";
            Note::warning("floor-uncovered", input.outline.place.clone(), message, hint)
        }));
    }
}

impl Ground {
    /// Volume inside the forms with its doubt.
    #[must_use]
    pub fn forms_volume(&self) -> Estimate<Volume> {
        let variance = self.covariance(&self.pieces.weights, &self.pieces.weights);
        let sd = Volume::cubic_metres(variance.max(0.0).sqrt());
        Estimate::new(volume::volume(&self.mesh), sd, Origin::Derived)
    }

    /// Expected volume inside the forms, in one convex window.
    #[must_use]
    pub fn volume_in(&self, window: &Polygon) -> Volume {
        volume::volume_in(&self.mesh, window)
    }

    /// Weights of the pieces inside any of several windows that do not overlap.
    #[must_use]
    pub fn weights_in(&self, windows: &[Polygon]) -> Vec<f64> {
        let mut sum = vec![0.0; self.pieces.weights.len()];
        for window in windows {
            for (total, part) in sum.iter_mut().zip(self.pieces.weights_in(window)) {
                *total += part;
            }
        }
        sum
    }

    /// Covariance of the volumes of two regions, m⁶: base and survey, forms and pads, digging.
    #[must_use]
    pub fn covariance(&self, a: &[f64], b: &[f64]) -> f64 {
        let (area_a, area_b): (f64, f64) = (a.iter().sum(), b.iter().sum());
        let (point, holds) = self.setting;
        let whole: f64 = self.pieces.weights.iter().sum();
        let dug = self.dug_area() * DIGGING.in_metres();
        let digging = dug * dug * (area_a / whole) * (area_b / whole);
        self.doubt.covariance(a, b) + area_a * area_b * point / holds.max(1) as f64 + digging
    }

    /// Floor area over thickened edges and footings, m².
    fn dug_area(&self) -> f64 {
        let dug = |c: &&crate::overlay::Cell| c.ring.iter().any(|&p| c.dug.z(p) > 1e-9);
        self.mesh.cells.iter().filter(dug).map(|c| signed_area(&c.ring)).sum()
    }

    /// Expected elevation of the base at a spot, m.
    #[must_use]
    pub fn base_z(&self, p: P2) -> Option<f64> {
        self.base.z(p)
    }

    /// How far below the base a thickened edge, pad or footing is dug at a spot; nought elsewhere.
    #[must_use]
    pub fn dug_at(&self, p: P2) -> Length {
        Length::metres(self.dug.z(p).unwrap_or(0.0).max(0.0))
    }
}

/// Base zones as polygons; a zone with a figure that is no number or with fewer than three corners is a fault.
#[must_use]
pub fn zones(corners: &[(Vec<P2>, Place)]) -> Report<Vec<Polygon>> {
    let mut notes = Vec::new();
    let mut result = Vec::new();
    for (ring, place) in corners {
        let polygon = Polygon::new(ring.clone());
        if triangles_of(&polygon).is_empty() || !polygon.area().is_finite() || polygon.area() < 1e-6 {
            notes.push(Note::fault(
                "zone-without-area",
                place.clone(),
                "this part of the base has no area",
                "list its corners in order round",
            ));
        }
        result.push(polygon);
    }
    if basis::has_fault(&notes) { Report::refused(notes) } else { Report::with(result, notes) }
}
