//! Where working the base over pays: what stone to bring or take, and what concrete that saves or costs.
//!
//! Design grade of the base is the floor's top less the nominal thickness. Over it the slab is thin and
//! cutting costs concrete; under it the slab is thick and stone saves concrete, volume for volume as
//! compacted.

use basis::{Area, Length, Volume};

use crate::grid::Grid;
use crate::overlay::Mesh;
use crate::polygon::{centroid, clip_half, distance_to_segment, signed_area};
use crate::thickness::{BaseWork, base_work};
use crate::{P2, Plane};

/// Parts that come closer than this touch, m.
const TOUCHING: f64 = 1e-6;
/// Parts smaller than this are rounding, m².
const SLIVER: f64 = 1e-12;

/// What the slab shall be, and how much to say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Thickness on the drawing.
    pub nominal: Length,
    /// Least thickness accepted.
    pub minimum: Length,
    /// How much thicker than nominal is let be.
    pub tolerance: Length,
    /// A change of the whole base that the crew thinks in: 1/2 in or 10 mm.
    pub step: Length,
    /// Most patches listed on each side.
    pub patches: usize,
}

/// A connected part of the floor where the base is off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Its centre of area, m; of a bent patch it may lie beside it.
    pub centre: P2,
    /// Its size.
    pub area: Area,
    /// How far the base is off design grade on average, positive.
    pub mean: Length,
    /// Where the base is farthest off, m.
    pub worst_at: P2,
    /// How far it is off there, positive.
    pub worst: Length,
    /// What to cut or to fill down or up to design grade; concrete changes by the same.
    pub volume: Volume,
}

/// What working the base over would change.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Cut and fill of the whole floor to design grade.
    pub whole: BaseWork,
    /// Concrete for one step of the whole base: less if filled, more if cut.
    pub step: Volume,
    /// Patches where the slab is thinner than the minimum, the largest volume first: cut there.
    pub thin: Vec<Patch>,
    /// Patches where the slab is thicker than nominal and tolerance, the largest volume first: fill there.
    pub deep: Vec<Patch>,
}

/// Cut and fill advice for the base under a floor, exact for what is drawn.
#[must_use]
pub fn advise(mesh: &Mesh, wanted: &Wanted) -> Advice {
    let nominal = wanted.nominal.in_metres();
    let area: f64 = mesh.cells.iter().map(|c| signed_area(&c.ring)).sum();
    let thin_limit = wanted.minimum.in_metres();
    let deep_limit = nominal + wanted.tolerance.in_metres();
    let thin = parts(mesh, |t| minus_from(thin_limit, t), |t| minus_from(nominal, t));
    let deep = parts(mesh, |t| lowered(t, deep_limit), |t| lowered(t, nominal));
    Advice {
        whole: base_work(mesh, wanted.nominal),
        step: Volume::cubic_metres(area * wanted.step.in_metres()),
        thin: patches(&thin, wanted.patches),
        deep: patches(&deep, wanted.patches),
    }
}

fn lowered(t: &Plane, by: f64) -> Plane {
    t.minus(&Plane::level(by))
}

fn minus_from(level: f64, t: &Plane) -> Plane {
    Plane { at: t.at, z0: level, gx: 0.0, gy: 0.0 }.minus(t)
}

/// A convex piece of a patch, and how far the base is off over it.
struct Part {
    ring: Vec<P2>,
    off: Plane,
}

/// The pieces of the cells where `over` of the thickness is positive.
fn parts(mesh: &Mesh, over: impl Fn(&Plane) -> Plane, off: impl Fn(&Plane) -> Plane) -> Vec<Part> {
    let mut ring = Vec::new();
    let mut found = Vec::new();
    for cell in &mesh.cells {
        let thickness = cell.thickness();
        let over = over(&thickness);
        clip_half(&cell.ring, |p| over.z(p), &mut ring);
        let real = ring.iter().any(|&p| over.z(p) > 0.0) && signed_area(&ring) > SLIVER;
        if real {
            found.push(Part { ring: std::mem::take(&mut ring), off: off(&thickness) });
        }
    }
    found
}

/// Joins parts that touch and sums each group up, the largest volume first.
fn patches(parts: &[Part], most: usize) -> Vec<Patch> {
    let leader = touching(parts);
    let mut sums: Vec<Option<Patch>> = vec![None; parts.len()];
    for (part, &group) in parts.iter().zip(&leader) {
        let (area, middle) = (signed_area(&part.ring), centroid(&part.ring));
        let volume = area * part.off.z(middle);
        let sum = sums[group].get_or_insert(Patch {
            centre: P2::default(),
            area: Area::ZERO,
            mean: Length::ZERO,
            worst_at: middle,
            worst: Length::metres(f64::NEG_INFINITY),
            volume: Volume::ZERO,
        });
        sum.centre = sum.centre + middle * area;
        sum.area += Area::square_metres(area);
        sum.volume += Volume::cubic_metres(volume);
        for &p in &part.ring {
            let off = Length::metres(part.off.z(p));
            if off > sum.worst {
                (sum.worst_at, sum.worst) = (p, off);
            }
        }
    }
    let mut patches: Vec<Patch> = sums.into_iter().flatten().collect();
    for patch in &mut patches {
        patch.centre = patch.centre / patch.area.in_square_metres();
        patch.mean = patch.volume / patch.area;
    }
    patches.sort_by(|a, b| b.volume.total_cmp(&a.volume));
    patches.truncate(most);
    patches
}

