"""The weldments of a job and what was chosen for each: welds at its joints, datum faces, hand.

Joints are found, never stored: a weld names two parts and which of their joints it is for.
"""

from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct

from gridjig.rack.piece import Ident
from gridjig.units.limits import PARTS, Extent, require_within

FIRST = "weldment-1"
"""The weldment of a part that names none: the one every new job starts with."""

WeldKind = Literal["fillet", "butt", "flare bevel", "corner", "plug", "none"]
WeldedSides = Literal[
    "all round", "top", "uprights", "underside", "top and uprights", "top and underside"
]


class FaceOf(NamedTuple):
    """A face of a part: the part's id, and the number of the corner where the side begins."""

    part: Ident
    side: Annotated[int, Meta(ge=0, le=1_000_000)]


class Weld(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The weld chosen for one joint: the `nth`, counted from 0, between parts `a` and `b`.

    `kind` None means the suggested weld; "none" leaves the joint unwelded.  The size in mm is
    either `leg` or, for a fillet or corner weld, its `throat`; both are 0 if no size is given.  Of
    other kinds, `leg` is the depth of the weld, or the diameter of a plug.  `sides` are the sides
    of the seam that are welded.  An empty `name` means the joint's own name.
    """

    a: Ident
    b: Ident
    nth: Annotated[int, Meta(ge=0, le=1_000_000)] = 0
    name: Annotated[str, Meta(max_length=40)] = ""
    kind: WeldKind | None = None
    leg: Extent = 0.0
    throat: Extent = 0.0
    sides: WeldedSides = "all round"

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b:
            raise ValueError(f"a weld joins two parts, not {self.a} to itself")
        if self.leg and self.throat:
            raise ValueError("a weld is sized by its leg or by its throat, not by both")


class Datum(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The faces that positions are taken from: `long` (A) and `end` (B); the table top is C.

    None means the proposed face.
    """

    long: FaceOf | None = None
    end: FaceOf | None = None


class Weldment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One of the things that the job builds: its parts name it by its `id`.

    `quantity` is how many of it the job makes, one after another in this set-up.  `opposite_of` is
    the weldment whose opposite hand it is; None means as drawn.  `loading` are the parts in the
    order in which they go into the jig; parts that it does not name come after them, as proposed.
    An empty `name` means that it is called by its number, or only "the weldment" where there is no
    other.
    """

    id: Ident
    name: Annotated[str, Meta(max_length=120)] = ""
    drawing: Annotated[str, Meta(max_length=120)] = ""
    note: Annotated[str, Meta(max_length=4000)] = ""
    quantity: Annotated[int, Meta(ge=1, le=100_000)] = 1
    opposite_of: Ident | None = None
    datum: Datum = Datum()
    loading: Annotated[tuple[Ident, ...], PARTS] = ()

    def __post_init__(self) -> None:
        require_within(self)
        if self.opposite_of == self.id:
            raise ValueError(f"weldment {self.name or self.id} is the opposite hand of itself")
        if len(set(self.loading)) != len(self.loading):
            raise ValueError(
                f"weldment {self.name or self.id}: its order of loading names a part twice"
            )
