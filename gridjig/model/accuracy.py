"""How exactly the shop sets up, and the tolerance class that the work must keep."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from gridjig.rack.piece import Ident
from gridjig.units.limits import Extent, Length, require_within

LinearClass = Literal["A", "B", "C", "D"]
StraightClass = Literal["E", "F", "G", "H"]


class ChosenPoint(Struct, frozen=True, forbid_unknown_fields=True):
    """A point of a part that matters, such as a bolt hole: (x, y) in the part's own frame, mm."""

    part: Ident
    x: Length
    y: Length
    name: Annotated[str, Meta(max_length=120)] = ""

    def __post_init__(self) -> None:
        require_within(self)


class Accuracy(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The tolerance class of a job, the shop's own accuracy, and the points that matter.

    `linear` is the class of ISO 13920 for lengths and angles, `straight` that for straightness.
    The rest are limits of error in mm, +- each: a locating face from where it should be, each shim
    of a pack, a length set by tape along a slot, how closely two parts meet.  They are the shop's
    to measure; what they start with is common practice.  `hole` counts where the table gives no
    hole position tolerance.
    """

    linear: LinearClass = "B"
    straight: StraightClass = "F"
    face: Extent = 0.02
    shim: Extent = 0.02
    setting: Extent = 0.4
    fit: Extent = 0.05
    hole: Extent = 0.1
    points: Annotated[tuple[ChosenPoint, ...], Meta(max_length=1_000)] = ()

    def __post_init__(self) -> None:
        require_within(self)
