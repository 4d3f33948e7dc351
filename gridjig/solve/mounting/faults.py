"""Why a piece does not go onto pins in its holes, as values; lengths in mm.

`piece` and `feature` are the name of the piece and the id of its mount feature.
"""

from typing import Literal

from msgspec import Struct

from gridjig.model import Hole
from gridjig.solve.grid.hole_faults import HoleFault


class PieceFault(Struct, frozen=True):
    """What a piece as a whole does not allow."""

    piece: str
    what: Literal[
        "never turned over",
        "base in no hole",
        "no locking pin",
        "no second body",
        "outside its scale",
    ]


class FeatureFault(Struct, frozen=True):
    """A feature that the piece does not have, one with two pins where it takes one, or a shank that
    is in no hole.
    """

    piece: str
    feature: str
    what: Literal["unknown", "used twice", "in no hole"]


class HoleUsedTwice(Struct, frozen=True):
    """Two pins of one piece are in the same hole."""

    hole: Hole


class TooThickForHole(Struct, frozen=True):
    """A pin or shank of this diameter is too thick for a hole of the table."""

    kind: Literal["pin", "shank"]
    diameter: float
    hole: Hole
    bore: float


class TooThickForFeature(Struct, frozen=True):
    """A pin of this diameter is too thick for a feature of the piece."""

    diameter: float
    piece: str
    feature: str
    width: float


class HolesApart(Struct, frozen=True):
    """Two holes whose distance does not suit two features, which need `least` to `most`."""

    holes: tuple[Hole, Hole]
    distance: float
    least: float
    most: float


class HoleFromPivot(Struct, frozen=True):
    """A hole whose distance from an arm's pivot is not `least` to `most`, as the arm needs."""

    hole: Hole
    distance: float
    least: float
    most: float


class HolesDisagree(Struct, frozen=True):
    """Holes that suit the piece in pairs, but not all at once."""

    count: int


MountFault = (
    PieceFault
    | FeatureFault
    | HoleUsedTwice
    | TooThickForHole
    | TooThickForFeature
    | HolesApart
    | HoleFromPivot
    | HolesDisagree
    | HoleFault
)
