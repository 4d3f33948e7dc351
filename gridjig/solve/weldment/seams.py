"""Where the plan outlines of two parts meet: stretches of facing edges, and the open angles there.

Plane geometry only, in mm; heights and names are left to `joints`.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import shapely
from msgspec import Struct

from gridjig.rack import Point

from .meeting import DEEP, FACING, GAP, LEAST

_FEW = 4_000
"""Up to this many pairs of edges it is faster to test all than to sort them by their boxes."""


class Edge(NamedTuple):
    """One side of an outline: its start, its unit direction, its length and its number."""

    x: float
    y: float
    ux: float
    uy: float
    length: float
    side: int


class Seam(NamedTuple):
    """A stretch along which two outlines meet.

    `line` runs midway between the two faces, along the first outline; `gap` is their mean distance,
    0 if they touch.  `angles` are the open angles between the faces at the start and end of the
    line, degrees.  `sides` are the pairs of sides that meet, in order; `whole`: all of them meet
    along their full length.
    """

    line: tuple[Point, ...]
    length: float
    gap: float
    angles: tuple[float, float]
    sides: tuple[tuple[int, int], ...]
    whole: bool


class _Bit(Struct):
    """A stretch of edge `a`, from `low` to `high` along it, that faces edge `b`."""

    a: int
    low: float
    high: float
    b: int
    off_low: float
    off_high: float


def edges_of(ring: Sequence[Point], sides: Sequence[int] | None = None) -> tuple[Edge, ...]:
    """The edges of a counter-clockwise ring, without those of length 0.

    `sides` gives their numbers if they are not simply counted.
    """
    made = []
    for k, (x, y) in enumerate(ring):
        x2, y2 = ring[(k + 1) % len(ring)]
        dx, dy = x2 - x, y2 - y
        length = math.hypot(dx, dy)
        if length > 1e-9:
            side = k if sides is None else sides[k]
            made.append(Edge(x, y, dx / length, dy / length, length, side))
    return tuple(made)


def seams(one: Sequence[Edge], other: Sequence[Edge], gap: float = GAP) -> list[Seam]:
    """All seams of two outlines, in order along the first."""
    bits = _bits(one, other, gap)
    if not bits:
        return []
    runs: list[list[_Bit]] = []
    for bit in bits:
        if runs and _follows(one, runs[-1][-1], bit, gap):
            runs[-1].append(bit)
        else:
            runs.append([bit])
    if len(runs) > 1 and _follows(one, runs[-1][-1], runs[0][0], gap):
        runs[0] = runs.pop() + runs[0]
    made = [_seam(one, other, run) for run in runs]
    return [seam for seam in made if seam.length >= LEAST]


def _bits(one: Sequence[Edge], other: Sequence[Edge], gap: float) -> list[_Bit]:
    found = []
    for a, e, facing in _near_edges(one, other, gap):
        ux, uy = e.ux, e.uy
        for b in facing:
            f = other[b]
            if ux * f.ux + uy * f.uy > -FACING:
                continue
            dx, dy = f.x - e.x, f.y - e.y
            # The other edge's ends: distances along the first edge, and outwards from it.
            far, off_far = dx * ux + dy * uy, dx * uy - dy * ux
            along, aside = f.ux * ux + f.uy * uy, f.ux * uy - f.uy * ux
            near, off_near = far + along * f.length, off_far + aside * f.length
            low, high = max(0.0, near), min(e.length, far)
            if high - low <= 1e-9:
                continue
            rise = (off_far - off_near) / (far - near)
            low, high = _within(low, high, off_near - rise * near, rise, gap)
            if high - low > 1e-9:
                at = off_near - rise * near
                found.append(_Bit(a, low, high, b, at + rise * low, at + rise * high))
    found.sort(key=lambda bit: (bit.a, bit.low))
    return found


def _near_edges(
    one: Sequence[Edge], other: Sequence[Edge], gap: float
) -> Iterator[tuple[int, Edge, Sequence[int]]]:
    """Each edge of one outline, with those of the other that may be within the gap of it.

    If there are many, only edges whose boxes meet: else 20,000 corners would take days.
    """
    if len(one) * len(other) <= _FEW:
        every = range(len(other))
        yield from ((a, edge, every) for a, edge in enumerate(one))
        return
    mine, theirs = shapely.STRtree(_boxes(other, gap + DEEP)).query(_boxes(one, 0.0))
    order = np.lexsort((theirs, mine))
    first, begin = np.unique(mine[order], return_index=True)
    ends = [*begin[1:].tolist(), len(order)]
    for a, low, high in zip(first.tolist(), begin.tolist(), ends, strict=first.size > 0):
        yield a, one[a], theirs[order[low:high]].tolist()


def _boxes(edges: Sequence[Edge], margin: float) -> np.ndarray[Any, Any]:
    """The bounding boxes of edges, enlarged by `margin` mm on every side."""
    x, y, ux, uy, long = np.array([(e.x, e.y, e.ux, e.uy, e.length) for e in edges]).T
    x2, y2 = x + ux * long, y + uy * long
    made: np.ndarray[Any, Any] = shapely.box(
        np.minimum(x, x2) - margin,
        np.minimum(y, y2) - margin,
        np.maximum(x, x2) + margin,
        np.maximum(y, y2) + margin,
    )
    return made


def _within(low: float, high: float, at: float, rise: float, gap: float) -> tuple[float, float]:
    """The part of low..high where at + rise * s is between touching and the gap."""
    if abs(rise) < 1e-12:
        return (low, high) if -DEEP <= at <= gap else (0.0, 0.0)
    one, two = sorted(((-DEEP - at) / rise, (gap - at) / rise))
    return (max(low, one), min(high, two))


def _follows(ring: Sequence[Edge], before: _Bit, after: _Bit, gap: float) -> bool:
    """True if the second bit continues the first, on the same edge or round a corner."""
    if before.a == after.a:
        return -DEEP <= after.low - before.high <= gap
    turns = (before.a + 1) % len(ring) == after.a
    return turns and ring[before.a].length - before.high <= gap and after.low <= gap


def _seam(one: Sequence[Edge], other: Sequence[Edge], run: list[_Bit]) -> Seam:
    line: list[Point] = []
    length = weighed = 0.0
    sides: dict[tuple[int, int], None] = {}
    mine: dict[int, float] = {}
    theirs: dict[int, float] = {}
    for bit in run:
        e, f = one[bit.a], other[bit.b]
        for along, off in ((bit.low, bit.off_low), (bit.high, bit.off_high)):
            point = _point(e, along, off / 2.0)
            if not line or math.dist(point, line[-1]) > DEEP:
                line.append(point)
        long = bit.high - bit.low
        length += long
        weighed += long * (bit.off_low + bit.off_high) / 2.0
        sides[e.side, f.side] = None
        mine[bit.a], theirs[bit.b] = e.length, f.length
    return Seam(
        line=tuple(line),
        length=length,
        gap=max(weighed / length, 0.0),
        angles=(_angle_at_start(one, other, run[0]), _angle_at_end(one, other, run[-1])),
        sides=tuple(sides),
        whole=max(sum(mine.values()), sum(theirs.values())) - length <= DEEP,
    )


def _point(edge: Edge, along: float, off: float) -> Point:
    return (
        edge.x + edge.ux * along + edge.uy * off,
        edge.y + edge.uy * along - edge.ux * off,
    )


def _angle_at_end(one: Sequence[Edge], other: Sequence[Edge], bit: _Bit) -> float:
    """The open angle past the end of a bit, from the first part's face round to the other's."""
    e, f = one[bit.a], other[bit.b]
    mine = _way(e) if e.length - bit.high > DEEP else _way(one[(bit.a + 1) % len(one)])
    starts = (f.x - e.x) * e.ux + (f.y - e.y) * e.uy
    theirs = _back(f) if starts - bit.high > DEEP else _back(other[bit.b - 1])
    return _open(mine - theirs)


def _angle_at_start(one: Sequence[Edge], other: Sequence[Edge], bit: _Bit) -> float:
    """The open angle before the start of a bit."""
    e, f = one[bit.a], other[bit.b]
    mine = _back(e) if bit.low > DEEP else _back(one[bit.a - 1])
    x, y = f.x + f.ux * f.length, f.y + f.uy * f.length
    ends = (x - e.x) * e.ux + (y - e.y) * e.uy
    theirs = _way(f) if bit.low - ends > DEEP else _way(other[(bit.b + 1) % len(other)])
    return _open(theirs - mine)


def _way(edge: Edge) -> float:
    return math.degrees(math.atan2(edge.uy, edge.ux))


def _back(edge: Edge) -> float:
    return math.degrees(math.atan2(-edge.uy, -edge.ux))


def _open(degrees: float) -> float:
    turned = degrees % 360.0
    return 0.0 if turned > 360.0 - 1e-6 else turned
