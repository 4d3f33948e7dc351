"""A page as plain values that a printer, a PDF or a picture can paint: texts, lines, discs.

Coordinates are millimetres on paper from the page's top left corner, y downwards.  Every text has
a box that it stays in: a painter whose letters are wider condenses them, so that what does not
overlap here overlaps nowhere.  The marks stand in reading order.  Nothing here knows a painter.
"""

from typing import Literal

from msgspec import Struct

from gridjig.rack import Point

Ink = Literal["black", "grey", "white", "tint", "none"]
"""How dark something is: a sheet is printed in black and white."""
Dash = Literal["solid", "dashed", "chain", "far"]
"""`far`: long dash and two dots, for the range of something that moves."""
Align = Literal["left", "centre", "right"]

WIDE, NARROW, FINE = 0.5, 0.25, 0.13
"""Line widths in mm: ISO 128's group 0.5, and a finer one for hatching."""


class PageText(Struct, frozen=True, gc=False):
    """One line of text in a box; `size` is the height of its capitals.

    The letters stand on the box's lower edge less a third of `size`.  With `up` the line reads
    upwards, from the bottom of the box to its top.  A `cleared` text has white ground.
    """

    x: float
    y: float
    width: float
    height: float
    words: str
    size: float
    align: Align = "left"
    bold: bool = False
    grey: bool = False
    up: bool = False
    cleared: bool = False


class PageLine(Struct, frozen=True, gc=False):
    """A line through points, open or closed; `openings` are cut out of a closed one's fill."""

    points: tuple[Point, ...]
    width: float = NARROW
    ink: Ink = "black"
    dash: Dash = "solid"
    closed: bool = False
    fill: Ink = "none"
    openings: tuple[tuple[Point, ...], ...] = ()


class PageLines(Struct, frozen=True, gc=False):
    """Many separate strokes of one kind, such as a hatch or the rules of a table."""

    strokes: tuple[tuple[Point, Point], ...]
    width: float = FINE
    ink: Ink = "black"


class PageDiscs(Struct, frozen=True, gc=False):
    """Circles of one radius and one kind, such as the holes of a table."""

    centres: tuple[Point, ...]
    radius: float
    width: float = NARROW
    ink: Ink = "black"
    dash: Dash = "solid"
    fill: Ink = "none"


class PageWindow(Struct, frozen=True):
    """Marks of which only what lies inside a box is shown."""

    x: float
    y: float
    width: float
    height: float
    marks: "tuple[PageLine | PageLines | PageDiscs, ...]"


PageMark = PageText | PageLine | PageLines | PageDiscs | PageWindow


class SheetPage(Struct, frozen=True):
    """One page, width and height in mm, and its marks in reading order."""

    width: float
    height: float
    marks: tuple[PageMark, ...]

    @property
    def texts(self) -> tuple[PageText, ...]:
        """Its texts in reading order."""
        return tuple(mark for mark in self.marks if isinstance(mark, PageText))
