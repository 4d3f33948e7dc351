"""Breaks headings, notes and tables into pages.  Rows stay whole; column headings are repeated."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate

from msgspec import Struct, structs

from gridjig.geometry.page import (
    FINE,
    NARROW,
    WIDE,
    PageLine,
    PageLines,
    PageMark,
    PageText,
)
from gridjig.rack import Point
from gridjig.units.unbroken import words_of

from .blocks import Heading, Note, Row, SheetBlock, SheetTable
from .letters import LINE, lines_of, width_of
from .paper import SheetChoices

PAD = 1.0  # mm between a rule and the text beside it
_SPACE, _BELOW = 4.0, 1.0  # mm in front of a heading and below it
_TICK = 5.0  # mm, the side of a box that a gloved hand can tick
_WHOLE = 8
"""A paragraph of no more lines than this is not torn."""
_WRITING = 8.0  # mm of height that a row needs to write in


class Letters(Struct, frozen=True):
    """Heights of capitals, mm (ISO 3098): of running text, of keys, of headings, of the small."""

    text: float = 2.5
    key: float = 3.5
    heading: float = 3.5
    small: float = 1.8


NORMAL = Letters()
LARGE = Letters(text=3.5, key=5.0, heading=5.0, small=2.5)


def letters_of(choices: SheetChoices) -> Letters:
    """Return the letters of a sheet."""
    return LARGE if choices.large else NORMAL


class PageRoom(Struct, frozen=True):
    """The box on each page that a flow fills: left, top, width and height in mm."""

    x: float
    y: float
    width: float
    height: float


def flow(
    blocks: Iterable[SheetBlock], room: PageRoom, letters: Letters
) -> tuple[tuple[PageMark, ...], ...]:
    """Return the marks of each page."""
    filling = _Filling(room, letters)
    held: list[Heading] = []
    every = list(blocks)
    for block, after in zip(every, [*every[1:], None], strict=True):
        match block:
            case Heading():
                held.append(block)
            case Note():
                filling.note(block, held, filling.first(after))
                held = []
            case SheetTable():
                filling.table(block, held)
                held = []
    return filling.pages()


class _Cell(Struct, frozen=True, gc=False):
    """The lines of one cell of a row."""

    lines: tuple[str, ...]
    size: float
    bold: bool


class _Filling:
    """Pages being filled from top to bottom."""

    def __init__(self, room: PageRoom, letters: Letters) -> None:
        self._room = room
        self._letters = letters
        self._done: list[tuple[PageMark, ...]] = []
        self._marks: list[PageMark] = []
        self._y = room.y

    def pages(self) -> tuple[tuple[PageMark, ...], ...]:
        """The pages filled so far."""
        return (*self._done, *([tuple(self._marks)] if self._marks else []))

    def note(self, note: Note, held: Sequence[Heading], more: float) -> None:
        """Add a paragraph; a long one for which a page has no room left runs over to the next.

        `more` is the room that what follows needs on the same page as the end of it, mm.
        """
        size, room = self._letters.text, self._room
        step = LINE * size
        lines = lines_of(note.words, size, room.width, note.bold)
        together = len(lines) if len(lines) <= _WHOLE else 3
        self._heads(held, step * (len(lines) + 0.5 if more else together) + more)
        for n, line in enumerate(lines, 1):
            # The last line never stands on a page alone.
            if self._left < (2.0 * step if n == len(lines) - 1 else step):
                self._turn()
            self._marks.append(
                PageText(room.x, self._y, room.width, step, line, size, bold=note.bold)
            )
            self._y += step
        self._y += 0.5 * step

    def first(self, block: SheetBlock | None) -> float:
        """The height of a table's headings and first row, mm; 0 for anything else."""
        if not isinstance(block, SheetTable) or not block.rows:
            return 0.0
        drawn = _Drawn(block, self._room, self._letters)
        return drawn.head_height + drawn.height(next(iter(drawn.cut(block.rows[0]))))

    def table(self, table: SheetTable, held: Sequence[Heading]) -> None:
        """Add a table."""
        drawn = _Drawn(table, self._room, self._letters)
        rows = [cut for row in table.rows for cut in drawn.cut(row)]
        first = drawn.height(rows[0]) if rows else 0.0
        self._heads(held, drawn.head_height + first)
        self._begin(drawn)
        begun = self._y
        for row, after in zip(rows, [*rows[1:], None], strict=True):
            check = drawn.height(after) if after is not None and after.stop else 0.0
            if self._left < drawn.height(row) + check and self._y > begun:
                self._marks += drawn.rules(self._y)
                self._turn()
                self._begin(drawn)
                begun = self._y
            self._marks += drawn.row(row, self._y)
            self._y += drawn.height(row)
        self._marks += drawn.rules(self._y)
        self._y += 3.0

    def _begin(self, drawn: "_Drawn") -> None:
        self._marks += drawn.head(self._y)
        self._y += drawn.head_height

    @property
    def _left(self) -> float:
        return self._room.y + self._room.height - self._y + 1e-6

    def _heads(self, held: Sequence[Heading], least: float) -> None:
        """Add headings, on the next page if what must stay with them does not fit on this one."""
        step = LINE * self._letters.heading
        high = sum(_SPACE + step + _BELOW for _ in held)
        if self._left < high + least and self._y > self._room.y:
            self._turn()
        for heading in held:
            self._y += _SPACE if self._y > self._room.y else 0.0
            room = self._room
            size = self._letters.heading
            self._marks.append(
                PageText(room.x, self._y, room.width, step, heading.words, size, bold=True)
            )
            self._y += step + _BELOW

    def _turn(self) -> None:
        self._done.append(tuple(self._marks))
        self._marks = []
        self._y = self._room.y


