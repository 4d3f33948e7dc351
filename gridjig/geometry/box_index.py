"""Finds which of many boxes touch another: a coarse grid of squares, each with the boxes in it.

It only narrows the search; the caller examines the few boxes that are left.
"""

import math
from collections.abc import Hashable
from typing import Generic, TypeVar

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

CELL = 200.0
"""Side of a square in mm: about the size of a piece, so that each piece lies in few squares."""

WIDE = 400
"""A box over more squares than this (4 m square) is kept separately and always tested."""

BoxKey = TypeVar("BoxKey", bound=Hashable)


class BoxIndex(Generic[BoxKey]):
    """Boxes by key; the keys are the caller's.  `cell` is the side of a square."""

    def __init__(self, cell: float = CELL) -> None:
        self._side = cell
        self._boxes: dict[BoxKey, Box] = {}
        self._cells: dict[tuple[int, int], set[BoxKey]] = {}
        self._wide: set[BoxKey] = set()

    def put(self, key: BoxKey, box: Box) -> None:
        """Add a box, or replace the one with that key."""
        self.drop(key)
        self._boxes[key] = box
        if self._squares(box) > WIDE:
            self._wide.add(key)
            return
        for cell in self._cells_of(box):
            self._cells.setdefault(cell, set()).add(key)

    def drop(self, key: BoxKey) -> None:
        """Remove a box, if there is one with that key."""
        box = self._boxes.pop(key, None)
        if key in self._wide:
            self._wide.discard(key)
        elif box is not None:
            for cell in self._cells_of(box):
                here = self._cells[cell]
                here.discard(key)
                if not here:
                    del self._cells[cell]

    def touching(self, box: Box) -> list[BoxKey]:
        """Keys of the boxes that touch or overlap this one, in no particular order."""
        found = set(self._wide)
        if self._squares(box) >= len(self._cells):
            found.update(self._boxes)
        else:
            for cell in self._cells_of(box):
                found |= self._cells.get(cell, set())
        return [key for key in found if touch(self._boxes[key], box)]

    def _span(self, box: Box) -> tuple[int, int, int, int]:
        side = self._side
        x1, y1, x2, y2 = box
        return (
            math.floor(x1 / side),
            math.floor(y1 / side),
            math.floor(x2 / side),
            math.floor(y2 / side),
        )

    def _squares(self, box: Box) -> int:
        """The number of squares a box lies in."""
        x1, y1, x2, y2 = self._span(box)
        return (x2 - x1 + 1) * (y2 - y1 + 1)

    def _cells_of(self, box: Box) -> list[tuple[int, int]]:
        x1, y1, x2, y2 = self._span(box)
        return [(x, y) for x in range(x1, x2 + 1) for y in range(y1, y2 + 1)]


def touch(one: Box, two: Box, margin: float = 0.0) -> bool:
    """True if a box, enlarged by `margin` mm on every side, touches or overlaps another."""
    across = one[0] - margin <= two[2] and one[2] + margin >= two[0]
    return across and one[1] - margin <= two[3] and one[3] + margin >= two[1]
