//! What shots of the finished floor say: elevation, thickness, fall, doors, birdbaths, where the water goes.

use std::collections::BTreeSet;

use basis::{Area, Length, Note, Place, Slope};
use ground::asbuilt::{
    ACI_THICKNESS, Against, Base, BuiltSurface, Deviations, LeastDip, Seen, StraightedgeFind,
    ThicknessFigures, Way, built_surface, deviations, find_with_straightedge, least_dip, seen, thickness,
};
use ground::assemble::zone_of;
use ground::fall::{Drainage, Fall, Goes, drainage, fitted_plane, mean};
use ground::layer::Layer;
use ground::ponding::{Net, Ponding, ponding_on};
use ground::quadrature::quadrature;
use ground::survey::LevelledShot;
use ground::{P2, Polygon, classes, grid::Grid, point::turn};

use super::gather::Gathered;
use crate::job::Job;
use crate::plan::Plan;

/// Top of a slab on ground against its elevation: ACI 117-10, 4.4.1, from memory.
const ELEVATION: Length = Length::inches(0.75);
/// Birdbaths shallower than this are counted, not listed: common practice, no source.
const SHALLOW: Length = Length::inches(1.0 / 32.0);
/// At most so many birdbaths are told one by one.
const MOST_BATHS: usize = 12;
/// Pieces of the floor whose water is followed.
const PIECES: usize = 300;
/// How far inside a door the floor is compared with its edge, m: 2 ft.
const INSIDE: f64 = 0.6096;
/// At most so many shots are named one by one as wild or below the base.
const MOST_NAMED: usize = 10;

/// A birdbath as it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct BathTold {
    /// Whether it can be told from noise.
    pub seen: Seen,
    /// How a 10-ft straightedge shows it best, where the floor is large enough.
    pub find: Option<StraightedgeFind>,
}

/// The floor at a door.
#[derive(Debug, Clone, PartialEq)]
pub struct DoorEdge {
    /// Name of the door.
    pub door: String,
    /// How far the middle of its edge lies below the floor 2 ft inside; negative where it stands above.
    pub below_inside: Length,
    /// The same by design.
    pub wanted: Length,
}

/// Where water goes, by share of the floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drains {
    /// Over an edge, through a door or into a drain, by name, largest first.
    pub ways: Vec<(String, f64)>,
    /// Into the birdbaths listed.
    pub into_birdbaths: f64,
    /// Where the floor is level.
    pub stands: f64,
}

/// What the shots say.
#[derive(Debug, Clone)]
pub struct Top {
    /// Triangles over the floor.
    pub surface: BuiltSurface,
    /// Elevations against design.
    pub elevation: Option<Deviations>,
    /// The tolerance of elevation.
    pub elevation_tolerance: Length,
    /// Thickness over the base as shot.
    pub thickness: Option<ThicknessFigures>,
    /// Where each of the thickness' spots is: shots by their place among [`super::AsBuilt::shots`].
    pub thickness_at: Vec<usize>,
    /// Mean fall of the design.
    pub designed: Fall,
    /// Mean fall of the floor as built, by area.
    pub built: Fall,
    /// The plane that fits the shots best.
    pub plane: Option<ground::fall::FittedPlane>,
    /// The floor at its doors.
    pub doors: Vec<DoorEdge>,
    /// Birdbaths.
    pub ponding: Ponding,
    /// What is told of each.
    pub told: Vec<BathTold>,
    /// Where the water goes.
    pub drains: Drains,
    /// The ways of water from pieces of the floor.
    pub ways: Drainage,
    /// The smallest dip that these shots find anywhere.
    pub least_dip: LeastDip,
    /// What one shot may be off by.
    pub noise: Length,
}

pub(super) fn top(job: &Job, plan: &Plan, gathered: &Gathered, notes: &mut Vec<Note>) -> Option<Top> {
    let surface = built_surface(&gathered.shots, &plan.floor, &plan.outline, &plan.design).unload(notes)?;
    below_base(plan, gathered, notes);
    let noise = gathered.levelled.setups.iter().map(|s| s.errors.rod).fold(Length::ZERO, Length::max);
    let net = Net::of(&surface.tin);
    tell_wild(plan, gathered, &net, notes);
    let ponding = ponding_on(&net, &surface.outlets, SHALLOW).unload(notes)?;
    let layer = Layer::new(surface.tin.facets());
    let edge = classes::ACI_GAPS[0].edge;
    let told = ponding.birdbaths.iter().take(MOST_BATHS);
    let told = told
        .map(|bath| BathTold { seen: seen(bath, noise), find: find_with_straightedge(&layer, bath, edge) });
    let told = told.collect();
    let ways = ways(plan, &surface, &net, &ponding);
    let (elevation, thickness, thickness_at) = tolerances(job, plan, gathered);
    let spots: Vec<_> = gathered.shots.iter().map(|s| s.at.at(s.z)).collect();
    let spacing = Length::metres((plan.floor.area / surface.shots as f64).sqrt());
    Some(Top {
        elevation,
        elevation_tolerance: ELEVATION,
        thickness,
        thickness_at,
        designed: designed(plan),
        built: mean(&surface.tin),
        plane: fitted_plane(&spots),
        doors: doors(plan, &layer),
        drains: drains(plan, &surface, &ways),
        told,
        ponding,
        ways,
        least_dip: least_dip(spacing, noise),
        noise,
        surface,
    })
}

