//! Vertices under water put together to birdbaths, with their area, volume and outline.

use basis::{Area, Length, Volume};

use super::flood::Flooded;
use super::net::Net;
use super::outline::{Rim, rings};
use super::{Birdbath, Ponding, Shallower};

/// A birdbath while it is gathered.
struct Pool {
    level: f64,
    lowest: usize,
    spill: usize,
    points: usize,
    area: f64,
    volume: f64,
    rim: Rim,
}

/// Which pool a vertex is in; none where it is dry.
type Pools = Vec<Option<u32>>;

pub(super) fn gather(net: &Net<'_>, flooded: &Flooded, least: f64) -> Ponding {
    let (mut pools, of) = connected(net, flooded);
    for (t, triangle) in net.tin.triangles.iter().enumerate() {
        if let Some(pool) = triangle.iter().find_map(|&v| of[v]) {
            let pool = &mut pools[pool as usize];
            let wet = fill(net, t, pool);
            // Only pools that are listed are drawn.
            if pool.level - net.tin.points[pool.lowest].z >= least {
                pool.rim.add(net, t, wet);
            }
        }
    }
    let depth = |pool: &Pool| pool.level - net.tin.points[pool.lowest].z;
    let mut shallower = Shallower::default();
    let mut order: Vec<usize> = Vec::new();
    for (i, pool) in pools.iter().enumerate() {
        if depth(pool) >= least {
            order.push(i);
        } else {
            shallower.count += 1;
            shallower.area += pool.area;
            shallower.volume += pool.volume;
        }
    }
    order.sort_by(|&a, &b| pools[b].volume.total_cmp(&pools[a].volume).then(a.cmp(&b)));
    let mut place = vec![None; pools.len()];
    order.iter().enumerate().for_each(|(at, &pool)| place[pool] = Some(at));
    let in_birdbath = of.iter().map(|pool| pool.and_then(|p| place[p as usize])).collect();
    let at = |vertex: usize| net.tin.points[vertex].plan();
    let birdbath = |&i: &usize| {
        let pool = &pools[i];
        Birdbath {
            outline: rings(&pool.rim, net.tin, pool.level),
            lowest: at(pool.lowest),
            depth: Length::metres(depth(pool)),
            area: Area::square_metres(pool.area),
            volume: Volume::cubic_metres(pool.volume),
            level: pool.level,
            spill: at(pool.spill),
            points: pool.points,
        }
    };
    let birdbaths = order.iter().map(birdbath).collect();
    Ponding {
        birdbaths,
        shallower,
        levels: flooded.level.clone(),
        in_birdbath,
        way_out: flooded.way_out.clone(),
    }
}

/// Vertices under water that are joined by edges are one pool.
fn connected(net: &Net<'_>, flooded: &Flooded) -> (Vec<Pool>, Pools) {
    let height = |v: usize| net.tin.points[v].z;
    let is_wet = |v: usize| flooded.level[v] > height(v) && flooded.level[v].is_finite();
    let mut of: Pools = vec![None; net.tin.points.len()];
    let mut pools: Vec<Pool> = Vec::new();
    let mut open = Vec::new();
    for start in 0..of.len() {
        if of[start].is_some() || !is_wet(start) {
            continue;
        }
        let id = pools.len() as u32;
        let (level, spill) = (flooded.level[start], flooded.spill[start]);
        let mut pool =
            Pool { level, lowest: start, spill, points: 0, area: 0.0, volume: 0.0, rim: Rim::default() };
        of[start] = Some(id);
        open.push(start);
        while let Some(v) = open.pop() {
            pool.points += 1;
            if height(v) < height(pool.lowest) {
                pool.lowest = v;
            }
            for n in net.neighbours(v) {
                if of[n].is_none() && is_wet(n) {
                    of[n] = Some(id);
                    open.push(n);
                }
            }
        }
        pools.push(pool);
    }
    (pools, of)
}

/// Adds the wet part of a triangle to its pool, and tells which of its corners are wet.
fn fill(net: &Net<'_>, t: usize, pool: &mut Pool) -> [bool; 3] {
    let triangle = net.tin.triangles[t];
    let under = |v: usize| pool.level - net.tin.points[v].z;
    let depths = triangle.map(under);
    let whole = net.area_of(&triangle);
    let mean = depths.iter().sum::<f64>() / 3.0;
    let wet = depths.map(|d| d > 0.0);
    // Similar triangles: the corner cut off by the waterline has the product of two shares of the whole, and a third of its height.
    let corner = |i: usize| {
        let share = |j: usize| depths[i] / (depths[i] - depths[j]);
        let area = whole * share((i + 1) % 3) * share((i + 2) % 3);
        (area, area * depths[i] / 3.0)
    };
    let (area, volume) = match wet.iter().filter(|w| **w).count() {
        3 => (whole, whole * mean),
        2 => {
            let dry = wet.iter().position(|w| !w).unwrap_or(0);
            let (area, volume) = corner(dry);
            (whole - area, whole * mean - volume)
        }
        _ => corner(wet.iter().position(|w| *w).unwrap_or(0)),
    };
    pool.area += area;
    pool.volume += volume;
    wet
}
