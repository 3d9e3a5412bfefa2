use basis::Length;
use basis::math::{cos, sin};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use super::*;
use crate::P3;
use crate::polygon::signed_area;
use crate::tin::triangulate;

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
const TAU: f64 = std::f64::consts::TAU;

fn tin(points: &[P3]) -> Tin {
    triangulate(points, &[]).value.unwrap()
}

/// Birdbaths of a surface that lets water off all along its edge.
fn free(tin: &Tin, least: f64) -> Ponding {
    let net = Net::of(tin);
    ponding_on(&net, &net.rim(), Length::metres(least)).value.unwrap()
}

fn ring_area(bath: &Birdbath) -> f64 {
    bath.outline.iter().map(|ring| signed_area(ring)).sum()
}

/// A fan from `n` rim points at nought down to a middle at `−depth`, on an apron a ring farther out that falls away.
fn cone(n: usize, radius: f64, depth: f64) -> Tin {
    let ring = |r: f64, z: f64| {
        (0..n).map(move |i| {
            let angle = TAU * i as f64 / n as f64;
            P3::new(r * cos(angle), r * sin(angle), z)
        })
    };
    tin(&std::iter::once(P3::new(0.0, 0.0, -depth))
        .chain(ring(radius, 0.0))
        .chain(ring(2.0 * radius, -1.0))
        .collect::<Vec<_>>())
}

/// A pyramid upside down: a third of its base times its height.
#[test]
fn a_cone_in_closed_form() {
    let (n, radius, depth) = (24, 2.0, 0.05);
    let found = free(&cone(n, radius, depth), 0.001);
    let base = 0.5 * n as f64 * radius * radius * sin(TAU / n as f64);
    assert_eq!(found.birdbaths.len(), 1);
    let bath = &found.birdbaths[0];
    assert!((bath.volume.in_cubic_metres() / (base * depth / 3.0) - 1.0).abs() < 1e-12);
    assert!((bath.area.in_square_metres() / base - 1.0).abs() < 1e-12);
    assert!((ring_area(bath) / base - 1.0).abs() < 1e-12 && bath.outline.len() == 1);
    assert!((bath.depth.in_metres() - depth).abs() < 1e-15 && bath.lowest == P2::new(0.0, 0.0));
    assert!((bath.spill.norm() - radius).abs() < 1e-12 && bath.points == 1 && bath.level == 0.0);
}

/// A valley hipped at both ends, `ridge` long in its bottom: the volume of a hipped roof, `d·w·(2l + r)/6`.
#[test]
fn a_trough_in_closed_form() {
    let (long, wide, ridge, deep) = (6.0, 2.0, 4.0, 0.1);
    let (x, y) = (0.5 * long, 0.5 * wide);
    let mut points = vec![P3::new(-0.5 * ridge, 0.0, -deep), P3::new(0.5 * ridge, 0.0, -deep)];
    for (sx, sy) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
        points.push(P3::new(sx * x, sy * y, 0.0));
        points.push(P3::new(sx * (x + 1.0), sy * (y + 1.0), -0.3));
    }
    let corners = [2, 4, 6, 8].map(|i| points[i]);
    let mut breaks: Vec<Vec<P3>> = (0..4).map(|i| vec![corners[i], corners[(i + 1) % 4]]).collect();
    breaks.push(vec![points[0], points[1]]);
    breaks.extend([(0, 2), (1, 4), (1, 6), (0, 8)].map(|(a, b)| vec![points[a], points[b]]));
    let tin = triangulate(&points, &breaks).value.unwrap();
    let found = free(&tin, 0.001);
    let bath = &found.birdbaths[0];
    assert!((bath.volume.in_cubic_metres() / (deep * wide * (2.0 * long + ridge) / 6.0) - 1.0).abs() < 1e-9);
    assert!((bath.area.in_square_metres() / (long * wide) - 1.0).abs() < 1e-9);
}

