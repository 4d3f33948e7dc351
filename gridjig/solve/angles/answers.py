"""The input and output of the angle finder: limits, answers, and the pieces they take.

Values only; lengths in mm, angles in degrees, errors and play in arc-minutes where named so.
"""

import math
from itertools import chain
from typing import Literal, get_args

from msgspec import Struct

from gridjig.model import Display, Hole, Seat
from gridjig.rack import Point
from gridjig.solve.packing.pack import AT_MOST, ONE_MORE
from gridjig.solve.tolerance import AngleClass, AngleVerdict
from gridjig.units import MILLIMETRES

from .faults import AngleFault, AskedWrong, BasesSwapped, TooManyShims
from .wanted import WantedLine

AngleWay = Literal["pins", "two sizes", "shims", "astride", "arm", "scale", "plate"]
WAYS: tuple[AngleWay, ...] = get_args(AngleWay)
PinSide = Literal["right", "left"]
SetHow = Literal["any equal pins", "by scale", "by hand", "to be cut"]
"""What an answer needs besides its pins: pins that the rack lacks, a scale to set, a chord to
measure, or a plate to cut.
"""

GRAIN = 0.01
"""Errors at the member's end are compared in steps of this many mm, a tenth of the last digit."""


NEAR_ENOUGH = 0.5
"""A gap up to this in front of a face, mm, counts as reaching it; a thin shim does the rest."""

USUAL_SHIMS = 3
"""The most shims at one pin if only the angle is asked for; more are not worth the trouble."""

SHIMS_AT_FACE = AT_MOST + ONE_MORE
"""The most shims at one pin that holds a face, as they have to fill a given gap."""

MOST_SHIMS = 8
"""Stacks of more shims than this come out thicker than their sum: grease, burrs, spatter."""


class AlongFace(Struct, frozen=True):
    """A member's face on the table, and where pins may be along it.

    Pins stand on `side` of the way from `a` to `b` (points in mm), their centres `least` to `most`
    mm from the face.  `stretches` are the lengths of it, measured from `a`, that they may stand
    beside; empty for the whole face.  The face lies at the heights `z_low` to `z_high` mm.  `width`
    is how far the member's opposite long face is behind it, mm (0: it has none), and `beyond` are
    the stretches of that face.
    """

    a: Point
    b: Point
    side: PinSide = "right"
    least: float = 0.0
    most: float = 50.0
    stretches: tuple[tuple[float, float], ...] = ()
    z_low: float = -math.inf
    z_high: float = math.inf
    width: float = 0.0
    beyond: tuple[tuple[float, float], ...] = ()

    def meets(self, low: float, high: float) -> bool:
        """True if something from `low` to `high` mm high can touch it."""
        return min(high, self.z_high) > max(low, self.z_low)

    def __post_init__(self) -> None:
        numbers = (*self.a, *self.b, self.least, self.most, *chain.from_iterable(self.stretches))
        if not all(map(math.isfinite, numbers)) or self.a == self.b:
            raise AngleFault("along", AskedWrong("face of no length"))


