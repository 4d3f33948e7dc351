"""In which directions along the table one plan leaves others for good, exactly.

A moving convex piece A meets a fixed one B on its way along v if the ray from 0 along v enters the
inside of B + (-A) = {b - a}: for each pair that is one open interval of directions.  What is left
is the union of closed intervals, some of them single directions: along a stop on either side.
"""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from gridjig.contact.shapes import DEPTH
from gridjig.contact.sides import Whole
from gridjig.geometry.plate_holes import without_openings
from gridjig.geometry.shapes import covered
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point

from .values import Interval

Convex = tuple[Point, ...]
"""A convex outline, counter-clockwise and not closed."""

SAME = 1e-6
"""Directions closer than this, degrees, are one."""

ROUND: tuple[Interval, ...] = ((0.0, 360.0),)
"""Every direction."""


class Prism(NamedTuple):
    """A convex piece between two heights, mm; counter-clockwise."""

    ring: Convex
    z_low: float
    z_high: float


@lru_cache(maxsize=4096)
def convex_pieces(ring: Convex, openings: tuple[Convex, ...] = ()) -> tuple[Convex, ...]:
    """An outline in convex pieces: itself, or else triangles."""
    if not openings and _convex(ring):
        return (ring,)
    import shapely  # noqa: PLC0415  # late: most outlines are convex

    area = without_openings(covered(ring), openings)
    found = []
    for polygon in shapely.get_parts(area):
        for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(polygon)):
            corners = [(float(x), float(y)) for x, y in shapely.get_coordinates(triangle)[:-1]]
            found.append(tuple(corners if _twice_area(corners) > 0.0 else corners[::-1]))
    return tuple(found)


def _convex(ring: Convex) -> bool:
    count = len(ring)
    for k in range(count):
        (ax, ay), (bx, by), (cx, cy) = ring[k - 2], ring[k - 1], ring[k]
        if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) < -1e-9:
            return False
    return _turns_once(ring)


def _turns_once(ring: Convex) -> bool:
    """True if the outline goes round once: a star turns left at every corner too."""
    total = 0.0
    count = len(ring)
    for k in range(count):
        (ax, ay), (bx, by), (cx, cy) = ring[k - 2], ring[k - 1], ring[k]
        ux, uy, vx, vy = bx - ax, by - ay, cx - bx, cy - by
        total += math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
    return abs(total - math.tau) < 0.1


def _twice_area(ring: Sequence[Point]) -> float:
    return sum(x * v - u * y for (x, y), (u, v) in zip(ring, [*ring[1:], ring[0]], strict=True))


class Blocked(NamedTuple):
    """Open intervals of directions, degrees, each with the index of the two pieces that make it.

    `low` is in 0..360, and `high` may be beyond.
    """

    moving: Whole
    fixed: Whole
    low: Floats
    high: Floats


_NOTHING = Blocked(
    np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)
)


def blocked(moving: Sequence[Prism], fixed: Sequence[Prism]) -> Blocked:
    """The open interval of directions that each pair blocks.

    Pairs that do not share a height block nothing.  A pair that touches, or overlaps by a clash
    that the conflict relation speaks of, blocks what leads further in.
    """
    found = [
        _blocked(moving, fixed, mine, theirs) for mine in _alike(moving) for theirs in _alike(fixed)
    ]
    if len(found) == 1:
        return found[0]
    return Blocked(*(np.concatenate(some) for some in zip(_NOTHING, *found, strict=True)))


def _alike(prisms: Sequence[Prism]) -> list[list[int]]:
    """The pieces with few corners, and those with many: a disc would make all of them long."""
    few = [k for k, prism in enumerate(prisms) if len(prism.ring) <= _FEW]
    many = [k for k, prism in enumerate(prisms) if len(prism.ring) > _FEW]
    return [some for some in (few, many) if some]


_FEW = 8
_AT_ONCE = 1_000_000
"""Pairs of corners reckoned with at once: 60 MB."""


