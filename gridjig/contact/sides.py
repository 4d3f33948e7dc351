"""The upright sides of all parts between two heights, as numpy columns.

A rounded part counts at its widest height between the two, so that a low stop meets a pipe where it
actually is.  Sides that are rounded away there are marked, not left out.
"""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from gridjig.geometry.part_solids import Flat, PartFace, PartSolid, clipped
from gridjig.rack import Point
from gridjig.rack.same import Same

from .shapes import DEPTH

Reals = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


class Sides(NamedTuple):
    """Side k runs from (ax, ay) along the unit vector (ex, ey), with its outside on the right.

    `before` is the side that ends where it begins.  `low`..`high` are the heights where it is met;
    `flat` is whether it is plane there.  `part` is the index of its part, `solid` that of its prism
    in `rings` and `openings`.  `faces` and `corners` are the part's faces at the side and at its
    first corner; a side without a face is covered by another prism of the part.
    """

    ax: Reals
    ay: Reals
    ex: Reals
    ey: Reals
    length: Reals
    low: Reals
    high: Reals
    flat: Flags
    live: Flags
    part: Whole
    solid: Whole
    before: Whole
    after: Whole
    faces: tuple[PartFace | None, ...]
    corners: tuple[PartFace, ...]
    rings: tuple[tuple[Point, ...], ...]
    openings: tuple[tuple[tuple[Point, ...], ...], ...]
    rows: Sequence[tuple[float, ...]]
    """(ax, ay, ex, ey, length, low, high, flat, live) of each side, for access one by one."""
    owners: Sequence[int]
    """`part` as a list."""

    def off_steel(self, side: int, p: Point) -> float:
        """Distance in mm from a point to the prism of a side, negative inside its steel."""
        solid = int(self.solid[side])
        off = off_ring(self.rings[solid], p)
        return max([off, *(-off_ring(opening, p) for opening in self.openings[solid])])


class _Rows(NamedTuple):
    """The sides of one closed line: round a prism, or round an opening in it."""

    numbers: list[tuple[float, ...]]
    faces: tuple[PartFace | None, ...]
    corners: tuple[PartFace, ...]
    ring: tuple[Point, ...]


def sides_between(solids: Sequence[tuple[int, PartSolid]], z_low: float, z_high: float) -> Sides:
    """The sides, between two heights, of prisms that come with the index of their part."""
    met = [
        (part, solid, loops)
        for part, solid in solids
        if (loops := _loops(Same(solid), z_low, z_high))
    ]
    found = [(k, part, rows) for k, (part, _, loops) in enumerate(met) for rows in loops]
    counts = [len(rows.faces) for *_, rows in found]
    listed = [row for *_, rows in found for row in rows.numbers]
    numbers = np.array(listed).reshape(-1, 9)
    starts = np.repeat(np.cumsum([0, *counts])[:-1], counts)
    which = np.arange(len(numbers)) - starts
    size = np.repeat(np.array(counts, dtype=np.int64), counts)
    ax, ay, ex, ey, length, low, high, flat, live = numbers.T
    return Sides(
        ax,
        ay,
        ex,
        ey,
        length,
        low,
        high,
        flat=flat > 0.0,
        live=live > 0.0,
        part=np.repeat(np.array([part for _, part, _ in found], dtype=np.int64), counts),
        solid=np.repeat(np.array([k for k, *_ in found], dtype=np.int64), counts),
        before=starts + (which - 1) % np.maximum(size, 1),
        after=starts + (which + 1) % np.maximum(size, 1),
        faces=tuple(face for *_, rows in found for face in rows.faces),
        corners=tuple(corner for *_, rows in found for corner in rows.corners),
        rings=tuple(loops[0].ring for *_, loops in met),
        openings=tuple(solid.openings for _, solid, _ in met),
        rows=listed,
        owners=[p for (_, p, _), many in zip(found, counts, strict=True) for _ in range(many)],
    )


@lru_cache(maxsize=8192)
def _loops(key: Same[PartSolid], z_low: float, z_high: float) -> tuple[_Rows, ...]:
    """The sides of one prism, and those of its openings; none if it is above or below.

    Round holes and slots are left out: what stands in one meets a circle, not its many short sides.
    """
    solid = key.value
    low, high = max(z_low, solid.z_low), min(z_high, solid.z_high)
    if high - low <= DEPTH:
        return ()
    by = solid.recess(low, high) if solid.rounded else 0.0
    flat = Flat(solid.z_low, solid.z_high)
    loops = [_rows(list(_at(solid, by)), low, high)]
    for k, (opening, bore) in enumerate(zip(solid.openings, solid.bores, strict=True)):
        if bore is None:
            wall = PartFace("hole", k)
            # Clockwise, so that the room in the opening is on the right of its sides.
            loops.append(_rows([(p, wall, flat, wall) for p in opening[::-1]], low, high))
    return tuple(loops)