/// A parabolic dish of radius 2 ft and depth 1/4 in. on a slope `s`, sampled: with `k = sR/2D` it ponds over a circle of
/// radius `R(1 − k)`, `D(1 − k)²` deep, and holds `πR²D/2·(1 − k)⁴`; from `k = 1` on it is dry.
#[test]
fn a_dish_on_a_slope_in_closed_form() {
    let (radius, depth) = (2.0 * FOOT, 0.25 * INCH);
    let rings = 60;
    for (sixteenths, volume) in
        [(0.0, std::f64::consts::FRAC_PI_2), (1.0, 0.497_01), (2.0, 0.098_175), (3.0, 0.006_136), (4.0, 0.0)]
    {
        let slope = sixteenths / 16.0 * INCH / FOOT;
        let height = |p: P2| {
            let share = (p.norm() / radius).min(1.0);
            slope * p.x - depth * (1.0 - share * share)
        };
        let mut points = vec![P2::default()];
        for ring in 1..=rings + 6 {
            let count = 6 * ring;
            let r = radius * ring as f64 / rings as f64;
            points.extend((0..count).map(|i| {
                let angle = TAU * i as f64 / count as f64;
                P2::new(r * cos(angle), r * sin(angle))
            }));
        }
        let surface = tin(&points.iter().map(|&p| p.at(height(p))).collect::<Vec<_>>());
        let found = free(&surface, 1e-6);
        let told: f64 = found.birdbaths.iter().map(|b| b.volume.in_cubic_metres()).sum();
        let in_inches = told / (FOOT * FOOT * INCH);
        // A chord of the dish lies under it by up to its step squared over eight: a thousandth of its depth here; and the level of
        // the spill is off by as much.
        assert!(
            (in_inches - volume).abs() < 3e-3 * std::f64::consts::FRAC_PI_2,
            "{sixteenths}/16: {in_inches} against {volume}"
        );
        if sixteenths == 2.0 {
            let bath = &found.birdbaths[0];
            assert!((bath.depth.in_inches() - 1.0 / 16.0).abs() < 1e-3);
            assert!((bath.area.in_square_feet() - std::f64::consts::PI).abs() < 0.05);
            assert!((bath.spill.x + 0.5 * 2.0 * radius).abs() < 0.05 * radius, "{:?}", bath.spill);
        }
        assert_eq!(found.birdbaths.is_empty(), volume == 0.0);
    }
}

/// Heights along a line made into a strip two wide, water off at both ends only.
fn strip(heights: &[f64]) -> (Tin, Vec<usize>) {
    let points: Vec<P3> =
        (0..heights.len()).flat_map(|i| [0.0, 1.0].map(|y| P3::new(i as f64, y, heights[i]))).collect();
    let last = points.len() - 1;
    (tin(&points), vec![0, 1, last - 1, last])
}

/// Two hollows behind a saddle lower than the way out are one birdbath; behind a higher one they are two.
#[test]
fn hollows_join_over_a_low_saddle() {
    let baths = |saddle: f64| {
        let (surface, outlets) = strip(&[1.0, 0.0, saddle, 0.5, 1.5]);
        ponding(&surface, &outlets, Length::metres(0.01)).value.unwrap()
    };
    let one = baths(0.8);
    assert_eq!(one.birdbaths.len(), 1);
    // By hand, between the heights 1, 0, 0.8, 0.5, 1.5 under a level of 1, one wide: 0.5 + 0.6 + 0.35 + 0.125.
    assert!((one.birdbaths[0].volume.in_cubic_metres() - 1.575).abs() < 1e-12);
    assert_eq!(one.birdbaths[0].outline.len(), 1);
    let two = baths(1.2);
    assert_eq!(two.birdbaths.len(), 2);
    assert_eq!(two.birdbaths.iter().map(|b| b.level).collect::<Vec<_>>(), [1.0, 1.2]);
}

/// Along walls the water stays, and its outline runs along them.
#[test]
fn walls_hold_water() {
    let (surface, outlets) = strip(&[1.0, 0.0, 2.0]);
    let found = ponding(&surface, &outlets, Length::ZERO).value.unwrap();
    let bath = &found.birdbaths[0];
    // Wet from 0 to 1.5, a triangle 1 deep.
    assert!((bath.area.in_square_metres() - 1.5).abs() < 1e-12);
    assert!((bath.volume.in_cubic_metres() - 0.75).abs() < 1e-12);
    assert!((ring_area(bath) - 1.5).abs() < 1e-12);
    assert_eq!(bath.points, 2);
}

#[test]
fn an_island_is_a_ring_the_other_way_round() {
    let ring = |n: usize, r: f64, z: f64| {
        (0..n)
            .map(move |i| P3::new(r * cos(TAU * i as f64 / n as f64), r * sin(TAU * i as f64 / n as f64), z))
    };
    let points: Vec<P3> = [P3::new(0.0, 0.0, 1.0)]
        .into_iter()
        .chain(ring(12, 1.0, -1.0))
        .chain(ring(24, 2.0, 0.0))
        .chain(ring(24, 3.0, -2.0))
        .collect();
    let found = free(&tin(&points), 0.1);
    let areas: Vec<f64> = found.birdbaths[0].outline.iter().map(|r| signed_area(r)).collect();
    assert_eq!(areas.len(), 2);
    assert!(areas.iter().any(|a| *a < 0.0) && areas.iter().any(|a| *a > 0.0));
    assert!((areas.iter().sum::<f64>() - found.birdbaths[0].area.in_square_metres()).abs() < 1e-12);
}

