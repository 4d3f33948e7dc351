"""Closed outlines sorted out: duplicates, self-crossing ones, nested ones.

Works on points in drawing units.  Knows no file.
"""

import math
import re
from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from msgspec import Struct

from gridjig.files.drawings.nesting import Tangled, depths
from gridjig.rack import Point

from .joining import ProgressCall, counted

Ring = tuple[Point, ...]
_POINTS = 10_000  # that are checked together
MOST_COMPARED = 300_000
"""The most comparisons of possible duplicates, of a hundred corners each: about 3 s."""
_FEW = 1_000_000  # pairs of corners that are faster to measure than to sort
_OFF = 0.3183  # of a cell; drawings have round numbers, which must not fall on its edge


class Crossing(Struct, frozen=True):
    """An outline that crosses itself, where, and the outline, in drawing units."""

    layer: str
    at: Point
    ring: Ring = ()


class SortedRings(Struct, frozen=True):
    """Rings sorted out, counter-clockwise; `flat` counts those without area."""

    outlines: tuple[Ring, ...]
    openings: tuple[Ring, ...]
    crossings: tuple[Crossing, ...]
    doubled: int
    flat: int


def once(paths: Sequence[list[Point]], reach: float, tick: ProgressCall) -> list[list[Point]]:
    """Return the paths without duplicates, in either direction."""
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


def sort_rings(
    layer: str, rings: Sequence[list[Point]], reach: float, tick: ProgressCall
) -> SortedRings:
    """Sort the rings of one layer.  Of nested rings, every second one is an opening.

    Raise Tangled if too many overlap to tell them apart.
    """
    shapes, crossings, flat = _sound(layer, rings, reach, tick)
    shapes, doubled = _single(shapes, reach, tick)
    depth = depths(shapes, tick)
    outlines: list[Ring] = []
    openings: list[Ring] = []
    for shape, inside in zip(counted(shapes, tick), depth, strict=True):
        (openings if inside % 2 else outlines).append(_ring(shape))
    return SortedRings(tuple(outlines), tuple(openings), tuple(crossings), doubled, flat)


def _ring(shape: shapely.Polygon) -> Ring:
    made = [(x, y) for x, y in shapely.get_coordinates(shape.exterior)[:-1].tolist()]
    return tuple(made if shape.exterior.is_ccw else made[::-1])


def _sound(
    layer: str, rings: Sequence[list[Point]], reach: float, tick: ProgressCall
) -> tuple[list[shapely.Polygon], list[Crossing], int]:
    """The rings that bound an area without crossing themselves, where others cross, and how many
    have no area.
    """
    good: list[shapely.Polygon] = []
    crossings: list[Crossing] = []
    flat = 0
    for chunk in _in_parts(rings):
        tick(len(chunk))
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
                crossings.append(Crossing(layer, _crossing(shape), _ring(shape)))
    return good, crossings, flat


def _in_parts(rings: Sequence[list[Point]]) -> Iterator[Sequence[list[Point]]]:
    """The rings in batches of limited size, so that cancelling takes effect soon."""
    start = points = 0
    for k, ring in enumerate(rings):
        points += len(ring)
        if points > _POINTS or k + 1 == len(rings):
            yield rings[start : k + 1]
            start, points = k + 1, 0


def _crossing(shape: shapely.Polygon) -> Point:
    said = re.search(r"\[(\S+) ([^\s\]]+)", shapely.is_valid_reason(shape))
    assert said  # GEOS gives the place of every fault of a ring with finite points
    return (float(said[1]), float(said[2]))


def _single(
    shapes: list[shapely.Polygon], reach: float, tick: ProgressCall
) -> tuple[list[shapely.Polygon], int]:
    """The shapes without duplicates, and how many duplicates there were.

    Only shapes of nearly the same box and area are compared.  Raise Tangled if there are too many
    of them.
    """
    alike: dict[tuple[int, ...], list[tuple[float, int]]] = defaultdict(list)
    kept: list[shapely.Polygon] = []
    compared = 0
    for shape in counted(shapes, tick):
        others = alike[tuple(_cell(v, 2.0 * reach) for v in shape.bounds)]
        area, out = shape.area, 4.0 * reach * shape.length
        near = others[bisect_left(others, (area - out, -1)) : bisect_left(others, (area + out, -1))]
        doubled = False
        for _, number in near:
            compared += 1 + int(shapely.get_num_coordinates(shape)) // 100
            if compared > MOST_COMPARED:
                raise Tangled
            if compared % 1000 == 0:
                tick(0)
            if _apart(shape, kept[number]) <= reach:
                doubled = True
                break
        if not doubled:
            insort(others, (area, len(kept)))
            kept.append(shape)
    return kept, len(shapes) - len(kept)


def _apart(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """The greatest distance of any corner of two outlines from the other outline."""
    counts = shapely.get_num_coordinates([one, other])
    if counts[0] * counts[1] < _FEW:
        return float(one.hausdorff_distance(other))
    return max(_off(one, other), _off(other, one))


def _off(one: shapely.Polygon, other: shapely.Polygon) -> float:
    corners, ring = shapely.get_coordinates(one), shapely.get_coordinates(other)
    sides = np.asarray(shapely.linestrings(np.stack([ring[:-1], ring[1:]], axis=1)))
    _, away = shapely.STRtree(sides).query_nearest(
        shapely.points(corners), return_distance=True, all_matches=False
    )
    return float(away.max())
