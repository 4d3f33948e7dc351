"""Why a piece does not touch the face that it is brought to, as values; lengths in mm."""

from typing import Literal

from msgspec import Struct

from gridjig.solve.placed.faults import PlacedFault


class NothingTouches(Struct, frozen=True):
    """The piece of that name has nothing that could touch the work."""

    piece: str


class MissesFace(Struct, frozen=True):
    """How a piece misses a face of the part with that id.

    `by` is the gap that stays open, how deep the two overlap, or how far the part's top is out of
    reach; 0 for the rest.
    """

    part: str
    what: Literal[
        "passes beside",
        "overlaps",
        "gap not filled",
        "gap without packing",
        "corner only",
        "rounded edge only",
        "points past",
        "tip short",
        "edge only",
        "pad on another",
        "top below reach",
        "top above reach",
    ]
    by: float = 0.0


TouchReason = PlacedFault | NothingTouches | MissesFace
