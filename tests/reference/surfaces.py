"""Triangulated surfaces by scipy, and volumes between them by shapely."""

import json
import sys

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from shapely.geometry import Polygon
from shapely.strtree import STRtree


class Surface:
    """A triangulation of points with its planes."""

    def __init__(self, points):
        points = np.array(points, dtype=float)
        self.mesh = Delaunay(points[:, :2])
        self.height = points[:, 2]
        self.corners = points[self.mesh.simplices]
        self.rings = [Polygon(corner[:, :2]) for corner in self.corners]
        self.value = LinearNDInterpolator(self.mesh, self.height)

    def hull_area(self):
        return sum(ring.area for ring in self.rings)

    def integral(self):
        return sum(ring.area * corner[:, 2].mean() for ring, corner in zip(self.rings, self.corners))

    def plane(self, index):
        """Coefficients (a, b, c) of z = a x + b y + c."""
        corner = self.corners[index]
        return np.linalg.solve(np.column_stack([corner[:, :2], np.ones(3)]), corner[:, 2])


def moment(shape, plane):
    """Integral of a plane over a shape, which is its area times the value at its centre."""
    if shape.area == 0.0:
        return 0.0
    return shape.area * (plane[0] * shape.centroid.x + plane[1] * shape.centroid.y + plane[2])


def half_plane(plane, box):
    """The part of a wide box where the plane is positive."""
    low_x, low_y, high_x, high_y = box
    ring = [(low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)]
    value = [plane[0] * x + plane[1] * y + plane[2] for x, y in ring]
    kept = []
    for (a, va), (b, vb) in zip(zip(ring, value), zip(ring[1:] + ring[:1], value[1:] + value[:1])):
        if va >= 0:
            kept.append(a)
        if va * vb < 0:
            t = va / (va - vb)
            kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return Polygon(kept) if len(kept) >= 3 else Polygon()


def between(top, bottom, floor):
    """Net volume, and volumes where the top stands above and under the bottom."""
    tree = STRtree(bottom.rings)
    net = above = 0.0
    box = floor.buffer(10).bounds
    for i, ring in enumerate(top.rings):
        on_floor = ring.intersection(floor)
        if on_floor.is_empty:
            continue
        for j in tree.query(on_floor):
            part = on_floor.intersection(bottom.rings[j])
            if part.area == 0.0:
                continue
            plane = top.plane(i) - bottom.plane(j)
            net += moment(part, plane)
            above += moment(part.intersection(half_plane(plane, box)), plane)
    return [net, above, above - net]


def answer(question):
    top = Surface(question["top"])
    told = {"hull_area": top.hull_area(), "integral": top.integral(), "triangles": len(top.rings)}
    if "at" in question:
        told["z"] = top.value(np.array(question["at"])).tolist()
    if "bottom" in question:
        bottom = Surface(question["bottom"])
        floor = Polygon(question["shell"], question["holes"])
        told["volumes"] = between(top, bottom, floor)
        told["area"] = floor.area
        told["windows"] = [between(top, bottom, floor.intersection(Polygon(w)))[0] for w in question["windows"]]
        told["window_areas"] = [floor.intersection(Polygon(w)).area for w in question["windows"]]
    return told


json.dump(answer(json.load(sys.stdin)), sys.stdout)
