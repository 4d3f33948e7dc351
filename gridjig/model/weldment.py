"""What a person chose about the weldment as a whole: welds at its joints, and its datum faces.

Joints themselves are found, never stored: a weld names the two parts and which of their joints.
"""

from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct

from gridjig.rack.piece import Ident
from gridjig.units.limits import Extent, require_within

WeldKind = Literal["fillet", "butt", "flare bevel", "corner", "plug", "none"]


class FaceOf(NamedTuple):
    """A face of a part: the part's id, and the number of the corner where that side begins."""

    part: Ident
    side: Annotated[int, Meta(ge=0, le=1_000_000)]


class Weld(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What was chosen for one joint: the `nth` joint, counted from 0, between parts `a` and `b`.

    `kind` None takes what suits the joint; "none" leaves it without a weld.  `leg` is the size in
    mm, 0 if none is given.  An empty `name` takes the joint's own.
    """

    a: Ident
    b: Ident
    nth: Annotated[int, Meta(ge=0, le=1_000_000)] = 0
    name: Annotated[str, Meta(max_length=40)] = ""
    kind: WeldKind | None = None
    leg: Extent = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b:
            raise ValueError(f"a weld joins two parts, not {self.a} with itself")


class Datum(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The faces that places are taken from: `long` (A) and `end` (B); the table top is C.

    None takes the face that is proposed.
    """

    long: FaceOf | None = None
    end: FaceOf | None = None
