"""The labels of a drawing at true size: none is written over another.

How wide a text is shown depends on the program that reads the file; here each letter is taken to be
as wide as it is high, which is wider than any usual font.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping

from gridjig.geometry.box_index import Box
from gridjig.geometry.layered import LayeredShape, LayeredText, NamedLayer
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.pose import unit
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part, Table
from gridjig.model.labels import address, column_label, row_label
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import look

LABELS = NamedLayer("LABELS", "grey")
_LETTER = 0.12
"""The height of letters, as a fraction of the pitch."""
_LINE = 1.4
"""From one line to the next, in heights of letters."""
_FARTHEST = 60
"""How many lines away a label is put at most; there is room by then."""


def letter_height(table: Table) -> float:
    """Return the height of letters on a drawing of a table, mm."""
    return _LETTER * min(table.pitch_x, table.pitch_y)


def text_box(text: LayeredText) -> Box:
    """Return the box round a text, whichever way it is turned."""
    long, high = text.height * max(len(text.text), 1), text.height
    c, s = unit(text.turn)
    back = {"left": 0.0, "centre": 0.5, "right": 1.0}[text.anchor] * long
    x, y = text.at[0] - back * c, text.at[1] - back * s
    corners = [
        (x + a * c - b * s, y + a * s + b * c)
        for a in (0.0, long)
        for b in (-0.5 * high, 0.5 * high)
    ]
    return bounds(corners)


def table_labels(table: Table) -> Iterator[LayeredText]:
    """Yield what is painted beside the columns and rows, outside the holes, front and left."""
    high = letter_height(table)
    front = table.first_y - table.hole_diameter / 2.0 - high
    left = table.first_x - table.hole_diameter / 2.0 - high
    for col in range(table.columns):
        x = table.first_x + col * table.pitch_x
        yield LayeredText(LABELS.name, (x, front), column_label(table, col), high)
    for row in range(table.rows):
        y = table.first_y + row * table.pitch_y
        yield LayeredText(LABELS.name, (left, y), row_label(table, row), high, anchor="right")


def setup_labels(
    job: Job, stood: Mapping[str, PlacedPiece], contents: Collection[str]
) -> list[LayeredShape]:
    """Return all labels: of the table, the pinned holes, the parts and the pieces, where there is
    room for each.  Raises Cancelled through `look`.
    """
    placing = _Placing(table_labels(job.table))
    if "pieces" in contents:
        for hole in dict.fromkeys(
            seat.hole for one in stood.values() for seat in one.placement.seats
        ):
            placing.put(_beside(job.table, job.table.at(hole), address(job.table, hole)))
    if "members" in contents:
        for part in job.parts:
            if part.name:
                placing.put(_along(part, letter_height(job.table)))
    if "pieces" in contents:
        for placed in stood.values():
            placing.put(_under(job, placed))
    return list(placing.made)


class _Placing:
    """Labels, each at the first of its places where no other stands."""

    def __init__(self, fixed: Iterable[LayeredText]) -> None:
        self.made = list(fixed)
        self._boxes = [text_box(one) for one in self.made]

    def put(self, places: Iterable[LayeredText]) -> None:
        """Add a label."""
        look()
        for text in places:
            x0, y0, x1, y1 = box = text_box(text)
            if not any(
                x0 < u1 and u0 < x1 and y0 < v1 and v0 < y1 for u0, v0, u1, v1 in self._boxes
            ):
                break
        self.made.append(text)
        self._boxes.append(box)


def _beside(table: Table, at: Point, words: str) -> Iterator[LayeredText]:
    """The address of a hole: at one of its corners."""
    high = 0.7 * letter_height(table)
    off = table.hole_diameter / 2.0 + 0.57 * high
    for aside, up in ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, 2.5), (1.0, -2.5)):
        corner = (at[0] + aside * off, at[1] + up * off)
        if aside > 0:
            yield LayeredText(LABELS.name, corner, words, high, anchor="left")
        else:
            yield LayeredText(LABELS.name, corner, words, high, anchor="right")


def _along(part: Part, high: float) -> Iterator[LayeredText]:
    """The name of a part: along it, in its middle or nearer to an end, else beside it."""
    ring = part_ring(part)
    turn = (part.turn + 90.0) % 180.0 - 90.0
    c, s = unit(turn)
    runs = [x * c + y * s for x, y in ring]
    offs = [y * c - x * s for x, y in ring]
    middle = (min(offs) + max(offs)) / 2.0
    spots = [
        (min(runs) + share * (max(runs) - min(runs)), middle)
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
    ]
    spots += [(spots[0][0], min(offs) - (k + 0.7) * _LINE * high) for k in range(_FARTHEST)]
    for run, off in spots:
        at = (run * c - off * s, run * s + off * c)
        yield LayeredText(LABELS.name, at, part.name, high, turn)


def _under(job: Job, placed: PlacedPiece) -> Iterator[LayeredText]:
    """The name of a piece: in front of it, behind it, or as many lines away as it takes."""
    table, high = job.table, letter_height(job.table)
    points = [p for s in placed.solids if s.role != "handle" for p in s.points]
    at = [table.at(seat.hole) for seat in placed.placement.seats]
    x1, y1, x2, y2 = bounds(points or at)
    name = title(job, placed.placement.id)
    middle = (x1 + x2) / 2.0
    for k in range(_FARTHEST):
        for y in (y1 - (1.0 + k * _LINE) * high, y2 + (1.0 + k * _LINE) * high):
            yield LayeredText(LABELS.name, (middle, y), name, high)
