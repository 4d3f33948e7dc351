"""The reach of an arm: every angle it can be held at from one pivot hole, and the area it covers.

Only the table's holes, their condition and the taken ones count; clashes are found elsewhere.
"""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import shapely
from msgspec import Struct
from shapely.geometry.base import BaseGeometry

from gridjig.geometry import Pose
from gridjig.model import Hole, Seat, Table
from gridjig.rack import Piece, Point, Rack
from gridjig.solve.mounting.leaf import leaf_pose
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.track import apart, tidy
from gridjig.solve.mounting.ways import LeafWay, Way
from gridjig.solve.poses.attainable import AttainablePose, TakenHoles
from gridjig.solve.poses.faults import WhyUnusable
from gridjig.solve.poses.search_holes import attainable_poses, leaf_locks

SWEEP = 1.0
"""Degrees between the poses that a swept area is made of; see `ArmReach.area`."""


ROUND = 64
"""Chords per quarter circle where something turns all round."""


class ReachAngle(Struct, frozen=True):
    """A range of angles (or one angle, if low == high) that the arm can be set to.

    In degrees from the table's x axis to that of the body with the face, `low` in (-180, 180] and
    `high` not less.  `seats` hold it there; `play_deg` is its accuracy to one side.  `leaf` is the
    second body's angle from the base at `low` and at `high`; None for an arm of one body.  `scale`
    is True if it is set by the scale alone.
    """

    low: float
    high: float
    seats: tuple[Seat, ...]
    flipped: bool
    play_deg: float
    leaf: tuple[float, float] | None = None
    scale: bool = False


class ArmReach(Struct, frozen=True):
    """The reach of a piece about one hole.

    `angles` are sorted by turn; `left_out` are the holes that would fit but are off the table,
    blocked, damaged or taken.  `area` is what the faces can cover: the union, over all angles, of
    the strips between the faces and the point that the arm turns about.  A range is swept in steps
    of at most one degree; each step is the hull of its two ends, scaled by 1/cos(half a step): too
    large at radius R by up to 4e-5 R, never too small.  What turns all round is a disc or ring with
    its outer edge circumscribed by 256 chords.  (Where turn and slide follow from each other, the
    range is sampled in 64 steps.)
    """

    angles: tuple[ReachAngle, ...]
    area: BaseGeometry
    left_out: tuple[tuple[Hole, WhyUnusable], ...]


class HeldAngle(NamedTuple):
    """A reach angle with the way of the base it belongs to."""

    angle: ReachAngle
    way: Way


def reach(
    table: Table,
    rack: Rack,
    piece: Piece,
    hole: Hole,
    taken: TakenHoles = frozenset(),
    flipped: bool | None = None,
) -> ArmReach:
    """Every setting of the piece with its first feature in the hole."""
    held, left = held_angles(table, rack, piece, hole, taken, flipped)
    strips = [strip for h in held for strip in _covered(piece, h)]
    angles = sorted(
        (h.angle for h in held), key=lambda a: (a.low, a.high, a.flipped, a.seats[-1].hole)
    )
    return ArmReach(tuple(angles), shapely.union_all(strips), left)


def held_angles(
    table: Table,
    rack: Rack,
    piece: Piece,
    hole: Hole,
    taken: TakenHoles = frozenset(),
    flipped: bool | None = None,
) -> tuple[list[HeldAngle], tuple[tuple[Hole, WhyUnusable], ...]]:
    """Every angle about the hole with the way of its base, and the holes left out with why."""
    pin = rack.pin_diameter(piece)
    every = attainable_poses(table, piece, pin, hole, taken, flipped)
    left: dict[Hole, WhyUnusable] = dict(every.left_out)
    held: list[HeldAngle] = []
    for spot in every.found:
        way = _way_of(table, piece, pin, spot)
        if piece.pivot is None or carrier(piece) == 0:
            held.append(HeldAngle(_plain(way, spot), way))
            continue
        base = way.pose(way.turn_low, way.slide_low)
        locks, out = leaf_locks(table, piece, base, pin, {*taken, *(s.hole for s in spot.seats)})
        own = {s.hole for s in spot.seats}
        left.update({h: why for h, why in out if h not in own})
        free = LeafWay(piece.pivot.low, piece.pivot.high, None, piece.pivot.accuracy)
        held.append(HeldAngle(_of_leaf(way, spot.seats, free), way))
        if way.kind == "pinned":
            held.extend(
                HeldAngle(_of_leaf(way, (*spot.seats, lock.seat), lock.way), way) for lock in locks
            )
    return held, tuple(sorted(left.items()))


def carrier(piece: Piece) -> int:
    """The body whose angle counts: that of the first face, else the second one, else the base."""
    if piece.faces:
        return piece.faces[0].body
    return 1 if piece.pivot is not None else 0


def _way_of(table: Table, piece: Piece, pin: float, spot: AttainablePose) -> Way:
    """The way, among those of its seats, that an attainable pose stands for."""
    ways = mount(table, piece, spot.seats, pin, spot.flipped).ways
    return min(ways, key=lambda w: (round(apart(w.turn_low, spot.low), 6), w.slide_low))


