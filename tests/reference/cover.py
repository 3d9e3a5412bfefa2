"""How much of a floor laid sheets leave bare, and how near bars come to its edge, by shapely; metres."""

import json
import sys

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union


def looked_at(case):
    floor = Polygon(case["boundary"], case["holes"])
    assert floor.is_valid
    # Less than zero is beyond the edge; poly runs on under openings.
    inset = case["inset"]
    if inset >= 0:
        wanted = floor.buffer(-inset, quad_segs=64)
    else:
        wanted = Polygon(case["boundary"])
    pieces = [Polygon(ring) for ring in case["pieces"]]
    union = unary_union(pieces)
    answer = {"bare": wanted.difference(union).area, "wanted": wanted.area, "laid": sum(p.area for p in pieces)}
    bars = [LineString(bar) for bar in case["bars"]]
    edges = [Polygon(case["boundary"]).exterior] + [Polygon(hole).exterior for hole in case["holes"]]
    answer["nearest"] = min((edge.distance(bar) for bar in bars for edge in edges), default=None)
    answer["outside"] = sum(bar.difference(floor).length for bar in bars)
    return answer


json.dump([looked_at(case) for case in json.load(sys.stdin)], sys.stdout)
