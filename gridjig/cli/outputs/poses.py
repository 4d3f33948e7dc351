"""What `gridjig poses --json` prints."""

from gridjig.solve.mounting.ways import Freedom

from .base import Output, Pair
from .seat import SeatedFeature


class PiecePose(Output, frozen=True):
    """One pose of a piece, or a range of poses: turn and slide from low to high, and the play."""

    holes: tuple[SeatedFeature, ...]
    flipped: bool
    kind: Freedom
    turn_deg: Pair
    slide_mm: Pair
    play_mm: float
    play_deg: float
    leaf_deg: Pair | None


class PosesOutput(Output, frozen=True):
    """Every pose of a piece in given holes; `why` says why there is none."""

    piece: str
    rack: str
    table: str
    pin_mm: float
    why: str
    poses: tuple[PiecePose, ...]
