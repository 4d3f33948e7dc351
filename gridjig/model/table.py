"""The hole-grid table: a plate, its holes, their condition, and how its addresses are painted."""

import math
from copy import copy
from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct, structs

from gridjig.rack import Point
from gridjig.rack.piece import Name
from gridjig.units import INCH
from gridjig.units.limits import Density, Extent, Pitch, Size, require_within

MOST = 1000
"""The most columns, and the most rows, of a table: a million holes."""
BEFORE, BEHIND = -MOST, 2 * MOST
"""How far off the table a piece can be: one largest table to either side of a largest table."""


class Hole(NamedTuple):
    """A hole by column and row, counted from 0 at the table's front left; never by its address."""

    col: Annotated[int, Meta(ge=BEFORE, le=BEHIND)]
    row: Annotated[int, Meta(ge=BEFORE, le=BEHIND)]


HoleState = Literal["blocked", "shallow", "oversize", "damaged", "reserved"]
SIZED: tuple[HoleState, ...] = ("shallow", "oversize")
"""States that need a size: how deep, how wide."""
MarkedState = HoleState | Literal["free"]
"""What a hole can be set to; `free` removes its mark."""

LabelStyle = Literal["letters", "numbers"]
Corner = Literal["front left", "front right", "back left", "back right"]
TableSide = Literal["front", "right", "back", "left"]


class HoleMark(Struct, frozen=True, forbid_unknown_fields=True):
    """What is wrong with one hole.

    `size` is the depth of a shallow hole or the diameter of an oversize one, in mm; 0 if the state
    needs none.  A hole without a mark is free and good.
    """

    hole: Hole
    state: HoleState
    size: Extent = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        if self.state in SIZED and self.size <= 0:
            raise ValueError(f"a {self.state} hole needs a size greater than 0")

    @property
    def closed(self) -> bool:
        """True if it takes no pin; a hole in any other state does."""
        return self.state in ("blocked", "damaged")


class LabelScheme(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How addresses are painted on the table.  Changing it changes no hole.

    `along_x` and `along_y` are what is painted along each axis; counting starts in the corner
    `zero`.  `first` is the axis written first.  `skip_i_o` leaves out the letters I and O.
    `operator` is the side where the operator stands.
    """

    along_x: LabelStyle = "letters"
    along_y: LabelStyle = "numbers"
    zero: Corner = "front left"
    first: Literal["x", "y"] = "x"
    skip_i_o: bool = False
    start: Annotated[int, Meta(ge=0, le=1)] = 1
    operator: TableSide = "front"


class Table(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A plate with a square or rectangular grid of round holes; lengths in mm, density in kg/m3.

    x runs to the right and y to the back; the plate's front left corner is (0, 0).
    `hole_tolerance` is how far a hole may be from its true position, in any direction.
    """

    name: Name
    width: Size
    depth: Size
    thickness: Size
    pitch_x: Pitch
    pitch_y: Pitch
    columns: Annotated[int, Meta(ge=1, le=MOST)]
    rows: Annotated[int, Meta(ge=1, le=MOST)]
    first_x: Extent
    first_y: Extent
    hole_diameter: Size
    hole_tolerance: Extent = 0.0
    density: Density = 7850.0
    labels: LabelScheme = LabelScheme()
    marks: Annotated[tuple[HoleMark, ...], Meta(max_length=MOST * MOST)] = ()

    def __post_init__(self) -> None:
        require_within(self)
        if self.hole_diameter >= min(self.pitch_x, self.pitch_y):
            raise ValueError("the diameter of the holes must be less than the pitch")
        if 2.0 * self.hole_tolerance >= min(self.pitch_x, self.pitch_y):
            raise ValueError("the hole position tolerance must be less than half the pitch")
        reach_x = self.first_x + (self.columns - 1) * self.pitch_x
        reach_y = self.first_y + (self.rows - 1) * self.pitch_y
        if reach_x > self.width + 1e-6:
            raise ValueError("the columns of holes do not fit the width of the table")
        if reach_y > self.depth + 1e-6:
            raise ValueError("the rows of holes do not fit the depth of the table")
        seen: set[Hole] = set()
        for mark in self.marks:
            if not self.has(mark.hole):
                raise ValueError(f"marked hole {tuple(mark.hole)} is not on the table")
            if mark.hole in seen:
                raise ValueError(f"hole {tuple(mark.hole)} is marked twice")
            seen.add(mark.hole)

    @property
    def doubled(self) -> "Table":
        """The same grid, so large that every step on this table can be made from its middle hole.

        For asking what stands where, not for keeping: it may be larger than a table can be, so that
        its limits are not asked for.
        """
        larger = copy(self)
        for name, value in {
            "columns": 2 * self.columns + 1,
            "rows": 2 * self.rows + 1,
            "width": (2 * self.columns + 2) * self.pitch_x + self.width,
            "depth": (2 * self.rows + 2) * self.pitch_y + self.depth,
            "marks": (),
        }.items():
            structs.force_setattr(larger, name, value)
        return larger

    def has(self, hole: Hole) -> bool:
        """True if the table has that hole."""
        return 0 <= hole.col < self.columns and 0 <= hole.row < self.rows

    @property
    def in_inches(self) -> bool:
        """True if the pitch is a whole number of eighths of an inch: an inch table.

        A pitch that is whole in both, such as 127 mm, counts as inches.
        """
        eighths = self.pitch_x / INCH * 8.0
        return math.isclose(eighths, round(eighths), abs_tol=1e-6)

    def at(self, hole: Hole) -> Point:
        """The centre of a hole in mm, even if it is off the table."""
        return (self.first_x + hole.col * self.pitch_x, self.first_y + hole.row * self.pitch_y)

    def nearest(self, x: float, y: float) -> Hole:
        """The hole on the table whose centre is nearest to a point in mm."""
        col = round((x - self.first_x) / self.pitch_x)
        row = round((y - self.first_y) / self.pitch_y)
        return Hole(min(max(col, 0), self.columns - 1), min(max(row, 0), self.rows - 1))

    def mark(self, hole: Hole) -> HoleMark | None:
        """The mark of a hole; None if it has none."""
        for mark in self.marks:
            if mark.hole == hole:
                return mark
        return None
