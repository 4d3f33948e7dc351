"""Which faces a pose may touch, and with how much packing: by arithmetic, before trying it.

A chance is not a promise: corner radii, the length in front of a face and obstacles are left to the
contact model and the conflict relation.  But a pose without a chance cannot touch.
"""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from gridjig.contact.features import PARALLEL
from gridjig.contact.values import TOUCH
from gridjig.geometry import unit
from gridjig.model import Table
from gridjig.rack import Piece, Point
from gridjig.rack.same import Same
from gridjig.solve.mounting.track import apart, track_of, turned_to
from gridjig.solve.poses.attainable import AttainablePose

from .faces import UprightFace


class Chance(NamedTuple):
    """A pose turned to a face: its turn there, and the smallest gap that it leaves, mm."""

    pose: AttainablePose
    face: UprightFace
    turn: float
    gap: float


class _Feature(NamedTuple):
    """What can touch: the points nearest to the work, and a `radius` about them, mm.

    `look` is the direction it faces in its own body, degrees; None if it is round.  `out` is
    how much farther a push clamp reaches along it, mm.
    """

    points: tuple[Point, ...]
    look: float | None
    radius: float
    out: float
    body: int
    z_low: float
    z_high: float


@lru_cache(maxsize=64)
def _features(key: Same[Piece]) -> tuple[_Feature, ...]:
    return tuple(_each_feature(key.value))


def _each_feature(piece: Piece) -> Iterator[_Feature]:
    for face in piece.faces:
        (ax, ay), (bx, by) = face.a, face.b
        look = math.degrees(math.atan2(ax - bx, by - ay))
        yield _Feature((face.a, face.b), look, 0.0, 0.0, face.body, face.z_low, face.z_high)
    if piece.kind == "V-block" and len(piece.faces) == 2:  # work lies in it by any side or corner
        one, other = piece.faces
        ends = (one.a, one.b, other.a, other.b)
        low, high = max(one.z_low, other.z_low), min(one.z_high, other.z_high)
        yield _Feature(ends, None, 0.0, 0.0, one.body, low, high)
    for body in piece.rounds:
        yield _Feature((body.centre,), None, body.radius, 0.0, body.body, body.z_low, body.z_high)
    tip = piece.tip
    if tip is not None and tip.push == "along":
        c, s = unit(tip.direction)
        near = (tip.at[0] + c * tip.reach_min, tip.at[1] + s * tip.reach_min)
        out = tip.reach_max - tip.reach_min
        yield _Feature((near,), tip.direction, 0.0, out, 0, tip.z_low, tip.z_high)


def reach_of(piece: Piece) -> float:
    """Return how far any feature of a piece can be from the hole it stands in, mm."""
    corners = [p for solid in piece.solids if solid.body == 0 for p in solid.outline]
    out = max((math.hypot(*p) for p in corners), default=0.0)
    if piece.pivot is not None:
        leaf = [p for solid in piece.solids if solid.body == 1 for p in solid.outline]
        out = max(out, math.hypot(*piece.pivot.at) + max((math.hypot(*p) for p in leaf), default=0))
    if piece.tip is not None:
        out = max(out, math.hypot(*piece.tip.at) + piece.tip.reach_max)
    pins = [track_of(m).at(t) for m in piece.mounts for t in (0.0, track_of(m).length)]
    return out + max((math.hypot(*p) for p in pins), default=0.0)


def chances(
    table: Table,
    piece: Piece,
    pose: AttainablePose,
    faces: Sequence[UprightFace],
    most: float,
    lifted: float = 0.0,
) -> Iterator[Chance]:
    """Return the faces a pose can be turned to with a gap of at most `most` mm, each at its best.

    `lifted` is the height of what the piece stands on, mm.
    """
    if piece.tip is not None and piece.tip.push == "down":  # the contact model says what it presses
        yield from (Chance(pose, face, pose.low, 0.0) for face in faces)
        return
    seated = _Seated(table, piece, pose, most)
    sign, tolerance, fixed = seated.sign, seated.tolerance, pose.low == pose.high
    features = _features(Same(piece))
    for face in faces:
        best: Chance | None = None
        for one in features:
            if (
                fixed
                and one.look is not None
                and one.body == 0
                and abs((face.look - sign * one.look - pose.low + 180.0) % 360.0 - 180.0)
                > tolerance
            ):
                continue
            if one.z_low + lifted >= face.z_high or one.z_high + lifted <= face.z_low:
                continue
            made = seated.leaf_chance(one, face) if one.body else seated.chance(one, face)
            if made is not None and (best is None or made.gap < best.gap):
                best = made
        if best is not None:
            yield best


