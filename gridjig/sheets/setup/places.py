"""Finds room for labels on a drawing, so that no two of them overlap."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gridjig.geometry.box_index import Box

_CELL = 12.0
"""Side of a cell of the index, mm on paper: a little more than most labels are wide."""


class Occupied:
    """Boxes that are taken on a page, mm, found by cells."""

    def __init__(self) -> None:
        self._cells: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)

    def take(self, box: Box) -> None:
        """Note that a box is taken."""
        for cell in _cells(box):
            self._cells[cell].append(box)

    def free(self, box: Box) -> bool:
        """True if nothing taken overlaps a box; boxes that only touch do not."""
        x0, y0, x1, y1 = box
        cells = self._cells
        for cell in _cells(box):
            for u0, v0, u1, v1 in cells.get(cell, ()):
                if u0 < x1 and x0 < u1 and v0 < y1 and y0 < v1:
                    return False
        return True

    def count(self, box: Box) -> int:
        """How many of the boxes taken overlap a box."""
        x0, y0, x1, y1 = box
        found = {
            one
            for cell in _cells(box)
            for one in self._cells.get(cell, ())
            if one[0] < x1 and x0 < one[2] and one[1] < y1 and y0 < one[3]
        }
        return len(found)


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    x0, y0, x1, y1 = (int(v // _CELL) for v in box)
    for x in range(x0, x1 + 1):
        for y in range(y0, y1 + 1):
            yield (x, y)


def spread(places: Iterable[float], apart: float, low: float, high: float) -> list[float] | None:
    """Move sorted places as little as needed to be `apart`, between two ends.

    None if there is not room for all of them.
    """
    wanted = list(places)
    if (len(wanted) - 1) * apart > high - low + 1e-9:
        return None
    made: list[float] = []
    for place in wanted:
        made.append(max(place, low if not made else made[-1] + apart))
    limit = high
    for k in range(len(made) - 1, -1, -1):
        made[k] = min(made[k], limit)
        limit = made[k] - apart
    return made