def _plain(way: Way, spot: AttainablePose) -> ReachAngle:
    return ReachAngle(way.turn_low, way.turn_high, spot.seats, spot.flipped, way.play_deg)


def _of_leaf(way: Way, seats: tuple[Seat, ...], leaf: LeafWay) -> ReachAngle:
    """The second body's angles on the table.

    If set by scale, the base's play adds to them; a lock hole holds the second body itself, and the
    pivot counts as fixed.
    """
    scale = leaf.hole is None
    play = leaf.play_deg + way.play_deg if scale else leaf.play_deg
    low, high = leaf.low, leaf.high
    width = high - low + (way.turn_high - way.turn_low if scale else 0.0)
    if way.flipped:
        low, high = high, low
    first = tidy(way.turn_low + (-low if way.flipped else low))
    if width >= 360.0:
        return ReachAngle(-180.0, 180.0, seats, way.flipped, play, (leaf.low, leaf.high), scale)
    return ReachAngle(first, first + width, seats, way.flipped, play, (low, high), scale)


def _covered(piece: Piece, held: HeldAngle) -> Iterator[BaseGeometry]:
    """What the lines of the body with the face sweep for one reach angle."""
    way, leaf = held.way, held.angle.leaf
    all_round = way.turn_high - way.turn_low >= 360.0
    turns = [way.turn_low] if all_round else _steps(way.turn_low, way.turn_high)
    for line in _lines(piece):
        swept = list(
            _swept_by_base(way, turns, line)
            if leaf is None
            else _swept_by_leaf(piece, way, turns, leaf, line)
        )
        yield from [_all_round(swept, way.anchor)] if all_round else swept


def _lines(piece: Piece) -> list[tuple[Point, ...]]:
    """The lines that sweep the area: the faces of that body or, without faces, its outlines."""
    body = carrier(piece)
    faces: list[tuple[Point, ...]] = [(f.a, f.b) for f in piece.faces if f.body == body]
    return faces or [s.outline for s in piece.solids if s.body == body]


def _swept_by_base(way: Way, turns: list[float], line: tuple[Point, ...]) -> Iterator[BaseGeometry]:
    """A pinned body, turned or slid through its range."""
    apex = _pinned(way, way.slide_low)
    if way.link is not None:
        step = (way.slide_high - way.slide_low) / 64.0
        yield from _fans([way.pose(0.0, way.slide_low + step * k) for k in range(65)], apex, line)
    elif way.slides:
        ends = [way.pose(turns[0], s) for s in (way.slide_low, way.slide_high)]
        yield _hull(ends, apex, line, 0.0)
    else:
        yield from _fans([way.pose(t, 0.0) for t in turns], apex, line)


def _swept_by_leaf(
    piece: Piece, way: Way, turns: list[float], leaf: tuple[float, float], line: tuple[Point, ...]
) -> Iterator[BaseGeometry]:
    """A second body turned about its pivot, for every turn of the base."""
    for turn in turns:
        base = way.pose(turn, way.slide_low)
        leaves = [leaf_pose(piece, base, a) for a in _steps(*leaf)]
        yield from _fans(leaves, (0.0, 0.0), line)


def _all_round(swept: list[BaseGeometry], centre: Point) -> BaseGeometry:
    """What a connected shape sweeps in a full circle: a disc or ring, circumscribed by chords."""
    shape = shapely.union_all(swept)
    pin = shapely.points(centre)
    far = max(math.dist(p, centre) for p in shapely.get_coordinates(shape).tolist())
    outer = pin.buffer(far / math.cos(math.pi / (4 * ROUND)), quad_segs=ROUND)
    inner = pin.buffer(shape.distance(pin), quad_segs=ROUND)
    return outer.difference(inner)


def _pinned(way: Way, slide: float) -> Point:
    """The point that the piece turns about, in its own frame."""
    x, y = way.track.at(slide)
    return (x, -y if way.flipped else y)


def _steps(low: float, high: float) -> list[float]:
    """Angles from `low` to `high` inclusive, at most SWEEP apart."""
    parts = math.ceil(abs(high - low) / SWEEP)
    return [low + (high - low) * k / parts for k in range(parts + 1)] if parts else [low]


def _fans(poses: list[Pose], apex: Point, line: tuple[Point, ...]) -> Iterator[BaseGeometry]:
    """The hulls of successive poses."""
    if len(poses) == 1:
        yield _hull(poses, apex, line, 0.0)
    for a, b in pairwise(poses):
        yield _hull([a, b], apex, line, apart(a.turn, b.turn))


def _hull(poses: list[Pose], apex: Point, line: tuple[Point, ...], step: float) -> BaseGeometry:
    """The hull of a line and the turning point in some poses, scaled to cover the arc between."""
    scale = 1.0 / math.cos(math.radians(step / 2.0))
    points: list[Point] = []
    for pose in poses:
        cx, cy = pose.point(apex)
        points.append((cx, cy))
        for p in line:
            x, y = pose.point(p)
            points.append((cx + (x - cx) * scale, cy + (y - cy) * scale))
    return shapely.convex_hull(shapely.multipoints(points))
