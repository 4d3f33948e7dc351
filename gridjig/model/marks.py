"""Marked holes by index, and sets of holes by pattern, also as typed.

Setting marks is an edit and is not done here.
"""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType

from gridjig.rack.same import Same
from gridjig.units import ParseError

from .labels import GridLine, axis_of, counted, find_hole, find_line, label
from .table import Hole, HoleMark, Table

_NONE: Mapping[Hole, HoleMark] = MappingProxyType({})


def mark_index(table: Table) -> Mapping[Hole, HoleMark]:
    """The table's marks by hole.  The same marks object gives the same mapping."""
    return _index(Same(table.marks)) if table.marks else _NONE


@lru_cache(maxsize=16)
def _index(marks: Same[tuple[HoleMark, ...]]) -> Mapping[Hole, HoleMark]:
    return MappingProxyType({mark.hole: mark for mark in marks.value})


def box(table: Table, a: Hole, b: Hole) -> frozenset[Hole]:
    """Every hole of the table in the rectangle between two corner holes."""
    cols = range(max(min(a.col, b.col), 0), min(max(a.col, b.col), table.columns - 1) + 1)
    rows = range(max(min(a.row, b.row), 0), min(max(a.row, b.row), table.rows - 1) + 1)
    return frozenset(Hole(col, row) for col in cols for row in rows)


def columns(table: Table, cols: Iterable[int]) -> frozenset[Hole]:
    """Every hole of some columns."""
    return frozenset(Hole(col, row) for col in cols for row in range(table.rows))


def rows(table: Table, of: Iterable[int]) -> frozenset[Hole]:
    """Every hole of some rows."""
    return frozenset(Hole(col, row) for row in of for col in range(table.columns))


def every_nth(
    table: Table, line: GridLine, step: int, start: int, end: int | None = None
) -> frozenset[Hole]:
    """The holes of every `step`-th column or row, in label order, from `start` to `end`.

    `start` and `end` are columns or rows; `end` None means the last.  Raises ValueError if the step
    is below 1.
    """
    if step < 1:
        raise ValueError(f"every {step}th {line}: the step must be 1 or more")
    size = table.columns if line == "column" else table.rows
    last = size - 1 if end is None else counted(table, line, end)
    chosen = range(counted(table, line, start), last + 1, step)
    return _lines(table, line, (counted(table, line, at) for at in chosen))


def _lines(table: Table, line: GridLine, of: Iterable[int]) -> frozenset[Hole]:
    return columns(table, of) if line == "column" else rows(table, of)


# -- patterns as typed ---------------------------------------------------------------------------

_WORDS = ("", "", "other", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_STEPS = {word: step for step, word in enumerate(_WORDS) if word} | {"second": 2, "tenth": 10}
_EVERY = re.compile(
    r"every +(?:(?P<step>[0-9]{1,4})(?:st|nd|rd|th)? +|(?P<word>[a-z]+) +)?"
    r"(?P<line>column|row)s?(?: +from +(?P<start>[a-z0-9]+))?(?: +to +(?P<end>[a-z0-9]+))?",
    re.IGNORECASE,
)
_NAMED = re.compile(r"(?P<line>column|row)s? +(?P<list>.+)", re.IGNORECASE)
_RANGE = re.compile(r"(?P<a>[a-z0-9]+)(?: *(?:-|:|\.\.|…) *| +to +)(?P<b>[a-z0-9]+)", re.IGNORECASE)
_HOLES = re.compile(r"(?P<a>.+?)(?: *: *| *\.\. *| +to +)(?P<b>.+)", re.IGNORECASE)


def parse_pattern(table: Table, text: str) -> frozenset[Hole]:
    """The holes that a typed pattern means, in the labels painted on the table.

    Accepts `every 5th column from C`, `every other row`, `columns C-F, H`, `row 3`, `A1:D4`,
    `A1, B2`, and lists of bare labels (`C, H, M`) if they are unambiguous; patterns are joined by
    `;`.  Raises ParseError.
    """
    wanted: frozenset[Hole] = frozenset()
    for part in text.split(";"):
        wanted |= _pattern(table, part.strip())
    return wanted


def _pattern(table: Table, text: str) -> frozenset[Hole]:
    every = _EVERY.fullmatch(text)
    if every:
        return _every(table, text, every)
    named = _NAMED.fullmatch(text)
    if named:
        line: GridLine = "column" if named["line"].lower() == "column" else "row"
        return _lines(table, line, _listed(table, line, named["list"]))
    if text:
        return _bare(table, text)
    raise ParseError(text, None, f"type {_accepted(table)}")


def _every(table: Table, text: str, every: re.Match[str]) -> frozenset[Hole]:
    line: GridLine = "column" if every["line"].lower() == "column" else "row"
    word = (every["word"] or "").lower()
    if word and word not in _STEPS:
        raise ParseError(text, every.start("word"), f"type {_accepted(table)}")
    step = int(every["step"]) if every["step"] else _STEPS.get(word, 1)
    if step < 1:
        raise ParseError(text, every.start("step"), "the step must be 1 or more")
    start = find_line(table, line, every["start"]) if every["start"] else counted(table, line, 0)
    end = find_line(table, line, every["end"]) if every["end"] else None
    chosen = every_nth(table, line, step, start, end)
    if not chosen:
        why = f"{every['end'].upper()} comes before {label(table, line, start)} on the table"
        raise ParseError(text, every.start("end"), why)
    return chosen


def _listed(table: Table, line: GridLine, text: str) -> frozenset[int]:
    """The columns or rows of a list with ranges."""
    chosen: set[int] = set()
    for item in text.split(","):
        span = _RANGE.fullmatch(item.strip())
        ends = (span["a"], span["b"]) if span else (item, item)
        low, high = sorted(find_line(table, line, end) for end in ends)
        chosen.update(range(low, high + 1))
    return frozenset(chosen)


def _bare(table: Table, text: str) -> frozenset[Hole]:
    """The holes of a pattern without the words column or row."""
    refusal: ParseError | None = None
    lines: tuple[GridLine, ...] = ("column", "row")
    if axis_of(table, "column") == axis_of(table, "row"):
        lines = ()  # a bare label could be either
    for line in (None, *lines):
        try:
            if line is None:
                return _holes(table, text)
            return _lines(table, line, _listed(table, line, text))
        except ParseError as parse_error:
            refusal = refusal or parse_error
    if refusal and not re.search("[A-Za-z]{4}", text):
        raise refusal  # it is made of labels, so say what is wrong with the label
    raise ParseError(text, None, f"type {_accepted(table)}")


def _holes(table: Table, text: str) -> frozenset[Hole]:
    """The holes of a list of addresses and rectangles."""
    chosen: frozenset[Hole] = frozenset()
    for item in text.split(","):
        span = _HOLES.fullmatch(item.strip())
        ends = (span["a"], span["b"]) if span else (item, item)
        a, b = (find_hole(table, end) for end in ends)
        chosen |= box(table, a, b)
    return chosen


def _accepted(table: Table) -> str:
    """Examples of patterns for this table, for a sentence."""
    mid = label(table, "column", counted(table, "column", (table.columns - 1) // 2))
    row = label(table, "row", counted(table, "row", 0))
    far = label(table, "row", counted(table, "row", table.rows - 1))
    return f"a pattern such as every 5th column from {mid}, columns {mid}, or rows {row}-{far}"
