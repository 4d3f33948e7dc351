"""Which of many boxes may touch another one: a coarse grid of squares, each with who is in it.

It only narrows down; whoever asks looks at the few that are left.  Knows nothing of what the boxes
are round.
"""

import math
from collections.abc import Hashable
from typing import Generic, TypeVar

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

CELL = 200.0
"""Side of a square in mm: about as large as a piece, so that one lies in few squares."""

WIDE = 400
"""A box over more squares than this (4 m square) is kept apart and asked each time."""

BoxKey = TypeVar("BoxKey", bound=Hashable)


class BoxIndex(Generic[BoxKey]):
    """Boxes by a key of whoever uses them."""

    def __init__(self) -> None:
        self._boxes: dict[BoxKey, Box] = {}
        self._cells: dict[tuple[int, int], set[BoxKey]] = {}
        self._wide: set[BoxKey] = set()

    def put(self, key: BoxKey, box: Box) -> None:
        """Add a box, in the place of the one that the key had."""
        self.drop(key)
        self._boxes[key] = box
        if _squares(box) > WIDE:
            self._wide.add(key)
            return
        for cell in _cells(box):
            self._cells.setdefault(cell, set()).add(key)

    def drop(self, key: BoxKey) -> None:
        """Take a box away; nothing happens if there is none."""
        box = self._boxes.pop(key, None)
        if key in self._wide:
            self._wide.discard(key)
        elif box is not None:
            for cell in _cells(box):
                here = self._cells[cell]
                here.discard(key)
                if not here:
                    del self._cells[cell]

    def touching(self, box: Box) -> list[BoxKey]:
        """Keys of the boxes that have at least a point in common with this one, in no order."""
        found = set(self._wide)
        if _squares(box) >= len(self._cells):
            found.update(self._boxes)
        else:
            for cell in _cells(box):
                found |= self._cells.get(cell, set())
        return [key for key in found if touch(self._boxes[key], box)]


def touch(one: Box, two: Box, out: float = 0.0) -> bool:
    """True if a box, made larger by `out` all round, has a point in common with another."""
    across = one[0] - out <= two[2] and one[2] + out >= two[0]
    return across and one[1] - out <= two[3] and one[3] + out >= two[1]


def _span(box: Box) -> tuple[int, int, int, int]:
    x1, y1, x2, y2 = box
    return (
        math.floor(x1 / CELL),
        math.floor(y1 / CELL),
        math.floor(x2 / CELL),
        math.floor(y2 / CELL),
    )


def _squares(box: Box) -> int:
    """How many squares a box lies in."""
    x1, y1, x2, y2 = _span(box)
    return (x2 - x1 + 1) * (y2 - y1 + 1)


def _cells(box: Box) -> list[tuple[int, int]]:
    x1, y1, x2, y2 = _span(box)
    return [(x, y) for x in range(x1, x2 + 1) for y in range(y1, y2 + 1)]
