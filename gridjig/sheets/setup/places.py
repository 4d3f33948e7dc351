"""Finds room for labels on a drawing, so that no two of them overlap."""

from collections import defaultdict
from collections.abc import Iterable

from gridjig.geometry.box_index import Box

_CELL = 12.0
"""Side of a cell of the index, mm on paper: a little more than most labels are wide."""


class Occupied:
    """Boxes that are taken on a page, mm, found by cells."""

    def __init__(self) -> None:
        self._cells: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)

    def take(self, box: Box) -> None:
        """Note that a box is taken."""
        x0, y0, x1, y1 = box
        for x in range(int(x0 // _CELL), int(x1 // _CELL) + 1):
            for y in range(int(y0 // _CELL), int(y1 // _CELL) + 1):
                self._cells[x, y].append(box)

    def free(self, box: Box) -> bool:
        """True if nothing taken overlaps a box; boxes that only touch do not."""
        x0, y0, x1, y1 = box
        cells, top, bottom = self._cells, int(y0 // _CELL), int(y1 // _CELL)
        for x in range(int(x0 // _CELL), int(x1 // _CELL) + 1):
            for y in range(top, bottom + 1):
                for u0, v0, u1, v1 in cells.get((x, y), ()):
                    if u0 < x1 and x0 < u1 and v0 < y1 and y0 < v1:
                        return False
        return True

    def count(self, box: Box) -> int:
        """How many of the boxes taken overlap a box."""
        x0, y0, x1, y1 = box
        found = set()
        for x in range(int(x0 // _CELL), int(x1 // _CELL) + 1):
            for y in range(int(y0 // _CELL), int(y1 // _CELL) + 1):
                for one in self._cells.get((x, y), ()):
                    if one[0] < x1 and x0 < one[2] and one[1] < y1 and y0 < one[3]:
                        found.add(one)
        return len(found)


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
