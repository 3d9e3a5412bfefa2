//! The cells of a column: nodes on the surfaces of the layers, fine in the slab, coarser with depth.

use crate::material::{Layer, Material};

/// Growth of the cells from one to the next below the slab.
const GROWTH: f64 = 1.2;

/// Nodes from the top down: the first on the surface, one at mid-depth, one on the slab's bottom.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mesh {
    /// Heat capacity of each node, J/(m²·K).
    pub capacity: Vec<f64>,
    /// Conductance between a node and the next below, W/(m²·K); the last leads to the ground of fixed temperature, or is 0.
    pub link: Vec<f64>,
    /// Thickness of slab that belongs to a node, m; the list ends with the slab's bottom.
    pub slab: Vec<f64>,
    /// Depth of each node, m.
    pub depth: Vec<f64>,
}

/// What holds beneath the last layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Foot {
    /// A fixed temperature.
    Fixed,
    /// No heat passes.
    #[cfg(test)]
    Closed,
}

/// Thickness and material of each cell, from the top down, and how many are slab.
fn cells(
    thickness: f64,
    concrete: Material,
    layers: &[Layer],
    spacing: f64,
) -> (Vec<(f64, Material)>, usize) {
    // Fours, so that mid-depth is a node at which hydration is figured.
    let in_slab = 4 * (thickness / spacing / 4.0).round().max(2.0) as usize;
    let first = thickness / in_slab as f64;
    let mut cells = vec![(first, concrete); in_slab];
    // Cells as deep as warmth spreads in the same time: there a node on a boundary holds the temperature of contact.
    let (mut size, mut above) = (first, concrete);
    for layer in layers {
        let material = layer.material;
        size *= (material.diffusivity() / above.diffusivity()).sqrt();
        let sizes = growing(size, layer.thickness.in_metres());
        size = sizes.last().map_or(size, |last| last * GROWTH);
        cells.extend(sizes.into_iter().map(|size| (size, material)));
        above = material;
    }
    (cells, in_slab)
}

/// Cells from `first` on, each the same multiple of the one above, that fill a depth; the growth is at most [`GROWTH`].
fn growing(first: f64, depth: f64) -> Vec<f64> {
    let filled = |growth: f64, count: usize| -> Vec<f64> {
        std::iter::successors(Some(first), |size| Some(size * growth)).take(count).collect()
    };
    let sum = |sizes: &[f64]| -> f64 { sizes.iter().sum() };
    let mut count = 1;
    while sum(&filled(GROWTH, count)) < depth {
        count += 1;
    }
    let (mut low, mut high) = (0.7, GROWTH);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if sum(&filled(middle, count)) < depth { low = middle } else { high = middle }
    }
    // What a growth within the bounds leaves over or short is spread; a thin layer is one cell.
    let mut sizes = filled(high, count);
    let scale = depth / sum(&sizes);
    sizes.iter_mut().for_each(|size| *size *= scale);
    sizes
}

/// Lays out the nodes; `spacing` is that in the slab, m.
pub(super) fn mesh(thickness: f64, concrete: Material, layers: &[Layer], spacing: f64, foot: Foot) -> Mesh {
    let (cells, in_slab) = cells(thickness, concrete, layers, spacing);
    let nodes = if foot == Foot::Fixed { cells.len() } else { cells.len() + 1 };
    let half = |index: Option<usize>| index.and_then(|i| cells.get(i)).copied();
    let capacity = (0..nodes)
        .map(|i| [half(i.checked_sub(1)), half(Some(i))].into_iter().flatten())
        .map(|sides| sides.map(|(size, material)| 0.5 * size * material.volumetric()).sum())
        .collect();
    let link = (0..nodes)
        .map(|i| cells.get(i).map_or(0.0, |(size, material)| material.conductivity / size))
        .collect();
    let slab =
        (0..=in_slab).map(|i| if i == 0 || i == in_slab { 0.5 * cells[0].0 } else { cells[0].0 }).collect();
    let depth = (0..nodes).map(|i| cells[..i].iter().map(|(size, _)| size).sum()).collect();
    Mesh { capacity, link, slab, depth }
}
