"""How far two things overlap: the one measure that conflicts and contacts share.

Touching is not overlapping: an overlap must exceed an area, a depth in plan and a height.
"""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece

from .shapes import DEPTH, Room, Thing, near, rooms_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

AREA = 1.0
"""Overlaps up to this many mm2 count as contact."""

_FULL = 0.9
"""An overlap that fills this share of its hull is as deep as its bounding rectangle."""

_LEVELS = 9
"""The number of heights at which two rounded parts are compared."""


class Overlap(Struct, frozen=True):
    """The overlap of two things `a` and `b`.

    `area` in mm2 and `depth` in mm are in plan; `height` is in mm from z_low up; `where` is a point
    in it.  `handle`: it is only a clamp's handle that sweeps there.
    """

    a: str
    b: str
    where: Point
    area: float
    depth: float
    height: float
    z_low: float
    handle: bool = False


def thing_id(thing: Thing) -> str:
    """The id of the placement or part."""
    return thing.placement.id if isinstance(thing, PlacedPiece) else thing.id


def overlap(a: Thing, b: Thing) -> Overlap | None:
    """The largest overlap of two things, bodies before handles; None if there is none."""
    first, second = rooms_of(a), rooms_of(b)
    if not near(first.box, second.box):
        return None
    best: Overlap | None = None
    for one in first.every:
        for two in second.every:
            found = _measured(thing_id(a), thing_id(b), one, two)
            if found is not None and (best is None or _rank(found) < _rank(best)):
                best = found
    return best


def _rank(found: Overlap) -> tuple[bool, float]:
    return (found.handle, -found.area)


def close_pairs(things: Sequence[Thing], others: Sequence[Thing]) -> list[tuple[int, int]]:
    """Pairs of indices into `things` and `others` that may overlap.

    Pairs in which no two bodies share more than a contact's area in plan are left out.
    """
    import numpy as np  # noqa: PLC0415  # late: not needed to show a table
    import shapely  # noqa: PLC0415

    mine = [(i, r) for i, t in enumerate(things) for r in rooms_of(t).every if not r.handle]
    theirs = [(i, r) for i, t in enumerate(others) for r in rooms_of(t).every if not r.handle]
    if not mine or not theirs:
        return []
    x0, y0, x1, y1, low, high = np.array([(*r.box, r.z_low, r.z_high) for _, r in mine]).T[
        :, :, None
    ]
    u0, v0, u1, v1, down, up = np.array([(*r.box, r.z_low, r.z_high) for _, r in theirs]).T
    left, right = np.nonzero(
        (x1 - u0 > DEPTH)
        & (u1 - x0 > DEPTH)
        & (y1 - v0 > DEPTH)
        & (v1 - y0 > DEPTH)
        & (high - down > DEPTH)
        & (up - low > DEPTH)
    )
    if not len(left):
        return []
    plans = np.array([mine[k][1].plan for k in left.tolist()], dtype=object)
    grounds = np.array([theirs[k][1].plan for k in right.tolist()], dtype=object)
    meet = np.flatnonzero(shapely.intersects(plans, grounds))
    area = shapely.area(shapely.intersection(plans[meet], grounds[meet])) > AREA
    pairs = zip(left[meet[area]].tolist(), right[meet[area]].tolist(), strict=True)
    return sorted({(mine[i][0], theirs[j][0]) for i, j in pairs})


def _measured(a: str, b: str, one: Room, two: Room) -> Overlap | None:
    low, high = max(one.z_low, two.z_low), min(one.z_high, two.z_high)
    if high - low <= DEPTH or not near(one.box, two.box) or (one.handle and two.handle):
        return None
    if not one.plan.intersects(two.plan):
        return None
    common = _common(one, two, low, high)
    area = float(common.area)
    if area <= AREA:
        return None
    depth = way_in(common)
    if depth <= DEPTH:
        return None
    at = common.representative_point()
    handle = one.handle or two.handle
    return Overlap(a, b, (at.x, at.y), area, depth, high - low, low, handle)


def _common(one: Room, two: Room, low: float, high: float) -> "BaseGeometry":
    """The common area in plan, at the height where it is largest."""
    if one.solid is None or two.solid is None:
        return one.between(low, high).intersection(two.between(low, high))
    common = one.between(low, high).intersection(two.between(low, high))
    if common.area <= AREA:  # the widest sections do not meet, even if at different heights
        return common
    levels = [low + (high - low) * k / (_LEVELS - 1) for k in range(_LEVELS)]
    for solid in (one.solid, two.solid):
        rise = solid.rounding[1]
        levels += [min(max(z, low), high) for z in (solid.z_low + rise, solid.z_high - rise)]
    return max(
        (one.between(z, z).intersection(two.between(z, z)) for z in levels),
        key=lambda plan: float(plan.area),
    )


def way_in(area: "BaseGeometry") -> float:
    """The depth of an overlap, mm: its width at the widest place, straight across.

    A square over a corner of the work overlaps it in an L: the rectangle about that is as deep as
    the work is wide, but the overlap is only as deep as the legs of the L.
    """
    import shapely  # noqa: PLC0415  # late: not needed to show a table

    parts = [part for part in shapely.get_parts(area) if part.area > 0.0]
    return max((_width(part) for part in parts), default=0.0)


def _width(part: "BaseGeometry") -> float:
    """The shorter side of the bounding rectangle; found by bisection if the part is concave."""
    import shapely  # noqa: PLC0415  # late, as above

    high = _short_side(part)
    if part.area >= _FULL * part.convex_hull.area:
        return high
    low = 0.0
    while high - low > DEPTH / 10:
        middle = (low + high) / 2.0
        left = shapely.buffer(part, -middle / 2, join_style="mitre")
        low, high = (low, middle) if left.is_empty else (middle, high)
    return high


def _short_side(area: "BaseGeometry") -> float:
    """The shorter side of the smallest bounding rectangle, mm."""
    import shapely  # noqa: PLC0415  # late, as above

    around = shapely.oriented_envelope(area)
    corners = shapely.get_coordinates(around)
    (ax, ay), (bx, by), (cx, cy) = corners[0], corners[1], corners[2]
    return float(min(math.hypot(bx - ax, by - ay), math.hypot(cx - bx, cy - by)))
