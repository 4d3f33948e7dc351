"""Closed outlines sorted out: drawn twice, crossing themselves, lying in one another.

Works on points in drawing units.  Knows no file.
"""

import math
import re
from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct

from gridjig.rack import Point

from .drawing_join import Tick, counted

Ring = tuple[Point, ...]
_CHUNK = 1000
_OFF = 0.3183  # of a cell; what people draw has round numbers, which must not lie on its edge


class Crossing(Struct, frozen=True):
    """An outline that crosses itself, and where, in drawing units."""

    layer: str
    at: Point


class Sorted(Struct, frozen=True):
    """Rings sorted out, counter-clockwise; `flat` counts those without area."""

    outlines: tuple[Ring, ...]
    openings: tuple[Ring, ...]
    crossings: tuple[Crossing, ...]
    doubled: int
    flat: int


def once(paths: Sequence[list[Point]], reach: float, tick: Tick) -> list[list[Point]]:
    """The paths without those that are drawn a second time, either way round."""
    seen: set[tuple[tuple[int, int], ...]] = set()
    kept = []
    for path in counted(paths, tick):
        key = tuple((_cell(x, reach), _cell(y, reach)) for x, y in path)
        key = min(key, key[::-1])
        if key not in seen:
            seen.add(key)
            kept.append(path)
    return kept


def _cell(value: float, size: float) -> int:
    return math.floor(value / size + _OFF)


def sort_rings(layer: str, rings: Sequence[list[Point]], reach: float, tick: Tick) -> Sorted:
    """Sort the rings of one layer.  Of rings in rings, every second is an opening."""
    shapes, crossings, flat = _sound(layer, rings, reach, tick)
    shapes, doubled = _single(shapes, reach, tick)
    depth = _depths(shapes, tick)
    outlines: list[Ring] = []
    openings: list[Ring] = []
    for shape, inside in zip(counted(shapes, tick), depth, strict=True):
        (openings if inside % 2 else outlines).append(_ring(shape))
    return Sorted(tuple(outlines), tuple(openings), tuple(crossings), doubled, flat)


def _ring(shape: shapely.Polygon) -> Ring:
    made = [(x, y) for x, y in shape.exterior.coords[:-1]]
    return tuple(made if shape.exterior.is_ccw else made[::-1])


def _sound(
    layer: str, rings: Sequence[list[Point]], reach: float, tick: Tick
) -> tuple[list[shapely.Polygon], list[Crossing], int]:
    """The rings that bound an area without crossing themselves, where others cross, and how many
    bound none.
    """
    good: list[shapely.Polygon] = []
    crossings: list[Crossing] = []
    flat = 0
    for start in range(0, len(rings), _CHUNK):
        tick(_CHUNK)
        chunk = rings[start : start + _CHUNK]
        coords = np.array([p for ring in chunk for p in (*ring, ring[0])])
        which = np.repeat(np.arange(len(chunk)), [len(ring) + 1 for ring in chunk])
        made = shapely.polygons(shapely.linearrings(coords, indices=which))
        shapes = np.asarray(made, dtype=object)
        valid = np.asarray(shapely.is_valid(shapes))
        hulls = np.asarray(shapely.area(shapely.convex_hull(shapes)))
        sizes = np.asarray(shapely.length(shapes))
        for shape, sound, hull, size in zip(shapes, valid, hulls, sizes, strict=True):
            if hull <= reach * size / 4.0:
                flat += 1
            elif sound:
                good.append(shape)
            else:
                crossings.append(Crossing(layer, _crossing(shape)))
    return good, crossings, flat


def _crossing(shape: shapely.Polygon) -> Point:
    said = re.search(r"\[(\S+) ([^\s\]]+)", shapely.is_valid_reason(shape))
    assert said  # GEOS gives the place of every fault that a ring of finite points can have
    return (float(said[1]), float(said[2]))


def _single(
    shapes: list[shapely.Polygon], reach: float, tick: Tick
) -> tuple[list[shapely.Polygon], int]:
    """The shapes without those drawn a second time, and how many those were."""
    alike: dict[tuple[int, ...], list[shapely.Polygon]] = defaultdict(list)
    kept = []
    for shape in counted(shapes, tick):
        key = tuple(_cell(v, 2.0 * reach) for v in shape.bounds)
        others = alike[key]
        if any(shape.hausdorff_distance(other) <= reach for other in others):
            continue
        others.append(shape)
        kept.append(shape)
    return kept, len(shapes) - len(kept)


def _depths(shapes: list[shapely.Polygon], tick: Tick) -> list[int]:
    """In how many others each shape lies."""
    depth = [0] * len(shapes)
    if len(shapes) < 2:
        return depth
    tree = shapely.STRtree(shapes)
    for start in range(0, len(shapes), _CHUNK):
        tick(_CHUNK)
        chunk = np.array(shapes[start : start + _CHUNK], dtype=object)
        shapely.prepare(chunk)
        outer, inner = tree.query(chunk, predicate="contains")
        for a, b in zip((outer + start).tolist(), inner.tolist(), strict=True):
            if a != b:
                depth[b] += 1
    return depth
