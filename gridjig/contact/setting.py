"""A setting of a piece that makes it touch: the result that the touch solvers share."""

from typing import Literal

from msgspec import Struct

from gridjig.model import Job, Placement
from gridjig.solve.mounting.track import apart
from gridjig.solve.packing.pack import Packing
from gridjig.solve.placed.placed_piece import PlacedPiece, PoseParameter
from gridjig.solve.placed.solver import solve_placement

from .faults import TouchReason
from .values import TOUCH, Contact

Change = PoseParameter | Literal["packing"]


class Touching(Struct, frozen=True):
    """One way to bring a piece to a face.

    `placement` is the piece with the new setting; `changes` are the choices that differ.  `gap` is
    what is left between it and the face in mm, packing included; negative if it overlaps the work.
    `contact` is how it then meets the face.  `why` is None if it touches, else why it does not.
    """

    placement: Placement
    changes: tuple[Change, ...]
    packing: Packing
    gap: float
    contact: Contact | None
    why: TouchReason | None

    @property
    def touches(self) -> bool:
        """True if it touches."""
        return self.why is None

    @property
    def stands(self) -> bool:
        """True if it does not overlap the work: it touches, or leaves a gap."""
        return self.contact is not None and self.gap >= -TOUCH


def placed(job: Job, placement: Placement) -> PlacedPiece:
    """The placement solved on the job's table."""
    return solve_placement(job.table, job.rack, placement)


def changed(before: Placement, after: Placement) -> tuple[Change, ...]:
    """The choices that differ between two settings of a piece."""
    made: list[Change] = []
    if apart(before.turn, after.turn) > 1e-6:
        made.append("turn")
    numbers: tuple[PoseParameter, ...] = ("slide", "leaf", "reach")
    made += [k for k in numbers if abs(getattr(before, k) - getattr(after, k)) > 1e-6]
    if sorted(before.packing) != sorted(after.packing):
        made.append("packing")
    return tuple(made)