def _blocked(
    moving: Sequence[Prism], fixed: Sequence[Prism], mine: list[int], theirs: list[int]
) -> Blocked:
    a, b = _columns([moving[k] for k in mine]), _columns([fixed[k] for k in theirs])
    level = (a.low[:, None] < b.high - DEPTH) & (b.low < a.high[:, None] - DEPTH)
    i, j = np.nonzero(level)
    if not len(i):
        return _NOTHING
    first, second = np.array(mine), np.array(theirs)
    apart = np.maximum(
        np.maximum(b.box[j, 0] - a.box[i, 2], a.box[i, 0] - b.box[j, 2]),
        np.maximum(b.box[j, 1] - a.box[i, 3], a.box[i, 1] - b.box[j, 3]),
    )
    near = apart <= _NEAR
    close = [
        (m, n, *one)
        for m, n in zip(first[i[near]].tolist(), second[j[near]].tolist(), strict=True)
        if (one := between(moving[m].ring, fixed[n].ring)) is not None
    ]
    i, j = i[~near], j[~near]
    step = max(_AT_ONCE // (a.x.shape[1] * b.x.shape[1]), 1)
    spans = [_seen(a, b, i[at : at + step], j[at : at + step]) for at in range(0, len(i), step)]
    low = np.concatenate([np.array([one[2] for one in close]), *(one for one, _ in spans)])
    high = np.concatenate([np.array([one[3] for one in close]), *(one for _, one in spans)])
    return Blocked(
        np.concatenate((np.array([one[0] for one in close], dtype=np.int64), first[i])),
        np.concatenate((np.array([one[1] for one in close], dtype=np.int64), second[j])),
        low,
        high,
    )


def _seen(a: "_Columns", b: "_Columns", i: Whole, j: Whole) -> tuple[Floats, Floats]:
    """The directions from each piece to one that it is clear of."""
    dx = (b.x[j][:, None, :] - a.x[i][:, :, None]).reshape(len(i), -1)
    dy = (b.y[j][:, None, :] - a.y[i][:, :, None]).reshape(len(i), -1)
    mx, my = dx.mean(axis=1, keepdims=True), dy.mean(axis=1, keepdims=True)
    off = np.arctan2(mx * dy - my * dx, mx * dx + my * dy)
    ahead = np.degrees(np.arctan2(my, mx))[:, 0]
    low, high = np.degrees(off.min(axis=1)), np.degrees(off.max(axis=1))
    start = (ahead + low) % 360.0
    return start, start + (high - low)


_NEAR = 0.5
"""Boxes closer than this, mm, are looked at one by one: the pieces may touch."""


class _Columns(NamedTuple):
    """Corners padded to one number, by repeating the last; boxes and heights."""

    x: Floats
    y: Floats
    box: Floats
    low: Floats
    high: Floats


def _columns(prisms: Sequence[Prism]) -> _Columns:
    most = max(len(prism.ring) for prism in prisms)
    padded = np.array(
        [(*prism.ring, *(prism.ring[-1:] * (most - len(prism.ring)))) for prism in prisms]
    )
    x, y = padded[:, :, 0], padded[:, :, 1]
    box = np.stack((x.min(axis=1), y.min(axis=1), x.max(axis=1), y.max(axis=1)), axis=1)
    low, high = np.array([(prism.z_low, prism.z_high) for prism in prisms]).T
    return _Columns(x, y, box, low, high)


def between(moving: Convex, fixed: Convex) -> Interval | None:
    """The open interval of directions in which one convex piece meets another; None if none."""
    hull = _hull([(bx - ax, by - ay) for ax, ay in moving for bx, by in fixed])
    if len(hull) < 3:
        return None
    sides = list(zip(hull, (*hull[1:], hull[0]), strict=True))
    out = []  # how far the origin is outside each side of the hull
    for (px, py), (qx, qy) in sides:
        length = math.hypot(qx - px, qy - py)
        out.append((px * (qy - py) - py * (qx - px)) / -length)
    most = max(out)
    if most <= DEPTH:
        touched = [k for k, far in enumerate(out) if far >= min(most, 0.0) - _ON]
        if most > _ON:  # a gap within a contact: only if it is the side that is nearest
            k = out.index(most)
            if not _beside(*sides[k]):
                return _span(hull)
            touched = [k]
        return _wedge([sides[k] for k in touched])
    return _span(hull)


_ON = 1e-6


def _beside(p: Point, q: Point) -> bool:
    """True if the origin is straight in front of a side."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    return -1e-9 <= -(p[0] * dx + p[1] * dy) <= dx * dx + dy * dy + 1e-9


def _wedge(sides: Sequence[tuple[Point, Point]]) -> Interval | None:
    """The directions that lead in past every one of these sides."""
    low, high = -math.inf, math.inf
    first: float | None = None
    for p, q in sides:
        along = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
        if first is None:
            first = along
        start = first + (along - first + 180.0) % 360.0 - 180.0
        low, high = max(low, start), min(high, start + 180.0)
    return _tidy(low, high) if high - low > SAME else None


def _span(hull: Sequence[Point]) -> Interval:
    """The directions from the origin to a convex outline that it is outside of."""
    mx, my = sum(p[0] for p in hull) / len(hull), sum(p[1] for p in hull) / len(hull)
    off = [math.degrees(math.atan2(mx * y - my * x, mx * x + my * y)) for x, y in hull]
    ahead = math.degrees(math.atan2(my, mx))
    return _tidy(ahead + min(off), ahead + max(off))


def _hull(points: Iterable[Point]) -> list[Point]:
    """The convex hull, counter-clockwise; no corner lies on a side."""
    every = sorted({(round(x, 9), round(y, 9)) for x, y in _outermost(list(points))})
    if len(every) < 3:
        return every
    halves = []
    for some in (every, every[::-1]):
        half: list[Point] = []
        for p in some:
            while len(half) > 1 and _turn(half[-2], half[-1], p) <= 1e-9:
                half.pop()
            half.append(p)
        halves += half[:-1]
    return halves


def _outermost(points: list[Point]) -> list[Point]:
    """The points that can be corners of the hull; all of them if there are few."""
    if len(points) < _SOME:
        return points
    hull = shapely.convex_hull(shapely.multipoints(np.array(points)))
    return [(x, y) for x, y in shapely.get_coordinates(hull).tolist()]


_SOME = 40
"""From as many points on, the library is quicker: two round pieces come to thousands."""


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _tidy(low: float, high: float) -> Interval:
    start = low % 360.0
    return (start, start + (high - low))


def _taken(low: Floats, high: Floats) -> list[Interval]:
    """What is blocked within 0..360, a little less than it is, so that single directions show.

    The widest intervals are joined first: most of the others lie within them.
    """
    wide = high - low >= _WIDE
    found = _joined(low[wide], high[wide])
    ends = [0.0, *(end for _, end in found)]
    gaps = [
        (a, b) for a, b in zip(ends, [*(start for start, _ in found), 360.0], strict=True) if b > a
    ]
    if len(gaps) > _MANY:
        return _joined(low, high)
    seen = np.zeros(len(low), dtype=np.bool_)
    for a, b in gaps:
        for whole in (0.0, -360.0):
            seen |= (low + whole < b) & (high + whole > a)
    seen |= wide
    return _joined(low[seen], high[seen])


_WIDE = 60.0
_MANY = 20


def _joined(low: Floats, high: Floats) -> list[Interval]:
    """The union of open intervals, each cut to 0..360."""
    start = np.concatenate((low + SAME / 2.0, low + SAME / 2.0 - 360.0)).clip(0.0, 360.0)
    end = np.concatenate((high - SAME / 2.0, high - SAME / 2.0 - 360.0)).clip(0.0, 360.0)
    real = end > start
    start, end = start[real], end[real]
    if not len(start):
        return []
    order = np.argsort(start)
    start, end = start[order], np.maximum.accumulate(end[order])
    first = np.flatnonzero(np.concatenate(([True], start[1:] > end[:-1])))
    last = np.concatenate((first[1:], [len(start)])) - 1
    return list(zip(start[first].tolist(), end[last].tolist(), strict=True))


def free(low: Floats, high: Floats) -> tuple[Interval, ...]:
    """The directions that open intervals leave: closed intervals, equal ends for a single one.

    Each begins in 0..360 and may end beyond 360.
    """
    taken = _taken(low, high)
    if not taken:
        return ROUND
    left: list[Interval] = []
    for (_, end), (start, _) in zip(taken, (*taken[1:], taken[0]), strict=True):
        first, last = end + SAME / 2.0, start - SAME / 2.0
        if (end, start) == (taken[-1][1], taken[0][0]):
            if end >= 360.0 and start <= 0.0:
                continue
            last += 360.0
        left.append(_clean(first, last))
    return tuple(sorted(left))


def _clean(low: float, high: float) -> Interval:
    if high - low <= 2.0 * SAME:
        middle = _whole((low + high) / 2.0) % 360.0
        return (middle, middle)
    a, b = _whole(low), _whole(high)
    return (a - 360.0, b - 360.0) if a >= 360.0 else (a, b)


def _whole(degrees: float) -> float:
    """The angle, without the last digits that rounding leaves at a quarter turn."""
    near = round(degrees, 6)
    return near + 0.0 if abs(near - degrees) < SAME else degrees


def common(one: Sequence[Interval], other: Sequence[Interval]) -> tuple[Interval, ...]:
    """The directions in both."""
    found = set()
    for a, b in one:
        for c, d in other:
            for whole in (-360.0, 0.0, 360.0):
                low, high = max(a, c + whole), min(b, d + whole)
                if high >= low - SAME:
                    found.add(_clean(low, max(low, high)))
    return tuple(sorted(found))
