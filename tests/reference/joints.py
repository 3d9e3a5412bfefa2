"""Judges laid joints by shapely alone: pieces of the floor between joints, what panels cover, inner corners of pieces."""

import json
import math
import sys

from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union
from shapely.geometry.polygon import orient

# Joints are cut out of the floor this wide, so that they part it; far under any size of a floor.
KERF = 1e-5


def inner_corners(piece):
    """Corners of a piece at which it takes up more than a straight angle and 15 degrees: chords of arcs turn less."""
    found = []
    rings = [orient(piece).exterior] + list(orient(piece).interiors)
    for ring in rings:
        points = list(ring.coords)[:-1]
        for i, b in enumerate(points):
            a, c = points[i - 1], points[(i + 1) % len(points)]
            if math.dist(a, b) < 10 * KERF or math.dist(b, c) < 10 * KERF:
                continue
            turn = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
            turn = (turn + math.pi) % (2 * math.pi) - math.pi
            if turn < -math.radians(15.1):
                found.append(b)
    return found


def longer(joint, by=1e-3):
    """A joint that reaches a little past its ends: beside a skew edge it stops a hair short of the corner."""
    (x0, y0), (x1, y1) = joint
    far = math.hypot(x1 - x0, y1 - y0)
    u, v = (x1 - x0) / far * by, (y1 - y0) / far * by
    return LineString([(x0 - u, y0 - v), (x1 + u, y1 + v)])


def answer(question):
    floor = Polygon(question["shell"], question["holes"])
    joints = [LineString(joint) for joint in question["joints"]]
    kerfs = unary_union([longer(joint).buffer(KERF / 2) for joint in question["joints"]]) if joints else Polygon()
    cut = floor.difference(kerfs)
    pieces = [p for p in getattr(cut, "geoms", [cut]) if p.area > 1e-3]
    panels = [Polygon(panel).buffer(0) for panel in question["panels"]]
    cover = unary_union(panels)
    overlap = sum(p.intersection(q).area for i, p in enumerate(panels) for q in panels[:i])
    small = [Polygon(hole).envelope for hole in question["holes"] if max(
        Polygon(hole).bounds[2] - Polygon(hole).bounds[0], Polygon(hole).bounds[3] - Polygon(hole).bounds[1]) <= 0.92]
    corners = []
    for piece in pieces:
        for corner in inner_corners(piece):
            # Corners of columns and pipes do not count: they stand isolated.
            if not any(box.distance(Point(corner)) < 1e-3 for box in small):
                corners.append(corner)
    longest = 0.0
    for piece in pieces:
        x0, y0, x1, y1 = piece.bounds
        longest = max(longest, x1 - x0, y1 - y0)
    return {
        "area": floor.area,
        "pieces": sorted(piece.area for piece in pieces),
        "uncovered": floor.difference(cover).area,
        "outside": cover.difference(floor).area - sum(Polygon(hole).intersection(cover).area for hole in question["holes"]),
        "overlap": overlap,
        "corners": corners,
        "longest": longest,
        "sawn": sum(joint.length for joint in joints),
        "off": max([joint.difference(floor.buffer(1e-3)).length for joint in joints] + [0.0]),
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