class _Measured(Struct, frozen=True):
    """A row with its texts broken into lines, and its height in mm."""

    cells: tuple[_Cell, ...]
    height: float
    stop: bool


class _Drawn:
    """A table as it is drawn on the pages of one flow."""

    def __init__(self, table: SheetTable, room: PageRoom, letters: Letters) -> None:
        self._columns = table.columns
        self._letters = letters
        self._room = room
        self._widths = _widths(table, room.width, letters)
        self._lefts = list(accumulate([room.x, *self._widths]))
        self._writes = any(column.kind != "text" for column in table.columns)
        self._top = 0.0
        self._stops: list[tuple[float, float]] = []
        self._bottoms: list[float] = []
        self._ticks: list[Point] = []
        heads = tuple(
            self._cell(column.title, wide, letters.small + 0.2, bold=True)
            for column, wide in zip(table.columns, self._widths, strict=True)
        )
        self._head = _Measured(heads, self._high(heads), False)

    @property
    def head_height(self) -> float:
        """Height of the column headings, mm."""
        return self._head.height

    def height(self, row: _Measured) -> float:
        """Height of a row, mm."""
        return row.height

    def cut(self, row: Row) -> Iterator[_Measured]:
        """Yield a row measured; only one that is higher than a whole page comes in pieces."""
        measured = self._measure(row)
        most = self._room.height - self._head.height - 30.0
        while measured.height > most:
            keep = max(1, int((most - 2 * PAD) / (LINE * self._letters.key)))
            first = tuple(structs.replace(cell, lines=cell.lines[:keep]) for cell in measured.cells)
            rest = tuple(structs.replace(cell, lines=cell.lines[keep:]) for cell in measured.cells)
            yield _Measured(first, self._high(first), row.stop)
            measured = _Measured(rest, self._high(rest), row.stop)
        yield measured

    def _measure(self, row: Row) -> _Measured:
        text, key = self._letters.text, self._letters.key
        if row.stop:
            cells: tuple[_Cell, ...] = (
                self._cell(row.cells[0], self._room.width - _TICK - 2 * PAD, text, bold=True),
            )
            return _Measured(cells, max(self._high(cells), _WRITING), True)
        told = iter(row.cells)
        cells = tuple(
            self._cell(next(told) if column.kind == "text" else "", wide, key, bold=True)
            if column.key
            else self._cell(next(told) if column.kind == "text" else "", wide, text)
            for column, wide in zip(self._columns, self._widths, strict=True)
        )
        return _Measured(cells, self._high(cells, _WRITING if self._writes else 0.0), False)

    def _cell(self, words: str, wide: float, size: float, *, bold: bool = False) -> _Cell:
        lines = lines_of(words, size, wide - 2 * PAD, bold) if words else ()
        return _Cell(lines, size, bold)

    def _high(self, cells: Sequence[_Cell], least: float = 0.0) -> float:
        most = max((LINE * cell.size * len(cell.lines) for cell in cells), default=0.0)
        return max(most + PAD, least)

    def head(self, y: float) -> list[PageMark]:
        """The column headings."""
        self._top = y
        self._stops, self._bottoms, self._ticks = [], [], []
        marks = self._texts(self._head, y, grey=True)
        bottom = y + self._head.height
        room = self._room
        marks.append(PageLine(((room.x, bottom), (room.x + room.width, bottom)), WIDE))
        return marks

    def row(self, row: _Measured, y: float) -> list[PageMark]:
        """A row, with its rule below."""
        marks: list[PageMark] = []
        room, bottom = self._room, y + row.height
        if row.stop:
            self._stops.append((y, bottom))
            ring = _box(room.x, y, room.width, row.height)
            marks.append(PageLine(ring, NARROW, closed=True, fill="tint"))
            marks.append(_tick(room.x + PAD, y))
        marks += self._texts(row, y)
        if not row.stop:
            self._ticks += [
                (left + PAD, y)
                for column, left in zip(self._columns, self._lefts, strict=False)
                if column.kind == "tick"
            ]
        self._bottoms.append(bottom)
        return marks

    def _texts(self, row: _Measured, y: float, *, grey: bool = False) -> list[PageMark]:
        marks: list[PageMark] = []
        lefts = [self._room.x + _TICK + PAD] if row.stop else self._lefts
        for k, cell in enumerate(row.cells):
            wide = self._room.width - _TICK - PAD if row.stop else self._widths[k]
            right = not row.stop and self._columns[k].right
            step = LINE * cell.size
            for n, line in enumerate(cell.lines):
                marks.append(
                    PageText(
                        lefts[k] + PAD,
                        y + PAD / 2 + n * step,
                        wide - 2 * PAD,
                        step,
                        line,
                        cell.size,
                        "right" if right else "left",
                        cell.bold,
                        grey,
                    )
                )
        return marks

    def rules(self, bottom: float) -> list[PageMark]:
        """The rules below the rows and between the columns, and the boxes to tick."""
        spans = []
        y = self._top
        for low, high in [*self._stops, (bottom, bottom)]:
            if low > y:
                spans.append((y, low))
            y = high
        strokes = tuple(((x, a), (x, b)) for x in self._lefts[1:-1] for a, b in spans)
        left, right = self._room.x, self._room.x + self._room.width
        marks: list[PageMark] = [
            PageLines(tuple(((left, y), (right, y)) for y in self._bottoms), FINE)
        ]
        if strokes:
            marks.append(PageLines(strokes, FINE, "grey"))
        if self._ticks:
            sides = tuple(side for x, y in self._ticks for side in _sides(_tick_box(x, y)))
            marks.append(PageLines(sides, NARROW))
        return marks


