"""What each clamp presses with, and who says so."""

from typing import Literal, NamedTuple

from gridjig.model import Job, Placement
from gridjig.rack import Piece

ForceFrom = Literal["typed", "piece", "shop"]


class ClampForce(NamedTuple):
    """The force of a clamp, N: typed where it stands, or its piece's, or the shop's for any."""

    newtons: float
    of: ForceFrom


def clamp_force(job: Job, placement: Placement | None, piece: Piece | None) -> ClampForce:
    """What a placed clamp presses with, or where none is placed, what it would."""
    if placement is not None and placement.force:
        return ClampForce(placement.force, "typed")
    if piece is not None and piece.tip is not None and piece.tip.force:
        return ClampForce(piece.tip.force, "piece")
    return ClampForce(job.holding.clamp_force, "shop")
