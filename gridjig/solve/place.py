"""May a hole be used at all: is it on the table, open and whole.  Not: is it free."""

from gridjig.model import Hole, Table
from gridjig.model.labels import address
from gridjig.model.marks import mark_index
from gridjig.units import Display, format_length


def hole_fault(table: Table, hole: Hole) -> str | None:
    """Why no pin can stand in the hole, in one sentence; None if one can."""
    if not table.has(hole):
        return off_table(table, hole)
    mark = mark_index(table).get(hole)
    if mark is None or mark.state not in ("blocked", "damaged"):
        return None
    return f"Hole {address(table, hole)} is {mark.state}."


def hole_caution(table: Table, hole: Hole, display: Display) -> str | None:
    """What to mind about a hole that can be used: how deep it is, or that it is kept back.

    How long a pin is no piece tells, so whether a shallow hole will do is left to the person.
    """
    mark = mark_index(table).get(hole)
    if mark is None or mark.state not in ("shallow", "reserved"):
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
