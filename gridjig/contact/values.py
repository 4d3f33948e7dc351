"""Contacts as plain values: table coordinates in mm, degrees, unit vectors."""

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.geometry.part_solids import PartFace
from gridjig.rack import Point

from .overlap import Overlap

TOUCH = 0.05
"""Two faces touch if they are at most this far apart, mm: half of the last digit shown."""

FACING = 150.0
"""The default distance to search in front of a feature for the nearest face, mm."""

Vector = tuple[float, float, float]

Kind = Literal[
    "face on face",
    "face on corner",
    "corner on face",
    "round on face",
    "round on corner",
    "round in hole",
    "V on face",
    "V on corner",
    "rest under",
    "pad on top",
    "pad on face",
    "pad on corner",
]
LOCATING: frozenset[Kind] = frozenset(
    (
        "face on face",
        "face on corner",
        "corner on face",
        "round on face",
        "round on corner",
        "round in hole",
        "V on face",
        "V on corner",
    )
)
"""The kinds of contact that locate in plan; pads press, and rests carry."""

Means = Literal["touches", "gap", "overlap", "radius", "out of reach"]


class Contact(Struct, frozen=True):
    """A working feature of a placed piece and the face of a part that it touches or faces.

    `gap` is the signed distance, for a face along its normal (what packing would fill), for a round
    along the line from its centre; if negative, the feature is in the part.  `tilt` is the
    difference of the gap between the ends of the common length.  `z_low`..`z_high` are the heights
    at which they meet; `points` are the ends of the common length (or the one point).  `normal`
    points out of the part; a locator pushes against it.

    `means`: "touches" (at most TOUCH apart, on the flat of the section), "radius" (as close, but
    only on a rounded edge), "gap", "overlap" (they conflict), "out of reach" (a clamp's tip cannot
    be set that high or low).
    """

    piece: str
    feature: str
    part: str
    face: PartFace
    kind: Kind
    means: Means
    gap: float
    tilt: float
    length: float
    z_low: float
    z_high: float
    points: tuple[Point, ...]
    normal: Vector

    @property
    def touches(self) -> bool:
        """True if it holds there."""
        return self.means == "touches"

    @property
    def locates(self) -> bool:
        """True if it is of a kind that locates in plan, whether or not it touches."""
        return self.kind in LOCATING

    @property
    def middle(self) -> Point:
        """The middle of the contact in plan, mm."""
        count = len(self.points)
        return (sum(p[0] for p in self.points) / count, sum(p[1] for p in self.points) / count)


class PartContact(Struct, frozen=True):
    """Two parts of the weldment that meet; `a` comes before `b` in the job.

    "face on face": over a common length; "on top": one lies on the other (`length` is the perimeter
    of what they share); "corner": they meet only along a line.  `normal` points out of `a`, and is
    None at a corner of many faces.  `joint` is the joint's id.
    """

    a: str
    b: str
    kind: Literal["face on face", "on top", "corner"]
    face_a: PartFace | None
    face_b: PartFace | None
    gap: float
    length: float
    z_low: float
    z_high: float
    points: tuple[Point, ...]
    normal: Vector | None
    joint: str


class Support(NamedTuple):
    """What resists the push of a clamp, and its distance from the line of the push, mm.

    The distance is 0 straight behind it.  `what` is the table, the rest of a piece, a locating
    piece, or another part.
    """

    what: Literal["table", "rest", "locator", "part"]
    id: str
    distance: float


class Clamped(NamedTuple):
    """What a clamp presses: the part, the point on it, and the supports, nearest first."""

    part: str
    at: Point
    z: float
    supports: tuple[Support, ...]


RoleName = Literal[
    "locates", "stands off", "carries", "clamps", "blocks nothing", "idle", "cannot stand"
]


class Role(Struct, frozen=True):
    """What a placed piece does.

    "locates": one of its faces or rounds touches the work; "carries": a rest does; "clamps": its
    tip does.  "stands off": nothing touches, but the gap to the work is one that the shop accepts;
    it locates across that gap.  "blocks nothing": it faces the work but does not reach it.
    "idle": there is nothing in front of any of its features.  "cannot stand": its pins do not go
    in.  `parts` are the parts that it does this to, or that it does not reach.
    """

    what: RoleName
    parts: tuple[str, ...] = ()
    clamped: Clamped | None = None


class PieceContacts(Struct, frozen=True, eq=False):
    """All contacts of one placed piece, and the parts it overlaps."""

    piece: str
    contacts: tuple[Contact, ...] = ()
    overlaps: tuple[Overlap, ...] = ()

    @property
    def touching(self) -> tuple[Contact, ...]:
        """The contacts that touch."""
        return tuple(c for c in self.contacts if c.means == "touches")


class JobContacts(Struct, frozen=True, eq=False):
    """What touches what in a whole job.

    `pieces` and `roles` are by placement id, in job order.  `part_overlaps` are parts that overlap
    where they should be trimmed, coped or notched.  `within` is how far in front of each feature
    was searched, mm.
    """

    pieces: Mapping[str, PieceContacts]
    roles: Mapping[str, Role]
    parts: tuple[PartContact, ...]
    part_overlaps: tuple[Overlap, ...]
    within: float = FACING

    def every(self) -> Iterator[Contact]:
        """All contacts of all pieces, in job order."""
        for one in self.pieces.values():
            yield from one.contacts

    def touching(self) -> Iterator[Contact]:
        """The contacts that touch."""
        return (c for c in self.every() if c.means == "touches")

    def of_part(self, part: str) -> tuple[Contact, ...]:
        """All contacts with a part."""
        return tuple(c for c in self.every() if c.part == part)

    def overlaps(self) -> Iterator[Overlap]:
        """All overlaps: pieces with parts, then parts with parts."""
        for one in self.pieces.values():
            yield from one.overlaps
        yield from self.part_overlaps

    def idle(self) -> tuple[str, ...]:
        """The ids of pieces that do nothing: "idle" or "blocks nothing"."""
        return tuple(k for k, r in self.roles.items() if r.what in ("idle", "blocks nothing"))
