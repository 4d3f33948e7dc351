"""The cut list on a sheet."""

from msgspec import structs

from gridjig.sheets.lists.cut_list import (
    WELDMENT_HEADINGS,
    CutList,
    cells,
    cut_list,
    totals_in_words,
    weldment_cells,
)
from gridjig.units import format_count, mass_words

from .blocks import Heading, Note, Row, SheetBlock, SheetColumn, SheetTable
from .facts import SheetFacts

COLUMNS = (
    SheetColumn("Cut", 0.6, kind="tick"),
    SheetColumn("Members", 2.4),
    SheetColumn("Section", 2.4),
    SheetColumn("Long point", 1.2),
    SheetColumn("Short point", 1.2),
    SheetColumn("Cuts", 2.4),
    SheetColumn("Count", 0.7, key=True),
    SheetColumn("Hand", 1.0),
    SheetColumn("Mass each", 1.0),
)


def _table(cuts: CutList) -> SheetTable:
    """The list with as few columns as say all: the hand only where there is one."""
    rows = [
        (members, f"{section} {stock}", long, short, ends, count, hand, each)
        for members, section, stock, long, short, ends, count, hand, each, _ in cells(cuts)
    ]
    handed = any(row[6] for row in rows)
    columns = tuple(
        structs.replace(one, title=mass_words(one.title, cuts.display))
        for one in COLUMNS
        if handed or one.title != "Hand"
    )
    return SheetTable(columns, tuple(Row(row if handed else (*row[:6], *row[7:])) for row in rows))


def cut_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """What to saw from which stock."""
    cuts = cut_list(facts.job)
    if not cuts.lines:
        return []
    totals = "; ".join(
        f"{section}: {length}, {mass}" for section, _, length, mass in totals_in_words(cuts)
    )
    note = f"{format_count(cuts.count)} pieces, {facts.shown.mass(cuts.mass)}. Kerf not included."
    if totals:
        note += f" Lengths to long point by section: {totals}."
    blocks: list[SheetBlock] = [
        Heading("Cut list"),
        Note(note),
        _table(cuts),
    ]
    made = weldment_cells(cuts)
    if made:
        columns = tuple(
            SheetColumn(mass_words(head, cuts.display), 1.0 if k else 2.0)
            for k, head in enumerate(WELDMENT_HEADINGS)
        )
        blocks.append(SheetTable(columns, tuple(Row(row) for row in made)))
    return blocks