def _widths(table: SheetTable, whole: float, letters: Letters) -> list[float]:
    """The widths of columns, mm: by their shares, but none narrower than its longest word.

    A column of keys is as wide as its longest line, up to a quarter of the table.
    """
    least = []
    text = [k for k, column in enumerate(table.columns) if column.kind == "text"]
    for k, column in enumerate(table.columns):
        need = max(
            (width_of(word, letters.small + 0.2, bold=True) for word in column.title.split()),
            default=0.0,
        )
        if column.kind == "tick":
            need = max(need, _TICK)
        elif column.kind == "text":
            at = text.index(k)
            size, bold = (letters.key, True) if column.key else (letters.text, False)
            cells = {row.cells[at] for row in table.rows if not row.stop}
            broken = (cell.split("\n") if column.key else words_of(cell) for cell in cells)
            pieces = {piece for some in broken for piece in some}
            longest = max((width_of(p, size, bold) for p in pieces), default=0.0)
            need = max(need, min(longest, whole / 4.0))
        least.append(need + 2 * PAD + 0.2)
    if sum(least) >= whole:
        return [whole * one / sum(least) for one in least]
    shares = [column.share for column in table.columns]
    fixed: set[int] = set()
    while True:
        room = whole - sum(least[k] for k in fixed)
        rest = sum(share for k, share in enumerate(shares) if k not in fixed)
        made = [least[k] if k in fixed else room * share / rest for k, share in enumerate(shares)]
        narrow = {k for k, wide in enumerate(made) if wide < least[k] - 1e-9}
        if not narrow:
            return made
        fixed |= narrow


def _tick(x: float, y: float) -> PageLine:
    """A box to tick."""
    return PageLine(_tick_box(x, y), NARROW, closed=True)


def _tick_box(x: float, y: float) -> tuple[Point, ...]:
    return _box(x, y + (_WRITING - _TICK) / 2, _TICK, _TICK)


def _sides(ring: tuple[Point, ...]) -> Iterator[tuple[Point, Point]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def _box(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
