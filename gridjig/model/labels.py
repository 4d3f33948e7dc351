"""Addresses as painted on a table: from a hole to its address, and back.

Labels are for display only: nothing here changes a hole, and no other module makes labels.
"""

import re
from typing import Literal

from gridjig.units import ParseError

from .table import Hole, LabelScheme, LabelStyle, Table

GridLine = Literal["column", "row"]

_ALL = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_WITHOUT_I_O = _ALL.replace("I", "").replace("O", "")
_MIXED = re.compile(r"(?P<a>[A-Z]+)[ \-]*(?P<b>[0-9]+)|(?P<c>[0-9]+)[ \-]*(?P<d>[A-Z]+)")
_LIKE = {
    "letters": re.compile(r"([A-Z]+)(?: *[-/,] *| +)([A-Z]+)"),
    "numbers": re.compile(r"([0-9]+)(?: *[-/,] *| +)([0-9]+)"),
}


OFF = "off the table"
"""Shown in place of an address if the table has no such hole."""


def address(table: Table, hole: Hole) -> str:
    """The hole's address as painted on the table, such as H6, 6H or 8-6; OFF if it has none.

    A piece keeps its holes when the table is made smaller, so holes off the table do occur.
    """
    if not table.has(hole):
        return OFF
    scheme = table.labels
    parts = [column_label(table, hole.col), row_label(table, hole.row)]
    if scheme.first == "y":
        parts.reverse()
    return ("-" if scheme.along_x == scheme.along_y else "").join(parts)


def column_label(table: Table, col: int) -> str:
    """The label of a column.  Raises IndexError if the table has no such column."""
    return label(table, "column", col)


def row_label(table: Table, row: int) -> str:
    """The label of a row.  Raises IndexError if the table has no such row."""
    return label(table, "row", row)


def label(table: Table, line: GridLine, index: int) -> str:
    """The label of a column or row.  Raises IndexError if the table does not have it."""
    count = counted(table, line, index)
    scheme = table.labels
    if axis_of(table, line) == "numbers":
        return str(count + scheme.start)
    alphabet, text = _alphabet(scheme), ""
    count += 1
    while count:
        count, letter = divmod(count - 1, len(alphabet))
        text = alphabet[letter] + text
    return text


def counted(table: Table, line: GridLine, index: int) -> int:
    """The position of a column or row in label order, counted from 0.

    It is its own inverse: a position in label order gives the column or row.  Raises IndexError if
    the table does not have it.
    """
    size = table.columns if line == "column" else table.rows
    if not 0 <= index < size:
        raise IndexError(f"the table has no {line} {index}")
    return size - 1 - index if _runs_back(table.labels, line) else index


def axis_of(table: Table, line: GridLine) -> LabelStyle:
    """Whether the columns or rows are labelled with letters or numbers."""
    return table.labels.along_x if line == "column" else table.labels.along_y


def find_line(table: Table, line: GridLine, text: str) -> int:
    """The column or row with that label, in either case.  Raises ParseError, naming the range."""
    made = text.strip().upper()
    index = _index(table, line, made)
    if index is None:
        raise ParseError(text, None, f"the table's {line}s run {_span(table, line)}")
    return index


def find_hole(table: Table, text: str) -> Hole:
    """The hole with an address; capitals, spaces and dashes do not matter.

    If one axis has letters and the other numbers, either may come first.  Raises ParseError, which
    names the range of addresses.
    """
    made = text.strip().upper()
    scheme = table.labels
    if scheme.along_x == scheme.along_y:
        like = _LIKE[scheme.along_x].fullmatch(made)
        if like:
            x, y = like.groups() if scheme.first == "x" else reversed(like.groups())
            return _at(table, text, x, y)
    else:
        match = _MIXED.fullmatch(made)
        if match:
            letters, numbers = match["a"] or match["d"], match["b"] or match["c"]
            if scheme.along_x == "letters":
                return _at(table, text, letters, numbers)
            return _at(table, text, numbers, letters)
    raise ParseError(text, None, f"type a hole such as {_example(table)}; {_range(table)}")


def _at(table: Table, text: str, x: str, y: str) -> Hole:
    col, row = _index(table, "column", x), _index(table, "row", y)
    if col is None or row is None:
        raise ParseError(text, None, f"the table has no such hole; {_range(table)}")
    return Hole(col, row)


def _index(table: Table, line: GridLine, made: str) -> int | None:
    """The column or row with that label; None if there is none."""
    if axis_of(table, line) == "numbers":
        if not re.fullmatch("[0-9]{1,9}", made):
            return None
        count = int(made) - table.labels.start
    else:
        alphabet = _alphabet(table.labels)
        if not 1 <= len(made) <= 3 or any(letter not in alphabet for letter in made):
            return None
        count = 0
        for letter in made:
            count = count * len(alphabet) + alphabet.index(letter) + 1
        count -= 1
    size = table.columns if line == "column" else table.rows
    return counted(table, line, count) if 0 <= count < size else None


def _alphabet(scheme: LabelScheme) -> str:
    return _WITHOUT_I_O if scheme.skip_i_o else _ALL


def _runs_back(scheme: LabelScheme, line: GridLine) -> bool:
    return scheme.zero.endswith("right") if line == "column" else scheme.zero.startswith("back")


def _example(table: Table) -> str:
    return address(table, Hole(table.columns // 2, table.rows // 2))


def _span(table: Table, line: GridLine) -> str:
    """The range of labels in counting order, and the letters left out."""
    last = (table.columns if line == "column" else table.rows) - 1
    first, end = (label(table, line, counted(table, line, at)) for at in (0, last))
    skips = table.labels.skip_i_o and axis_of(table, line) == "letters" and last > 7
    return f"from {first} to {end}" + (" without I and O" if skips else "")


def _range(table: Table) -> str:
    return f"columns run {_span(table, 'column')} and rows {_span(table, 'row')}"
