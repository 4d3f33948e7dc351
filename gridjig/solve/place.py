"""May a hole be used at all: is it on the table, open and whole.  Not: is it free."""

from gridjig.model import Hole, HoleMark, Table
from gridjig.model.labels import address
from gridjig.model.marks import mark_index
from gridjig.units import Display, format_length


def hole_fault(table: Table, hole: Hole) -> str | None:
    """Why no pin can stand in the hole, in one sentence; None if one can."""
    if not table.has(hole):
        return off_table(table, hole)
    mark = mark_index(table).get(hole)
    return None if mark is None else _fault(table, mark)


def tell_holes(
    table: Table, holes: tuple[Hole, ...], display: Display
) -> tuple[str | None, tuple[str, ...]]:
    """The first fault of several holes, and all that is to be minded about those that can be used.

    How long a pin is no piece tells, so whether a shallow hole will do is left to the person.
    """
    fault = next((off_table(table, hole) for hole in holes if not table.has(hole)), None)
    if not table.marks:
        return fault, ()
    index = mark_index(table)
    marks = [mark for mark in map(index.get, holes) if mark is not None]
    faults = (_fault(table, mark) for mark in marks)
    cautions = (_caution(table, mark, display) for mark in marks)
    return (
        fault or next((f for f in faults if f is not None), None),
        tuple(c for c in cautions if c is not None),
    )


def _fault(table: Table, mark: HoleMark) -> str | None:
    if mark.state not in ("blocked", "damaged"):
        return None
    return f"Hole {address(table, mark.hole)} is {mark.state}."


def _caution(table: Table, mark: HoleMark, display: Display) -> str | None:
    hole = mark.hole
    if mark.state not in ("shallow", "reserved"):
        return None
    if mark.state == "reserved":
        return f"Hole {address(table, hole)} is reserved."
    deep = format_length(mark.size, display)
    return f"Hole {address(table, hole)} is only {deep} deep; the pin must be shorter."


def off_table(table: Table, hole: Hole) -> str:
    """Says past which edges of the grid a hole would lie, and by how many."""
    over = (
        (hole.col - table.columns + 1, "right"),
        (-hole.col, "left"),
        (hole.row - table.rows + 1, "back"),
        (-hole.row, "front"),
    )
    past = " and ".join(
        f"{n} {'hole' if n == 1 else 'holes'} past its {edge} edge" for n, edge in over if n > 0
    )
    return f"A pin would stand off the table, {past}."