class AngleLimits(Struct, frozen=True, kw_only=True):
    """The limits for an answer, all lengths in mm.

    `base_from` to `base_to`: distance of the two holes, the longest more than 0.  `region`: a
    polygon that both holes must lie in (empty: the whole table).  `only_free`: neither marked nor
    `taken`.  `only_left`: only pieces still on the rack after `used`.  `leg`: the member's length
    from the corner of the angle, at whose end the error is stated; `shorter_leg` (0: the same) is
    the one for the tolerance.  `side`: where the pins are, looking along the wanted direction.  At
    most `shims_at_most` shims go under one pin (None: the usual number, which is larger along a
    face), `packing_to` thick in all (0: half a pitch; along a
    face, a pitch).  `near`: of many places the one nearest to it is named first.  `display` is how
    lengths are shown in sentences.
    """

    base_from: float = 0.0
    base_to: float = math.inf
    region: tuple[Point, ...] = ()
    along: AlongFace | None = None
    only_free: bool = True
    taken: frozenset[Hole] = frozenset()
    only_left: bool = False
    used: tuple[tuple[str, int], ...] = ()
    leg: float = 1000.0
    shorter_leg: float = 0.0
    angle_class: AngleClass | None = None
    ways: tuple[AngleWay, ...] = WAYS
    top: int = 12
    side: PinSide = "right"
    shims_at_most: int | None = None
    packing_to: float = 0.0
    near: Point | None = None
    display: Display = MILLIMETRES

    def __post_init__(self) -> None:
        if not (math.isfinite(self.leg) and self.leg > 0):
            raise AngleFault("leg", AskedWrong("no leg"))
        if not (math.isfinite(self.base_from) and self.base_from >= 0):
            raise AngleFault("base_from", AskedWrong("shortest base below 0"))
        if not self.base_to > 0:
            raise AngleFault("base_to", AskedWrong("no longest base"))
        if self.base_to < self.base_from:
            raise AngleFault("base_to", BasesSwapped(self.base_from, self.base_to))
        if not (math.isfinite(self.shorter_leg) and self.shorter_leg >= 0):
            raise AngleFault("shorter_leg", AskedWrong("no shorter leg"))
        if self.top < 1:
            raise AngleFault("top", AskedWrong("no answers"))
        if self.region and len(self.region) < 3:
            raise AngleFault("region", AskedWrong("region of two corners"))
        if not self.ways:
            raise AngleFault("ways", AskedWrong("no ways"))
        if not 0 <= self.most_shims <= MOST_SHIMS:
            raise AngleFault("shims_at_most", TooManyShims(MOST_SHIMS))
        if not (math.isfinite(self.packing_to) and self.packing_to >= 0):
            raise AngleFault("packing_to", AskedWrong("packing below 0"))

    @property
    def most_shims(self) -> int:
        """The most shims under one pin: as asked for, or else the usual number."""
        asked = self.shims_at_most
        return usual_shims(self.along is not None) if asked is None else asked

    @property
    def judged_leg(self) -> float:
        """The leg that the tolerance class applies to, mm."""
        return self.shorter_leg or self.leg


def usual_shims(along_face: bool) -> int:
    """Return the most shims under one pin if no number is asked for."""
    return SHIMS_AT_FACE if along_face else USUAL_SHIMS


class TakenPiece(Struct, frozen=True):
    """How many of a piece an answer takes from the rack; `left` is how many are there."""

    piece: str
    count: int
    left: int


class Chord(Struct, frozen=True):
    """A length to measure instead of an angle: length = 2 R sin(angle / 2).

    It is between points at `radius` from the corner on both legs of `angle` degrees.
    """

    radius: float
    angle: float
    length: float


def chord(radius: float, angle: float) -> Chord:
    """Return the chord of an angle (degrees) at a radius (mm)."""
    return Chord(radius, angle, 2.0 * radius * math.sin(math.radians(abs(angle)) / 2.0))


class CutPlate(Struct, frozen=True):
    """A plate to be cut: its corners, counter-clockwise, the first two on the edge that makes the
    angle.

    Points in mm on the table's axes, seen from above, from the centre of the first pin hole; both
    holes are `hole_diameter` wide.
    """

    corners: tuple[Point, ...]
    holes: tuple[Point, Point]
    hole_diameter: float


class AnswerPiece(Struct, frozen=True):
    """One piece of an answer, and how to place it in the answer's holes.

    `seats` are features with the index of the answer's hole that each takes.  `packing` lists the
    shims in front of its face, by piece id.
    """

    piece: str
    seats: tuple[tuple[str, int], ...]
    packing: tuple[str, ...] = ()
    turn: float = 0.0
    flipped: bool = False
    slide: float = 0.0
    leaf: float = 0.0


