use basis::{Angle, Length, Origin, Place};

use super::*;
use crate::finish::FinishSurface;
use crate::layer::Layer;
use crate::outline::{Corner, Door, Edge, EdgeKind, EdgeShape, Floor, Outline};
use crate::ponding::{Net, ponding_on};
use crate::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup, LevelledShot, ShotOn};
use crate::{Facet, P2, Plane};

/// 6 by 4 m; the far side and the two short sides are walls, the near side is a form, with a door in the left wall.
fn floor() -> (Outline, Floor) {
    let corner =
        |(name, x, y): (&str, f64, f64)| Corner { name: name.into(), at: P2::new(x, y), place: Place::job() };
    let corners = [("A", 0.0, 0.0), ("B", 6.0, 0.0), ("C", 6.0, 4.0), ("D", 0.0, 4.0)].map(corner).to_vec();
    let edge = |kind| Edge { shape: EdgeShape::Straight, kind, place: Place::job() };
    let kinds = [EdgeKind::Free, EdgeKind::Wall, EdgeKind::Wall, EdgeKind::Wall];
    let door = Door {
        name: "door".into(),
        edge: 3,
        start: Length::metres(1.0),
        width: Length::metres(1.0),
        drop: Length::ZERO,
        taper: Length::ZERO,
        place: Place::job(),
    };
    let outline =
        Outline { corners, edges: kinds.map(edge).to_vec(), doors: vec![door], ..Outline::default() };
    let floor = crate::floor::lay_out(&outline).value.unwrap();
    (outline, floor)
}

fn design(plane: Plane) -> FinishSurface {
    let (_, floor) = floor();
    FinishSurface::new(vec![Facet { ring: floor.boundary.corners().to_vec(), plane }])
}

fn shots(height: impl Fn(P2) -> f64) -> Vec<LevelledShot> {
    let mut shots = Vec::new();
    for row in 0..8 {
        for column in 0..12 {
            let at = P2::new(0.25 + 0.5 * f64::from(column), 0.25 + 0.5 * f64::from(row));
            let name = format!("{}", shots.len() + 1);
            shots.push(LevelledShot {
                name,
                at,
                z: height(at),
                setup: 0,
                on: ShotOn::Base,
                place: Place::job(),
            });
        }
    }
    shots
}

