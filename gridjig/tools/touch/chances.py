"""Which faces a pose may touch, and with how much packing: by arithmetic, before trying it.

A chance is not a promise: corner radii, the length in front of a face and obstacles are left to the
contact model and the conflict relation.  But a pose without a chance cannot touch.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
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
    seats = [(track_of(piece.mount(s.feature), pose.flipped), s.hole) for s in pose.seats
             if not piece.mount(s.feature).body]  # fmt: skip
    track, at = min(seats, key=lambda s: s[0].kind != "point")
    hole = table.at(at)
    arc = track.kind == "arc"
    pins = [track.at(pose.slide_low), track.at(pose.slide_high)] if track.kind == "line" else (
        [track.at(0.0), track.at(track.length)] if arc else [(track.x, track.y)]
    )  # fmt: skip
    sign = -1.0 if pose.flipped else 1.0
    tolerance = PARALLEL + pose.play_deg
    fixed = pose.low == pose.high
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
            made = _chance(piece, one, pose, pins, arc, hole, face, most)
            if made is not None and (best is None or made.gap < best.gap):
                best = made
        if best is not None:
            yield best


def _chance(
    piece: Piece,
    one: _Feature,
    pose: AttainablePose,
    pins: list[Point],
    arc: bool,
    hole: Point,
    face: UprightFace,
    most: float,
) -> Chance | None:
    sign = -1.0 if pose.flipped else 1.0
    look = face.look
    tolerance = PARALLEL + pose.play_deg
    wanted = pose.low if one.look is None else look - sign * one.look
    if one.body == 1:
        return _of_leaf(piece, one, pose, pins, arc, hole, look, face, most)
    turn = turned_to(wanted, pose.low, pose.high)
    if one.look is not None and apart(turn, wanted) > tolerance:
        return None
    if arc or (one.look is None and pose.low < pose.high and one.points[0] != pins[0]):
        return Chance(pose, face, turn, 0.0)  # near enough to try
    points = [(x - mx, sign * y - my) for mx, my in pins for x, y in one.points]
    gap = _gap(one, points, turn, hole, face, most)
    return None if gap is None else Chance(pose, face, turn, gap)


def _gap(
    one: _Feature,
    points: Iterable[Point],
    turn: float,
    hole: Point,
    face: UprightFace,
    most: float,
) -> float | None:
    """The smallest gap that points turned about a hole leave at a face; None if out of range."""
    c, s = unit(turn)
    # `gap` and `along` of the face, written out: this runs thousands of times a move.
    (hx, hy), (nx, ny), (ax, ay) = hole, face.normal, face.a
    there = [(hx + c * x - s * y - ax, hy + s * x + c * y - ay) for x, y in points]
    gaps = [nx * x + ny * y - one.radius for x, y in there]
    least = min(gaps) - one.out
    if least > most or max(gaps) < -TOUCH:
        return None
    spans = [nx * y - ny * x for x, y in there]
    if min(spans) >= face.length or max(spans) <= 0.0:
        return None
    return max(least, 0.0)


def _of_leaf(
    piece: Piece,
    one: _Feature,
    pose: AttainablePose,
    pins: list[Point],
    arc: bool,
    hole: Point,
    look: float,
    face: UprightFace,
    most: float,
) -> Chance | None:
    """The leaf, opened so that it looks at the face."""
    pivot = piece.pivot
    if pivot is None or one.look is None:
        return None
    if arc or pose.low < pose.high:
        return Chance(pose, face, pose.low, 0.0)
    sign = -1.0 if pose.flipped else 1.0
    wanted = (look - pose.low) * sign - one.look
    leaf = turned_to(wanted, pivot.low, pivot.high)
    if apart(leaf, wanted) > PARALLEL:
        return None
    c, s = unit(leaf)
    opened = [(pivot.at[0] + c * x - s * y, pivot.at[1] + s * x + c * y) for x, y in one.points]
    points = [(x - mx, sign * y - my) for mx, my in pins for x, y in opened]
    gap = _gap(one, points, pose.low, hole, face, most)
    return None if gap is None else Chance(pose, face, pose.low, gap)
