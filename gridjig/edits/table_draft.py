"""The numbers of a table while they are being typed, when they may contradict each other.

It says what contradicts what, with the largest value that fits, and makes the table when all agree.
"""

import math
from collections.abc import Collection

from msgspec import Struct, structs

from gridjig.model import Table
from gridjig.model.table import MOST
from gridjig.units import Display, format_length
from gridjig.units.limits import fault_of

from .table import keep_marks

SLACK = 1e-6


class TableDraft(Struct, frozen=True):
    """The numbers of a table, each valid by itself; lengths in mm, density in kg/m3."""

    width: float
    depth: float
    thickness: float
    pitch_x: float
    pitch_y: float
    columns: int
    rows: int
    first_x: float
    first_y: float
    hole_diameter: float
    hole_tolerance: float
    density: float


def draft_of(table: Table) -> TableDraft:
    """The numbers of a table."""
    return TableDraft(**{name: getattr(table, name) for name in TableDraft.__struct_fields__})


def with_number(plate: TableDraft, name: str, value: float) -> TableDraft:
    """The draft with one number changed."""
    numbers = {key: getattr(plate, key) for key in TableDraft.__struct_fields__}
    numbers[name] = round(value) if name in ("columns", "rows") else float(value)
    return TableDraft(**numbers)


def most(size: float, first: float, pitch: float) -> int:
    """How many holes fit between the first one and the edge; 0 if not even the first."""
    if first > size + SLACK:
        return 0
    return min(MOST, math.floor((size - first + SLACK) / pitch) + 1)


def faults(plate: TableDraft, display: Display) -> dict[str, str]:
    """What is wrong with the numbers: a sentence by the name of the number."""

    def say(mm: float) -> str:
        return format_length(mm, display)

    found: dict[str, str] = {}
    for name in TableDraft.__struct_fields__:
        beyond = fault_of(Table, name, getattr(plate, name), display)
        if beyond:
            found[name] = f"{beyond[0].upper()}{beyond[1:]}."
    if found:
        return found
    pitch = min(plate.pitch_x, plate.pitch_y)
    if plate.hole_diameter >= pitch:
        found["hole_diameter"] = (
            f"Holes {say(plate.hole_diameter)} wide overlap at {say(pitch)} pitch;"
            f" they must be smaller than {say(pitch)}."
        )
    if 2.0 * plate.hole_tolerance >= pitch:
        found["hole_tolerance"] = f"The tolerance must be less than half the pitch of {say(pitch)}."
    for line, size_word, size, first, step, count, first_name in (
        ("columns", "width", plate.width, plate.first_x, plate.pitch_x, plate.columns, "first_x"),
        ("rows", "depth", plate.depth, plate.first_y, plate.pitch_y, plate.rows, "first_y"),
    ):
        fits = most(size, first, step)
        if not fits:
            found[first_name] = (
                f"The first hole is off the plate; at most {say(size)} fits its {size_word}."
            )
        elif count > fits:
            found[line] = (
                f"{count} {line} do not fit; at most {fits} fit the {size_word} of {say(size)}"
                f" at {say(step)} pitch from {say(first)}."
            )
    return found


def filled(plate: TableDraft, kept: Collection[str] = ()) -> TableDraft:
    """The draft with as many holes as fit at its pitch; at least one each way.

    They are centred, at least half a pitch from the edges.  With "first_x" or "first_y" among
    `kept`, the first hole stays where it is that way, and the last one is no nearer to the far edge
    than the first is to the near one, or than half a pitch if that is less.
    """

    def fill(size: float, pitch: float, first: float, stays: bool) -> tuple[int, float]:
        if not stays:
            count = min(MOST, max(1, math.floor((size + SLACK) / pitch)))
            return count, (size - (count - 1) * pitch) / 2
        margin = min(max(first, plate.hole_diameter / 2), pitch / 2)
        return max(1, most(size - margin, first, pitch)), first

    columns, first_x = fill(plate.width, plate.pitch_x, plate.first_x, "first_x" in kept)
    rows, first_y = fill(plate.depth, plate.pitch_y, plate.first_y, "first_y" in kept)
    return structs.replace(plate, columns=columns, rows=rows, first_x=first_x, first_y=first_y)


def made(table: Table, plate: TableDraft) -> Table:
    """The table with these numbers, and the marks for which it still has holes.

    Raises ValueError if the numbers contradict each other.
    """
    numbers = {name: getattr(plate, name) for name in TableDraft.__struct_fields__}
    bare = structs.replace(table, **numbers, marks=())
    return keep_marks(bare, table.marks)


def mass(table: Table) -> float:
    """The mass of the plate without its holes, kg, excluding legs and ribs."""
    hole = math.pi * table.hole_diameter**2 / 4
    area = table.width * table.depth - table.columns * table.rows * hole
    return area * table.thickness * table.density * 1e-9
