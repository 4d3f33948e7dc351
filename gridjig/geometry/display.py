"""The display list: a drawing as plain values that a screen, a page, SVG or DXF can all paint.

Coordinates are table millimetres, y up.  A `role` says what a line means; painters turn it into
weight, dash and colour.  Nothing here knows a painter.
"""

from dataclasses import dataclass
from typing import Literal

from gridjig.rack import Point

Role = Literal[
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
    "force",
    "graphite",
]
Fill = Literal["none", "part", "work", "ink", "held", "clash", "check", "paper", "pin"]
Hatch = Literal["none", "work", "work2", "work3", "clash", "keep out", "blocked"]
Mark = Literal["pin", "clash", "check", "riser", "pivot", "turns", "slides", "datum"]


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points, closed or not, with an optional fill and hatch."""

    points: tuple[Point, ...]
    role: Role
    closed: bool = False
    fill: Fill = "none"
    hatch: Hatch = "none"


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of a radius in mm."""

    centre: Point
    radius: float
    role: Role
    fill: Fill = "none"


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc, counter-clockwise from `start` to `end` degrees."""

    centre: Point
    radius: float
    start: float
    end: float
    role: Role


@dataclass(frozen=True, slots=True)
class Words:
    """A text at a point; its height is fixed on the screen or paper, not on the table."""

    at: Point
    text: str
    role: Role
    turn: float = 0.0
    anchor: Literal["centre", "left", "right", "below", "above"] = "centre"
    size: Literal["small", "normal", "large"] = "normal"


@dataclass(frozen=True, slots=True)
class Symbol:
    """A sign of fixed screen size at a point: pin dot, clash octagon, check triangle."""

    at: Point
    mark: Mark
    role: Role
    turn: float = 0.0


Shape = Line | Circle | Arc | Words | Symbol
Drawing = tuple[Shape, ...]
