"""The weldment's faces and places on the plan: datum faces, remainders, ghosts."""

import math
from collections.abc import Iterable

from gridjig.edits import weldment
from gridjig.geometry.display import (
    Anchor,
    Circle,
    Dimension,
    DisplayList,
    DrawingRole,
    Polyline,
    Shape,
    Symbol,
    TextLabel,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part
from gridjig.rack import Point
from gridjig.solve.layout import remainders as r
from gridjig.solve.layout.places import WeldmentPlace
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.datum import DatumFaces, datum_faces
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units import format_length
from gridjig.units.limits import LimitError

from .plan import draw_ghost

_LEAST = 0.05
"""A remainder below this, mm, is too small to draw."""


def draw_datum(datum: DatumFaces) -> DisplayList:
    """Draw the datum faces: a wide line, the datum symbol, and the letter of each."""
    shapes: list[Shape] = []
    for letter, face in (("A", datum.long), ("B", datum.end)):
        if face is not None:
            shapes += _datum(letter, face)
    return tuple(shapes)


def _datum(letter: str, face: WorkFace) -> list[Shape]:
    """The datum symbol, in the steel with its point on the face, and the letter outside."""
    at = _along(face, 0.35)
    nx, ny = face.normal
    anchor: Anchor = ("right" if nx > 0 else "left") if abs(nx) > abs(ny) else _upright(ny)
    return [
        Polyline((face.a, face.b), "face"),
        Symbol(at, "datum", "thin", turn=math.degrees(math.atan2(ny, nx)) + 90.0),
        TextLabel(at, letter, "thin", anchor=anchor, size="large", cleared=True),
    ]


def _upright(ny: float) -> Anchor:
    return "above" if ny > 0 else "below"


def _along(face: WorkFace, part: float) -> Point:
    return (
        face.a[0] + (face.b[0] - face.a[0]) * part,
        face.a[1] + (face.b[1] - face.a[1]) * part,
    )


def draw_remainder(job: Job, one: r.Remainder) -> DisplayList:
    """Draw a line of faces, the holes for a stop in front of it, and the remainder between them."""
    line = one.line
    table = job.table
    shapes: list[Shape] = [Polyline((face.a, face.b), "selected") for face in line.faces]
    shapes += [Circle(table.at(hole), 0.75 * table.hole_diameter, "selected") for hole in one.holes]
    stop = line.at + line.sign * one.left
    if one.left > _LEAST:
        shapes += [Polyline(_shifted(face, line, stop), "reach") for face in line.faces]
        shapes.append(_gap(job, one, stop))
    return tuple(shapes)


def _shifted(face: WorkFace, line: r.FaceLine, at: float) -> tuple[Point, Point]:
    """A face moved to a position on the axis that it looks along."""
    if line.axis == "x":
        return ((at, face.a[1]), (at, face.b[1]))
    return ((face.a[0], at), (face.b[0], at))


def _gap(job: Job, one: r.Remainder, stop: float) -> Dimension:
    """The remainder as a dimension from the face to the stop, half-way along the longest face."""
    face = one.line.first
    x, y = _along(face, 0.5)
    end = (stop, y) if one.line.axis == "x" else (x, stop)
    text = format_length(one.left, job.display)
    return Dimension((x, y), end, text, "selected", offset=0.0)


def draw_put(job: Job, put: WeldmentPlace) -> DisplayList:
    """Draw the weldment where a search would put it, as a ghost with its datum faces.

    Nothing is drawn of a place where it would be farther out than a part can be.
    """
    try:
        after = weldment.put(job, put)
    except LimitError:
        return ()
    return draw_moved(job, after)


def draw_moved(before: Job, after: Job) -> DisplayList:
    """Draw the weldment of another state of the job as a ghost, and how its middle moves."""
    ghost = draw_ghosts(after.parts)
    datum = draw_datum(datum_faces(after))
    if not before.parts or not after.parts:
        return (*ghost, *datum)
    a, b = weldment.middle(before), weldment.middle(after)
    way: DisplayList = () if a == b else (Polyline((a, b), "reach"), Circle(b, 6.0, "reach"))
    return (*ghost, *datum, *way)


def draw_setup(before: Job, after: Job) -> DisplayList:
    """Draw the pieces that differ in another state of the job, as ghosts."""
    known = {placement.id: placement for placement in before.placements}
    placed_pieces = PlacedPieces().of(after)
    return tuple(
        shape
        for placement in after.placements
        if placement != known.get(placement.id)
        for shape in draw_ghost(placed_pieces[placement.id], after.table)
    )


def draw_ghosts(parts: Iterable[Part], role: DrawingRole = "ghost") -> DisplayList:
    """Draw parts as plain outlines."""
    return tuple(Polyline(part_ring(part), role, closed=True) for part in parts)
