use basis::Length;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use super::*;
use crate::ponding::{Net, ponding_on};
use crate::tin::triangulate;

fn tin(points: &[P3]) -> Tin {
    triangulate(points, &[]).value.unwrap()
}

/// A grid of spots with these heights, a little shaken so that no two rows stand in one line.
fn grid(side: usize, height: impl Fn(P2) -> f64) -> Tin {
    let mut rng = ChaCha12Rng::seed_from_u64(4);
    let mut points = Vec::new();
    for row in 0..=side {
        for column in 0..=side {
            let inside = (1..side).contains(&row) && (1..side).contains(&column);
            let mut shake = || if inside { rng.random_range(-0.2..0.2) } else { 0.0 };
            let p = P2::new(column as f64 + shake(), row as f64 + shake());
            points.push(p.at(height(p)));
        }
    }
    tin(&points)
}

#[test]
fn a_plane_falls_alike_everywhere() {
    let surface = grid(6, |p| 2.0 - 0.01 * p.x + 0.02 * p.y);
    let told = Fall::of_rise(P2::new(-0.01, 0.02));
    for fall in of_triangles(&surface)
        .into_iter()
        .chain([mean(&surface), fitted_plane(&surface.points).unwrap().fall])
    {
        assert!((fall.slope.in_ratio() - told.slope.in_ratio()).abs() < 1e-9);
        assert!((fall.toward.in_radians() - told.toward.in_radians()).abs() < 1e-6);
    }
    assert!((told.along(P2::new(5.0, 0.0)).in_percent() - 1.0).abs() < 1e-12);
    assert!((told.along(P2::new(0.0, 1.0)).in_percent() + 2.0).abs() < 1e-12);
    assert!(fitted_plane(&surface.points).unwrap().sd < 1e-12);
}

#[test]
fn a_crown_falls_nowhere_on_the_whole() {
    let crown = tin(&[
        P3::new(0.0, 0.0, 0.0),
        P3::new(2.0, 0.0, 0.1),
        P3::new(4.0, 0.0, 0.0),
        P3::new(0.0, 3.0, 0.0),
        P3::new(2.0, 3.0, 0.1),
        P3::new(4.0, 3.0, 0.0),
    ]);
    assert!(mean(&crown).slope.in_ratio() < 1e-12);
    assert!(of_triangles(&crown).iter().all(|f| (f.slope.in_ratio() - 0.05).abs() < 1e-12));
}

#[test]
fn spots_in_one_line_have_no_plane() {
    let line: Vec<P3> = (0..5).map(|i| P3::new(f64::from(i), 2.0 * f64::from(i), 1.0)).collect();
    assert!(fitted_plane(&line).is_none() && fitted_plane(&line[..2]).is_none());
}

fn ways(surface: &Tin, outlets: &[usize], from: P2) -> RunOff {
    ways_past(surface, outlets, from, 1e-4)
}

/// The way of water past birdbaths shallower than `least`.
fn ways_past(surface: &Tin, outlets: &[usize], from: P2, least: f64) -> RunOff {
    let net = Net::of(surface);
    let ponding = ponding_on(&net, outlets, Length::metres(least)).value.unwrap();
    let t = (0..surface.triangles.len())
        .find(|&t| {
            let [a, b, c] = net.corners(t);
            [turn(a, b, from), turn(b, c, from), turn(c, a, from)].iter().all(|s| *s >= 0.0)
        })
        .unwrap();
    run_off(&net, &ponding, &|v| outlets.contains(&v), (t, from))
}

/// Down a plane water runs straight to the edge, square to the level lines.
#[test]
fn down_a_plane_water_runs_straight() {
    let surface = grid(6, |p| -0.02 * p.x - 0.01 * p.y);
    let outlets = Net::of(&surface).rim();
    let found = ways(&surface, &outlets, P2::new(1.3, 1.1));
    let Goes::Off(end) = found.goes else { panic!("{found:?}") };
    assert!((end.x - 6.0).abs() < 1e-9 && (end.y - (1.1 + 0.5 * 4.7)).abs() < 1e-6, "{end:?}");
}

/// In a valley water runs to its line and along it; at a wall along the wall.
#[test]
fn valleys_and_walls_lead_water() {
    let points: Vec<P3> = [(0.0, 0.3), (2.0, 0.1), (4.0, 0.3)]
        .iter()
        .flat_map(|&(x, z)| [P3::new(x, 0.0, z - 0.05), P3::new(x, 3.0, z)])
        .collect();
    let valley = triangulate(&points, &[vec![points[2], points[3]]]).value.unwrap();
    // Water may leave only where the valley ends.
    let found = ways(&valley, &[2], P2::new(0.5, 2.0));
    assert_eq!(found.goes, Goes::Off(P2::new(2.0, 0.0)));
    assert!(found.way.len() >= 3);
}

#[test]
fn a_hollow_takes_water_in() {
    let surface = grid(8, |p| 0.05 * (p - P2::new(4.0, 4.0)).norm().min(3.0));
    let outlets = Net::of(&surface).rim();
    assert_eq!(ways(&surface, &outlets, P2::new(2.1, 3.3)).goes, Goes::Birdbath(0));
    let level = grid(3, |_| 1.0);
    let outlets = Net::of(&level).rim();
    assert_eq!(ways(&level, &outlets, P2::new(1.4, 1.6)).goes, Goes::Stands(P2::new(1.4, 1.6)));
}

proptest::proptest! {
    /// On random floors water never rises into a birdbath; past full ones every way ends at an outlet.
    #[test]
    fn water_never_rises(seed in 0_u64..10_000) {
        let mut rng = ChaCha12Rng::seed_from_u64(seed);
        let heights: Vec<f64> = (0..400).map(|_| rng.random_range(0.0..0.05)).collect();
        let mut next = heights.iter();
        let (fx, fy) = (rng.random_range(-0.03..0.03), rng.random_range(-0.03..0.03));
        let next = std::cell::RefCell::new(&mut next);
        let surface = grid(9, |p| fx * p.x + fy * p.y + next.borrow_mut().next().unwrap());
        let outlets: Vec<usize> = Net::of(&surface).rim().into_iter().step_by(2).collect();
        for _ in 0..20 {
            let from = P2::new(rng.random_range(0.1..8.9), rng.random_range(0.1..8.9));
            let found = ways_past(&surface, &outlets, from, 0.0);
            let z: Vec<f64> = found.way.iter().map(|&p| surface.z(p).unwrap_or(f64::NAN)).collect();
            for pair in z.windows(2).filter(|pair| pair.iter().all(|z| z.is_finite())) {
                proptest::prop_assert!(pair[1] <= pair[0] + 1e-9, "{:?}", z);
            }
            proptest::prop_assert!(found.way.len() < 2000);
            // Were all birdbaths full, every drop would leave.
            let full = ways_past(&surface, &outlets, from, 1.0);
            proptest::prop_assert!(matches!(full.goes, Goes::Off(_)), "{:?}", full);
        }
    }
}