class AngleAnswer(Struct, frozen=True, kw_only=True):
    """One way to make the wanted angle.

    `holes` are the first of the `places` where it can be; `steps` lead from the first hole to the
    second, (across, up).  `multiples` lists the longest steps and the shorter ones of the
    same direction.  `error` is angle_deg - wanted, counter-clockwise positive, in arc-minutes and
    as mm at the end of the leg; `setting` is how exactly it can be set (a scale, a cut
    edge; 0 for pins), `play` how far the pins let it move to either side.  `line_mm` is the
    distance of the face from the centre of each hole, `shims_mm` the packing under each pin.
    With `fixed` the answer suits these holes only, as along a member's face.  `gap_mm` is then the
    largest gap to pack between its pieces and the face, and `open_mm` the gap that stays open at
    each (of a flat face not quite parallel to the work, at its open end), negative if it presses in
    by a negligible amount.  `set_how` is what it needs besides
    its pins, None for nothing.  `fouled` says whether something is in its way wherever it could
    stand; None if not checked yet.
    """

    way: AngleWay
    holes: tuple[Hole, ...]
    steps: tuple[int, int]
    angle_deg: float
    error_arcmin: float
    error_mm: float
    setting_arcmin: float
    setting_mm: float
    play_arcmin: float
    play_mm: float
    verdict: AngleVerdict
    base_mm: float
    line_mm: tuple[float, ...]
    shims_mm: tuple[float, float]
    takes: tuple[TakenPiece, ...]
    standing: tuple[AnswerPiece, ...]
    places: int
    fixed: bool = False
    multiples: tuple[tuple[int, int], ...] = ()
    chord: Chord | None = None
    plate: CutPlate | None = None
    set_how: SetHow | None = None
    gap_mm: float | None = None
    open_mm: tuple[float, ...] = ()
    fouled: bool | None = None

    @property
    def on_rack(self) -> bool:
        """True if the rack has everything the answer takes."""
        return bool(self.takes) and all(t.left >= t.count for t in self.takes)

    @property
    def reaches(self) -> bool:
        """True if the gap left at the face is no more than a thin shim fills."""
        return max(self.open_mm, default=0.0) <= NEAR_ENOUGH

    @property
    def pieces(self) -> int:
        """The number of pieces it takes."""
        return sum(t.count for t in self.takes)

    def seats(self, holes: tuple[Hole, ...] = ()) -> tuple[tuple[Seat, ...], ...]:
        """Return the seats of each piece, in the answer's holes or in those of another place."""
        at = holes or self.holes
        return tuple(tuple(Seat(f, at[i]) for f, i in s.seats) for s in self.standing)


class SearchCoverage(Struct, frozen=True):
    """What the search covers: pairs of usable holes with a base within the limits, the different
    steps among them, and the answers they give in all requested ways.
    """

    hole_pairs: int
    steps: int
    answers: int


class NoneOfWay(Struct, frozen=True):
    """There is no answer by this way: the rack lacks the pieces, or (not `holes`) no two free holes
    have a base within the limits.
    """

    way: AngleWay
    holes: bool


class NoEqualPins(Struct, frozen=True):
    """Along a face, two equal pins do not meet the class, though they are the first choice.

    `nearest_arcmin` is the error of the nearest pair of holes, None if no two pins are left, and
    `steps` how many holes apart they are, to the right and to the back.  It is outside the class
    `asked`; if that is None it is within it, but has something in its way.
    """

    nearest_arcmin: float | None
    asked: AngleClass | None
    steps: tuple[int, int] = (0, 0)


class FewAsked(Struct, frozen=True):
    """Only the first so many answers of each way were checked for what is in their way."""

    first: int


class FewBeside(Struct, frozen=True):
    """Of the pins in holes beside the face only the nearest were paired; `others` are farther."""

    nearest: int
    others: int


AngleNote = NoneOfWay | NoEqualPins | FewAsked | FewBeside


class AngleResult(Struct, frozen=True):
    """The ranked answers, the nearest for each way, and what the search covers.

    If a class was asked for, `ranked` holds what meets it, `within` says whether anything from the
    rack does, and if nothing does, `offer` is the cut plate to fall back on.  `notes` say what is
    missing.  `fouled` is how many answers that would rank among these are left out
    because something is in their way, and `why_fouled` is the first reason.
    """

    wanted: WantedLine
    limits: AngleLimits
    ranked: tuple[AngleAnswer, ...]
    nearest: tuple[AngleAnswer, ...]
    looked_at: SearchCoverage
    within: bool | None
    offer: AngleAnswer | None
    notes: tuple[AngleNote, ...] = ()
    fouled: int = 0
    why_fouled: str = ""


class Fouled(Struct, frozen=True):
    """What is in the way of an answer, in a sentence, and which of its placed pieces it blocks;
    None for the answer as a whole.
    """

    why: str
    which: int | None = None
