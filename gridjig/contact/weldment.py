"""Contacts between the parts of a weldment: where they meet, and where they overlap.

Where they meet follows from the joints.  They may only overlap where a joint allows for it: coped
ends count as cut straight, notches are cut out, and a bar in the hollow of a tube clears its wall.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from math import dist

import numpy as np
import shapely
from msgspec import structs
from shapely.geometry.base import BaseGeometry

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.part_solids import PartFace, hollow_holds
from gridjig.model import Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.weldment.joints import Joint, joints, straightened
from gridjig.units.progress import look, looked_at

from .overlap import Overlap, overlap
from .shapes import DEPTH, PlacedPart, placed_part, rooms_of
from .sides import off_ring
from .values import PartContact, Vector

_LEAST = 0.05
"""Stretches of a seam shorter than this, in mm, are its corners."""


def part_contacts(parts: Sequence[Part]) -> tuple[PartContact, ...]:
    """Where parts meet, in part order; one for each straight stretch of a joint."""
    return _part_contacts(Same(parts))


@lru_cache(maxsize=8)
def _part_contacts(key: Same[Sequence[Part]]) -> tuple[PartContact, ...]:
    known = {part.id: part for part in key.value}
    return tuple(
        contact
        for joint in joints(key.value)
        for contact in _of_joint(Same(joint), Same(known[joint.a]), Same(known[joint.b]))
    )


@lru_cache(maxsize=8192)
def _of_joint(of: Same[Joint], one: Same[Part], other: Same[Part]) -> tuple[PartContact, ...]:
    joint, a, b = of.value, one.value, other.value
    if joint.kind == "overlap":
        return ()
    if joint.kind == "edge":
        return tuple(_bits(joint, a))
    normal: Vector | None = None
    face_a = face_b = None
    if joint.kind == "stacked":
        up = 1.0 if a.z_low < b.z_low else -1.0
        normal = (0.0, 0.0, up)
        face_a, face_b = PartFace("top"), PartFace("bottom")
        if up < 0.0:
            face_a, face_b = face_b, face_a
    return (
        PartContact(
            joint.a,
            joint.b,
            "on top" if joint.kind == "stacked" else "corner",
            face_a,
            face_b,
            joint.gap,
            joint.length,
            joint.z_low,
            joint.z_high,
            joint.seam,
            normal,
            joint.id,
        ),
    )


def _bits(joint: Joint, a: Part) -> Iterator[PartContact]:
    """The contacts along a seam; it follows the first part, whose outside is on its right."""
    ring = part_ring(a)
    for p, q in pairwise(joint.seam):
        length = dist(p, q)
        if length < _LEAST:
            continue
        ux, uy = (q[0] - p[0]) / length, (q[1] - p[1]) / length
        one, other = joint.sides[0]
        if len(joint.sides) > 1:
            one, other = min(joint.sides, key=lambda pair: _off(ring, pair[0], p, q))
        yield PartContact(
            joint.a,
            joint.b,
            "face on face",
            PartFace("side", one),
            PartFace("side", other),
            joint.gap,
            length,
            joint.z_low,
            joint.z_high,
            (p, q),
            (uy + 0.0, 0.0 - ux, 0.0),
            joint.id,
        )


def _off(ring: Sequence[Point], side: int, p: Point, q: Point) -> float:
    """The sum of the distances of two points from a side of a ring."""
    face = (ring[side], ring[(side + 1) % len(ring)])
    return off_ring(face, p) + off_ring(face, q)


MOST_PAIRS = 2_000
"""The most pairs of parts in one place that are measured: about 1 s."""
_AT_ONCE = 64
"""Parts whose neighbours are looked for together."""
_FEW = 1024
"""Pairs of neighbours that are compared together."""


def part_overlaps(parts: Sequence[Part]) -> tuple[Overlap, ...]:
    """Parts that overlap, each pair once, in part order.

    At most MOST_PAIRS pairs are measured; `overlaps_left_out` says so if there are more.
    """
    return _part_overlaps(Same(parts))[0]


def overlaps_left_out(parts: Sequence[Part]) -> bool:
    """True if so many pairs of parts are in one place that only MOST_PAIRS were measured."""
    return _part_overlaps(Same(parts))[1]


@lru_cache(maxsize=8)
def _part_overlaps(key: Same[Sequence[Part]]) -> tuple[tuple[Overlap, ...], bool]:
    parts = key.value
    if len(parts) < 2:
        return (), False
    things = [_fitted(Same(part)) for part in looked_at(parts, 20)]
    pairs = _in_one_place(parts, things)
    found = []
    for i, j in looked_at(pairs[:MOST_PAIRS], 20):
        one = _between(Same(things[i]), Same(things[j]), Same(parts[i]), Same(parts[j]))
        if one is not None:
            found.append(one)
    return tuple(found), len(pairs) > MOST_PAIRS


def _in_one_place(parts: Sequence[Part], things: Sequence[PlacedPart]) -> list[tuple[int, int]]:
    """Pairs of parts whose plans meet at one height, in part order.

    If there are more than MOST_PAIRS, only those of the first parts.
    """
    x0, y0, x1, y1 = np.array([rooms_of(thing).box for thing in things]).T
    low, high = np.array([(part.z_low, part.z_high) for part in parts]).T
    plans = np.array([_plan(Same(thing)) for thing in things], dtype=object)
    found: list[tuple[int, int]] = []
    for begin in range(0, len(parts), _AT_ONCE):
        look()
        some = np.s_[begin : begin + _AT_ONCE, None]
        near = np.minimum(x1[some], x1) - np.maximum(x0[some], x0) > DEPTH
        near &= np.minimum(y1[some], y1) - np.maximum(y0[some], y0) > DEPTH
        near &= np.minimum(high[some], high) - np.maximum(low[some], low) > DEPTH
        every, others = np.nonzero(np.triu(near, begin + 1))
        for few in range(0, len(every), _FEW):
            first, second = every[few : few + _FEW] + begin, others[few : few + _FEW]
            meet = shapely.intersects(plans[first], plans[second])
            found += zip(first[meet].tolist(), second[meet].tolist(), strict=True)
            if len(found) > MOST_PAIRS:
                return found
    return found


@lru_cache(maxsize=4096)
def _plan(key: Same[PlacedPart]) -> BaseGeometry:
    """All that a part covers in plan, at any height."""
    return shapely.union_all([room.plan for room in rooms_of(key.value).every])


@lru_cache(maxsize=4096)
def _fitted(key: Same[Part]) -> PlacedPart:
    return placed_part(straightened(key.value))


@lru_cache(maxsize=16384)
def _between(
    one: Same[PlacedPart], other: Same[PlacedPart], a: Same[Part], b: Same[Part]
) -> Overlap | None:
    found = overlap(one.value, other.value)
    if found is None or _pushed_in(one.value, other.value, a.value, b.value):
        return None
    return structs.replace(found, a=a.value.id, b=b.value.id)


def _pushed_in(one: PlacedPart, other: PlacedPart, a: Part, b: Part) -> bool:
    """True if what they share is inside the hollow of one of them."""
    first, second = rooms_of(one).every[0].plan, rooms_of(other).every[0].plan
    ring = [(float(x), float(y)) for x, y in shapely.get_coordinates(first.intersection(second))]
    return bool(ring) and (hollow_holds(a, b, ring, DEPTH) or hollow_holds(b, a, ring, DEPTH))
