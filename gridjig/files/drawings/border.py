"""Recognises a drawing's border and its title block, which are no work.

Works on the outer rings of a drawing, in drawing units.
"""

from collections.abc import Sequence

import numpy as np
import shapely

from gridjig.units.progress import looked_at

from .nesting import depths
from .rings import Ring

SHEETS = (2.0**0.5, 11.0 / 8.5, 17.0 / 11.0, 22.0 / 17.0, 34.0 / 22.0, 44.0 / 34.0)
"""Length to width of sheets of paper: ISO 216, and ANSI/ASME Y14.1 from A to E."""
_ASPECT = 0.015  # how far the border itself may be off that
_RECTANGLE = 0.999  # of the area of its box
_INNER = 0.8  # of the border's width and depth, for a second line round the sheet
_CELL = 0.3  # of the border's area, at most, for a title block
_NAMES = ("border", "frame", "title", "sheet", "rahmen", "schrift", "cartouche", "cadre")
_WRITING = 3  # texts
_SIGNS = 2


def find_border(
    layers: Sequence[str], rings: Sequence[Ring], reach: float, texts: int
) -> frozenset[int]:
    """Return the numbers of the rings that are the border, and all that touches it.

    A border is a rectangle round everything else.  Since a plate with holes may be one too, two
    further signs are asked for: the name of its layer, the proportions of a sheet of paper, a
    title block in its corner, a second line inside it, texts.
    """
    if len(rings) < 2:
        return frozenset()
    shapes = [shapely.Polygon(np.array(ring)) for ring in rings]  # of a list it takes far longer
    areas = [shape.area for shape in shapes]
    aside: set[int] = set()
    for _ in range(2):  # the border may be a double line
        left = [k for k in range(len(rings)) if k not in aside]
        if len(left) < 2:
            break
        found = _outermost(layers, shapes, areas, left, reach, texts, bool(aside))
        if not found:
            break
        aside |= found
    return frozenset(aside)


def _outermost(
    layers: Sequence[str],
    shapes: Sequence[shapely.Polygon],
    areas: Sequence[float],
    left: Sequence[int],
    reach: float,
    texts: int,
    second: bool,
) -> set[int]:
    largest = max(left, key=lambda k: areas[k])
    tree = shapely.STRtree([shapes[k] for k in left])
    linked, todo = {largest}, [largest]
    while todo:
        one = todo.pop()
        edge = shapes[one].exterior
        shapely.prepare(edge)  # or each point of it would be compared with each of the other
        for at in looked_at(tree.query(edge, predicate="dwithin", distance=reach).tolist(), 20):
            other = left[at]
            if other not in linked and edge.dwithin(shapes[other].exterior, reach):
                linked.add(other)
                todo.append(other)
    around = shapely.union_all([shapes[k] for k in linked])
    x0, y0, x1, y1 = around.bounds
    if around.area < _RECTANGLE * (x1 - x0) * (y1 - y0):
        return set()
    box = shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach)
    others = [k for k in left if k not in linked]
    if not others or not all(box.contains(shapes[k]) for k in others):
        return set()
    cells = [k for k in linked if k != largest]
    if any(areas[k] > _CELL * around.area for k in cells):
        return set()
    long, short = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
    signs = [
        any(word in layers[largest].casefold() for word in _NAMES),
        any(abs(long / short / sheet - 1.0) <= _ASPECT for sheet in SHEETS),
        bool(cells),
        texts >= _WRITING,
        second or any(_lines(shapes[k], (x0, y0, x1, y1)) for k in others),
    ]
    if sum(signs) < _SIGNS:
        return set()
    inside = [k for k in others if any(shapes[c].contains(shapes[k]) for c in cells)]
    return {*linked, *inside}


def _lines(shape: shapely.Polygon, box: tuple[float, float, float, float]) -> bool:
    """True if a ring is a rectangle nearly as large as the border."""
    a0, b0, a1, b1 = shape.bounds
    x0, y0, x1, y1 = box
    full = shape.area >= _RECTANGLE * (a1 - a0) * (b1 - b0)
    return full and a1 - a0 > _INNER * (x1 - x0) and b1 - b0 > _INNER * (y1 - y0)


def nested_again(rings: Sequence[Ring]) -> tuple[tuple[Ring, ...], tuple[Ring, ...]]:
    """Return the outlines and the openings among the rings of a layer."""
    shapes = [shapely.Polygon(np.array(ring)) for ring in rings]  # of a list it takes far longer
    deep = depths(shapes, lambda _: None)
    return (
        tuple(ring for ring, depth in zip(rings, deep, strict=True) if depth % 2 == 0),
        tuple(ring for ring, depth in zip(rings, deep, strict=True) if depth % 2),
    )
