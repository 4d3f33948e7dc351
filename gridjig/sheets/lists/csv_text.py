"""Comma-separated values whose cells a spreadsheet shows and never evaluates.

A cell that begins with = + - or @ is a formula to a spreadsheet, even if it is the name of a piece
in somebody else's file.  A leading apostrophe makes it text; numbers stay numbers.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_FORMULA = re.compile(r"[ \r\n]*[=+\-@\t\uff1d\uff0b\uff0d\uff20]")
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?")


def csv_text(rows: Iterable[Sequence[object]], line_end: str = "\r\n") -> str:
    """Return the rows as comma-separated values (RFC 4180)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator=line_end)
    writer.writerows([harmless(str(cell)) for cell in row] for row in rows)
    return out.getvalue()


def harmless(cell: str) -> str:
    """Return the cell, with a leading apostrophe if a spreadsheet would evaluate it."""
    if _FORMULA.match(cell) and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell
