//! The waterline of a birdbath as rings.

use std::collections::BTreeMap;

use super::net::Net;
use crate::P2;
use crate::tin::Tin;

/// A point of the outline: where the water meets an edge, or a vertex under water at a wall (both numbers the same).
type Stop = (u32, u32);

/// Pieces of an outline, each with the water on its left.
#[derive(Debug, Default)]
pub(super) struct Rim {
    pieces: Vec<(Stop, Stop)>,
}

fn on_edge(a: usize, b: usize) -> Stop {
    (a.min(b) as u32, a.max(b) as u32)
}

impl Rim {
    /// Adds what a triangle gives: its waterline, and its edges under water where the surface ends.
    pub(super) fn add(&mut self, net: &Net<'_>, t: usize, wet: [bool; 3]) {
        let triangle = net.tin.triangles[t];
        let (mut enters, mut leaves) = (None, None);
        for i in 0..3 {
            let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
            let [from, to] = match (wet[i], wet[(i + 1) % 3]) {
                (false, false) => continue,
                (true, true) => [(a as u32, a as u32), (b as u32, b as u32)],
                // Walking round the triangle with the water on the left, here it is left for the dry corner.
                (true, false) => {
                    leaves = Some(on_edge(a, b));
                    [(a as u32, a as u32), on_edge(a, b)]
                }
                (false, true) => {
                    enters = Some(on_edge(a, b));
                    [on_edge(a, b), (b as u32, b as u32)]
                }
            };
            if net.across(t, a, b).is_none() {
                self.pieces.push((from, to));
            }
        }
        if let (Some(leaves), Some(enters)) = (leaves, enters) {
            self.pieces.push((leaves, enters));
        }
    }
}

/// The pieces joined to rings, each from its first stop on.
pub(super) fn rings(rim: &Rim, tin: &Tin, level: f64) -> Vec<Vec<P2>> {
    let mut next: BTreeMap<Stop, Vec<Stop>> = BTreeMap::new();
    for (from, to) in &rim.pieces {
        next.entry(*from).or_default().push(*to);
    }
    let mut rings = Vec::new();
    while let Some((&start, _)) = next.first_key_value() {
        let (mut ring, mut at) = (Vec::new(), start);
        while let Some(ways) = next.get_mut(&at) {
            let to = ways.pop();
            if ways.is_empty() {
                next.remove(&at);
            }
            let Some(to) = to else { break };
            ring.push(spot(tin, at, level));
            at = to;
        }
        ring.dedup();
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() > 2 {
            rings.push(ring);
        }
    }
    rings
}

/// Where a stop is, m.
fn spot(tin: &Tin, (a, b): Stop, level: f64) -> P2 {
    let [a, b] = [a, b].map(|v| tin.points[v as usize]);
    if a.z == b.z { a.plan() } else { a.plan().lerp(b.plan(), ((level - a.z) / (b.z - a.z)).clamp(0.0, 1.0)) }
}