/// For each part the first part of the group that it is connected with.
fn touching(parts: &[Part]) -> Vec<usize> {
    let index = Grid::over(parts.iter().map(|p| p.ring.as_slice()));
    let mut leader: Vec<usize> = (0..parts.len()).collect();
    for (i, part) in parts.iter().enumerate() {
        for &p in &part.ring {
            let around = [p - P2::new(TOUCHING, TOUCHING), p + P2::new(TOUCHING, TOUCHING)];
            for j in index.near(&around).into_iter().map(|j| j as usize) {
                let (a, b) = (root(&mut leader, i), root(&mut leader, j));
                if a != b && on_ring(p, &parts[j].ring) {
                    leader[a.max(b)] = a.min(b);
                }
            }
        }
    }
    (0..parts.len()).map(|i| root(&mut leader, i)).collect()
}

fn on_ring(p: P2, ring: &[P2]) -> bool {
    let n = ring.len();
    (0..n).any(|i| distance_to_segment(p, ring[i], ring[(i + 1) % n]) < TOUCHING)
}

/// The first part of a group, with the way to it shortened.
fn root(leader: &mut [usize], mut i: usize) -> usize {
    while leader[i] != i {
        leader[i] = leader[leader[i]];
        i = leader[i];
    }
    i
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::overlay::Cell;
    use crate::polygon::Polygon;

    /// Cells 1 m wide and 2 m high in a row, with the thickness of each at its left and right side in mm.
    fn row(thicknesses: &[(f64, f64)]) -> Mesh {
        let cell = |(i, &(left, right)): (usize, &(f64, f64))| {
            let x = i as f64;
            let ring = Polygon::rectangle(P2::new(x, 0.0), P2::new(x + 1.0, 2.0)).corners().to_vec();
            let finish = Plane { at: P2::new(x, 0.0), z0: left * 1e-3, gx: (right - left) * 1e-3, gy: 0.0 };
            Cell { ring, finish, base: Plane::level(0.0), dug: Plane::level(0.05) }
        };
        Mesh { cells: thicknesses.iter().enumerate().map(cell).collect(), uncovered: 0.0 }
    }

    fn wanted() -> Wanted {
        let mm = Length::millimetres;
        Wanted { nominal: mm(100.0), minimum: mm(90.0), tolerance: mm(10.0), step: mm(10.0), patches: 5 }
    }

    /// By hand: thin part of the first cell is 0.5 m × 2 m at 80 to 90 mm, 15 mm short on average.
    #[test]
    fn patches_by_hand() {
        let mesh = row(&[
            (80.0, 100.0),
            (100.0, 100.0),
            (120.0, 140.0),
            (140.0, 140.0),
            (100.0, 100.0),
            (70.0, 70.0),
        ]);
        let advice = advise(&mesh, &wanted());
        assert!((advice.step.in_litres() - 120.0).abs() < 1e-9);
        assert_eq!((advice.thin.len(), advice.deep.len()), (2, 1));
        // The larger first: 2 m² at 30 mm.
        assert!((advice.thin[0].volume.in_litres() - 60.0).abs() < 1e-9);
        let thin = advice.thin[1];
        assert!((thin.area.in_square_metres() - 1.0).abs() < 1e-12);
        assert!((thin.mean.in_millimetres() - 15.0).abs() < 1e-9);
        assert!((thin.worst.in_millimetres() - 20.0).abs() < 1e-9 && thin.worst_at.x == 0.0);
        assert!((thin.centre.x - 0.25).abs() < 1e-12 && (thin.centre.y - 1.0).abs() < 1e-12);
        // Both deep cells are one patch: 2 m² at 30 mm and 2 m² at 40 mm.
        assert!((advice.deep[0].volume.in_litres() - 140.0).abs() < 1e-9);
        assert!((advice.deep[0].mean.in_millimetres() - 35.0).abs() < 1e-9);
        // The whole floor to grade: high 2·10 + 2·30 mm, low 2·30 + 2·40 mm.
        assert!((advice.whole.high.in_litres() - 80.0).abs() < 1e-9);
        assert!((advice.whole.low.in_litres() - 140.0).abs() < 1e-9);
    }

    #[test]
    fn an_empty_floor_has_no_advice() {
        let advice = advise(&Mesh::default(), &wanted());
        assert!(advice.thin.is_empty() && advice.deep.is_empty() && advice.step == Volume::ZERO);
    }
}