#[test]
fn a_floor_without_a_way_out_is_refused() {
    let (surface, _) = strip(&[1.0, 0.0, 2.0]);
    let report = ponding(&surface, &[], Length::ZERO);
    assert!(report.value.is_none());
    assert_eq!(report.notes[0].code, "no-way-out");
}

/// Shallow ones are counted, not listed; together nothing is lost.
#[test]
fn shallow_birdbaths_are_counted() {
    let (surface, outlets) = strip(&[1.0, 0.99, 1.0, 0.0, 1.0]);
    let found = ponding(&surface, &outlets, Length::metres(0.1)).value.unwrap();
    assert_eq!((found.birdbaths.len(), found.shallower.count), (1, 1));
    assert!((found.shallower.volume - 0.01).abs() < 1e-12);
    assert_eq!(found.in_birdbath[2], None);
    assert_eq!(found.in_birdbath[6], Some(0));
}

/// The level by its definition, relaxed over and over until nothing changes.
fn by_relaxing(net: &Net<'_>, outlets: &[usize]) -> Vec<f64> {
    let z = |v: usize| net.tin.points[v].z;
    let mut level = vec![f64::INFINITY; net.tin.points.len()];
    outlets.iter().for_each(|&v| level[v] = z(v));
    loop {
        let mut changed = false;
        for v in 0..level.len() {
            for n in net.neighbours(v) {
                let through = level[n].max(z(v));
                if through < level[v] {
                    level[v] = through;
                    changed = true;
                }
            }
        }
        if !changed {
            return level;
        }
    }
}

/// Volume by the definition: each triangle's part under its level, cut by the general clipping of rings.
fn by_clipping(net: &Net<'_>, levels: &[f64]) -> f64 {
    let mut wet = Vec::new();
    let volume = |t: &[usize; 3]| {
        let level = t
            .iter()
            .filter(|&&v| levels[v] > net.tin.points[v].z)
            .map(|&v| levels[v])
            .fold(f64::NAN, f64::max);
        let [a, b, c] = t.map(|v| net.tin.points[v]);
        let plane = crate::Plane::through(a, b, c).unwrap();
        crate::polygon::clip_half(&[a.plan(), b.plan(), c.plan()], |p| level - plane.z(p), &mut wet);
        if wet.len() < 3 {
            0.0
        } else {
            signed_area(&wet) * (level - plane.z(crate::polygon::centroid(&wet)))
        }
    };
    net.tin.triangles.iter().map(volume).sum()
}

proptest::proptest! {
    /// On random surfaces: levels by their definition, volume by clipping, outlines that hold the area, no water that could run off.
    #[test]
    fn floods_keep_the_laws(seed in 0_u64..10_000) {
        let mut rng = ChaCha12Rng::seed_from_u64(seed);
        let points: Vec<P3> = (0..60)
            .map(|_| P3::new(rng.random_range(0.0..10.0), rng.random_range(0.0..10.0), rng.random_range(0.0..1.0)))
            .collect();
        let surface = tin(&points);
        let net = Net::of(&surface);
        let outlets: Vec<usize> = net.rim().into_iter().step_by(3).collect();
        let found = ponding_on(&net, &outlets, Length::ZERO).value.unwrap();
        proptest::prop_assert_eq!(&found.levels, &by_relaxing(&net, &outlets));
        let volume: f64 = found.birdbaths.iter().map(|b| b.volume.in_cubic_metres()).sum();
        let clipped = by_clipping(&net, &found.levels);
        proptest::prop_assert!((volume - clipped).abs() < 1e-9, "{} {}", volume, clipped);
        for bath in &found.birdbaths {
            proptest::prop_assert!((ring_area(bath) - bath.area.in_square_metres()).abs() < 1e-9);
            let at = surface.points.iter().position(|p| p.plan() == bath.spill).unwrap();
            proptest::prop_assert_eq!(surface.points[at].z, bath.level);
        }
        // Water raised once does not rise again.
        let mut filled = surface.clone();
        filled.points.iter_mut().zip(&found.levels).for_each(|(p, z)| p.z = *z);
        let again = ponding(&filled, &outlets, Length::ZERO).value.unwrap();
        proptest::prop_assert!(again.birdbaths.is_empty() && again.shallower.count == 0);
    }
}
