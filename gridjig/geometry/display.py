"""The display list: a drawing as plain values that a screen, a page, SVG or DXF can all paint.

Coordinates are table millimetres, y up.  A `role` says what a line means; painters turn it into
weight, dash and colour.  Nothing here knows a painter.
"""

from typing import Literal

from msgspec import Struct

from gridjig.rack import Point

DrawingRole = Literal[
    "edge",  # outline of a piece or the plate: ink, wide
    "thin",  # narrow ink: dimensions, leaders, details
    "hole",
    "blocked",
    "centre",  # chain line
    "hidden",  # dashed
    "reach",  # long dash, two dots
    "held",
    "clash",
    "check",
    "selected",
    "ghost",
    "work",  # outline of the weldment
    "face",  # a locating face
    "contact",  # along what a locating face and the work share
    "force",
    "graphite",
]
Fill = Literal[
    "none",
    "part",
    "raised",  # higher bodies of a piece
    "work",
    "ink",
    "held",
    "clash",
    "check",
    "paper",
    "pin",
    "selected",
    "reach",
]
Hatch = Literal["none", "work", "work2", "work3", "clash", "keep out", "blocked"]
SymbolKind = Literal[
    "pin",
    "clash",
    "check",
    "riser",
    "pivot",
    "turns",
    "slides",
    "datum",
    "force",  # a wedge with its point at the place, pushing along `turn`
    "press",  # a force down onto the table
    "ring",  # the hole that a snap chose
    "tick",  # a short stroke across a line that runs along `turn`
    "touch",  # a face that touches: a bar, and a tick along `turn` into what it touches
    "round touch",  # a round body that touches: a half-round along `turn`
    "level touch",  # a rest or a pad that touches
    "apart",  # two bars and a gap along `turn`: something does not reach
    "nothing there",  # a struck-out ring: nothing is in front of it
]


class Polyline(Struct, frozen=True):
    """A line through points, open or closed, with an optional fill and hatch.

    `openings` are closed lines inside a closed one that are neither filled nor hatched.
    """

    points: tuple[Point, ...]
    role: DrawingRole
    closed: bool = False
    fill: Fill = "none"
    hatch: Hatch = "none"
    openings: tuple[tuple[Point, ...], ...] = ()


class Circle(Struct, frozen=True):
    """A circle; radius in mm."""

    centre: Point
    radius: float
    role: DrawingRole
    fill: Fill = "none"


class Arc(Struct, frozen=True):
    """An arc, counter-clockwise from `start` to `end` degrees."""

    centre: Point
    radius: float
    start: float
    end: float
    role: DrawingRole


Anchor = Literal["centre", "left", "right", "below", "above"]
"""Where a text is, seen from its point."""


class Spot(Struct, frozen=True):
    """Another place for a text, and the table mm that it must fit into there; 0: any length."""

    at: Point
    anchor: Anchor = "centre"
    room: float = 0.0


class TextLabel(Struct, frozen=True):
    """Text at a point; its height is fixed on the screen or paper, not on the table.

    On the screen a text with a `rank` is placed so that it covers no sign and no other text: at one
    of its `spots`, or in `shorter` words, or not at all; of two texts that want one place the one
    with the higher rank has it.  Where its letters are taller than the thing it lies on (`across`),
    it is shown beside it, at a spot that is anchored above or below, so that it does not hide it.
    """

    at: Point
    text: str
    role: DrawingRole
    turn: float = 0.0
    anchor: Anchor = "centre"
    size: Literal["small", "normal", "large"] = "normal"
    cleared: bool = False  # the ground is cleared behind the letters
    room: float = 0.0  # table mm that the text must fit into, or it is left out; 0: always shown
    rank: int = 0
    spots: tuple[Spot, ...] = ()
    shorter: tuple[str, ...] = ()
    across: float = 0.0  # table mm; 0: it hides nothing


class Symbol(Struct, frozen=True):
    """A symbol of fixed screen size at a point: pin dot, clash octagon, check triangle."""

    at: Point
    mark: SymbolKind
    role: DrawingRole
    turn: float = 0.0
    clear: float = 0.0  # for a ring: table mm round the point that it stays clear of


class HighlightBox(Struct, frozen=True):
    """A box round something, `margin` screen mm away from it, with filled corners if wanted."""

    low: Point
    high: Point
    role: DrawingRole
    margin: float = 1.5
    corners: bool = False


class Dimension(Struct, frozen=True):
    """A dimension from `a` to `b`; its line is `offset` screen mm to the left of that direction."""

    a: Point
    b: Point
    text: str
    role: DrawingRole = "thin"
    offset: float = 8.0


class Ticks(Struct, frozen=True):
    """A row of short strokes across a line, for a weld.  Their spacing is in screen mm."""

    points: tuple[Point, ...]
    role: DrawingRole


Shape = Polyline | Circle | Arc | TextLabel | Symbol | HighlightBox | Dimension | Ticks
DisplayList = tuple[Shape, ...]
