"""What the pointer snaps to: holes, corners of outlines, locating faces.

The radius is the pointer's grip in screen millimetres, so that it feels the same at every zoom.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Set

from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedFace, PlacedPiece
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.wording import with_place

_NEAR = 1e-9


class Snap(Struct, frozen=True):
    """A point snapped to, mm, what it is, and the hole if it is one."""

    at: Point
    what: str
    hole: Hole | None = None


def radius(pointer: Pointer) -> float:
    """Return how near a point must be to snap to it, table mm; 0 when snapping is off."""
    return 0.0 if pointer.free else pointer.grip * pointer.table_mm


def corners_of(job: Job, besides: Set[str] = frozenset()) -> list[tuple[Point, str]]:
    """Return the corners of the job's outlines with what they are, except some outlines."""
    return [
        (corner, f"corner of {title(job, part.id)}")
        for part in job.parts
        if part.id not in besides
        for corner in part_ring(part)
    ]


class CornerIndex:
    """Corners sorted from left to right, so that only those near a point are checked."""

    def __init__(self, corners: Iterable[tuple[Point, str]]) -> None:
        self._corners = sorted(corners, key=_left)

    def near(self, x: float, within: float) -> list[tuple[Point, str]]:
        """Return the corners within `within` mm of x, to its left or right."""
        first = bisect_left(self._corners, x - within, key=_left)
        return self._corners[first : bisect_right(self._corners, x + within, key=_left)]


def _left(corner: tuple[Point, str]) -> float:
    return corner[0][0]


def snap_point(job: Job, at: Point, within: float, corners: Iterable[tuple[Point, str]]) -> Snap:
    """Return the hole or corner nearest to a point within a radius, or else the point itself.

    A corner wins over a hole at the same distance, as it is the rarer one.
    """
    best = Snap(at, "")
    if within <= 0:
        return best
    nearest = within
    for corner, what in corners:
        away = math.dist(corner, at)
        if away <= nearest:
            best, nearest = Snap(corner, what), away
    hole = job.table.nearest(*at)
    away = math.dist(job.table.at(hole), at)
    if away < nearest - _NEAR or (away <= nearest and not best.what):
        best = Snap(job.table.at(hole), f"hole {address(job.table, hole)}", hole)
    return best


class FaceSnap(Struct, frozen=True):
    """A shift that puts an outline's edge on a locating face, mm, and which face that is."""

    dx: float
    dy: float
    normal: Point
    what: str


def lay_on_face(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    ring: Iterable[Point],
    within: float,
    along: Point | None = None,
) -> FaceSnap | None:
    """Return the smallest shift within a radius that puts a ring against a placed piece's face.

    With `along` (the normal of a face that it already lies on) only shifts that keep it there
    count.
    """
    points = list(ring)
    best: tuple[float, FaceSnap] | None = None
    for placement in job.placements:
        for face in placed_pieces[placement.id].faces:
            found = _contact(face, points, along)
            if found is None:
                continue
            far = math.hypot(found[0], found[1])
            if far <= within and (best is None or far < best[0]):
                what = f"face of {with_place(job, placement.id)}"
                best = (far, FaceSnap(*found, face.normal, what))
    return None if best is None else best[1]


def _contact(
    face: PlacedFace, ring: list[Point], along: Point | None
) -> tuple[float, float] | None:
    nx, ny = face.normal
    gap = min((x - face.a[0]) * nx + (y - face.a[1]) * ny for x, y in ring)
    dx, dy = -gap * nx, -gap * ny
    if along is not None:
        ax, ay = -along[1], along[0]
        slope = ax * nx + ay * ny
        if abs(slope) < 0.1:
            return None
        dx, dy = -gap / slope * ax, -gap / slope * ay
    tx, ty = face.b[0] - face.a[0], face.b[1] - face.a[1]
    length = math.hypot(tx, ty)
    spots = [((x + dx - face.a[0]) * tx + (y + dy - face.a[1]) * ty) / length for x, y in ring]
    beside = max(spots) <= _NEAR or min(spots) >= length - _NEAR
    return None if beside else (dx, dy)
