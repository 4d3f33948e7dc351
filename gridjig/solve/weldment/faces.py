"""The upright faces of a weldment: where they lie, mill or sawn, and where welds leave room.

Stops are set to them, and dimensions are taken from them.
"""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np
import shapely
from msgspec import Struct

from gridjig.geometry.part_outline import mill_faces, part_ring
from gridjig.model import FaceOf, Member, Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.units.progress import looked_at

from .joints import Joint, joints
from .meeting import DEEP, GAP

Axis = Literal["x", "y"]
Stretch = tuple[float, float]

ALIGNED = 1e-4
"""A face runs along the grid if its slope is at most this: 0.1 mm in a metre."""


class TakenSpan(NamedTuple):
    """The length of a face that a joint takes up, measured from the face's start; mm.

    `low` and `high` are equal where the joint only reaches the face at a corner.
    """

    joint: str
    low: float
    high: float


class WorkFace(Struct, frozen=True, gc=False):
    """A straight side of a part, from `a` to `b` with the steel on its left; mm.

    `mill`: an uncut mill face, not a sawn one.  `outer`: nothing of the weldment is in front of it
    at its own height.  `taken` is what joints take up of it, including those that end at its
    corners; `free` are the stretches, measured from `a`, along which nothing is joined to it.
    """

    of: FaceOf
    a: Point
    b: Point
    normal: Point
    z_low: float
    z_high: float
    mill: bool
    outer: bool
    taken: tuple[TakenSpan, ...]
    free: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """Length in plan, mm."""
        return math.dist(self.a, self.b)

    @property
    def clear(self) -> bool:
        """True if nothing is joined to it."""
        return self.free == ((0.0, self.length),)

    def room(self, clear: float, corners: float = 0.0) -> tuple[Stretch, ...]:
        """The stretches at least `clear` mm from its joints and `corners` mm from its ends."""
        taken = ((one.low - clear, one.high + clear) for one in self.taken)
        return _left_of((corners, self.length - corners), taken)

    @property
    def axis(self) -> Axis | None:
        """The table axis that its normal runs along; None if the face slopes across the grid."""
        if abs(self.normal[1]) <= ALIGNED:
            return "x"
        return "y" if abs(self.normal[0]) <= ALIGNED else None

    @property
    def sign(self) -> int:
        """+1 if it faces right or the back of the table, -1 if it faces left or the front."""
        return 1 if max(self.normal, key=abs) > 0 else -1

    @property
    def at(self) -> float:
        """The position of its middle on the axis that it faces along, mm."""
        k = 1 if self.axis == "y" else 0
        return (self.a[k] + self.b[k]) / 2.0


def faces(parts: Sequence[Part]) -> tuple[WorkFace, ...]:
    """The straight faces of all parts, in their order; a coped end has none.

    The same parts give the same tuple.
    """
    return _faces(Same(parts))


@lru_cache(maxsize=16)
def _faces(key: Same[Sequence[Part]]) -> tuple[WorkFace, ...]:
    parts = key.value
    rings = [part_ring(part) for part in looked_at(parts, 20)]
    joined: dict[str, list[Joint]] = {}
    for joint in joints(parts):
        if joint.sides or joint.kind == "corner":
            joined.setdefault(joint.a, []).append(joint)
            joined.setdefault(joint.b, []).append(joint)
    found = [
        (part, side, ring[side], ring[(side + 1) % len(ring)])
        for part, ring in zip(parts, rings, strict=True)
        for side in _straight_sides(part)
    ]
    outer = _outer(parts, rings, found)
    mills = {part.id: set(mill_faces(part)) for part in looked_at(parts, 20)}
    taken = [
        _taken(a, b, side, part.id, joined.get(part.id, []))
        for part, side, a, b in looked_at(found, 50)
    ]
    return tuple(
        WorkFace(
            of=FaceOf(part.id, side),
            a=a,
            b=b,
            normal=_normal(a, b),
            z_low=part.z_low,
            z_high=part.z_high,
            mill=side in mills[part.id],
            outer=is_outer,
            taken=by_joints,
            free=_left_of(
                (0.0, math.dist(a, b)), (one[1:] for one in by_joints if one.high > one.low)
            ),
        )
        for (part, side, a, b), is_outer, by_joints in looked_at(
            list(zip(found, outer, taken, strict=True)), 200
        )
    )


