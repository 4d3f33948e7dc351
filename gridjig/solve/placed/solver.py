"""Solves a placement: the pose nearest to the person's choices, and what the piece offers there.

Nothing moves silently: if a choice is not possible, the nearest is taken and the result says so.
"""

from functools import lru_cache

from gridjig.geometry import Pose
from gridjig.model import Placement, Seat, Table
from gridjig.rack import Piece, Rack, Shank
from gridjig.solve.grid.hole_faults import holes_fault
from gridjig.solve.mounting.faults import FeatureFault
from gridjig.solve.mounting.fit import feature_of
from gridjig.solve.mounting.leaf import leaf_pose, mount_leaf
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.track import apart, tidy, track_of
from gridjig.solve.mounting.ways import LeafMounting, Mounting, Way

from .faults import NotOnRack, PlacedFault, SettingFault
from .features import placed_faces, placed_rests, placed_rounds, placed_solids, placed_tip
from .placed_piece import (
    PlacedFace,
    PlacedPiece,
    PlacedRest,
    PlacedRound,
    PlacedSolid,
    PlacedTip,
    PoseParameter,
    SolidRole,
)

__all__ = [
    "PlacedFace",
    "PlacedPiece",
    "PlacedRest",
    "PlacedRound",
    "PlacedSolid",
    "PlacedTip",
    "PoseParameter",
    "SolidRole",
    "solve_placement",
]

TURN_OFF = 0.005
"""Degrees within which a turn counts as attained: half of the last digit that is ever shown."""

LENGTH_OFF = 0.05
"""Millimetres within which a slide or reach counts as attained: half of the last digit shown."""


def solve_placement(table: Table, rack: Rack, placement: Placement) -> PlacedPiece:
    """The placement solved: as near to its choices as its seats allow."""
    return _solve(_Query(table, rack, placement))


class _Query:
    """A cache key.  Equal to another for the same placement, table and rack objects."""

    __slots__ = ("placement", "rack", "table")

    def __init__(self, table: Table, rack: Rack, placement: Placement) -> None:
        self.table, self.rack, self.placement = table, rack, placement

    def __hash__(self) -> int:
        return id(self.placement)

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Query)
            and other.placement is self.placement
            and other.table is self.table
            and other.rack is self.rack
        )


@lru_cache(maxsize=64)  # a drag asks twice: whether the piece may go there, and to show it
def _solve(query: _Query) -> PlacedPiece:
    table, rack, placement = query.table, query.rack, query.placement
    piece = rack.find(placement.piece)
    holes = tuple(seat.hole for seat in placement.seats)
    if piece is None:
        return PlacedPiece(placement, None, NotOnRack(placement.piece), holes=holes)
    pin = rack.pin_diameter(piece)
    mounting = mount(table, piece, placement.seats, pin, placement.flipped)
    way = mounting.nearest(placement.turn, placement.slide)
    turn, slide = placement.turn, placement.slide
    if way is None:
        base = guess(table, piece, placement)
    else:
        turn, slide = way.nearest(turn, slide)
        base = way.attained(turn, slide)
    leaf = placement.leaf
    held = None
    arm = LeafMounting(())
    poses: tuple[Pose, ...] = (base,)
    if piece.pivot is not None:
        arm = mount_leaf(table, piece, base, placement.seats, pin)
        held = arm.nearest(leaf)
        leaf = held[1] if held else min(max(leaf, piece.pivot.low), piece.pivot.high)
        poses = (base, leaf_pose(piece, base, leaf))
    tip = piece.tip
    reach = min(max(placement.reach, tip.reach_min), tip.reach_max) if tip else 0.0
    z, packing, stack_fault = _stacked_up(rack, piece, placement)
    fault = (
        holes_fault(table, holes)
        or _mount_fault(piece, placement.seats, mounting, way, arm)
        or stack_fault
    )
    return PlacedPiece(
        placement=placement,
        piece=piece,
        fault=fault,
        way=way,
        ways=mounting.ways,
        poses=poses,
        turn=turn,
        slide=slide,
        leaf=leaf,
        reach=reach,
        off=_off(placement, way, (turn, slide, leaf, reach)),
        z=z,
        solids=placed_solids(rack, piece, placement, poses, z, reach, packing),
        faces=placed_faces(piece, poses, z, packing),
        rounds=placed_rounds(piece, poses, z),
        tip=placed_tip(tip, base, z, reach) if tip else None,
        rests=placed_rests(piece, base, z),
        holes=holes,
        leaf_low=held[0].low if held else leaf,
        leaf_high=held[0].high if held else leaf,
        leaf_hole=held[0].hole if held else None,
        leaf_play=held[0].play_deg if held else 0.0,
    )


def guess(table: Table, piece: Piece, placement: Placement) -> Pose:
    """Where to show a piece that does not go on: first feature in first hole, turned as chosen."""
    seat = placement.seats[0]
    x, y = table.at(seat.hole)
    loose = Pose(0.0, 0.0, tidy(placement.turn), placement.flipped)
    feature = feature_of(piece, seat.feature)
    if feature is not None:
        track = track_of(feature)
        dx, dy = loose.point(track.at(min(max(placement.slide, 0.0), track.length)))
        x, y = x - dx, y - dy
    return Pose(x, y, loose.turn, placement.flipped)


def _stacked_up(
    rack: Rack, piece: Piece, placement: Placement
) -> tuple[float, float, PlacedFault | None]:
    """Height of the stack below a piece and thickness of its packing, mm; and what is wrong."""
    z, fault = stacked(rack, placement.lift)
    packing, packing_fault = stacked(rack, placement.packing)
    if placement.packing and not piece.takes_packing:
        packing_fault = packing_fault or SettingFault(piece.name, "no face to pack")
    return z, packing, fault or packing_fault


def _mount_fault(
    piece: Piece, seats: tuple[Seat, ...], mounting: Mounting, way: Way | None, arm: LeafMounting
) -> PlacedFault | None:
    """Why the pins do not go in; a second body is only locked if the base is fixed."""
    if way is None:
        return mounting.why
    for m in piece.mounts:
        if isinstance(m, Shank) and all(s.feature != m.id for s in seats):
            return FeatureFault(piece.name, m.id, "in no hole")
    if piece.pivot is None:
        return None
    if way.kind != "pinned" and any(piece.mount(s.feature).body for s in seats):
        return SettingFault(piece.name, "base not fixed")
    return None if arm.ways else arm.why


def _off(
    placement: Placement, way: Way | None, attained: tuple[float, float, float, float]
) -> tuple[PoseParameter, ...]:
    """Which choices were not attained.  A slide that follows from the turn is not a choice."""
    turn, slide, leaf, reach = attained
    off: list[PoseParameter] = []
    if apart(turn, placement.turn) > TURN_OFF:
        off.append("turn")
    if way is not None and way.slides and abs(slide - placement.slide) > LENGTH_OFF:
        off.append("slide")
    if abs(leaf - placement.leaf) > TURN_OFF:
        off.append("leaf")
    if abs(reach - placement.reach) > LENGTH_OFF:
        off.append("reach")
    return tuple(off)


def stacked(rack: Rack, pieces: tuple[str, ...]) -> tuple[float, PlacedFault | None]:
    """Height of a stack in mm, and the first of its pieces that is not on the rack, or None."""
    high = 0.0
    for name in pieces:
        piece = rack.find(name)
        if piece is None:
            return (high, NotOnRack(name))
        high += piece.thickness
    return (high, None)
