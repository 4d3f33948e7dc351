"""Why a question about an angle cannot be answered as asked, as values; lengths in mm."""

from typing import Literal

from msgspec import Struct

from gridjig.model import Hole
from gridjig.units import ParseError


class AskedWrong(Struct, frozen=True):
    """An entry that is missing, or cannot have this value whatever the table."""

    what: Literal[
        "no leg",
        "no shorter leg",
        "shortest base below 0",
        "no longest base",
        "no answers",
        "no ways",
        "no rise and run",
        "region of two corners",
        "face of no length",
        "no face chosen",
        "nothing selected",
        "not a straight face",
        "packing below 0",
        "pin below 0",
        "pins overlap",
        "hole off the table",
        "chart step",
        "no base within",
    ]


class BasesSwapped(Struct, frozen=True):
    """The longest base is shorter than the shortest."""

    shortest: float
    longest: float


class BaseBeyondTable(Struct, frozen=True):
    """The shortest base is longer than the distance of the farthest holes."""

    shortest: float
    farthest: float


class TooManyShims(Struct, frozen=True):
    """More shims at one pin than `most`."""

    most: int


class TooFewHoles(Struct, frozen=True):
    """Fewer than two holes are free, on the whole table or only where they may be."""

    holes: int
    on_table: bool


class SameHole(Struct, frozen=True):
    """An angle needs two holes, and both are this one."""

    hole: Hole


class JointsTakeFace(Struct, frozen=True):
    """Kept this far off its joints, nothing of a face is left."""

    clear: float


AngleReason = (
    AskedWrong
    | BasesSwapped
    | BaseBeyondTable
    | TooManyShims
    | TooFewHoles
    | SameHole
    | JointsTakeFace
    | ParseError
)


class AngleFault(Exception):  # noqa: N818  (a fault of the question, not of the program)
    """A question that cannot be answered as asked: `field` names the entry to change, `reason` says
    why; `words/angle_fault_text.py` puts it into words.

    No ValueError, whose text is shown as it is.
    """

    def __init__(self, field: str, reason: AngleReason) -> None:
        super().__init__(field, reason)
        self.field, self.reason = field, reason
