"""What the shop saws bars from: the lengths that are bought and on hand, the kerf, the trim."""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.units.limits import Extent, Size, require_within

MOST_BARS = 100
"""The most different lengths that a job can list."""
SectionName = Annotated[str, Meta(max_length=120)]


class StockBar(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Bars of one length, mm: of one section, or of any if `section` is empty.

    `have` is how many are on hand; None if they are bought as needed.
    """

    length: Size
    section: SectionName = ""
    have: Annotated[int, Meta(ge=1, le=100_000)] | None = None

    def __post_init__(self) -> None:
        require_within(self)


class Sawing(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The bars, what a cut takes away, and what is cut off the end of every bar first; mm.

    Without bars the usual length is bought: 20 ft, or 6 m if the job is in millimetres.  Without a
    kerf, it is the usual one: 1/8 in or 3 mm.
    """

    bars: Annotated[tuple[StockBar, ...], Meta(max_length=MOST_BARS)] = ()
    kerf: Extent | None = None
    trim: Extent = 0.0

    def __post_init__(self) -> None:
        require_within(self)
