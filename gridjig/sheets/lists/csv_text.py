"""Comma-separated values whose cells a spreadsheet shows and never works out.

A cell that begins with = + - or @ is a formula to a spreadsheet, even where it is the name of a
piece in somebody else's file.  An apostrophe before it makes it text; numbers stay numbers.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_FORMULA = re.compile(r"[ \r\n]*[=+\-@\t\uff1d\uff0b\uff0d\uff20]")
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?")


def csv_text(rows: Iterable[Sequence[object]], line_end: str = "\r\n") -> str:
    """The rows as comma-separated values (RFC 4180)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator=line_end)
    writer.writerows([harmless(str(cell)) for cell in row] for row in rows)
    return out.getvalue()


def harmless(cell: str) -> str:
    """The cell, with an apostrophe before it if a spreadsheet would work it out."""
    if _FORMULA.match(cell) and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell
