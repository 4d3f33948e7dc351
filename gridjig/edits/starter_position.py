"""The default position of a standard weldment on the table: free, and near the middle."""

from collections.abc import Sequence

from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Part
from gridjig.model.titles import title


def box_of(parts: Sequence[Part]) -> Box:
    """The bounding box of parts in plan, mm.  Raises ValueError if there are none."""
    if not parts:
        raise ValueError("there are no parts")
    return bounds([p for part in parts for p in part_ring(part)])


def free_corner(job: Job, parts: Sequence[Part]) -> Hole:
    """The hole for the front left corner of these parts: clear of others, nearest to the middle.

    If no hole is clear of others, the one that puts them nearest to the middle of the table.
    """
    table = job.table
    x0, y0, x1, y1 = box_of(parts)
    wide, deep = x1 - x0, y1 - y0
    there = [box_of((part,)) for part in job.parts]

    def rank(hole: Hole) -> tuple[object, ...]:
        x, y = table.at(hole)
        box = (x, y, x + wide, y + deep)
        over = max(0.0, box[2] - table.width) + max(0.0, box[3] - table.depth)
        taken = sum(_meet(box, other) for other in there)
        dx, dy = x + wide / 2.0 - table.width / 2.0, y + deep / 2.0 - table.depth / 2.0
        return (round(over, 3), taken, round(dx * dx + dy * dy, 3), hole)

    every = (Hole(col, row) for col in range(table.columns) for row in range(table.rows))
    return min(every, key=rank)


def place_warning(job: Job, parts: Sequence[Part]) -> str:
    """A warning about parts that lie so on the table; "" if there is nothing to warn about."""
    table = job.table
    x0, y0, x1, y1 = box_of(parts)
    if x0 < -1e-6 or y0 < -1e-6 or x1 > table.width + 1e-6 or y1 > table.depth + 1e-6:
        return "It overhangs the edge of the table."
    met = [part.id for part in job.parts if _meet((x0, y0, x1, y1), box_of((part,)))]
    return f"It is close to, or on top of, {title(job, met[0])}." if met else ""


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
