"""By how much two things lie in one another: the one measure that conflicts and contacts share.

A face that only touches is no overlap: it must exceed an area, a depth in plan and a height.
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
"""Overlap up to this many mm2 is contact."""

_FULL = 0.9
"""An overlap that fills so much of its hull goes in as deep as the rectangle about it."""

_LEVELS = 9
"""Heights at which two rounded parts are laid over each other where their widest do not meet."""


class Overlap(Struct, frozen=True):
    """Two things `a` and `b` that lie in one another.

    By `area` mm2 in plan, `depth` mm deep there and `height` mm in height from z_low up, about
    `where`.  `handle` says that it is only a clamp's handle that sweeps there.
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
    """The id of the placement or of the part."""
    return thing.placement.id if isinstance(thing, PlacedPiece) else thing.id


def overlap(a: Thing, b: Thing) -> Overlap | None:
    """Where two things overlap most, bodies before handles; None if they do not."""
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
    """Pairs of one of `things` and one of `others`, by their indices, that may overlap.

    Those are left out of which no two bodies share more than a contact's area in plan.
    """
    import numpy as np  # noqa: PLC0415  # late: they are not needed to show a table
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
    """What both take in plan, at the height between the two where that is most."""
    if one.solid is None or two.solid is None:
        return one.between(low, high).intersection(two.between(low, high))
    common = one.between(low, high).intersection(two.between(low, high))
    if common.area <= AREA:  # the widest of both, be they at two heights, do not meet
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
    """How far in an overlap goes, mm: as wide as it is at its widest, straight across.

    A square over a corner of the work overlaps it in an angle: the rectangle about that is as deep
    as the work is wide, the overlap only as wide as the strip that makes the angle.
    """
    import shapely  # noqa: PLC0415  # late: it is not needed to show a table

    parts = [part for part in shapely.get_parts(area) if part.area > 0.0]
    return max((_width(part) for part in parts), default=0.0)


def _width(part: "BaseGeometry") -> float:
    """The shorter side of the rectangle about a part; narrowed down where it is hollow."""
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
    """The shorter side of the tightest rectangle about it, mm."""
    import shapely  # noqa: PLC0415  # late, as above

    around = shapely.oriented_envelope(area)
    corners = shapely.get_coordinates(around)
    (ax, ay), (bx, by), (cx, cy) = corners[0], corners[1], corners[2]
    return float(min(math.hypot(bx - ax, by - ay), math.hypot(cx - bx, cy - by)))
