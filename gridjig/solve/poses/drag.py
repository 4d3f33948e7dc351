"""A piece dragged by a point of it: it slides and swings as its pins allow, the first one kept.

Each frame is worked out from the placement that the drag began with, so nothing drifts.
"""

import math

from msgspec.structs import replace

from gridjig.geometry import Pose, unit
from gridjig.model import Placement, Table
from gridjig.rack import Point, Rack
from gridjig.solve.mounting.pairs import crossings
from gridjig.solve.mounting.track import apart, tidy, turn_between, turned_to
from gridjig.solve.mounting.ways import Way, least
from gridjig.solve.placed.solver import solve_placement

from .attainable import AttainablePose, TakenHoles
from .choose import about_first, nearest_leaf, settled

SNAP = 1.5
"""Degrees within which a free arm is caught by an angle that a lock hole holds exactly."""


def drag_to(
    table: Table,
    rack: Rack,
    placement: Placement,
    grab: Point,
    pointer: Point,
    taken: TakenHoles = frozenset(),
    body: int = 0,
) -> Placement:
    """The placement with the point that stood at `grab` brought as near to `pointer` as can be.

    `placement` is as it was when the drag began; `body` is the body that was caught.  A pinned
    piece goes to the attainable angle nearest to the pointer's direction from its first hole; one
    that slides slides; one that turns freely turns.
    """
    stood = solve_placement(table, rack, placement)
    way = stood.way
    if way is None:
        return placement
    base = stood.poses[0]
    if body == 1 and len(stood.poses) > 1:
        return _swing_leaf(table, rack, placement, stood.poses, (grab, pointer), taken)
    if way.link is not None:
        return _along_link(placement, way, base, grab, pointer)
    if way.slides:
        slid = _along_slot if way.turn_low == way.turn_high else _on_one_pin
        return slid(placement, way, base, grab, pointer)
    return _swung(
        table, rack, placement, way, tidy(base.turn + _angle(way.anchor, grab, pointer)), taken
    )


def _swung(
    table: Table, rack: Rack, placement: Placement, way: Way, turn: float, taken: TakenHoles
) -> Placement:
    """Turned about the first hole to the nearest attainable angle.

    A piece that hangs on one pin alone stays free, unless it comes close to an angle that a
    second pin would hold.
    """
    held = set(placement.seats)
    found = about_first(table, rack, placement, taken)

    def far(spot: AttainablePose) -> float:
        return round(apart(turned_to(turn, spot.low, spot.high), turn), 4)

    best = min(
        found,
        key=lambda s: (far(s), not held.issuperset(s.seats), -s.base, s.seats[-1].hole),
        default=None,
    )
    free = way.kind == "turns" and len(way.seats) == 1
    if best is None or (free and far(best) > SNAP):
        return replace(placement, turn=turn) if free else placement
    return settled(table, rack, placement, best, turn, placement.slide, taken)


def _angle(centre: Point, a: Point, b: Point) -> float:
    """The turn in degrees about a centre that brings the direction of a to that of b."""
    return turn_between(a[0] - centre[0], a[1] - centre[1], b[0] - centre[0], b[1] - centre[1])


def _along_slot(
    placement: Placement, way: Way, base: Pose, grab: Point, pointer: Point
) -> Placement:
    """Only the part of the drag along the slot counts; the pin runs the other way in the slot."""
    c, s = unit(base.turn)
    t = way.track
    ux, uy = c * t.ux - s * t.uy, s * t.ux + c * t.uy
    _, slide = way.nearest(placement.turn, placement.slide)
    moved = (pointer[0] - grab[0]) * ux + (pointer[1] - grab[1]) * uy
    turn, slide = way.nearest(placement.turn, slide - moved)
    return replace(placement, turn=turn, slide=slide)


def _on_one_pin(
    placement: Placement, way: Way, base: Pose, grab: Point, pointer: Point
) -> Placement:
    """A single pin in a slot: the piece turns after the pointer, and slides if it must."""
    unflipped = Pose(base.x, base.y, base.turn)
    gx, gy = unflipped.back(grab)
    vx, vy = pointer[0] - way.anchor[0], pointer[1] - way.anchor[1]
    wide = math.hypot(vx, vy)
    _, now = way.nearest(placement.turn, placement.slide)
    slide = min(crossings(gx, gy, way.track, wide), key=lambda t: abs(t - now))
    px, py = way.track.at(slide)
    if math.hypot(gx - px, gy - py) < 1e-6 or wide < 1e-6:
        return replace(placement, slide=slide)
    return replace(placement, slide=slide, turn=turn_between(gx - px, gy - py, vx, vy))


def _along_link(
    placement: Placement, way: Way, base: Pose, grab: Point, pointer: Point
) -> Placement:
    """Two pins in slots that run different ways: the slide that brings the point nearest."""
    caught = base.back(grab)

    def miss(t: float) -> float:
        return math.dist(way.pose(0.0, t).point(caught), pointer)

    turn, slide = way.nearest(0.0, least(miss, way.slide_low, way.slide_high, 64))
    return replace(placement, turn=turn, slide=slide)


def _swing_leaf(
    table: Table,
    rack: Rack,
    placement: Placement,
    poses: tuple[Pose, ...],
    points: tuple[Point, Point],
    taken: TakenHoles,
) -> Placement:
    """The second body follows the pointer about its pivot; if it is locked, from hole to hole."""
    base, leaf = poses
    swing = _angle((leaf.x, leaf.y), *points)
    now = tidy(leaf.turn - base.turn) * (-1.0 if base.flipped else 1.0)
    piece = rack.piece(placement.piece)
    assert piece.pivot is not None
    wanted = now + (-swing if base.flipped else swing)
    wanted = turned_to(wanted, piece.pivot.low, piece.pivot.high)
    return nearest_leaf(table, rack, placement, wanted, taken).placement
