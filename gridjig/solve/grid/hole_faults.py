"""Whether a hole can be used at all: on the table, open and whole.  Not whether it is taken."""

from typing import Literal

from msgspec import Struct

from gridjig.model import Hole, HoleMark, HoleState, Table
from gridjig.model.marks import mark_index

TableEdge = Literal["left", "right", "front", "back"]


class OffTable(Struct, frozen=True):
    """A hole that the table does not have: how many holes it lies past which edges of the grid."""

    hole: Hole
    past: tuple[tuple[int, TableEdge], ...]


class ClosedHole(Struct, frozen=True):
    """A hole whose mark says that it takes no pin."""

    hole: Hole
    state: HoleState


HoleFault = OffTable | ClosedHole


def hole_fault(table: Table, hole: Hole) -> HoleFault | None:
    """Why the hole takes no pin; None if it does."""
    if not table.has(hole):
        return off_table(table, hole)
    mark = mark_index(table).get(hole)
    return _closed(mark) if mark is not None and mark.closed else None


def holes_fault(table: Table, holes: tuple[Hole, ...]) -> HoleFault | None:
    """The first fault of several holes, those off the table first; None if all are good.

    A shallow hole is none: whether a pin goes in far enough is a question of its own, which the
    checks answer (`checks/pin_depth.py`).
    """
    fault = next((off_table(table, hole) for hole in holes if not table.has(hole)), None)
    if fault is not None or not table.marks:
        return fault
    index = mark_index(table)
    marks = (mark for mark in map(index.get, holes) if mark is not None)
    return next((_closed(mark) for mark in marks if mark.closed), None)


def _closed(mark: HoleMark) -> ClosedHole:
    return ClosedHole(mark.hole, mark.state)


def off_table(table: Table, hole: Hole) -> OffTable:
    """Past which edges of the grid a hole would lie, and by how many holes."""
    beyond: tuple[tuple[int, TableEdge], ...] = (
        (hole.col - table.columns + 1, "right"),
        (-hole.col, "left"),
        (hole.row - table.rows + 1, "back"),
        (-hole.row, "front"),
    )
    return OffTable(hole, tuple((n, edge) for n, edge in beyond if n > 0))
