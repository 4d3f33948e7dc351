"""Which outlines lie inside which: fast even if thousands are nested.

Works on polygons in drawing units.  Knows no file and no layer.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from msgspec import Struct

from gridjig.files.drawings.joining import ProgressCall

MOST_PAIRS = 300_000
"""The most pairs of outlines with touching boxes that are compared one by one: about 2 s.  Beyond
that a sweep line is used, which needs outlines that do not cross each other."""
MOST_OPEN = 40_000
"""The most chains that the sweep line may cross at once: 20,000 outlines inside each other."""
MOST_SEARCHED = 5_000_000
"""The most chains that are looked through for ones that are not where they should be: about 1 s.
Only shapes that cross each other need it."""
_CHUNK = 200
_FEW = 10  # each may touch all others


class Tangled(Exception):  # noqa: N818  (it is the drawing's state)
    """Too many outlines cross or cover each other to tell which lie inside which."""


def depths(shapes: Sequence[shapely.Polygon], tick: ProgressCall) -> list[int]:
    """Return how many other shapes each shape lies in.  Raise Tangled."""
    if len(shapes) < 2:
        return [0] * len(shapes)
    every = np.array(shapes, dtype=object)
    tree = shapely.STRtree(every)
    if _are_few(tree, every, tick):
        return _one_by_one(tree, every, tick)
    parents = swept(shapes, tick)
    _require_true(every, parents, tick)
    depth: dict[int, int] = {-1: -1}
    for ring in parents:  # a parent comes before what lies in it
        depth[ring] = depth[parents[ring]] + 1
    return [depth[ring] for ring in range(len(shapes))]


def _are_few(
    tree: shapely.STRtree,
    shapes: "np.ndarray[tuple[int], np.dtype[np.object_]]",
    tick: ProgressCall,
) -> bool:
    """True if no more boxes touch than can be compared."""
    pairs = 0
    for start in range(0, len(shapes), _FEW):
        if start % _CHUNK == 0:
            tick(0)
        pairs += tree.query(shapes[start : start + _FEW]).shape[1]
        if pairs > MOST_PAIRS + len(shapes):
            return False
    return True


def _one_by_one(
    tree: shapely.STRtree,
    shapes: "np.ndarray[tuple[int], np.dtype[np.object_]]",
    tick: ProgressCall,
) -> list[int]:
    depth = [0] * len(shapes)
    for start in range(0, len(shapes), _CHUNK):
        tick(_CHUNK)
        chunk = shapes[start : start + _CHUNK]
        shapely.prepare(chunk)
        outer, inner = tree.query(chunk, predicate="contains")
        for a, b in zip((outer + start).tolist(), inner.tolist(), strict=True):
            if a != b:
                depth[b] += 1
    return depth


def _require_true(
    shapes: "np.ndarray[tuple[int], np.dtype[np.object_]]",
    parents: dict[int, int],
    tick: ProgressCall,
) -> None:
    """Raise Tangled unless each shape lies in its parent."""
    inner = [ring for ring, parent in parents.items() if parent >= 0]
    for start in range(0, len(inner), _CHUNK):
        tick(_CHUNK)
        some = inner[start : start + _CHUNK]
        if not shapely.covers(shapes[[parents[ring] for ring in some]], shapes[some]).all():
            raise Tangled


class _Chain(Struct, eq=False):
    """A stretch of an outline along which x only increases; `lower` if the inside is above it."""

    ring: int
    lower: bool
    xs: list[float]
    ys: list[float]

    def at(self, x: float) -> tuple[float, float]:
        """Return its height at x, and its slope from there."""
        k = min(max(bisect_right(self.xs, x) - 1, 0), len(self.xs) - 2)
        x0, x1, y0, y1 = self.xs[k], self.xs[k + 1], self.ys[k], self.ys[k + 1]
        slope = (y1 - y0) / (x1 - x0)
        return (y0 + (x - x0) * slope, slope)


def swept(shapes: Sequence[shapely.Polygon], tick: ProgressCall) -> dict[int, int]:
    """Return for each shape the smallest one around it, -1 for none, in order of left ends.

    A line sweeps from left to right over shapes that do not cross each other.  The edge just below
    the left end of a shape belongs to the shape around it, or to a sibling in that shape.
    """
    parents: dict[int, int] = {}
    searched = 0
    below: list[_Chain] = []  # what the line crosses, from the bottom up
    events: list[tuple[float, int, float, int, _Chain]] = []
    for ring, shape in enumerate(shapes):
        if ring % _CHUNK == 0:
            tick(0)
        for chain in _chains(ring, shape):
            events.append((chain.xs[0], 1, -shape.area, len(events), chain))
            events.append((chain.xs[-1], 0, 0.0, len(events), chain))
    tick(0)
    events.sort()  # the fourth value is never the same
    for number, (x, begins, _, _, chain) in enumerate(events):
        if number % 300 == 0:
            tick(0)
        place = bisect_left(below, chain.at(x), key=lambda other: other.at(x))
        if not begins:
            searched += _take_out(below, chain, place)
            if searched > MOST_SEARCHED:
                raise Tangled
            continue
        if chain.ring not in parents:
            under = below[place - 1] if place else None
            if under is None:
                parents[chain.ring] = -1
            else:
                parents[chain.ring] = under.ring if under.lower else parents[under.ring]
        below.insert(place, chain)
        if len(below) > MOST_OPEN:
            raise Tangled
    return parents


def _take_out(below: list[_Chain], chain: _Chain, place: int) -> int:
    """Take a chain out of the list, near that place unless shapes cross; return the steps."""
    for near in range(max(place - 3, 0), min(place + 4, len(below))):
        if below[near] is chain:
            del below[near]
            return 0
    at = next(n for n, other in enumerate(below) if other is chain)
    del below[at]
    return at


def _chains(ring: int, shape: shapely.Polygon) -> list[_Chain]:
    """The outline of a shape as chains; of those at its left end the lower one comes first."""
    coords = shapely.get_coordinates(shape.exterior)
    if not shape.exterior.is_ccw:
        coords = coords[::-1]
    points = coords[:-1].tolist()
    first = min(range(len(points)), key=lambda k: points[k])
    points = [*points[first:], *points[: first + 1]]
    made: list[_Chain] = []
    way, xs, ys = 0, [points[0][0]], [points[0][1]]
    for (x0, y0), (x, y) in pairwise(points):
        going = (x > x0) - (x < x0)
        if going != way:  # vertical edges are not part of a chain
            _close(made, ring, way, xs, ys)
            way, xs, ys = going, [x0], [y0]
        if going:
            xs.append(x)
            ys.append(y)
    _close(made, ring, way, xs, ys)
    return made


def _close(made: list[_Chain], ring: int, way: int, xs: list[float], ys: list[float]) -> None:
    if len(xs) > 1 and way:
        made.append(_Chain(ring, way > 0, xs if way > 0 else xs[::-1], ys if way > 0 else ys[::-1]))
