"""Turns the shapes of a display list, in table mm, into marks on paper.

The same drawing that the screen shows, in black and white: what a role means becomes a width, a
dash and a fill.
"""

import math
from collections.abc import Iterable, Iterator

from msgspec import Struct, structs

from gridjig.geometry.display import (
    Arc,
    Circle,
    DrawingRole,
    Fill,
    Polyline,
    Shape,
    Symbol,
)
from gridjig.geometry.hatch import hatch
from gridjig.geometry.page import FINE, NARROW, WIDE, Dash, Ink, PageDiscs, PageLine, PageLines
from gridjig.geometry.pose import unit
from gridjig.rack import Point

PlanStroke = PageLine | PageLines | PageDiscs
_HATCH_PITCH = 2.5
"""mm on paper between the lines of a hatch."""
_ARC_STEP = 6.0
_HATCHES = {
    "work": (45.0,),
    "work2": (135.0,),
    "work3": (22.5,),
    "clash": (45.0, 135.0),
    "keep out": (135.0,),
    "blocked": (45.0,),
}


class _Look(Struct, frozen=True):
    """How a role is drawn on paper."""

    width: float
    ink: Ink = "black"
    dash: Dash = "solid"


_LOOKS: dict[DrawingRole, _Look] = {
    "edge": _Look(0.35),
    "work": _Look(WIDE),
    "thin": _Look(FINE),
    "hole": _Look(FINE, "grey"),
    "blocked": _Look(NARROW),
    "graphite": _Look(FINE, "grey"),
    "centre": _Look(FINE, "grey", "chain"),
    "hidden": _Look(FINE, "grey", "dashed"),
    "ghost": _Look(NARROW, "grey", "dashed"),
    "reach": _Look(FINE, "grey", "far"),
    "held": _Look(NARROW),
    "clash": _Look(1.0),
    "check": _Look(WIDE),
    "selected": _Look(WIDE),
    "face": _Look(0.7),
    "contact": _Look(1.0),
    "force": _Look(FINE),
}
_FILLS: dict[Fill, Ink] = {
    "part": "tint",
    "raised": "tint",
    "paper": "white",
    "pin": "black",
    "ink": "black",
    "held": "black",
}


class PaperFrame(Struct, frozen=True):
    """Where the table lies on paper: the paper place of its front left corner, and the scale."""

    x: float
    y: float
    scale: float

    def at(self, p: Point) -> Point:
        """A point of the table on paper, mm."""
        return (self.x + p[0] / self.scale, self.y - p[1] / self.scale)

    def all(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Points of the table on paper."""
        x, y, scale = self.x, self.y, self.scale
        return tuple([(x + p[0] / scale, y - p[1] / scale) for p in points])


def strokes(shapes: Iterable[Shape], frame: PaperFrame) -> Iterator[PlanStroke]:
    """Yield the marks of shapes on paper; texts, dimensions and highlights are not drawn."""
    for shape in shapes:
        match shape:
            case Polyline():
                yield from _polyline(shape, frame)
            case Circle():
                look = _LOOKS[shape.role]
                yield PageDiscs(
                    (frame.at(shape.centre),),
                    shape.radius / frame.scale,
                    look.width,
                    look.ink,
                    look.dash,
                    _FILLS.get(shape.fill, "none"),
                )
            case Arc():
                yield _arc(shape, frame)
            case Symbol():
                yield from _symbol(shape, frame)
            case _:
                pass


def gathered(marks: Iterable[PlanStroke]) -> Iterator[PlanStroke]:
    """Yield marks with all circles last, those of one kind as one: dark ones on top.

    So a pin is seen whatever lies over it, and a page of hundreds is drawn in a fraction of the
    time.
    """
    discs: dict[tuple[int, float, float, Ink, Dash], list[PageDiscs]] = {}
    for mark in marks:
        if isinstance(mark, PageDiscs):
            key = (_ON_TOP[mark.fill], round(mark.radius, 4), mark.width, mark.ink, mark.dash)
            discs.setdefault(key, []).append(mark)
        else:
            yield mark
    for key in sorted(discs, key=lambda key: key[0]):
        some = discs[key]
        centres = tuple(centre for one in some for centre in one.centres)
        yield structs.replace(some[0], centres=centres)


_ON_TOP: dict[Ink, int] = {"tint": 0, "grey": 1, "none": 2, "white": 3, "black": 4}


def _polyline(shape: Polyline, frame: PaperFrame) -> Iterator[PlanStroke]:
    look = _LOOKS[shape.role]
    points = frame.all(shape.points)
    openings = tuple(map(frame.all, shape.openings))
    fill = _FILLS.get(shape.fill, "none")
    if shape.hatch != "none":
        segments = [
            segment
            for degrees in _HATCHES[shape.hatch]
            for segment in hatch(points, -degrees, _HATCH_PITCH, openings)
        ]
        if segments:
            yield PageLines(tuple(segments), FINE, "grey")
    yield PageLine(points, look.width, look.ink, look.dash, shape.closed, fill, openings)


def _arc(shape: Arc, frame: PaperFrame) -> PageLine:
    look = _LOOKS[shape.role]
    parts = max(2, math.ceil(abs(shape.end - shape.start) / _ARC_STEP))
    turns = (shape.start + (shape.end - shape.start) * k / parts for k in range(parts + 1))
    points = frame.all(
        (shape.centre[0] + shape.radius * c, shape.centre[1] + shape.radius * s)
        for c, s in map(unit, turns)
    )
    return PageLine(points, look.width, look.ink, look.dash)


def _symbol(shape: Symbol, frame: PaperFrame) -> Iterator[PlanStroke]:
    x, y = frame.at(shape.at)
    match shape.mark:
        case "force":
            c, s = unit(shape.turn)
            back = (x - 2.4 * c, y + 2.4 * s)
            wedge = (
                (x, y),
                (back[0] - 0.9 * s, back[1] - 0.9 * c),
                (back[0] + 0.9 * s, back[1] + 0.9 * c),
            )
            yield PageLine(wedge, FINE, closed=True, fill="black")
        case "press":
            yield PageDiscs(((x, y),), 1.2, FINE, fill="white")
            yield PageLines(
                (
                    ((x - 0.8, y - 0.8), (x + 0.8, y + 0.8)),
                    ((x - 0.8, y + 0.8), (x + 0.8, y - 0.8)),
                ),
                NARROW,
            )
        case "pivot":
            yield PageLines((((x - 1.5, y), (x + 1.5, y)), ((x, y - 1.5), (x, y + 1.5))), FINE)
        case "clash":
            corners = tuple(
                (x + 1.8 * c, y + 1.8 * s) for c, s in map(unit, (22.5 + 45 * k for k in range(8)))
            )
            yield PageLine(corners, NARROW, closed=True, fill="white")
            yield PageLines(
                (
                    ((x - 0.8, y - 0.8), (x + 0.8, y + 0.8)),
                    ((x - 0.8, y + 0.8), (x + 0.8, y - 0.8)),
                ),
                NARROW,
            )
        case _:
            pass
