"""A starter weldment before it is put on the table: what it takes in words, and its picture."""

import math

from msgspec import structs

from gridjig.geometry.display import Circle, DisplayList, Polyline, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.geometry.shapes import bounds, rectangle
from gridjig.model import Job, Part
from gridjig.model.labels import address
from gridjig.sheets.drawings.layout import draw_ghosts
from gridjig.sheets.drawings.plan import draw_dims, draw_part
from gridjig.sheets.text.hole_text import drilled_words
from gridjig.units import format_length, format_mass

from .cut_list import CutLine, CutList, cut_list, plate_in_words
from .cut_plates import PlateLine


def list_words(parts: tuple[Part, ...], job: Job) -> str:
    """Return the cut list of these parts only, one line each, in the job's units."""
    cuts = _cuts(parts, job)
    lines = [_bar_words(line, cuts) for line in cuts.bars]
    lines += [_plate_words(line, cuts) for line in cuts.plates]
    return "\n".join(lines)


def _plate_words(line: PlateLine, cuts: CutList) -> str:
    size = f"{line.count} × plate {plate_in_words(line, cuts.display)}"
    return " · ".join(filter(None, (size, drilled_words(line.holes, cuts.display))))


def mass_words(parts: tuple[Part, ...], job: Job) -> str:
    """Return how many pieces there are to cut and what they weigh."""
    cuts = _cuts(parts, job)
    pieces = "1 piece" if cuts.count == 1 else f"{cuts.count} pieces"
    return f"{pieces} to cut, {format_mass(cuts.mass, cuts.display)}"


def _bar_words(line: CutLine, cuts: CutList) -> str:
    hand = f", {line.hand}" if line.hand else ""
    long = format_length(line.long_point, cuts.display)
    return f"{line.count} × {line.section} {line.kind}, {long}, {line.cuts}{hand}"


def _cuts(parts: tuple[Part, ...], job: Job) -> CutList:
    return cut_list(structs.replace(job, parts=parts))


def draw_alone(parts: tuple[Part, ...], job: Job) -> DisplayList:
    """Draw the parts in plan with their overall size."""
    if not parts:
        return ()
    x0, y0, x1, y1 = bounds([p for part in parts for p in part_ring(part)])
    shapes = tuple(s for k, part in enumerate(parts) for s in draw_part(part, k))
    return (*shapes, *draw_dims((x0, y0), (x1, y1), job.display))


def draw_on_table(job: Job, parts: tuple[Part, ...]) -> DisplayList:
    """Draw the parts where they will lie on the job's table, with what is already there."""
    table = job.table
    plate = Polyline(rectangle((0.0, 0.0), (table.width, table.depth)), "edge", True, "part")
    there = draw_ghosts(job.parts, "hidden")
    new = tuple(
        Polyline(part_ring(part), "work", True, "work", openings=part_openings(part))
        for part in parts
    )
    if not parts:
        return (plate, *there)
    corner = bounds([p for part in parts for p in part_ring(part)])[:2]
    radius = max(table.width, table.depth) / 80.0
    hole = table.nearest(*corner)
    on_hole = math.dist(table.at(hole), corner) < 0.05
    words = TextLabel(corner, address(table, hole), "selected", anchor="left", cleared=True)
    ring = Circle(corner, radius, "selected")
    return (plate, *there, *new, ring, *((words,) if on_hole else ()))