def _straight_sides(part: Part) -> list[int]:
    """The flat sides of a part: all but the short ones that a cope is drawn with."""
    count = len(part.corners)
    if not isinstance(part, Member):
        return list(range(count))
    left = part.mill_edges[1]
    return [
        side
        for side in range(count)
        if side in (0, left) or (part.end if side < left else part.start).kind != "cope"
    ]


def _normal(a: Point, b: Point) -> Point:
    length = math.dist(a, b) or 1.0
    return ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)


def _outer(
    parts: Sequence[Part],
    rings: Sequence[tuple[Point, ...]],
    found: Sequence[tuple[Part, int, Point, Point]],
) -> list[bool]:
    """For each face, True if no part of its weldment at its height reaches beyond its line."""
    if not found:
        return []
    starts = np.array([a for _, _, a, _ in found])
    normals = np.array([_normal(a, b) for _, _, a, b in found])
    low, high = np.array([(part.z_low, part.z_high) for part, _, _, _ in found]).T
    own = np.sum(normals * starts, axis=1)
    own_weldment = np.array([part.weldment for part, _, _, _ in found])
    outer = np.ones(len(found), dtype=bool)
    for (weldment, bottom, top), corners in _by_height(parts, rings).items():
        hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(corners)))
        beyond = np.max(normals @ hull.T, axis=1) - own > DEEP
        level = (low < top - DEEP) & (bottom < high - DEEP)
        outer &= ~(beyond & level & (own_weldment == weldment))
    answer: list[bool] = outer.tolist()
    return answer


def _by_height(
    parts: Sequence[Part], rings: Sequence[tuple[Point, ...]]
) -> dict[tuple[str, float, float], list[Point]]:
    """The corners of all parts, grouped by weldment and the heights the part lies between."""
    found: dict[tuple[str, float, float], list[Point]] = {}
    for part, ring in zip(parts, rings, strict=True):
        found.setdefault((part.weldment, part.z_low, part.z_high), []).extend(ring)
    return found


def _left_of(whole: Stretch, taken: Iterable[Stretch]) -> tuple[Stretch, ...]:
    """The rest of a stretch after others are subtracted."""
    reached, end = whole
    left: list[Stretch] = []
    for low, high in sorted(taken):
        if min(low, end) - reached > DEEP:
            left.append((reached, min(low, end)))
        reached = max(reached, high)
    if end - reached > DEEP:
        left.append((reached, end))
    return tuple(left)


def _taken(
    a: Point, b: Point, side: int, part: str, joined: Sequence[Joint]
) -> tuple[TakenSpan, ...]:
    """What the joints of a part take up of one of its sides."""
    length = math.dist(a, b)
    found = []
    for joint in joined:
        if any(pair[0 if joint.a == part else 1] == side for pair in joint.sides):
            stretches = _covered(a, b, length, joint)
        else:
            stretches = _touched(a, b, length, joint)
        found += [TakenSpan(joint.id, low, high) for low, high in stretches]
    return tuple(found)


def _touched(a: Point, b: Point, length: float, joint: Joint) -> list[Stretch]:
    """Where a joint of other sides reaches this one, as a weld does round a corner."""
    if joint.sides:
        ends = ((a, 0.0), (b, length))
        return [(at, at) for (x, y), at in ends if _reaches(x, y, joint.seam)]
    (ax, ay), (bx, by), (x, y) = a, b, joint.place
    ux, uy = (bx - ax) / length, (by - ay) / length
    at = min(max((x - ax) * ux + (y - ay) * uy, 0.0), length)
    if math.hypot(x - ax - at * ux, y - ay - at * uy) > joint.gap / 2.0 + DEEP:
        return []
    return [(at, at)]


def _reaches(x: float, y: float, seam: Sequence[Point]) -> bool:
    """True if a seam has a point within the gap of a place."""
    return any(
        abs(u - x) <= GAP and abs(v - y) <= GAP and math.hypot(u - x, v - y) <= GAP for u, v in seam
    )


def _covered(a: Point, b: Point, length: float, joint: Joint) -> list[Stretch]:
    """Where the seam of a joint runs along a face."""
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    places = [
        ((x - a[0]) * ux + (y - a[1]) * uy, abs((x - a[0]) * uy - (y - a[1]) * ux))
        for x, y in joint.seam
    ]
    made = []
    for (one, off), (other, aside) in pairwise(places):
        low, high = max(min(one, other), 0.0), min(max(one, other), length)
        if max(off, aside) <= GAP and high - low > DEEP:
            made.append((low, high))
    return made