def _rows(
    every: Sequence[tuple[Point, PartFace | None, Flat, PartFace]], low: float, high: float
) -> _Rows:
    corners = [p for p, _, _, _ in every]
    numbers: list[tuple[float, ...]] = []
    for k, (p, face, flat, _) in enumerate(every):
        q = corners[k + 1 - len(every)]
        dx, dy = q[0] - p[0], q[1] - p[1]
        length = math.hypot(dx, dy)
        numbers.append((p[0], p[1], dx / (length or 1.0), dy / (length or 1.0), length,
                        *_met(flat, low, high), length > 0.0 and face is not None))  # fmt: skip
    return _Rows(
        numbers,
        tuple(face for _, face, _, _ in every),
        tuple(corner for _, _, _, corner in every),
        tuple(corners),
    )


def _met(flat: Flat, low: float, high: float) -> tuple[float, float, bool]:
    """The heights at which something from low to high meets a side, and whether on its flat."""
    if flat.low <= high and flat.high >= low:
        return max(low, flat.low), min(high, flat.high), True
    at = high if flat.low > high else low
    return at, at, False


def _at(solid: PartSolid, by: float) -> Iterator[tuple[Point, PartFace | None, Flat, PartFace]]:
    """The corners of a narrowed prism, each with the face and flat of its side and its own face."""
    count = len(solid.ring)
    if by <= 0.0:
        for k in range(count):
            yield solid.ring[k], solid.faces[k], solid.flats[k], _corner(solid, k)
        return
    low, high = solid.across
    own = [(p, k) for k, p in enumerate(solid.own)]
    right = next(k for k in range(count) if solid.flats[k].rise > 0.0)
    left = next(k for k in reversed(range(count)) if solid.flats[k].rise > 0.0)
    for p, side in clipped(own, low + by, high - by):
        k = side if side >= 0 else (right if side == -1 else left)
        nearest = min(range(count), key=lambda n: _far(solid.own[n], p))
        yield solid.pose.point(p), solid.faces[k], solid.flats[k], _corner(solid, nearest)


def _corner(solid: PartSolid, k: int) -> PartFace:
    number = solid.corners[k]
    if number is not None:
        return PartFace("corner", number)
    return solid.faces[k] or solid.faces[k - 1] or PartFace("corner", 0)


def _far(p: Point, q: Point) -> float:
    return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2


def off_ring(ring: Sequence[Point], p: Point) -> float:
    """Distance in mm from a point to the edge of a ring, negative inside.

    A ring of two points is a line.
    """
    x, y = p
    best = math.inf
    inside = False
    ux, uy = ring[-1]
    for vx, vy in ring:
        dx, dy = vx - ux, vy - uy
        square = dx * dx + dy * dy
        t = ((x - ux) * dx + (y - uy) * dy) / square if square else 0.0
        t = min(max(t, 0.0), 1.0)
        wx, wy = x - ux - t * dx, y - uy - t * dy
        best = min(best, wx * wx + wy * wy)
        if (uy > y) != (vy > y) and x < ux + (y - uy) / dy * dx:
            inside = not inside
        ux, uy = vx, vy
    return -math.sqrt(best) if inside else math.sqrt(best)


def onto_ring(ring: Sequence[Point], p: Point, edge: bool = False) -> Point:
    """The point of the area of a ring that is nearest to a point; of its edge alone, if `edge`."""
    if not edge and len(ring) > 2 and off_ring(ring, p) <= 0.0:
        return p
    x, y = p
    best, at = math.inf, p
    ux, uy = ring[-1]
    for vx, vy in ring:
        dx, dy = vx - ux, vy - uy
        square = dx * dx + dy * dy
        t = ((x - ux) * dx + (y - uy) * dy) / square if square else 0.0
        t = min(max(t, 0.0), 1.0)
        q = (ux + t * dx, uy + t * dy)
        far = _far(q, p)
        if far < best:
            best, at = far, q
        ux, uy = vx, vy
    return at
