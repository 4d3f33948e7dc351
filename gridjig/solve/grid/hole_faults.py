"""Whether a hole can be used at all: on the table, open and whole.  Not whether it is taken."""

from gridjig.model import Hole, HoleMark, Table
from gridjig.model.labels import address
from gridjig.model.marks import mark_index


def hole_fault(table: Table, hole: Hole) -> str | None:
    """Why the hole takes no pin, in one sentence; None if it does."""
    if not table.has(hole):
        return off_table(table, hole)
    mark = mark_index(table).get(hole)
    return _fault(table, mark) if mark is not None and mark.closed else None


def holes_fault(table: Table, holes: tuple[Hole, ...]) -> str | None:
    """The first fault of several holes, those off the table first; None if all are good.

    Pieces do not say how long their pins are, so the person decides whether a shallow hole will do.
    """
    fault = next((off_table(table, hole) for hole in holes if not table.has(hole)), None)
    if fault is not None or not table.marks:
        return fault
    index = mark_index(table)
    marks = (mark for mark in map(index.get, holes) if mark is not None)
    return next((_fault(table, mark) for mark in marks if mark.closed), None)


def _fault(table: Table, mark: HoleMark) -> str:
    return f"Hole {address(table, mark.hole)} is {mark.state}."


def off_table(table: Table, hole: Hole) -> str:
    """A sentence that says which edges of the grid a hole would lie past, and by how many holes."""
    beyond = (
        (hole.col - table.columns + 1, "right"),
        (-hole.col, "left"),
        (hole.row - table.rows + 1, "back"),
        (-hole.row, "front"),
    )
    past = " and ".join(
        f"{n} {'hole' if n == 1 else 'holes'} past its {edge} edge" for n, edge in beyond if n > 0
    )
    return f"A pin would be off the table, {past}."
