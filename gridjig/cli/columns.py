"""Aligns rows of text in columns, for a terminal."""

from collections.abc import Sequence

from .plain import escaped, one_line

LONGEST = 400
"""Maximum characters of a cell; the last cell of a row may be longer, as nothing follows it."""


def columns(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> str:
    """Return the rows as lines, two spaces between columns; columns in `right` are
    right-aligned.
    """
    rows = [[one_line(cell, LONGEST) for cell in row[:-1]] + [escaped(row[-1], "")] for row in rows]
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if k in right else cell.ljust(width)
            for k, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )
