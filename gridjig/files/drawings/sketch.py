"""What a drawing's file holds, before a unit is known: its curves, layers, and what is no curve.

Values only.  A reader of files makes a Sketch; `drawing` makes outlines of it.
"""

from collections import Counter
from collections.abc import Callable

from msgspec import Struct, field

from gridjig.files.format.faults import ReadFault
from gridjig.units import format_count

from .curves import DrawnCurve

Report = Callable[[int, int | None], None]
"""Told of the work: how much is done of how much in all, None where that is not known yet.  It may
raise Cancelled to end the work; `Progress.report` is one."""

UNITS: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "ft": 304.8,
}
"""Units that are offered, and how many mm each has."""

MORE_UNITS: dict[str, float] = {
    "dm": 100.0,
    "yd": 914.4,
    "µm": 0.001,
    "mil": 0.0254,
    "px": 25.4 / 96,
}
"""Units that a file may state as well; px as CSS 2.1 has it, 96 to the inch."""

MOST = 2_000_000
"""Things that a file draws one by one."""
MOST_COPIES = 200_000
"""Things that blocks and references draw besides: a perforated sheet of 400 by 500 holes."""
MOST_POINTS = 1_000_000
"""Points that all curves together may need: 2 s, and 200 MB with the outlines made of them."""
POINTS_EACH = 40
"""Points besides for each curve that stands in the file itself: a large file may need more."""
WHOLE = 1000  # a report counts thousandths
_LOOK = 4096  # steps between two reports
READ = 700  # up to here the file is read, then outlines are made


def mm_of(unit: str) -> float:
    """How many mm a unit has.  KeyError for one that is not known."""
    return UNITS[unit] if unit in UNITS else MORE_UNITS[unit]


class Count(Struct, frozen=True):
    """How many of a thing, and what it is called: one text, 12 texts."""

    number: int
    one: str
    many: str

    def __str__(self) -> str:
        return f"{format_count(self.number)} {self.one if self.number == 1 else self.many}"


class Sketch(Struct, frozen=True):
    """The curves of a file in drawing units, y up.

    `unit` is None where the file states none.  `hidden` are layers that are frozen or off.
    `repaired` says in words what was wrong with the file and set right.
    """

    name: str
    unit: str | None
    curves: tuple[DrawnCurve, ...]
    hidden: frozenset[str] = frozenset()
    unused: tuple[Count, ...] = ()
    repaired: tuple[str, ...] = ()


class SketchBuilder(Struct):
    """Collects a sketch while a file is read, and keeps its size in bounds."""

    path_name: str
    report: Report
    curves: list[DrawnCurve] = field(default_factory=list)
    left: Counter[tuple[str, str]] = field(default_factory=Counter)
    steps: int = 0
    copies: int = 0

    def step(self, copied: bool) -> None:
        """Count one more thing drawn, by the file itself or by a block in it.

        Raises ReadFault where blocks in blocks make too many.
        """
        self.steps += 1
        self.copies += copied
        if self.steps % _LOOK == 0:
            self.report(READ, WHOLE)
        if self.copies > MOST_COPIES:
            why = f"its blocks draw more than {format_count(MOST_COPIES)} things"
            raise ReadFault(self.path_name, "", why, "bring in a part of it")
        if self.steps > MOST:
            why = f"with its blocks it draws more than {format_count(MOST)} things"
            raise ReadFault(self.path_name, "", why, "bring in a part of it")

    def leave(self, one: str, many: str, number: int = 1) -> None:
        """Count more things that cannot be used."""
        self.left[one, many] += number

    def counts(self) -> tuple[Count, ...]:
        """What cannot be used, most first."""
        return tuple(Count(number, *names) for names, number in self.left.most_common())
