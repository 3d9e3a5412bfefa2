"""Areas, centres and common parts of polygons by shapely."""

import json
import sys

from shapely.geometry import Polygon


def answer(question):
    floor = Polygon(question["shell"], question["holes"])
    parts = [floor.intersection(Polygon(window)) for window in question["windows"]]
    return {
        "valid": floor.is_valid,
        "area": floor.area,
        "shell_area": Polygon(question["shell"]).area,
        "shell_centroid": list(Polygon(question["shell"]).centroid.coords[0]),
        "perimeter": Polygon(question["shell"]).length,
        "parts": [part.area for part in parts],
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
