"""How a part stands on its base: how far it tips before it falls, and what keeps it from that."""

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from gridjig.contact.carrying import Carried, carried, supports_of, weight_of
from gridjig.contact.values import TOUCH, Contact, PartContact
from gridjig.geometry.part_solids import part_solids
from gridjig.model import Member, Part
from gridjig.model.stock import ROUNDS
from gridjig.rack import Point
from gridjig.rack.same import Same

from .values import ShortSupport, Standing

_AGAINST = 0.7
"""A face stands in the way of a fall if the cosine of their angle is at least this."""
_THIRD = 1.0 / 3.0
"""A member carried along less than this fraction of its length is carried by too little."""

Own = tuple[Contact, ...]
PartJoints = tuple[PartContact, ...]


def lying(part: Part, own: Own, joined: PartJoints) -> Carried:
    """How a part is carried by what is under it."""
    return _lying(Same(part), Same(own), Same(joined))


@lru_cache(maxsize=4096)
def _lying(part: Same[Part], own: Same[Own], joined: Same[PartJoints]) -> Carried:
    return carried(part.value, supports_of(part.value, own.value, joined.value))


def stands(part: Part, own: Own, joined: PartJoints) -> tuple[Standing | None, ShortSupport | None]:
    """How a part tips with its clamps open, and whether it is carried along too little.

    None where it cannot tip or is not carried; the same tuples give the same values.
    """
    return _stands(Same(part), Same(own), Same(joined))


@lru_cache(maxsize=4096)
def _stands(
    part_key: Same[Part], own_key: Same[Own], joined_key: Same[PartJoints]
) -> tuple[Standing | None, ShortSupport | None]:
    part, own, joined = part_key.value, own_key.value, joined_key.value
    return _standing(part, own, joined), _short(part, own, joined)


def _standing(part: Part, own: Sequence[Contact], joined: Sequence[PartContact]) -> Standing | None:
    if part.z_low <= TOUCH and isinstance(part, Member) and part.section.kind in ROUNDS:
        return None  # it may roll, but has nowhere to fall
    hull = _base(part, own, joined)
    if hull is None:
        return None
    weight = weight_of(part)
    centre, high = (weight.x, weight.y), weight.z - part.z_low
    if shapely.distance(hull, shapely.Point(centre)) > TOUCH or high <= 0.0:
        return None
    every = _edges(hull, centre)
    ways = [
        (math.degrees(math.atan2(max(off, 0.0), high)), side, off)
        for side, off in every
        if not any(_dot(out, side) >= _AGAINST for out in _walls(part.id, own, joined))
    ]
    if not ways:
        return None
    angle, side, off = min(ways)
    behind = [o for s, o in every if _dot(s, side) < -_AGAINST]
    width = off + max(behind, default=off)
    clamps = tuple(dict.fromkeys(c.piece for c in own if c.feature == "tip" and c.touches))
    return Standing(part.id, angle, side, width, high, centre, clamps)


def _base(part: Part, own: Sequence[Contact], joined: Sequence[PartContact]) -> BaseGeometry | None:
    """What a part stands on, in plan: the hull of the flat of its underside, or of its supports."""
    under = [
        p for solid in part_solids(part) if solid.z_low <= part.z_low + TOUCH for p in solid.bottom
    ]
    if part.z_low <= TOUCH:
        return _hull(under)
    found = supports_of(part, own, joined)
    if not found:
        return None
    points = _hull([p for one in found for p in one.points])
    return points.intersection(_hull(under))


def _hull(points: Sequence[Point]) -> BaseGeometry:
    hull = shapely.convex_hull(shapely.multipoints(np.array(points)))
    assert isinstance(hull, BaseGeometry)
    return hull


def _edges(hull: BaseGeometry, centre: Point) -> list[tuple[Point, float]]:
    """The outward directions of a base, and how far the centre is from its edge that way, mm."""
    if hull.is_empty:
        return []
    if not isinstance(hull, shapely.Polygon):
        ends = list(hull.coords)
        if len(ends) < 2:
            return [((1.0, 0.0), 0.0)]
        (ax, ay), (bx, by) = ends[0][:2], ends[-1][:2]
        long = math.dist((ax, ay), (bx, by))
        nx, ny = (by - ay) / long, -(bx - ax) / long
        return [((nx, ny), 0.0), ((-nx, -ny), 0.0)]
    ring = shapely.get_coordinates(shapely.geometry.polygon.orient(hull).exterior).tolist()
    found = []
    for (ax, ay), (bx, by) in pairwise(ring):
        long = math.dist((ax, ay), (bx, by))
        if long < 1e-6:
            continue
        side = ((by - ay) / long, -(bx - ax) / long)
        found.append((side, (ax - centre[0]) * side[0] + (ay - centre[1]) * side[1]))
    return found


def _walls(part: str, own: Sequence[Contact], joined: Sequence[PartContact]) -> list[Point]:
    """The directions in which something upright stands against a part, clamps left out."""
    found = [
        (c.normal[0], c.normal[1])
        for c in own
        if c.touches and c.feature != "tip" and not c.normal[2]
    ]
    for one in joined:
        if one.normal is not None and not one.normal[2] and part in (one.a, one.b):
            sign = 1.0 if part == one.a else -1.0
            found.append((sign * one.normal[0], sign * one.normal[1]))
    return found


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _short(
    part: Part, own: Sequence[Contact], joined: Sequence[PartContact]
) -> ShortSupport | None:
    if not isinstance(part, Member) or part.z_low <= TOUCH:
        return None
    found = supports_of(part, own, joined)
    if len(found) < 2:
        return None  # one spot alone is found by what asks how it is carried
    turn = math.radians(part.turn)
    ux, uy = math.cos(turn), math.sin(turn)
    along = [(x - part.x) * ux + (y - part.y) * uy for one in found for x, y in one.points]
    span = min(max(along), part.length) - max(min(along), 0.0)
    if span >= part.length * _THIRD:
        return None
    weight = weight_of(part)
    by = tuple(dict.fromkeys(one.id for one in found))
    return ShortSupport(part.id, span, part.length, by, (weight.x, weight.y))