class _Seated:
    """A pose of a piece over its hole, to be turned to one face after the other."""

    def __init__(self, table: Table, piece: Piece, pose: AttainablePose, most: float) -> None:
        seats = [
            (track_of(mount, pose.flipped), seat.hole)
            for seat in pose.seats
            if not (mount := piece.mount(seat.feature)).body
        ]
        track, hole = min(seats, key=lambda seat: seat[0].kind != "point")
        self.piece, self.pose, self.most = piece, pose, most
        self.hole = table.at(hole)
        self.arc = track.kind == "arc"
        if track.kind == "line":
            self.pins = [track.at(pose.slide_low), track.at(pose.slide_high)]
        elif self.arc:
            self.pins = [track.at(0.0), track.at(track.length)]
        else:
            self.pins = [(track.x, track.y)]
        self.sign = -1.0 if pose.flipped else 1.0
        self.tolerance = PARALLEL + pose.play_deg
        self._turned: dict[tuple[tuple[Point, ...], float], list[Point]] = {}

    def chance(self, one: _Feature, face: UprightFace) -> Chance | None:
        """A feature of the base, turned to the face; None if it cannot touch."""
        pose = self.pose
        wanted = pose.low if one.look is None else face.look - self.sign * one.look
        turn = turned_to(wanted, pose.low, pose.high)
        if one.look is not None and apart(turn, wanted) > self.tolerance:
            return None
        if self.arc or (
            one.look is None and pose.low < pose.high and one.points[0] != self.pins[0]
        ):
            return Chance(pose, face, turn, 0.0)  # near enough to try
        gap = self._gap(one, one.points, turn, face)
        return None if gap is None else Chance(pose, face, turn, gap)

    def leaf_chance(self, one: _Feature, face: UprightFace) -> Chance | None:
        """A feature of the leaf, opened so that it looks at the face."""
        pose, pivot = self.pose, self.piece.pivot
        if pivot is None or one.look is None:
            return None
        if self.arc or pose.low < pose.high:
            return Chance(pose, face, pose.low, 0.0)
        wanted = (face.look - pose.low) * self.sign - one.look
        leaf = turned_to(wanted, pivot.low, pivot.high)
        if apart(leaf, wanted) > PARALLEL:
            return None
        c, s = unit(leaf)
        (px, py) = pivot.at
        opened = tuple((px + c * x - s * y, py + s * x + c * y) for x, y in one.points)
        gap = self._gap(one, opened, pose.low, face)
        return None if gap is None else Chance(pose, face, pose.low, gap)

    def _gap(
        self, one: _Feature, points: tuple[Point, ...], turn: float, face: UprightFace
    ) -> float | None:
        """The smallest gap that points of the base leave at a face; None if out of range."""
        there = self._turned.get((points, turn))
        if there is None:
            there = self._turned[points, turn] = self._over_hole(points, turn)
        # `gap` and `along` of the face, written out: this runs thousands of times a move.
        (nx, ny), (ax, ay) = face.normal, face.a
        gaps = [nx * (x - ax) + ny * (y - ay) - one.radius for x, y in there]
        least = min(gaps) - one.out
        if least > self.most or max(gaps) < -TOUCH:
            return None
        spans = [nx * (y - ay) - ny * (x - ax) for x, y in there]
        if min(spans) >= face.length or max(spans) <= 0.0:
            return None
        return max(least, 0.0)

    def _over_hole(self, points: tuple[Point, ...], turn: float) -> list[Point]:
        """The points on the table, with each end of the track over the hole."""
        c, s = unit(turn)
        (hx, hy), sign = self.hole, self.sign
        about = [(x - mx, sign * y - my) for mx, my in self.pins for x, y in points]
        return [(hx + c * x - s * y, hy + s * x + c * y) for x, y in about]
