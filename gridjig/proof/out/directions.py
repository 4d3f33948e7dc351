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

from gridjig.contact.shapes import DEPTH
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


def blocked(moving: Sequence[Prism], fixed: Sequence[Prism]) -> list[Interval]:
    """The open intervals of directions that each pair blocks, degrees; low is in 0..360.

    Pairs that do not share a height block nothing.  A pair that touches, or overlaps by a clash
    that the conflict relation speaks of, blocks what leads further in.
    """
    if not moving or not fixed:
        return []
    a, b = _columns(moving), _columns(fixed)
    level = (a.low[:, None] < b.high - DEPTH) & (b.low < a.high[:, None] - DEPTH)
    i, j = np.nonzero(level)
    if not len(i):
        return []
    apart = np.maximum(
        np.maximum(b.box[j, 0] - a.box[i, 2], a.box[i, 0] - b.box[j, 2]),
        np.maximum(b.box[j, 1] - a.box[i, 3], a.box[i, 1] - b.box[j, 3]),
    )
    near = apart <= _NEAR
    found = [
        one
        for m, n in zip(i[near].tolist(), j[near].tolist(), strict=True)
        if (one := between(moving[m].ring, fixed[n].ring)) is not None
    ]
    i, j = i[~near], j[~near]
    if not len(i):
        return found
    dx = (b.x[j][:, None, :] - a.x[i][:, :, None]).reshape(len(i), -1)
    dy = (b.y[j][:, None, :] - a.y[i][:, :, None]).reshape(len(i), -1)
    mx, my = dx.mean(axis=1, keepdims=True), dy.mean(axis=1, keepdims=True)
    off = np.arctan2(mx * dy - my * dx, mx * dx + my * dy)
    ahead = np.degrees(np.arctan2(my, mx))[:, 0] % 360.0
    low = ahead + np.degrees(off.min(axis=1))
    high = ahead + np.degrees(off.max(axis=1))
    seen = zip(low.tolist(), high.tolist(), strict=True)
    return found + [_tidy(one, other) for one, other in seen]


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
    every = sorted({(round(x, 9), round(y, 9)) for x, y in points})
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


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _tidy(low: float, high: float) -> Interval:
    start = low % 360.0
    return (start, start + (high - low))


def union(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """Open intervals, those that overlap made one; intervals that only touch stay apart.

    Each begins in 0..360 and may end beyond.
    """
    found: list[Interval] = []
    for low, high in sorted(intervals):
        if found and low < found[-1][1] - SAME:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    while len(found) > 1 and found[0][0] + 360.0 < found[-1][1] - SAME:
        first = found.pop(0)
        found[-1] = (found[-1][0], max(found[-1][1], first[1] + 360.0))
    return tuple(found)


def _taken(intervals: Iterable[Interval]) -> list[Interval]:
    """What is blocked within 0..360, a little less than it is, so that single directions show."""
    cut: list[Interval] = []
    for low, high in intervals:
        a, b = low + SAME / 2.0, high - SAME / 2.0
        for whole in (0.0, -360.0):
            start, end = max(a + whole, 0.0), min(b + whole, 360.0)
            if end > start:
                cut.append((start, end))
    found: list[Interval] = []
    for low, high in sorted(cut):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def free(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """The directions that are left: closed intervals, equal ends for a single direction.

    Each begins in 0..360 and may end beyond 360.
    """
    taken = _taken(intervals)
    if not taken:
        return ROUND
    left: list[Interval] = []
    for (_, end), (start, _) in zip(taken, (*taken[1:], taken[0]), strict=True):
        low, high = end + SAME / 2.0, start - SAME / 2.0
        if (end, start) == (taken[-1][1], taken[0][0]):
            if end >= 360.0 and start <= 0.0:
                continue
            high += 360.0
        left.append(_clean(low, high))
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
