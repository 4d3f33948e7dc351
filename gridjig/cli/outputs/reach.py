"""What `gridjig reach --json` prints, with a hole or with `--face`."""

from .base import Output, Pair
from .seat import SeatedFeature


class ReachSetting(Output, frozen=True):
    """One setting about the hole: what holds it, and the range of its face and of its turn."""

    holes: tuple[SeatedFeature, ...]
    face_deg: Pair
    turn_deg: Pair
    flipped: bool
    play_deg: float
    scale: bool


class LeftOutHole(Output, frozen=True):
    """A hole that would serve but cannot be used; `hole` is null off the table."""

    hole: str | None
    steps: tuple[int, int]
    why: str


class ReachOutput(Output, frozen=True):
    """With a hole: every setting of the piece about it, and the area that its faces cover."""

    piece: str
    rack: str
    table: str
    hole: str
    angles: tuple[ReachSetting, ...]
    area_mm2: float
    area_box_mm: tuple[float, float, float, float] | None
    left_out: tuple[LeftOutHole, ...]


class ReachPlace(Output, frozen=True):
    """One set of holes in which the face lies at the wanted angle."""

    holes: tuple[SeatedFeature, ...]
    flipped: bool
    turn_deg: float
    slide_mm: float
    leaf_deg: float
    error_deg: float
    off_mm: float
    play_deg: float
    scale: bool


class ReachFaceOutput(Output, frozen=True):
    """With `--face`: every place of the piece on the table in which its face lies at that angle."""

    piece: str
    rack: str
    table: str
    face_deg: float
    through_mm: tuple[float, float] | None
    settings: int
    sets_tried: int
    places_in_all: int
    places: tuple[ReachPlace, ...]