fn levelled(backsight: f64, rod: f64) -> Levelled {
    let setup = LevelledSetup {
        name: "1".into(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station: P2::new(3.0, 2.0),
        errors: InstrumentErrors {
            backsight: Length::metres(backsight),
            tilt: Angle::ZERO,
            rod: Length::metres(rod),
            origin: Origin::Stated,
        },
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on: None,
    };
    Levelled { setups: vec![setup], shots: Vec::new() }
}

/// Shots 3 mm over a sloped design: the whole surface, edges too, lies 3 mm over it, and the triangles tile the floor.
#[test]
fn edges_follow_design_and_shots() {
    let (outline, floor) = floor();
    let plane = Plane { at: P2::default(), z0: 1.0, gx: 0.01, gy: -0.02 };
    let found =
        built_surface(&shots(|p| plane.z(p) + 0.003), &floor, &outline, &design(plane)).value.unwrap();
    assert!((found.tin.hull_area() - 24.0).abs() < 1e-9 && found.shots == 96);
    for p in &found.tin.points {
        assert!((p.z - plane.z(p.plan()) - 0.003).abs() < 1e-12);
    }
}

/// Water leaves over the form and through the door, nowhere along the walls.
#[test]
fn outlets_are_forms_and_doors() {
    let (outline, floor) = floor();
    let found = built_surface(&shots(|_| 0.0), &floor, &outline, &design(Plane::level(0.0))).value.unwrap();
    for &v in &found.outlets {
        let p = found.tin.points[v].plan();
        let way = found.way_off(p, &floor, &outline).unwrap();
        let at_door = p.x < 1e-6 && (2.0..=3.0).contains(&p.y);
        assert!(
            if at_door { way == Way::Door(0) } else { way == Way::Edge(0) && p.y < 1e-6 },
            "{p:?} {way:?}"
        );
    }
    assert!(found.outlets.iter().any(|&v| found.tin.points[v].x < 1e-6 && found.tin.points[v].y > 1.0));
}

#[test]
fn bad_shots_are_told() {
    let (outline, floor) = floor();
    let level = design(Plane::level(0.0));
    let mut all = shots(|_| 0.0);
    all[0].at = P2::new(-0.2, 1.0);
    let report = built_surface(&all, &floor, &outline, &level);
    assert_eq!(report.notes.iter().map(|n| n.code).collect::<Vec<_>>(), ["as-built-shot-off-the-floor"]);
    assert_eq!(report.value.unwrap().shots, 95);
    let refused = built_surface(&all[..3], &floor, &outline, &level);
    assert!(refused.value.is_none() && refused.notes.iter().any(|n| n.code == "too-few-shots-as-built"));
}

/// A dish 8 mm deep and 1.6 m wide in a level floor: a straightedge over its middle shows its depth, whichever way it lies.
#[test]
fn a_straightedge_finds_the_dish() {
    let (outline, floor) = floor();
    let middle = P2::new(3.25, 2.25);
    let dish = |p: P2| -0.008 * (1.0 - (p.distance(middle) / 0.8).powi(2)).max(0.0);
    let found = built_surface(&shots(dish), &floor, &outline, &design(Plane::level(0.0))).value.unwrap();
    let net = Net::of(&found.tin);
    let ponding = ponding_on(&net, &found.outlets, Length::millimetres(0.5)).value.unwrap();
    assert_eq!(ponding.birdbaths.len(), 1);
    let bath = &ponding.birdbaths[0];
    assert!((bath.depth.in_millimetres() - 8.0).abs() < 1e-9 && bath.lowest == middle);
    let find = find_with_straightedge(&Layer::new(found.tin.facets()), bath, Length::metres(3.0)).unwrap();
    assert!((find.gap.in_millimetres() - 8.0).abs() < 1e-6, "{find:?}");
    assert!((find.from.distance(find.to) - 3.0).abs() < 1e-9);
    assert_eq!(seen(bath, Length::millimetres(1.0)), Seen::Clearly);
    assert_eq!(seen(bath, Length::millimetres(2.0)), Seen::LikeNoise);
    let circle = std::f64::consts::PI * 0.25 * width(bath).in_metres() * width(bath).in_metres();
    assert!((circle - bath.area.in_square_metres()).abs() < 1e-9);
}

/// Two shots 2 and 4 mm high, one 9 mm low: mean −1, spread by hand; the mean's doubt is that of the backsight and a third of the rod's
/// variance.
#[test]
fn deviations_by_hand() {
    let three: Vec<LevelledShot> = shots(|_| 0.0).into_iter().take(3).collect();
    let against: Vec<Against<'_>> =
        three.iter().zip([-0.002, -0.004, 0.009]).map(|(shot, wanted)| Against { shot, wanted }).collect();
    let found = deviations(&against, &levelled(0.002, 0.003), Length::millimetres(5.0)).unwrap();
    assert!((found.mean.mean.in_millimetres() + 1.0).abs() < 1e-12);
    assert!((found.sd.in_millimetres() - 49_f64.sqrt()).abs() < 1e-12);
    assert!((found.mean.sd.in_millimetres() - (4.0_f64 + 3.0).sqrt()).abs() < 1e-12);
    assert_eq!((found.highest.0, found.lowest.0, found.beyond), (1, 2, 1));
    assert!(deviations(&[], &levelled(0.0, 0.0), Length::ZERO).is_none());
}

fn base() -> crate::gp::Process {
    let spots: Vec<crate::gp::BaseShot> = shots(|p| -0.1 + 0.002 * (1.3 * p.x).fract())
        .into_iter()
        .step_by(3)
        .map(|s| crate::gp::BaseShot {
            name: s.name,
            at: s.at,
            z: s.z,
            variance: 1e-6,
            setup: 0,
            zone: 0,
            place: Place::job(),
        })
        .collect();
    let levelled = levelled(0.001, 0.001);
    let input = crate::gp::ProcessInput {
        shots: &spots,
        levelled: &levelled,
        datum: Some(0),
        intended: P2::default(),
    };
    crate::gp::fit(&input).value.unwrap()
}

/// Chances from the normal curve: a slab a whole limit over it is under it about never, one at the limit half of the time. Published
/// arithmetic of the tolerance: spots spread by 0.47, 0.5 and 0.9 in. about the drawing are under it by 3/4 in. in 5.53, 6.68 and 20.23 of 100.
#[test]
fn chances_of_thickness() {
    let process = base();
    let all = shots(|_| 0.0);
    let figures = |nominal: f64| {
        let against: Vec<Against<'_>> = all.iter().map(|shot| Against { shot, wanted: -0.1 }).collect();
        let zone = |_: &LevelledShot| 0;
        let base = Base { process: &process, zone: &zone, of_datum: 1e-6 };
        thickness(&against, &levelled(0.001, 0.001), &base, Length::metres(nominal), &ACI_THICKNESS).unwrap()
    };
    let as_drawn = figures(0.1);
    assert!((as_drawn.mean.mean.in_metres() - 0.1).abs() < 1e-12 && as_drawn.sd.in_metres() < 1e-12);
    assert!(as_drawn.mean_under.in_ratio() < 1e-6 && as_drawn.single_under.in_ratio() < 1e-6);
    // The drawing asks for 3/8 in. more than there is.
    let at_the_limit = figures(0.1 + 0.375 * 0.0254);
    assert!((at_the_limit.mean_under.in_ratio() - 0.5).abs() < 1e-9);
    assert!((at_the_limit.thinner.in_ratio() - 0.5).abs() < 1e-9);
    assert!(
        at_the_limit.mean.sd > Length::millimetres(1.0) && at_the_limit.mean.sd < at_the_limit.spots[0].sd
    );
    for (sd, share) in [(0.47, 0.0553), (0.5, 0.0668), (0.9, 0.2023)] {
        assert!((basis::math::normal_below(-0.75 / sd) - share).abs() < 5e-5);
    }
}

/// A thick spot counts in the mean as no thicker than 3/4 in. over the drawing.
#[test]
fn thick_spots_are_held() {
    let process = base();
    let all: Vec<LevelledShot> = shots(|_| 0.0).into_iter().take(2).collect();
    let wanted = [-0.1, -0.2];
    let against: Vec<Against<'_>> =
        all.iter().zip(wanted).map(|(shot, wanted)| Against { shot, wanted }).collect();
    let zone = |_: &LevelledShot| 0;
    let base = Base { process: &process, zone: &zone, of_datum: 0.0 };
    let found =
        thickness(&against, &levelled(0.0, 0.001), &base, Length::metres(0.1), &ACI_THICKNESS).unwrap();
    assert!((found.mean.mean.in_metres() - (0.1 + 0.5 * 0.01905)).abs() < 1e-12);
    assert_eq!(found.thinnest.0, 0);
}
