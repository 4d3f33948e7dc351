"""One entry of a list as a value, the orders in which entries can be shown, and the entries as a
table to copy.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Literal

from msgspec import Struct, structs

from gridjig.checks.finding import LEVELS
from gridjig.sheets.text.list_line import LineLevel
from gridjig.sheets.text.sorting import measured, natural

ListOrder = Literal["listed", "name", "right", "level"]
"""As the list has them, by head, by what is to the right, or the worst first."""

_WORST = (*LEVELS, "")


class ListEntry(Struct, frozen=True):
    """One entry: `ids` are what it selects; a heading has no ids and only its `head`.

    `brief`, if there is one, is shown instead of `under` while the entry is not the current one.
    A list with columns shows the `cells` instead of the other texts, if there are any.
    """

    key: str
    head: str
    under: str = ""
    right: str = ""
    level: LineLevel = ""
    ids: tuple[str, ...] = ()
    heading: bool = False
    spoken: str = ""
    brief: str = ""
    cells: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """Return the entry as one text."""
        return self.spoken or ", ".join(t for t in (self.head, self.right, self.under) if t)


def in_order(entries: Iterable[ListEntry], order: ListOrder) -> tuple[ListEntry, ...]:
    """Return the entries in an order.

    Sorted entries have no headings between them: each says in front of what is below it which
    heading it stood under.  Entries that compare equal stay as the list has them.
    """
    given = tuple(entries)
    if order == "listed":
        return given
    flat = [
        structs.replace(entry, under=" · ".join(t for t in (group, entry.under) if t))
        for group, entry in _grouped(given)
    ]
    if order == "level":
        return tuple(sorted(flat, key=lambda entry: _WORST.index(entry.level)))
    if order == "right":
        # What has nothing to the right comes last.
        return tuple(sorted(flat, key=lambda entry: (not entry.right, measured(entry.right))))
    return tuple(sorted(flat, key=lambda entry: natural(entry.head)))


def no_more(_: ListEntry) -> tuple[str, ...]:
    """Return no cells besides those that are shown."""
    return ()


def as_table(
    entries: Sequence[ListEntry], more: Callable[[ListEntry], tuple[str, ...]] = no_more
) -> str:
    """Return entries as lines of cells with tabs between them, as spreadsheets paste them.

    The cells are the heading that an entry stands under, if there are any headings, its own cells,
    or else its head and what is to its right, what is below it, and `more`.
    """
    headed = any(entry.heading for entry in entries)
    rows = [
        (
            *((group,) if headed else ()),
            *(entry.cells or (entry.head, entry.right)),
            entry.under,
            *more(entry),
        )
        for group, entry in _grouped(entries)
    ]
    return "\n".join("\t".join(" ".join(cell.split()) for cell in row) for row in rows)


def _grouped(entries: Iterable[ListEntry]) -> list[tuple[str, ListEntry]]:
    """Return each entry that is no heading, after the heading that it stands under."""
    found: list[tuple[str, ListEntry]] = []
    group = ""
    for entry in entries:
        if entry.heading:
            group = entry.head
        else:
            found.append((group, entry))
    return found
