"""Finds which of many boxes touch another: a coarse grid of squares, each with the boxes in it.

It only narrows the search; the caller examines the few boxes that are left.
"""

from collections.abc import Hashable
from typing import Generic, TypeVar

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

CELL = 200.0
"""Side of a square in mm: about the size of a piece, so that each piece lies in few squares."""

WIDE = 400
"""A box over more squares than this (4 m square) is kept separately and always tested."""

BoxKey = TypeVar("BoxKey", bound=Hashable)

SquareSpan = tuple[int, int, int, int]
"""The least and greatest column and row of the squares that a box lies in: x, y, then x, y."""


class BoxIndex(Generic[BoxKey]):
    """Boxes by key; the keys are the caller's.  `cell` is the side of a square."""

    def __init__(self, cell: float = CELL) -> None:
        self._side = cell
        self._boxes: dict[BoxKey, Box] = {}
        self._cells: dict[tuple[int, int], dict[BoxKey, Box]] = {}
        self._wide: dict[BoxKey, Box] = {}

    def put(self, key: BoxKey, box: Box) -> None:
        """Add a box, or replace the one with that key."""
        self.drop(key)
        self._boxes[key] = box
        span = self._span(box)
        if _squares(span) > WIDE:
            self._wide[key] = box
            return
        for cell in _cells_of(span):
            self._cells.setdefault(cell, {})[key] = box

    def drop(self, key: BoxKey) -> None:
        """Remove a box, if there is one with that key."""
        box = self._boxes.pop(key, None)
        if self._wide.pop(key, None) is None and box is not None:
            for cell in _cells_of(self._span(box)):
                here = self._cells[cell]
                del here[key]
                if not here:
                    del self._cells[cell]

    def touching(self, box: Box) -> list[BoxKey]:
        """Keys of the boxes that touch or overlap this one, in no particular order."""
        x1, y1, x2, y2 = box
        near = self._near(box)
        found = [
            key
            for some in near
            for key, (u1, v1, u2, v2) in some.items()
            if u1 <= x2 and x1 <= u2 and v1 <= y2 and y1 <= v2
        ]
        # A box that lies in several squares is found in each of them.
        return found if len(near) == 1 else list(dict.fromkeys(found))

    def any_touching(self, box: Box) -> bool:
        """True if any box touches or overlaps this one."""
        x1, y1, x2, y2 = box
        for some in self._near(box):
            for u1, v1, u2, v2 in some.values():
                if u1 <= x2 and x1 <= u2 and v1 <= y2 and y1 <= v2:
                    return True
        return False

    def _near(self, box: Box) -> list[dict[BoxKey, Box]]:
        """Return groups of boxes; every box that may touch this one is in at least one of them."""
        span = self._span(box)
        cells = self._cells
        if _squares(span) >= len(cells):
            return [self._boxes]
        near = [cells[cell] for cell in _cells_of(span) if cell in cells]
        return [*near, self._wide] if self._wide else near

    def _span(self, box: Box) -> SquareSpan:
        side = self._side
        x1, y1, x2, y2 = box
        return (int(x1 // side), int(y1 // side), int(x2 // side), int(y2 // side))


def _squares(span: SquareSpan) -> int:
    """The number of squares in a span."""
    x1, y1, x2, y2 = span
    return (x2 - x1 + 1) * (y2 - y1 + 1)


def _cells_of(span: SquareSpan) -> list[tuple[int, int]]:
    x1, y1, x2, y2 = span
    if x1 == x2 and y1 == y2:
        return [(x1, y1)]
    return [(x, y) for x in range(x1, x2 + 1) for y in range(y1, y2 + 1)]


def touch(one: Box, two: Box, margin: float = 0.0) -> bool:
    """True if a box, enlarged by `margin` mm on every side, touches or overlaps another."""
    across = one[0] - margin <= two[2] and one[2] + margin >= two[0]
    return across and one[1] - margin <= two[3] and one[3] + margin >= two[1]
