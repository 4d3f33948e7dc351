"""The table with everything on it, at a scale on paper: the whole of it, or an enlarged detail.

Composed of the same drawings as the screen's plan.  Labels are placed where nothing else stands;
a hole's address that finds no room makes the place crowded, and a detail shows it larger.
"""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from gridjig.geometry.page import (
    FINE,
    NARROW,
    WIDE,
    PageDiscs,
    PageLine,
    PageMark,
    PageWindow,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Table
from gridjig.sheets.drawings.hole_marks import draw_hole_mark
from gridjig.sheets.drawings.plan import draw_part

from .facts import SheetFacts
from .places import Occupied
from .plan_labels import Labels, TableWindow
from .strokes import PlanStroke, gathered, strokes

_ZERO = 2.6
"""Side of the black corner that marks the zero corner, mm on paper."""


class Drawn(Struct, frozen=True):
    """A drawn view: its marks, and the placements without room for their number or an address."""

    marks: tuple[PageMark, ...]
    crowded: tuple[str, ...]


def draw_view(
    facts: SheetFacts, view: TableWindow, occupied: Occupied, whatever: bool = False
) -> Drawn:
    """Draw the table, the work and the pieces that are in the window, with their labels.

    `occupied` is what is taken on the page already; the labels are added to it.  With `whatever`
    a number that finds no room beside its piece goes to the nearest free place.
    """
    job = facts.job
    within: list[PlanStroke] = [*_plate(job.table, view), *_holes(job.table, view)]
    things = [(part.id, bounds(part_ring(part))) for part in job.parts]
    seen = {k for k, box in things if view.shows(box)}
    stands = {k: box for k, box in facts.boxes.items() if view.shows(box)}
    low, high = _layers(facts, tuple(stands))
    within += gathered(stroke for k in low for stroke in strokes(facts.drawings[k], view.frame))
    for index, part in enumerate(job.parts):
        if part.id in seen:
            within += strokes(draw_part(part, index), view.frame)
    within += gathered(stroke for k in high for stroke in strokes(facts.drawings[k], view.frame))
    left, top, right, bottom = view.box
    marks: list[PageMark] = [PageWindow(left, top, right - left, bottom - top, tuple(within))]
    labels = Labels(facts, view, occupied)
    marks += labels.edges()
    marks += labels.datums()
    told, crowded = labels.addresses(tuple(stands))
    numbers, unnumbered = labels.balloons(stands, whatever)
    marks += numbers
    marks += told
    marks += labels.names()
    return Drawn(tuple(marks), tuple(dict.fromkeys((*crowded, *unnumbered))))


def _layers(facts: SheetFacts, placements: Sequence[str]) -> tuple[list[str], list[str]]:
    """The pieces that lie under the work, and those that stand beside it or reach over it."""
    low: list[str] = []
    high: list[str] = []
    for k in placements:
        placed = facts.found.placed_pieces[k]
        (high if placed.tip is not None or placed.faces or placed.rounds else low).append(k)
    return low, high


def _plate(table: Table, view: TableWindow) -> Iterator[PlanStroke]:
    corners = ((0.0, 0.0), (table.width, 0.0), (table.width, table.depth), (0.0, table.depth))
    yield PageLine(view.frame.all(corners), WIDE, closed=True)
    x, y = (
        (table.width if table.labels.zero.endswith("right") else 0.0),
        (table.depth if table.labels.zero.startswith("back") else 0.0),
    )
    to_x, to_y = (-1.0 if x else 1.0), (-1.0 if y else 1.0)
    side = _ZERO * view.frame.scale
    zero = ((x, y), (x + to_x * side, y), (x, y + to_y * side))
    yield PageLine(view.frame.all(zero), NARROW, closed=True, fill="black")


def _holes(table: Table, view: TableWindow) -> Iterator[PlanStroke]:
    x0, y0, x1, y1 = view.window
    cols = range(
        max(0, math.ceil((x0 - table.first_x) / table.pitch_x - 0.5)),
        min(table.columns - 1, math.floor((x1 - table.first_x) / table.pitch_x + 0.5)) + 1,
    )
    rows = range(
        max(0, math.ceil((y0 - table.first_y) / table.pitch_y - 0.5)),
        min(table.rows - 1, math.floor((y1 - table.first_y) / table.pitch_y + 0.5)) + 1,
    )
    centres = tuple(view.frame.at(table.at(Hole(col, row))) for row in rows for col in cols)
    if centres:
        yield PageDiscs(
            centres, table.hole_diameter / 2.0 / view.frame.scale, FINE, "grey", fill="white"
        )
    for mark in table.marks:
        if mark.hole.col in cols and mark.hole.row in rows:
            yield from strokes(draw_hole_mark(table, mark), view.frame)