fn designed(plan: &Plan) -> Fall {
    let (mut sum, mut whole) = (P2::default(), 0.0);
    for facet in plan.design.facets() {
        let area = ground::polygon::signed_area(&facet.ring);
        sum = sum + P2::new(facet.plane.gx, facet.plane.gy) * area;
        whole += area;
    }
    Fall::of_rise(if whole > 0.0 { sum / whole } else { P2::default() })
}

type Tolerances = (Option<Deviations>, Option<ThicknessFigures>, Vec<usize>);

/// Elevations against design, and thickness over the base.
fn tolerances(job: &Job, plan: &Plan, gathered: &Gathered) -> Tolerances {
    let inside: Vec<(usize, &LevelledShot)> =
        gathered.shots.iter().enumerate().filter(|(_, s)| plan.floor.contains(s.at)).collect();
    let design = against(&inside, &|p| plan.design.z(p));
    let design: Vec<Against<'_>> = design.into_iter().map(|d| d.1).collect();
    let elevation = deviations(&design, &gathered.levelled, ELEVATION);
    let over_base = against(&inside, &|p| plan.ground.base_z(p));
    let at = over_base.iter().map(|d| d.0).collect();
    let over_base: Vec<Against<'_>> = over_base.into_iter().map(|d| d.1).collect();
    let zones: Vec<Polygon> = job.base.zones.iter().map(|z| Polygon::new(z.corners.clone())).collect();
    let middle = (plan.datum, plan.floor.boundary.centroid());
    let base = Base {
        process: &plan.ground.process,
        zone: &|s| zone_of(&zones, s.at),
        of_datum: plan.levelled.common_covariance(middle, middle),
    };
    let thick = thickness(&over_base, &gathered.levelled, &base, job.slab.nominal, &ACI_THICKNESS);
    (elevation, thick, at)
}

