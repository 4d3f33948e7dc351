"""What a contact is: plain values in table millimetres, degrees and unit vectors."""

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.geometry.part_solids import PartFace
from gridjig.rack import Point

from .overlap import Overlap

TOUCH = 0.05
"""Two faces touch if they are no farther apart than this, in mm: half the last digit shown."""

FACING = 150.0
"""How far in front of a feature the nearest face is looked for, mm, if nothing else is asked."""

Vector = tuple[float, float, float]

Kind = Literal[
    "face on face",
    "face on corner",
    "corner on face",
    "round on face",
    "round on corner",
    "V on face",
    "V on corner",
    "rest under",
    "pad on top",
    "pad on face",
    "pad on corner",
]
Means = Literal["touches", "gap", "overlap", "radius", "out of reach"]


class Contact(Struct, frozen=True):
    """A working feature of a placed piece and the face of a part that it touches or looks at.

    `gap` is the signed distance, of a face along its own normal (what packing would fill), of a
    round from its middle: below 0 the feature is in the part.  `tilt` is by how much the gap
    differs between both ends of the common length.  `z_low`..`z_high` are the heights at which they
    meet, `points` both ends of the common length (or the one point).  `normal` looks out of the
    part; a locator pushes against it.

    `means`: "touches" (no farther apart than TOUCH, on the flat of the section), "radius" (as near,
    but only on a rounded edge), "gap", "overlap" (they conflict), "out of reach" (a clamp's tip
    cannot be set so high or so low).
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
    def middle(self) -> Point:
        """The middle of where they meet, in plan."""
        count = len(self.points)
        return (sum(p[0] for p in self.points) / count, sum(p[1] for p in self.points) / count)


class PartContact(Struct, frozen=True):
    """Two parts of the weldment that meet: `a` stands before `b` in the job.

    "face on face" over a common length, "on top" where one lies on the other (its length is the
    outline of what they share), "corner" where they meet only along a line.  `normal` looks out of
    `a`, and is None at a corner of many faces.  `joint` is the joint's id.
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
    """What takes the push of a clamp, and how far from its line: mm, 0 straight behind it.

    `what` is the table, the rest of a piece, a piece that locates, or a part that lies there.
    """

    what: Literal["table", "rest", "locator", "part"]
    id: str
    distance: float


class Clamped(NamedTuple):
    """What a clamp presses on: a part, where on it, and over what support, the nearest first."""

    part: str
    at: Point
    z: float
    supports: tuple[Support, ...]


RoleName = Literal["locates", "carries", "clamps", "blocks nothing", "idle", "cannot stand"]


class Role(Struct, frozen=True):
    """What a placed piece does.

    "locates": a face or round of it touches the work; "carries": a rest does; "clamps": its tip
    does.  "blocks nothing": work lies before it, but it does not reach it.  "idle": nothing lies
    before any feature of it.  "cannot stand": its pins do not go in, so that it is nowhere.
    `parts` are the parts that it does this to, or that it does not reach.
    """

    what: RoleName
    parts: tuple[str, ...] = ()
    clamped: Clamped | None = None


class PieceContacts(Struct, frozen=True, eq=False):
    """All contacts of one placed piece, and the parts that it lies in."""

    piece: str
    contacts: tuple[Contact, ...] = ()
    overlaps: tuple[Overlap, ...] = ()

    @property
    def touching(self) -> tuple[Contact, ...]:
        """Those that touch."""
        return tuple(c for c in self.contacts if c.means == "touches")


class JobContacts(Struct, frozen=True, eq=False):
    """What touches what in a whole job.

    `pieces` and `roles` go by the id of the placement, in the order of the job.  `part_overlaps`
    are parts that lie in one another where they should be trimmed, coped or notched.  `within` is
    how far in front of a feature was looked, mm.
    """

    pieces: Mapping[str, PieceContacts]
    roles: Mapping[str, Role]
    parts: tuple[PartContact, ...]
    part_overlaps: tuple[Overlap, ...]
    within: float = FACING

    def every(self) -> Iterator[Contact]:
        """All contacts of all pieces, in the order of the job."""
        for one in self.pieces.values():
            yield from one.contacts

    def touching(self) -> Iterator[Contact]:
        """Those that touch."""
        return (c for c in self.every() if c.means == "touches")

    def of_part(self, part: str) -> tuple[Contact, ...]:
        """All contacts with a part."""
        return tuple(c for c in self.every() if c.part == part)

    def overlaps(self) -> Iterator[Overlap]:
        """All that lie in one another: pieces in parts, then parts in parts."""
        for one in self.pieces.values():
            yield from one.overlaps
        yield from self.part_overlaps

    def idle(self) -> tuple[str, ...]:
        """The pieces that do nothing: idle, or blocking nothing."""
        return tuple(k for k, r in self.roles.items() if r.what in ("idle", "blocks nothing"))
