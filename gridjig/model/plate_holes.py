"""The holes of a plate: drilled, slotted, or cut out to a shape of their own.

Values only, in the frame of the plate.  A drilled hole keeps its diameter and a slot its width, so
that lists can name the drill and nothing is measured from a polygon.
"""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.units.limits import CORNERS, Across, Size, require_within

PlatePoint = tuple[Across, Across]


class Drilled(Struct, frozen=True, forbid_unknown_fields=True, tag="hole"):
    """A round hole through a plate: its centre and its diameter, mm."""

    at: PlatePoint
    diameter: Size

    def __post_init__(self) -> None:
        require_within(self)


class Slotted(Struct, frozen=True, forbid_unknown_fields=True, tag="slot"):
    """A straight slot with round ends: `a` and `b` are the centres of its ends, mm."""

    a: PlatePoint
    b: PlatePoint
    width: Size

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b:
            raise ValueError("a slot needs two different ends; make a round hole of it instead")


class CutOut(Struct, frozen=True, forbid_unknown_fields=True, tag="opening"):
    """An opening of any other shape: its corners, not closed, mm."""

    corners: Annotated[tuple[PlatePoint, ...], CORNERS]

    def __post_init__(self) -> None:
        require_within(self)
        if len(self.corners) < 3:
            raise ValueError("an opening in a plate needs at least three corners")


PlateHole = Drilled | Slotted | CutOut
"""A hole that goes right through a plate."""

HOLES = Meta(max_length=5_000)
"""Holes of one plate: a perforated sheet of 1 m by 0.5 m has about that many."""
