"""Drawings by the open library ezdxf: ours read and audited, others written for us to read."""

import io
import json
import sys

import ezdxf
from ezdxf import bbox, path
from ezdxf.math import area


def ring_area(polyline):
    """Area of a closed polyline with arcs, flattened by the library to a thousandth of a millimetre of the unit."""
    vertices = list(path.make_path(polyline).flattening(1e-7))
    return area([(v.x, v.y) for v in vertices])


def read(text):
    document = ezdxf.read(io.StringIO(text))
    auditor = document.audit()
    space = document.modelspace()
    outline = space.query('POLYLINE[layer=="OUTLINE"]')
    points = {
        layer: [list(p.dxf.location) for p in space.query(f'POINT[layer=="{layer}"]')] for layer in ("PADS", "SHOTS")
    }
    return {
        "errors": [str(e.message) for e in auditor.errors],
        "fixes": [str(e.message) for e in auditor.fixes],
        "units": document.header.get("$INSUNITS"),
        "release": document.dxfversion,
        "layers": sorted(layer.dxf.name for layer in document.layers),
        "outlines": len(outline),
        "area": ring_area(outline.first),
        "bulges": [v.dxf.bulge for v in outline.first.vertices],
        "corners": [[v.dxf.location.x, v.dxf.location.y] for v in outline.first.vertices],
        "extent": [list(c) for c in (lambda b: (b.extmin, b.extmax))(bbox.extents(outline))],
        "kinds": sorted({e.dxftype() for e in space}),
        "points": points,
    }


def write(case):
    """A drawing of a release: a closed polyline with bulges, the same as lines and arcs, points and faces."""
    document = ezdxf.new(case["release"], setup=True)
    document.header["$INSUNITS"] = case["unit"]
    space = document.modelspace()
    corners = case["corners"]
    if case["release"] == "R12":
        ring = space.add_polyline2d(
            [(x, y, b) for x, y, b in corners], format="xyb", close=True, dxfattribs={"layer": "SLAB"}
        )
    else:
        ring = space.add_lwpolyline(
            [(x, y, b) for x, y, b in corners], format="xyb", close=True, dxfattribs={"layer": "SLAB"}
        )
    told = {"area": ring_area(ring)}
    for piece in ring.virtual_entities():
        piece.dxf.layer = "PIECES"
        space.add_entity(piece.copy())
    for x, y, z in case["points"]:
        space.add_point((x, y, z), dxfattribs={"layer": "GRADES"})
    for face in case["faces"]:
        space.add_3dface([tuple(corner) for corner in face], dxfattribs={"layer": "TIN"})
    space.add_text("a text", dxfattribs={"layer": "NOTES"})
    out = io.StringIO()
    document.write(out)
    return {"text": out.getvalue(), **told}


question = json.load(sys.stdin)
json.dump({"read": [read(text) for text in question["ours"]], "written": [write(c) for c in question["cases"]]}, sys.stdout)
