"""A placed piece: plain values in table coordinates, mm, with z from the table top."""

from typing import Literal

from msgspec import Struct

from gridjig.geometry import Pose
from gridjig.model import Hole, Placement
from gridjig.rack import Piece, Point
from gridjig.solve.mounting.ways import Way

from .faults import PlacedFault

SolidRole = Literal["body", "leaf", "bar", "handle", "lift", "packing"]
PoseParameter = Literal["turn", "slide", "leaf", "reach"]


class PlacedSolid(Struct, frozen=True):
    """Room that is taken: a plan outline (counter-clockwise, not closed) between two heights.

    `openings` are outlines of what is cut out of it, other than the mount features.
    """

    points: tuple[Point, ...]
    z_low: float
    z_high: float
    role: SolidRole
    openings: tuple[tuple[Point, ...], ...] = ()


class PlacedFace(Struct, frozen=True):
    """A locating face; `normal` is the unit vector away from the piece, right of a -> b."""

    id: str
    a: Point
    b: Point
    normal: Point
    z_low: float
    z_high: float


class PlacedRound(Struct, frozen=True):
    """A round locating body."""

    id: str
    centre: Point
    radius: float
    z_low: float
    z_high: float


class PlacedTip(Struct, frozen=True):
    """Where a clamp presses, and which way: `direction` in degrees on the table."""

    at: Point
    direction: float
    push: Literal["down", "along"]
    z_low: float
    z_high: float
    pad_radius: float


class PlacedRest(Struct, frozen=True):
    """A flat that carries the work, at height z."""

    centre: Point
    radius: float
    z: float


class PlacedPiece(Struct, frozen=True):
    """How one placement comes out on the table; derived, never stored.

    `fault` says why it cannot be placed so; None if it can.  With a fault, everything else still
    shows where it would be, as well as is known, so that it can be seen and put right; only for a
    piece that is not on the rack is all of it empty.

    `poses` has one pose per body.  turn, slide, leaf and reach are the attained values; `off` names
    those that differ from the placement's choices.  `leaf_low`..`leaf_high` is the range left for
    the second body, `leaf_play` its accuracy in degrees.  `ways` are all ways that the seats leave,
    `way` the one taken.
    """

    placement: Placement
    piece: Piece | None
    fault: PlacedFault | None
    way: Way | None = None
    ways: tuple[Way, ...] = ()
    poses: tuple[Pose, ...] = ()
    turn: float = 0.0
    slide: float = 0.0
    leaf: float = 0.0
    reach: float = 0.0
    off: tuple[PoseParameter, ...] = ()
    z: float = 0.0
    solids: tuple[PlacedSolid, ...] = ()
    faces: tuple[PlacedFace, ...] = ()
    rounds: tuple[PlacedRound, ...] = ()
    tip: PlacedTip | None = None
    rests: tuple[PlacedRest, ...] = ()
    holes: tuple[Hole, ...] = ()
    leaf_low: float = 0.0
    leaf_high: float = 0.0
    leaf_hole: Hole | None = None
    leaf_play: float = 0.0
