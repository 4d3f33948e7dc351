"""Points well inside what stands on the table: a piece that covers one of them cannot be there.

They rule out poses and ranges of turn without measuring each overlap.  Only what is certain is
ruled out; the rest is left to the conflict relation.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely
from msgspec import Struct

from gridjig.checks.neighbours import parts_of, pieces_of
from gridjig.contact.overlap import thing_id
from gridjig.contact.shapes import DEPTH, Room, Thing, rooms_of
from gridjig.geometry import unit
from gridjig.model import Table
from gridjig.rack import Piece, Point
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray
from gridjig.solve.mounting.track import track_of
from gridjig.solve.placed.placed_piece import PlacedSolid
from gridjig.solve.poses.attainable import AttainablePose

from .ground import Ground

INSET = 0.6
"""How far a witness is inside both bodies, mm: their overlap holds a disc of 1.1 mm2."""

SPACING = 6.0
"""The distance of the witnesses along an outline, mm."""


class Witnesses(Struct, frozen=True, eq=False):
    """Points x, y in mm, and the heights z_low..z_high for which each is a witness."""

    x: FloatArray
    y: FloatArray
    z_low: FloatArray
    z_high: FloatArray

    def within(self, low: float, high: float) -> "Witnesses":
        """Return those whose heights overlap with others by more than a contact."""
        keep = np.minimum(self.z_high, high) - np.maximum(self.z_low, low) > DEPTH
        return Witnesses(self.x[keep], self.y[keep], self.z_low[keep], self.z_high[keep])


def witnesses(ground: Ground, at: Point, reach: float) -> Witnesses:
    """Return the witnesses of what stands within a distance of a point, mm."""
    box = (at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach)
    near = [*pieces_of(ground.placed_pieces).in_box(box), *parts_of(ground.job.parts).in_box(box)]
    every = [_of(Same(t)) for t in near if thing_id(t) not in ground.without]
    rows = np.concatenate([np.zeros((0, 4)), *every])
    rows = rows[np.hypot(rows[:, 0] - at[0], rows[:, 1] - at[1]) <= reach]
    return Witnesses(*np.ascontiguousarray(rows.T))


@lru_cache(maxsize=4096)
def _of(key: Same[Thing]) -> FloatArray:
    rows = [_in_room(room) for room in rooms_of(key.value).every if not room.handle]
    return np.concatenate([np.zeros((0, 4)), *rows])


def _in_room(room: Room) -> FloatArray:
    """Points along an outline and in its middle; a rounded prism counts where it is widest."""
    rise = room.solid.rounding[1] if room.solid is not None else 0.0
    low, high = room.z_low + rise, room.z_high - rise
    inside = shapely.buffer(room.plan, -INSET, quad_segs=4)
    if shapely.is_empty(inside) or high - low <= DEPTH:
        return np.zeros((0, 4))
    line = shapely.segmentize(shapely.boundary(inside), SPACING)
    points = shapely.get_coordinates([line, shapely.point_on_surface(inside)])
    heights = np.broadcast_to([low, high], (len(points), 2))
    return np.hstack([points, heights])


class Sweep(Struct, frozen=True, eq=False):
    """Outlines that turn about `at`, drawn inset and as they lie at the angle `now`, degrees.

    `hand` is -1 if the angle is counted clockwise, as that of an arm turned over.
    """

    at: Point
    now: float
    hand: float
    moved: tuple[tuple["_Outline", Witnesses], ...]

    def past(self, value: float, sign: float, end: float) -> float | None:
        """Return the angle from `value` towards `end` at which no witness is covered, or None."""
        while True:
            leap = max((self._leap(k, w, value, sign) for k, w in self.moved), default=0.0)
            if leap <= 0.0:
                return value
            value += sign * leap
            if (end - value) * sign < 0.0:
                return None

    def _leap(self, outline: "_Outline", seen: Witnesses, value: float, sign: float) -> float:
        """How far to turn until the outline has left every witness that it covers."""
        c, s = unit((self.now - value) * self.hand)
        dx, dy = seen.x - self.at[0], seen.y - self.at[1]
        x, y = c * dx - s * dy, s * dx + c * dy
        inside = shapely.contains_xy(outline.area, x + self.at[0], y + self.at[1])
        if not inside.any():
            return 0.0
        return outline.leaving(x[inside], y[inside], sign * self.hand)


class _Outline(Struct, frozen=True, eq=False):
    """An outline, and the sides of its edge (4 columns: x, y, dx, dy) from the pivot, mm."""

    area: shapely.Geometry
    sides: FloatArray

    def leaving(self, x: FloatArray, y: FloatArray, sign: float) -> float:
        """The largest turn (degrees) until the points, seen from the pivot, are on the edge."""
        ax, ay, dx, dy = self.sides.T[:, None, :]
        r2 = (x * x + y * y)[:, None]
        a, b, c = dx * dx + dy * dy, ax * dx + ay * dy, ax * ax + ay * ay - r2
        root = np.sqrt(np.maximum(b * b - a * c, 0.0))
        least = np.full(len(x), 360.0)
        here = np.arctan2(y, x)[:, None]
        for way in (-1.0, 1.0):
            t = (way * root - b) / a
            met = (b * b >= a * c) & (t >= 0.0) & (t <= 1.0)
            off = np.degrees(here - np.arctan2(ay + t * dy, ax + t * dx)) * sign % 360.0
            least = np.minimum(least, np.where(met, off, 360.0).min(axis=1))
        return float(least.max()) + 1e-9


def sweep(
    ground: Ground, solids: Sequence[PlacedSolid], at: Point, now: float, hand: float
) -> Sweep:
    """Return how bodies turn about a point past what stands around them."""
    far = max((math.dist(p, at) for k in solids for p in k.points), default=0.0)
    seen = witnesses(ground, at, far)
    moved = []
    for solid in solids:
        inside = shapely.buffer(shapely.Polygon(solid.points), -INSET, quad_segs=4)
        near = seen.within(solid.z_low, solid.z_high)
        if shapely.is_empty(inside) or not len(near.x):
            continue
        moved.append((_Outline(_prepared(inside), _sides(inside, at)), near))
    return Sweep(at, now, hand, tuple(moved))


def _prepared(area: shapely.Geometry) -> shapely.Geometry:
    """Prepare an area that only the tool asks, never another thread."""
    shapely.prepare(area)
    return area


def _sides(area: shapely.Geometry, at: Point) -> FloatArray:
    rows = []
    for part in shapely.get_parts(area):
        for ring in (part.exterior, *part.interiors):
            corners = shapely.get_coordinates(ring) - np.array(at)
            rows.append(np.hstack([corners[:-1], np.diff(corners, axis=0)]))
    every = np.concatenate(rows)
    sides: FloatArray = every[np.hypot(every[:, 2], every[:, 3]) > 0.0]
    return sides


def covered(
    table: Table, piece: Piece, poses: Sequence[AttainablePose], seen: Witnesses, play: float
) -> list[bool]:
    """Return for each pose whether the base surely covers a witness.

    Only poses that the pins fix, with a hole of the piece pinned; of others nothing is said.
    """
    found = [False] * len(poses)
    rows: list[tuple[int, float, float, float, float, float, float]] = []
    for k, pose in enumerate(poses):
        tracks = [(track_of(piece.mount(s.feature), pose.flipped), s.hole) for s in pose.seats]
        pinned = next(((t, h) for t, h in tracks if t.kind == "point"), None)
        if pose.low == pose.high and pinned is not None:
            track, (x, y) = pinned[0], table.at(pinned[1])
            rows.append((k, *unit(pose.low), track.x, track.y, x, y))
    if not rows or not len(seen.x):
        return found
    _, c, s, fx, fy, hx, hy = np.array(rows).T[:, :, None]
    for solid in piece.solids:
        near = seen.within(solid.z_low, solid.z_high)
        if solid.body or not len(near.x):
            continue
        dx, dy = near.x - hx, near.y - hy
        x, y = c * dx + s * dy + fx, -s * dx + c * dy + fy
        plan = shapely.Polygon(solid.outline, solid.openings)
        area = _prepared(shapely.buffer(plan, -INSET - play, quad_segs=4))
        flipped = np.array([[poses[r[0]].flipped] for r in rows])
        hit = shapely.contains_xy(area, x, np.where(flipped, -y, y)).any(axis=1)
        for row in np.flatnonzero(hit).tolist():
            found[rows[row][0]] = True
    return found
