"""Whether a torch gets to the seams, as plain values: mm, degrees, table coordinates."""

from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.rack import Point
from gridjig.solve.weldment.all_round import SideName

AccessState = Literal["free", "tight", "blocked", "turned over", "closed in"]
Point3 = tuple[float, float, float]

TABLE = "table"
"""What is in the way where the table is: not the id of anything."""


class SideAccess(Struct, frozen=True):
    """How a torch gets to one side of a seam where there is least room for it.

    `name` is that of the side, numbered where there are two of a kind.  `room` is the radius of the
    free cone at the length of the torch, mm, with its tip at `at`; `towards` is the unit vector
    from there to the torch.  `blocker` is the id of what leaves no more room, or TABLE.
    "closed in": parts stand all round it.  "turned over": only the table is in the way.  `angle` is
    the open angle between the faces; `welded` if the side is to be welded.
    """

    name: str
    kind: SideName
    state: AccessState
    room: float
    at: Point3
    towards: Point3
    blocker: str
    angle: float
    welded: bool


class NearWeld(NamedTuple):
    """A piece beside a weld: how far its steel is from the seam, mm, and where on the seam."""

    piece: str
    distance: float
    at: Point


class JointAccess(Struct, frozen=True):
    """The sides of one joint, and the pieces nearest to what is welded there, nearest first.

    `bead` is the size of its weld, mm; that of the smallest usual fillet if none is given.
    """

    id: str
    name: str
    a: str
    b: str
    nth: int
    place: Point
    sides: tuple[SideAccess, ...]
    near: tuple[NearWeld, ...]
    bead: float


class AccessReport(Struct, frozen=True, eq=False):
    """Every joint of a job, in part order."""

    joints: tuple[JointAccess, ...]
