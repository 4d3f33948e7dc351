"""The upright faces of the weldment: where they lie, how they were made, where welds leave room.

What a stop can be set to, and what a dimension is taken from.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely

from gridjig.geometry.parts import mill_faces, part_ring
from gridjig.model import FaceOf, Member, Part
from gridjig.rack import Point

from .angle_field import Same
from .joints import Joint, joints
from .seams import DEEP, GAP

Axis = Literal["x", "y"]
Stretch = tuple[float, float]

ALIGNED = 1e-4
"""A face lies along the grid if it is out by no more than this: 0.1 mm over a metre."""


@dataclass(frozen=True, slots=True)
class WorkFace:
    """One straight side of a part, from `a` to `b` with the steel on its left; mm.

    `mill` says that the mill made it, so that no saw did.  `outer` says that nothing of the
    weldment stands before it at its own height.  `free` are the stretches, counted from `a`, along
    which nothing is joined to it.
    """

    of: FaceOf
    a: Point
    b: Point
    normal: Point
    z_low: float
    z_high: float
    mill: bool
    outer: bool
    free: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """Length in plan, mm."""
        return math.dist(self.a, self.b)

    @property
    def clear(self) -> bool:
        """True if nothing is joined to it."""
        return self.free == ((0.0, self.length),)

    @property
    def axis(self) -> Axis | None:
        """The axis of the table that it looks along; None if it slopes across the grid."""
        if abs(self.normal[1]) <= ALIGNED:
            return "x"
        return "y" if abs(self.normal[0]) <= ALIGNED else None

    @property
    def sign(self) -> int:
        """+1 if it looks to the right or the back of the table, -1 if left or to the front."""
        return 1 if max(self.normal, key=abs) > 0 else -1

    @property
    def at(self) -> float:
        """Where it lies on the axis that it looks along, mm: that of its middle."""
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
    rings = [part_ring(part) for part in parts]
    joined: dict[str, list[Joint]] = {}
    for joint in joints(parts):
        if joint.sides:
            joined.setdefault(joint.a, []).append(joint)
            joined.setdefault(joint.b, []).append(joint)
    found = [
        (part, side, ring[side], ring[(side + 1) % len(ring)])
        for part, ring in zip(parts, rings, strict=True)
        for side in _straight_sides(part)
    ]
    outer = _outer(parts, rings, found)
    mills = {part.id: set(mill_faces(part)) for part in parts}
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
            free=_free(a, b, side, part.id, joined.get(part.id, [])),
        )
        for (part, side, a, b), is_outer in zip(found, outer, strict=True)
    )


def _straight_sides(part: Part) -> list[int]:
    """The sides of a part that are flat: all but the bits that a saddle is drawn with."""
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
    """For each face, whether no part that overlaps it in height comes beyond its line."""
    if not found:
        return []
    starts = np.array([a for _, _, a, _ in found])
    normals = np.array([_normal(a, b) for _, _, a, b in found])
    low, high = np.array([(part.z_low, part.z_high) for part, _, _, _ in found]).T
    own = np.sum(normals * starts, axis=1)
    outer = np.ones(len(found), dtype=bool)
    for (bottom, top), corners in _by_height(parts, rings).items():
        hull = shapely.get_coordinates(shapely.MultiPoint(corners).convex_hull)
        beyond = np.max(normals @ hull.T, axis=1) - own > DEEP
        outer &= ~(beyond & (low < top - DEEP) & (bottom < high - DEEP))
    answer: list[bool] = outer.tolist()
    return answer


def _by_height(
    parts: Sequence[Part], rings: Sequence[tuple[Point, ...]]
) -> dict[Stretch, list[Point]]:
    """The corners of all parts by the heights that they lie between."""
    found: dict[Stretch, list[Point]] = {}
    for part, ring in zip(parts, rings, strict=True):
        found.setdefault((part.z_low, part.z_high), []).extend(ring)
    return found


def _free(a: Point, b: Point, side: int, part: str, joined: Sequence[Joint]) -> tuple[Stretch, ...]:
    """The stretches of a face that no joint covers."""
    length = math.dist(a, b)
    covered = sorted(
        stretch
        for joint in joined
        if any(pair[0 if joint.a == part else 1] == side for pair in joint.sides)
        for stretch in _covered(a, b, length, joint)
    )
    free: list[Stretch] = []
    reached = 0.0
    for low, high in covered:
        if low - reached > DEEP:
            free.append((reached, low))
        reached = max(reached, high)
    if length - reached > DEEP:
        free.append((reached, length))
    return tuple(free)


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