/// Shots with what each should be, and their places in the survey.
fn against<'a>(
    shots: &[(usize, &'a LevelledShot)],
    wanted: &dyn Fn(P2) -> Option<f64>,
) -> Vec<(usize, Against<'a>)> {
    shots.iter().filter_map(|&(i, shot)| Some((i, Against { shot, wanted: wanted(shot.at)? }))).collect()
}

/// Single shots far from where those round them have the floor, against design. What two neighbours tell alike is none.
fn tell_wild(plan: &Plan, gathered: &Gathered, net: &Net<'_>, notes: &mut Vec<Note>) {
    let points = &net.tin.points;
    let off: Vec<f64> = points.iter().map(|p| p.z - plan.design.z(p.plan()).unwrap_or(f64::NAN)).collect();
    let beside = |v: usize| off[v] - median(net.neighbours(v).map(|n| off[n]).collect());
    let local: Vec<f64> =
        (0..points.len()).map(beside).map(|d| if d.is_finite() { d } else { 0.0 }).collect();
    let spread = 1.4826 * median(local.iter().map(|d| d.abs()).collect());
    // Five robust spreads, and never less than 3/8 in.
    let far = (5.0 * spread).max(Length::inches(0.375).in_metres());
    // Another shot beside it that lies off the same way by at least half as much tells of a dip or a hump, not of a misread stick.
    // Spots along edges have their heights from the shots: they tell nothing of their own.
    let spot = |p: P2| (p.x.to_bits(), p.y.to_bits());
    let shots: BTreeSet<(u64, u64)> = gathered.shots.iter().map(|s| spot(s.at)).collect();
    let is_alone = |v: usize| {
        let around = off[v] - local[v];
        let mut others = net.neighbours(v).filter(|&n| shots.contains(&spot(points[n].plan())));
        !others.any(|n| (off[n] - around) / local[v] >= 0.5)
    };
    let mut found: Vec<usize> = (0..local.len()).filter(|&v| local[v].abs() > far && is_alone(v)).collect();
    found.sort_by(|&a, &b| local[b].abs().total_cmp(&local[a].abs()));
    for &v in found.iter().take(MOST_NAMED) {
        let by = local[v];
        let Some(shot) = gathered.shots.iter().find(|s| s.at.distance(points[v].plan()) < 2e-3) else {
            continue;
        };
        notes.push(Note::in_both(|units| {
            let told = basis::quantity::thickness(Length::metres(by.abs()), units);
            let side = if by > 0.0 { "above" } else { "below" };
            let message = format!(
                "as-built shot {} stands {told} {side} where those round it have the floor",
                shot.name
            );
            Note::warning("wild-shot", shot.place.clone(), message, "shoot it again; until then it counts")
        }));
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

/// Shots of the finished floor that lie under its base cannot be.
fn below_base(plan: &Plan, gathered: &Gathered, notes: &mut Vec<Note>) {
    let under: Vec<(&LevelledShot, f64)> = gathered
        .shots
        .iter()
        .filter_map(|s| Some((s, plan.ground.base_z(s.at)? - s.z)))
        .filter(|(_, under)| *under > 0.0)
        .collect();
    if 2 * under.len() > gathered.shots.len() {
        let message =
            format!("{} of {} as-built shots lie below the base", under.len(), gathered.shots.len());
        let hint = "check the benchmark, the backsight and the unit of the readings";
        notes.push(Note::fault("floor-below-base", Place::at("setup"), message, hint));
        return;
    }
    for (shot, by) in under.iter().take(MOST_NAMED) {
        notes.push(Note::in_both(|units| {
            let by = basis::quantity::thickness(Length::metres(*by), units);
            let message = format!("as-built shot {} lies {by} below the base there", shot.name);
            Note::warning(
                "as-built-below-base",
                shot.place.clone(),
                message,
                "check the reading, and the base shots beside it",
            )
        }));
    }
}

/// Each door's edge against the floor inside.
fn doors(plan: &Plan, top: &Layer) -> Vec<DoorEdge> {
    let door = |d: &ground::outline::PlacedDoor| {
        let middle = d.a.lerp(d.b, 0.5);
        let inward = (d.b - d.a).unit().left();
        let (edge, inside) = (middle + inward * 1e-3, middle + inward * INSIDE.max(d.taper + 0.05));
        let below = |z: &dyn Fn(P2) -> Option<f64>| Some(Length::metres(z(inside)? - z(edge)?));
        Some(DoorEdge {
            door: plan.outline.doors.get(d.door)?.name.clone(),
            below_inside: below(&|p| top.z(p))?,
            wanted: below(&|p| plan.design.z(p))?,
        })
    };
    plan.floor.doors.iter().filter_map(door).collect()
}

fn ways(plan: &Plan, surface: &BuiltSurface, net: &Net<'_>, ponding: &Ponding) -> Drainage {
    let rings: Vec<[P2; 3]> = (0..surface.tin.triangles.len()).map(|t| net.corners(t)).collect();
    let index = Grid::over(rings.iter().map(|r| r.as_slice()));
    let holds = |t: usize, p: P2| {
        let [a, b, c] = rings[t];
        [turn(a, b, p), turn(b, c, p), turn(c, a, p)].iter().all(|side| *side >= -1e-12)
    };
    let triangle_at = |p: P2| index.near(&[p]).into_iter().map(|t| t as usize).find(|&t| holds(t, p));
    let is_outlet = |v: usize| surface.outlets.binary_search(&v).is_ok();
    drainage(net, ponding, &is_outlet, &quadrature(&plan.floor, PIECES), &triangle_at)
}

fn drains(plan: &Plan, surface: &BuiltSurface, ways: &Drainage) -> Drains {
    let whole: f64 = ways.ways.iter().map(|w| w.1).sum::<f64>().max(f64::MIN_POSITIVE);
    let mut drains = Drains::default();
    for (way, area) in &ways.ways {
        let share = area / whole;
        let name = match way.goes {
            Goes::Birdbath(_) => {
                drains.into_birdbaths += share;
                continue;
            }
            Goes::Off(p) => surface.way_off(p, &plan.floor, &plan.outline).map(|way| way_name(plan, way)),
            Goes::Stands(_) => None,
        };
        match name {
            None => drains.stands += share,
            Some(name) => match drains.ways.iter_mut().find(|w| w.0 == name) {
                Some(known) => known.1 += share,
                None => drains.ways.push((name, share)),
            },
        }
    }
    drains.ways.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    drains
}

fn way_name(plan: &Plan, way: Way) -> String {
    match way {
        Way::Edge(edge) => format!("edge {}", ground::floor::edge_name(&plan.outline.corners, edge)),
        Way::Door(door) => plan.outline.doors.get(door).map_or_else(String::new, |d| d.name.clone()),
        Way::Opening(hole) => plan.outline.openings.get(hole).map_or_else(String::new, |o| o.name.clone()),
    }
}

impl Top {
    /// Water in all birdbaths, listed or not.
    #[must_use]
    pub fn water(&self) -> basis::Volume {
        let listed: f64 = self.ponding.birdbaths.iter().map(|b| b.volume.in_cubic_metres()).sum();
        basis::Volume::cubic_metres(listed + self.ponding.shallower.volume)
    }

    /// Area under water.
    #[must_use]
    pub fn wet(&self) -> Area {
        let listed: f64 = self.ponding.birdbaths.iter().map(|b| b.area.in_square_metres()).sum();
        Area::square_metres(listed + self.ponding.shallower.area)
    }

    /// Fall as built along the way in which the design falls.
    #[must_use]
    pub fn along_design(&self) -> Slope {
        let toward = self.designed.toward.in_radians();
        self.built.along(P2::new(basis::math::cos(toward), basis::math::sin(toward)))
    }
}
