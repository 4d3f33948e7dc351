"""Pieces of a drawing: each outline with the holes in it, whatever layers they are drawn on.

Works on rings in drawing units.  Knows no job.
"""

import math
from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct

from gridjig.model import CutOut, Drilled, PlateHole
from gridjig.rack import Point
from gridjig.units.progress import look, looked_at

from .drawing import DrawingLayer
from .nesting import depths
from .rings import Ring

ROUND = 0.05
"""How far the corners of a flattened circle may be off it, mm."""
_LEAST_CORNERS = 8  # of a circle


class DrawnPiece(Struct, frozen=True):
    """An outline, the layer that it is on, and the outlines of its holes."""

    layer: str
    outline: Ring
    holes: tuple[Ring, ...] = ()


def pieces_of(layers: Sequence[DrawingLayer]) -> tuple[DrawnPiece, ...]:
    """Return the pieces of some layers; of rings inside each other every second one is a hole.

    If each layer is one piece of sheet with its holes, each is taken by itself, since such layers
    are drawn over each other.  Raise Tangled if too many rings overlap.
    """
    if _are_sheets(layers):
        return tuple(piece for layer in layers for piece in _nested([layer]))
    return _nested(layers)


def _are_sheets(layers: Sequence[DrawingLayer]) -> bool:
    """True if each of several layers is one outline, and none of them is just a hole in another."""
    drawn = [layer for layer in layers if layer.outlines]
    if len(drawn) < 2 or any(len(layer.outlines) != 1 for layer in drawn):
        return False
    shapes = [shapely.Polygon(layer.outlines[0]) for layer in drawn]
    tree = shapely.STRtree(shapes)
    for layer, shape in zip(looked_at(drawn), shapes, strict=True):
        around = len(tree.query(shape, predicate="covered_by")) > 1  # it is itself among them
        if around and not layer.openings:
            return False
    return True


def _nested(layers: Sequence[DrawingLayer]) -> tuple[DrawnPiece, ...]:
    rings = [(layer.name, ring) for layer in layers for ring in (*layer.outlines, *layer.openings)]
    shapes = [shapely.Polygon(ring) for _, ring in looked_at(rings, 100)]
    deep = depths(shapes, lambda _: look())
    holes: dict[int, list[Ring]] = {}
    if any(deep):
        tree, level = shapely.STRtree(shapes), np.array(deep)
        areas = shapely.area(np.array(shapes, dtype=object))
        for number in looked_at([k for k, depth in enumerate(deep) if depth % 2], 20):
            around = tree.query(shapes[number].representative_point(), predicate="within")
            around = around[level[around] == deep[number] - 1]
            if around.size:
                parent = int(around[np.argmin(areas[around])])
                holes.setdefault(parent, []).append(rings[number][1])
    return tuple(
        DrawnPiece(layer, ring, tuple(holes.get(number, ())))
        for number, (layer, ring) in enumerate(rings)
        if deep[number] % 2 == 0
    )


def hole_of(ring: Sequence[Point]) -> PlateHole:
    """Return a hole in mm: drilled if its ring is a flattened circle, or else cut out.

    The corners of a flattened circle lie on it, evenly apart.
    """
    count = len(ring)
    x, y = sum(p[0] for p in ring) / count, sum(p[1] for p in ring) / count
    radii = [math.dist(p, (x, y)) for p in ring]
    radius = sum(radii) / count
    sides = [math.dist(a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    even = max(sides) - min(sides) <= ROUND * 2.0
    if count >= _LEAST_CORNERS and even and max(abs(r - radius) for r in radii) <= ROUND:
        return Drilled((x, y), 2.0 * radius)
    return CutOut(tuple(ring))
