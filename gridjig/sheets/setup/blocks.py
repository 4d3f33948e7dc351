"""What a sheet says, before it is broken into pages: headings, notes, tables."""

from typing import Literal

from msgspec import Struct

ColumnKind = Literal["text", "tick", "blank"]
"""`tick`: a box to tick in every row; `blank`: room to write in."""


class SheetColumn(Struct, frozen=True):
    """A column of a table: its heading, its share of the width, what stands in it.

    `key`: in large bold letters, to be read at arm's length.  `right`: figures, aligned right.
    """

    title: str
    share: float
    kind: ColumnKind = "text"
    key: bool = False
    right: bool = False


class Row(Struct, frozen=True):
    """A row: a text for each column of text, in order; or one text right across if it is a `stop`.

    A stop is something to do between two rows, such as a check.
    """

    cells: tuple[str, ...]
    stop: bool = False


class Heading(Struct, frozen=True):
    """The title of a section; it stays with what follows."""

    words: str


class Note(Struct, frozen=True):
    """A paragraph."""

    words: str
    bold: bool = False


class SheetTable(Struct, frozen=True):
    """Rows under column headings, which are repeated on every page that the table reaches."""

    columns: tuple[SheetColumn, ...]
    rows: tuple[Row, ...]


SheetBlock = Heading | Note | SheetTable
