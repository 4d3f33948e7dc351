"""The default position of a standard weldment on the table: free, and near the middle."""

from collections.abc import Sequence

from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Part
from gridjig.model.titles import title

_TOUCHING = 1e-6
"""Faces no farther apart than this touch, mm: sums of lengths carry binary noise."""


def box_of(parts: Sequence[Part]) -> Box:
    """The bounding box of parts in plan, mm.  Raises ValueError if there are none."""
    if not parts:
        raise ValueError("there are no parts")
    return bounds([p for part in parts for p in part_ring(part)])


def free_corner(job: Job, parts: Sequence[Part]) -> Hole:
    """The hole for the front left corner of these parts: clear of others, nearest to the middle.

    Clear is a hole pitch away, so that stops fit between two weldments; if no hole leaves that,
    apart; if none does, the one that puts them nearest to the middle of the table.
    """
    table = job.table
    x0, y0, x1, y1 = box_of(parts)
    wide, deep = x1 - x0, y1 - y0
    there = [box_of((part,)) for part in job.parts]
    room = min(table.pitch_x, table.pitch_y) - _TOUCHING

    def rank(hole: Hole) -> tuple[object, ...]:
        x, y = table.at(hole)
        box = (x, y, x + wide, y + deep)
        over = max(0.0, box[2] - table.width) + max(0.0, box[3] - table.depth)
        taken = sum(_meet(box, other) for other in there)
        close = sum(_meet(box, other, room) for other in there)
        dx, dy = x + wide / 2.0 - table.width / 2.0, y + deep / 2.0 - table.depth / 2.0
        return (round(over, 3), taken, close, round(dx * dx + dy * dy, 3), hole)

    every = (Hole(col, row) for col in range(table.columns) for row in range(table.rows))
    return min(every, key=rank)


def place_warning(job: Job, parts: Sequence[Part]) -> str:
    """A warning about parts that lie so on the table; "" if there is nothing to warn about."""
    table = job.table
    x0, y0, x1, y1 = box_of(parts)
    if x0 < -1e-6 or y0 < -1e-6 or x1 > table.width + 1e-6 or y1 > table.depth + 1e-6:
        return "It overhangs the edge of the table."
    met = [part.id for part in job.parts if _meet((x0, y0, x1, y1), box_of((part,)), _TOUCHING)]
    return f"It is close to, or on top of, {title(job, met[0])}." if met else ""


def _meet(a: Box, b: Box, room: float = 0.0) -> bool:
    """Whether two boxes are less than `room` apart, mm; at 0, whether they overlap."""
    return a[0] < b[2] + room and b[0] < a[2] + room and a[1] < b[3] + room and b[1] < a[3] + room
