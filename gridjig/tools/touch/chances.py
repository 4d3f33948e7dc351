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

from .faces import FacesAlike, UprightFace


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
    groups: Sequence[FacesAlike],
    most: float,
    lifted: float = 0.0,
) -> Iterator[Chance]:
    """Return the faces a pose can be turned to with a gap of at most `most` mm, each at its best.

    `lifted` is the height of what the piece stands on, mm.
    """
    if piece.tip is not None and piece.tip.push == "down":  # the contact model says what it presses
        yield from (Chance(pose, face, pose.low, 0.0) for group in groups for face in group.faces)
        return
    seated = _Seated(table, piece, pose)
    sign, tolerance, fixed = seated.sign, seated.tolerance, pose.low == pose.high
    features = _features(Same(piece))
    for group in groups:
        best: dict[int, Chance] = {}
        for one in features:
            if (
                fixed
                and one.look is not None
                and one.body == 0
                and abs((group.look - sign * one.look - pose.low + 180.0) % 360.0 - 180.0)
                > tolerance
            ):
                continue
            turned = seated.leaf_turned(one, group) if one.body else seated.turned(one, group)
            if turned is None:
                continue
            turn, span = turned
            for k, (face, plane, start) in enumerate(group.placed):
                if one.z_low + lifted >= face.z_high or one.z_high + lifted <= face.z_low:
                    continue
                gap = 0.0 if span is None else span.near - plane
                if span is not None and (
                    gap > most
                    or span.far - plane < -TOUCH
                    or span.low - start >= face.length
                    or span.high - start <= 0.0
                ):
                    continue
                gap = max(gap, 0.0)
                if k not in best or gap < best[k].gap:
                    best[k] = Chance(pose, face, turn, gap)
        yield from best.values()


class _Span(NamedTuple):
    """How far points reach across some faces, `near` to `far`, and along them, `low` to `high`.

    In mm from the origin of the table.
    """

    near: float
    far: float
    low: float
    high: float


_Turned = tuple[float, _Span | None] | None
"""The turn at which a feature looks at some faces, and its span, without one if it is near enough
to try; None if it cannot look there.
"""


class _Seated:
    """A pose of a piece over its hole, to be turned to faces."""

    def __init__(self, table: Table, piece: Piece, pose: AttainablePose) -> None:
        seats = [
            (track_of(mount, pose.flipped), seat.hole)
            for seat in pose.seats
            if not (mount := piece.mount(seat.feature)).body
        ]
        track, hole = min(seats, key=lambda seat: seat[0].kind != "point")
        self.piece, self.pose = piece, pose
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

    def turned(self, one: _Feature, group: FacesAlike) -> _Turned:
        """A feature of the base, turned to some faces."""
        pose = self.pose
        wanted = pose.low if one.look is None else group.look - self.sign * one.look
        turn = turned_to(wanted, pose.low, pose.high)
        if one.look is not None and apart(turn, wanted) > self.tolerance:
            return None
        if self.arc or (
            one.look is None and pose.low < pose.high and one.points[0] != self.pins[0]
        ):
            return (turn, None)
        return (turn, self._span(one, one.points, turn, group.normal))

    def leaf_turned(self, one: _Feature, group: FacesAlike) -> _Turned:
        """A feature of the leaf, opened so that it looks at some faces."""
        pose, pivot = self.pose, self.piece.pivot
        if pivot is None or one.look is None:
            return None
        if self.arc or pose.low < pose.high:
            return (pose.low, None)
        wanted = (group.look - pose.low) * self.sign - one.look
        leaf = turned_to(wanted, pivot.low, pivot.high)
        if apart(leaf, wanted) > PARALLEL:
            return None
        c, s = unit(leaf)
        (px, py) = pivot.at
        opened = tuple((px + c * x - s * y, py + s * x + c * y) for x, y in one.points)
        return (pose.low, self._span(one, opened, pose.low, group.normal))

    def _span(self, one: _Feature, points: tuple[Point, ...], turn: float, normal: Point) -> _Span:
        """How far points of the base reach, with each end of the track over the hole."""
        c, s = unit(turn)
        (hx, hy), (nx, ny), sign = self.hole, normal, self.sign
        about = [(x - mx, sign * y - my) for mx, my in self.pins for x, y in points]
        there = [(hx + c * x - s * y, hy + s * x + c * y) for x, y in about]
        across = [nx * x + ny * y for x, y in there]
        along = [nx * y - ny * x for x, y in there]
        near, far = min(across) - one.radius - one.out, max(across) - one.radius
        return _Span(near, far, min(along), max(along))
