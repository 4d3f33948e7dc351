"""Dragging a piece by a point: it slides and swings as its pins allow, and keeps its first hole.

Each frame is computed from the placement at the start of the drag, so nothing drifts.
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
"""Degrees within which a free piece snaps to an angle that a second pin would hold."""


def drag_to(
    table: Table,
    rack: Rack,
    placement: Placement,
    grab: Point,
    pointer: Point,
    taken: TakenHoles = frozenset(),
    body: int = 0,
) -> Placement:
    """The placement with its point at `grab` brought as near to `pointer` as possible.

    `placement` is the one at the start of the drag; `body` is the body that was grabbed.  A pinned
    piece takes the attainable angle nearest to the pointer's direction from its first hole; a piece
    that can slide slides, and one that turns freely turns.
    """
    placed = solve_placement(table, rack, placement)
    way = placed.way
    if way is None:
        return placement
    base = placed.poses[0]
    if body == 1 and len(placed.poses) > 1:
        return _swing_leaf(table, rack, placement, placed.poses, (grab, pointer), taken)
    if way.link is not None:
        return _along_link(placement, way, base, grab, pointer)
    if way.slides:
        slide = _along_slot if way.turn_low == way.turn_high else _on_one_pin
        return slide(placement, way, base, grab, pointer)
    return _swung(
        table, rack, placement, way, tidy(base.turn + _angle(way.anchor, grab, pointer)), taken
    )


def _swung(
    table: Table, rack: Rack, placement: Placement, way: Way, turn: float, taken: TakenHoles
) -> Placement:
    """The placement turned about its first hole to the nearest attainable angle.

    A piece on a single pin stays free unless it comes close to an angle that a second pin would
    hold.
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
    """The turn in degrees about a centre from the direction of a to that of b."""
    return turn_between(a[0] - centre[0], a[1] - centre[1], b[0] - centre[0], b[1] - centre[1])


def _along_slot(
    placement: Placement, way: Way, base: Pose, grab: Point, pointer: Point
) -> Placement:
    """Only the component along the slot counts; the pin moves the other way in the slot."""
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
    """A single pin in a slot: the piece turns towards the pointer, and slides if it must."""
    unflipped = Pose(base.x, base.y, base.turn)
    gx, gy = unflipped.back(grab)
    vx, vy = pointer[0] - way.anchor[0], pointer[1] - way.anchor[1]
    distance = math.hypot(vx, vy)
    _, now = way.nearest(placement.turn, placement.slide)
    slide = min(crossings(gx, gy, way.track, distance), key=lambda t: abs(t - now))
    px, py = way.track.at(slide)
    if math.hypot(gx - px, gy - py) < 1e-6 or distance < 1e-6:
        return replace(placement, slide=slide)
    return replace(placement, slide=slide, turn=turn_between(gx - px, gy - py, vx, vy))


def _along_link(
    placement: Placement, way: Way, base: Pose, grab: Point, pointer: Point
) -> Placement:
    """Two pins in slots that are not parallel: the slide that brings the point nearest."""
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
    """The second body follows the pointer about its pivot; if locked, from hole to hole."""
    base, leaf = poses
    swing = _angle((leaf.x, leaf.y), *points)
    now = tidy(leaf.turn - base.turn) * (-1.0 if base.flipped else 1.0)
    piece = rack.piece(placement.piece)
    assert piece.pivot is not None
    wanted = now + (-swing if base.flipped else swing)
    wanted = turned_to(wanted, piece.pivot.low, piece.pivot.high)
    return nearest_leaf(table, rack, placement, wanted, taken).placement
