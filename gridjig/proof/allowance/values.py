"""What is allowed for, as a layer of plain values beside the drawing; mm."""

from typing import Literal

from msgspec import Struct

from gridjig.rack import Point


class Layer(Struct, frozen=True):
    """One measure in three states: as drawn, as set in the jig, and as expected after welding.

    "joint": how far the two parts stand apart.  "part": its length.  "overall" and "critical": a
    measure of the weldment.  `id` is that of the joint, part or weldment.  `low` and `high` are
    expected after welding.  `limit` is the tolerance of the class of the job, +- mm; 0 for a joint.
    """

    what: Literal["joint", "part", "overall", "critical"]
    id: str
    ids: tuple[str, ...]
    nominal: float
    jig: float
    low: float
    high: float
    limit: float
    a: Point
    b: Point


class StopMove(Struct, frozen=True):
    """A stop that does not stand where the allowance wants its face: `by` mm further out, or in.

    `wanted` is how far its face should stand from that of the drawn part, `stands` how far it does;
    both positive away from the part.
    """

    piece: str
    part: str
    where: Point
    wanted: float
    stands: float

    @property
    def by(self) -> float:
        """How far it should move away from the part, mm; negative towards it."""
        return self.wanted - self.stands


class AllowanceReport(Struct, frozen=True, eq=False):
    """All measures with what is allowed for; `any` if the job allows for anything."""

    any: bool
    layers: tuple[Layer, ...]
    stops: tuple[StopMove, ...]
