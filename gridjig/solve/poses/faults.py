"""Why a piece cannot be put or set as asked about a hole, as values; mm and degrees."""

from typing import Literal

from msgspec import Struct

from gridjig.model import Hole, HoleState
from gridjig.solve.placed.faults import PlacedFault

WhyUnusable = Literal["off the table", "taken"] | HoleState
"""Why a hole is left out: it does not exist, another piece is in it, or how it is marked."""


class HoleTaken(Struct, frozen=True):
    """Another piece is in the hole."""

    hole: Hole


class NoSecondHole(Struct, frozen=True):
    """No partner hole can be used: those that would fit, nearest first, and why each cannot be.

    `others` leaves out holes off the table, so that it is empty if all would be off the table.
    """

    piece: str
    hole: Hole
    others: tuple[tuple[Hole, WhyUnusable], ...]


class PoseFault(Struct, frozen=True):
    """What the piece of that name cannot do: be mounted here, or be set as asked."""

    piece: str
    what: Literal[
        "nothing to mount by",
        "no hole at its pitch",
        "cannot turn here",
        "no other hole",
        "does not slide",
        "no arm",
        "no lock hole",
    ]


class NearestOnly(Struct, frozen=True):
    """What is wanted is not possible, and what is nearest to it: degrees or mm, as `unit` says."""

    unit: Literal["deg", "mm"]
    wanted: float
    nearest: float


PlacingFault = PlacedFault | HoleTaken | NoSecondHole | PoseFault | NearestOnly
"""Every reason why a piece is not placed, or not set, as asked."""
