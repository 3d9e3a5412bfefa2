"""Filled depressions by scikit-image and scipy, volumes by shapely, planes by numpy."""

import json
import sys

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import breadth_first_order, minimum_spanning_tree
from scipy.spatial import Delaunay
from shapely.geometry import Polygon
from skimage.morphology import reconstruction

NEIGHBOURS = {
    4: [[0, 1, 0], [1, 1, 1], [0, 1, 0]],
    # A grid of squares cut by one diagonal each: six neighbours.
    6: [[0, 1, 1], [1, 1, 1], [1, 1, 0]],
    8: [[1, 1, 1], [1, 1, 1], [1, 1, 1]],
}


def filled(heights, neighbours):
    """Water leaves all along the edge."""
    seed = np.full_like(heights, heights.max())
    seed[0, :], seed[-1, :], seed[:, 0], seed[:, -1] = heights[0, :], heights[-1, :], heights[:, 0], heights[:, -1]
    return reconstruction(seed, heights, method="erosion", footprint=np.array(NEIGHBOURS[neighbours]))


def levels_by_tree(points, triangles, outlets):
    """The way with the least highest point runs along the minimum spanning tree."""
    z = points[:, 2]
    outside = len(points)
    edges = np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    edges = np.unique(np.sort(edges, axis=1), axis=0)
    start = np.concatenate([edges[:, 0], outlets])
    end = np.concatenate([edges[:, 1], np.full(len(outlets), outside)])
    # Weights above nought, or the sparse matrix drops them.
    low = z.min() - 1.0
    weight = np.concatenate([np.maximum(z[edges[:, 0]], z[edges[:, 1]]), z[outlets]]) - low
    tree = minimum_spanning_tree(coo_matrix((weight, (start, end)), shape=(outside + 1, outside + 1)).tocsr())
    tree = tree + tree.T
    order, before = breadth_first_order(tree, outside, directed=False)
    level = np.full(outside + 1, -np.inf)
    for v in order[1:]:
        level[v] = max(level[before[v]], tree[v, before[v]] + low)
    return np.maximum(level[:-1], z)


def volume(points, triangles, level):
    """Each triangle's part under a band across it where its depth is positive, by shapely."""
    total = area = 0.0
    for t in triangles:
        # The tree's weights are shifted and back: a level within that of its vertex is dry.
        wet = t[level[t] > points[t, 2] + 1e-12]
        if len(wet) == 0:
            continue
        ring = points[t]
        a, b, c = np.linalg.solve(np.column_stack([ring[:, :2], np.ones(3)]), level[wet[0]] - ring[:, 2])
        shape = Polygon(ring[:, :2])
        slope = np.hypot(a, b)
        if slope > 0:
            # A wide square on the wet side of the line of no depth.
            down, along = np.array([a, b]) / slope, np.array([-b, a]) / slope
            foot = ring[0, :2] - down * (a * ring[0, 0] + b * ring[0, 1] + c) / slope
            far = 1e3
            square = [foot + far * along, foot - far * along, foot - far * along + far * down, foot + far * along + far * down]
            shape = shape.intersection(Polygon(square))
        if shape.area > 0:
            total += shape.area * (a * shape.centroid.x + b * shape.centroid.y + c)
            area += shape.area
    return total, area


def real_ground():
    from matplotlib.cbook import get_sample_data

    with np.load(get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)) as data:
        return data["elevation"].astype(float)


def answer(question):
    told = {}
    if "grid" in question:
        heights = np.array(question["grid"], dtype=float)
        told["filled"] = {str(n): filled(heights, n).ravel().tolist() for n in NEIGHBOURS}
    if "real" in question:
        ground = real_ground()
        told["shape"], told["ground"] = list(ground.shape), ground.ravel().tolist()
        told["real"] = {str(n): filled(ground, n).ravel().tolist() for n in (4, 8)}
    if "points" in question:
        points = np.array(question["points"], dtype=float)
        triangles = np.array(question["triangles"])
        level = levels_by_tree(points, triangles, np.array(question["outlets"]))
        told["level"] = level.tolist()
        told["volume"], told["area"] = volume(points, triangles, level)
        rows = np.column_stack([points[:, :2], np.ones(len(points))])
        told["plane"] = np.linalg.lstsq(rows, points[:, 2], rcond=None)[0].tolist()
    if "refine" in question:
        points = np.array(question["refine"], dtype=float)
        surface = LinearNDInterpolator(Delaunay(points[:, :2]), points[:, 2])
        side = question["side"]
        told["grids"] = []
        for count in question["counts"]:
            at = np.linspace(0.0, side, count)
            heights = surface(*np.meshgrid(at, at))
            fill = filled(heights, 8) - heights
            told["grids"].append([float(fill.sum() * (at[1] - at[0]) ** 2), float(fill.max())])
    return told


json.dump(answer(json.load(sys.stdin)), sys.stdout)
