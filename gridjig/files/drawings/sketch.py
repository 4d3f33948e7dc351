"""What a drawing file holds, before its unit is known: its curves, its layers, and the rest.

Values only.  A file reader makes a Sketch; `drawing` makes outlines from it.
"""

from collections import Counter
from collections.abc import Callable

from msgspec import Struct, field

from gridjig.files.format.faults import ReadFault
from gridjig.units import format_count

from .curves import DrawnCurve

Report = Callable[[int, int | None], None]
"""Called with how much of the work is done, and of how much in total, or None if not known yet.  It
may raise Cancelled to stop the work; `Progress.report` is one."""

UNITS: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "ft": 304.8,
}
"""The units on offer, and their lengths in mm."""

MORE_UNITS: dict[str, float] = {
    "dm": 100.0,
    "yd": 914.4,
    "µm": 0.001,
    "mil": 0.0254,
    "px": 25.4 / 96,
}
"""Other units that a file may state; px as in CSS 2.1, 96 to the inch."""

MOST = 2_000_000
"""The most entities that a file may draw one by one."""
MOST_COPIES = 200_000
"""The most further entities drawn by blocks and references: a sheet of 400 by 500 holes."""
MOST_POINTS = 1_000_000
"""The most points for all curves together: 2 s, and 200 MB with the outlines made from them."""
POINTS_EACH = 40
"""Extra points for each curve in the file itself, as a large file may need more."""
WHOLE = 1000  # a report counts thousandths
_LOOK = 1024  # steps between two reports
READ = 700  # up to this the file is read, then outlines are made


def mm_of(unit: str) -> float:
    """Return the length of a unit in mm.  Raise KeyError if it is not known."""
    return UNITS[unit] if unit in UNITS else MORE_UNITS[unit]


class Count(Struct, frozen=True):
    """How many of an entity, and its name: one text, 12 texts."""

    number: int
    one: str
    many: str

    def __str__(self) -> str:
        return f"{format_count(self.number)} {self.one if self.number == 1 else self.many}"


class Sketch(Struct, frozen=True):
    """The curves of a file in drawing units, y up.

    `unit` is None if the file states none.  `hidden` are layers that are frozen or off.
    `repaired` says in words what was wrong with the file and has been repaired.
    """

    name: str
    unit: str | None
    curves: tuple[DrawnCurve, ...]
    hidden: frozenset[str] = frozenset()
    unused: tuple[Count, ...] = ()
    repaired: tuple[str, ...] = ()


class SketchBuilder(Struct):
    """Builds a sketch while a file is read, and limits its size."""

    path_name: str
    report: Report
    curves: list[DrawnCurve] = field(default_factory=list)
    left: Counter[tuple[str, str]] = field(default_factory=Counter)
    steps: int = 0
    copies: int = 0

    def step(self, copied: bool) -> None:
        """Count one more entity drawn, by the file itself or by a block in it.

        Raise ReadFault if nested blocks make too many.
        """
        self.steps += 1
        self.copies += copied
        if self.steps % _LOOK == 0:
            self.report(READ, WHOLE)
        if self.copies > MOST_COPIES:
            why = f"its blocks draw more than {format_count(MOST_COPIES)} shapes"
            raise ReadFault(self.path_name, "", why, "import only a part of it")
        if self.steps > MOST:
            why = f"with its blocks it draws more than {format_count(MOST)} shapes"
            raise ReadFault(self.path_name, "", why, "import only a part of it")

    def leave(self, one: str, many: str, number: int = 1) -> None:
        """Count more entities that cannot be used."""
        self.left[one, many] += number

    def counts(self) -> tuple[Count, ...]:
        """Return what cannot be used, most frequent first."""
        return tuple(Count(number, *names) for names, number in self.left.most_common())
