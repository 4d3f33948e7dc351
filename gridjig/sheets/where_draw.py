"""The weldment's faces and places on the sheet: datum faces, what is left before a face, ghosts."""

import math
from collections.abc import Iterable
from typing import Literal

from gridjig.edits import weldment
from gridjig.geometry.display import (
    Circle,
    Dimension,
    Drawing,
    Line,
    Role,
    Shape,
    Symbol,
    Words,
)
from gridjig.geometry.parts import part_ring
from gridjig.model import Job, Part
from gridjig.rack import Point
from gridjig.solve import Stands
from gridjig.solve import remainders as r
from gridjig.solve.datum import DatumFaces, datum_faces
from gridjig.solve.faces import WorkFace
from gridjig.solve.where import Put
from gridjig.units import format_length

from .plan import draw_ghost

Anchor = Literal["left", "right", "above", "below"]

_LEAST = 0.05
"""What is left below this, mm, has no room to be drawn."""


def draw_datum(datum: DatumFaces) -> Drawing:
    """The datum faces: a wide line, the sign of a datum, and the letter of each."""
    shapes: list[Shape] = []
    for letter, face in (("A", datum.long), ("B", datum.end)):
        if face is not None:
            shapes += _datum(letter, face)
    return tuple(shapes)


def _datum(letter: str, face: WorkFace) -> list[Shape]:
    """The sign stands in the steel with its point on the face, the letter outside of it."""
    at = _along(face, 0.35)
    nx, ny = face.normal
    anchor: Anchor = ("right" if nx > 0 else "left") if abs(nx) > abs(ny) else _upright(ny)
    return [
        Line((face.a, face.b), "face"),
        Symbol(at, "datum", "thin", turn=math.degrees(math.atan2(ny, nx)) + 90.0),
        Words(at, letter, "thin", anchor=anchor, size="large", cleared=True),
    ]


def _upright(ny: float) -> Anchor:
    return "above" if ny > 0 else "below"


def _along(face: WorkFace, part: float) -> Point:
    return (
        face.a[0] + (face.b[0] - face.a[0]) * part,
        face.a[1] + (face.b[1] - face.a[1]) * part,
    )


def draw_remainder(job: Job, one: r.Remainder) -> Drawing:
    """A line of faces: its faces, the holes for a stop before it, and what is left between."""
    line = one.line
    table = job.table
    shapes: list[Shape] = [Line((face.a, face.b), "selected") for face in line.faces]
    shapes += [Circle(table.at(hole), 0.75 * table.hole_diameter, "selected") for hole in one.holes]
    stop = line.at + line.sign * one.left
    if one.left > _LEAST:
        shapes += [Line(_shifted(face, line, stop), "reach") for face in line.faces]
        shapes.append(_gap(job, one, stop))
    return tuple(shapes)


def _shifted(face: WorkFace, line: r.Line, at: float) -> tuple[Point, Point]:
    """A face moved to a place on the axis that it looks along."""
    if line.axis == "x":
        return ((at, face.a[1]), (at, face.b[1]))
    return ((face.a[0], at), (face.b[0], at))


def _gap(job: Job, one: r.Remainder, stop: float) -> Dimension:
    """What is left, as a dimension from the face to the stop, half along the longest face."""
    face = one.line.first
    x, y = _along(face, 0.5)
    end = (stop, y) if one.line.axis == "x" else (x, stop)
    text = format_length(one.left, job.display)
    return Dimension((x, y), end, text, "selected", offset=0.0)


def draw_put(job: Job, put: Put) -> Drawing:
    """The weldment where a search would put it, as a ghost with its datum faces."""
    return draw_moved(job, weldment.put(job, put))


def draw_moved(before: Job, after: Job) -> Drawing:
    """The weldment of another state of the job as a ghost, and how its middle moves."""
    ghost = draw_ghosts(after.outlines)
    datum = draw_datum(datum_faces(after))
    if not before.outlines or not after.outlines:
        return (*ghost, *datum)
    a, b = weldment.middle(before), weldment.middle(after)
    way: Drawing = () if a == b else (Line((a, b), "reach"), Circle(b, 6.0, "reach"))
    return (*ghost, *datum, *way)


def draw_setup(before: Job, after: Job) -> Drawing:
    """The pieces that stand otherwise in another state of the job, as ghosts."""
    known = {placement.id: placement for placement in before.placements}
    stands = Stands().of(after)
    return tuple(
        shape
        for placement in after.placements
        if placement != known.get(placement.id)
        for shape in draw_ghost(stands[placement.id], after.table)
    )


def draw_ghosts(parts: Iterable[Part], role: Role = "ghost") -> Drawing:
    """Parts as bare rings."""
    return tuple(Line(part_ring(part), role, closed=True) for part in parts)
