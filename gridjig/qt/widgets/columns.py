"""Rows with columns in a list of entries, and the line of column names above it.

Entries with `cells` are painted in columns, as wide as what is in them; the others as always.  If
the columns do not fit side by side, even in small letters, they continue on a second line: nothing
is cut, and all rows have one height.
"""

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyleOptionViewItem, QWidget

from gridjig.qt.style.appearance import Appearance
from gridjig.units.unbroken import unbroken

from .entry_list import EntryListView
from .entry_rows import COLOURS, SIGNS, EntryListDelegate, EntryListModel, Index
from .list_entry import ListEntry

_GAP = 6  # the least room between columns, px
_WIDEST = 28  # the most
_LEAST = 90  # of a column that wraps, px


class Column(Struct, frozen=True):
    """A column: its name, whether it is aligned to the right, and whether it wraps its words."""

    name: str
    right: bool = False
    wraps: bool = False


class ColumnPlace(Struct, frozen=True):
    """Where a column is: its line in the row, and its left edge and width, px."""

    line: int
    left: int
    width: int


class Laid(Struct, frozen=True):
    """The columns of a list at one width: where each is, in which letters, on how many lines."""

    places: tuple[ColumnPlace, ...]
    small: bool
    lines: int


def laid(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    fonts: tuple[QFontMetrics, QFontMetrics],
    width: int,
) -> Laid:
    """Lay out columns in a width, px; `fonts` are the usual letters and the small ones.

    One line in the usual letters if it fits, else in small ones, else as many lines as needed.
    """
    heads = [fonts[1].horizontalAdvance(column.name) for column in columns]
    wide: list[int] = []
    for small, letters in enumerate(fonts):
        wide = [
            max([head, *(letters.horizontalAdvance(row[k]) for row in rows)])
            for k, head in enumerate(heads)
        ]
        wide = [
            min(one, max(_LEAST, head)) if column.wraps else one
            for one, head, column in zip(wide, heads, columns, strict=True)
        ]
        if sum(wide) + _GAP * (len(wide) - 1) <= width:
            places = _spread(columns, list(range(len(wide))), wide, width, 0)
            return Laid(tuple(places), bool(small), 1)
    lines: list[list[int]] = [[]]
    for k, one in enumerate(wide):
        taken = sum(wide[j] + _GAP for j in lines[-1])
        if lines[-1] and taken + one > width:
            lines.append([])
        lines[-1].append(k)
    places = [
        place
        for line, held in enumerate(lines)
        for place in _spread(columns, held, wide, width, line)
    ]
    return Laid(tuple(places), True, len(lines))


def _spread(
    columns: Sequence[Column], held: list[int], wide: list[int], width: int, line: int
) -> list[ColumnPlace]:
    """Place the columns of one line; the room that is left goes to what wraps, else between."""
    rest = max(0, width - sum(wide[k] for k in held) - _GAP * (len(held) - 1))
    wraps = [k for k in held if columns[k].wraps]
    gap = _GAP if wraps else min(_WIDEST, _GAP + rest // max(1, len(held) - 1))
    places, left = [], 0
    for k in held:
        each = wide[k] + (rest // len(wraps) if k in wraps else 0)
        places.append(ColumnPlace(line, left, min(each, width)))
        left += each + gap
    return places


class ColumnDelegate(EntryListDelegate):
    """Paints entries with cells in columns; with `opens`, the current one in full below them."""

    def __init__(
        self, appearance: Appearance, view: QWidget, columns: tuple[Column, ...], opens: bool
    ) -> None:
        super().__init__(appearance, view)
        self.columns = columns
        self.opens = opens
        self._kept: tuple[object, Laid] | None = None

    def layout_of(self, view: QListView) -> Laid:
        """Return where the columns of a list are now."""
        model = view.model()
        assert isinstance(model, EntryListModel)
        width, font = self.room(view), view.font()
        key = (id(model.entries), self.columns, width, font.toString())
        if self._kept is None or self._kept[0] != key:
            rows = [entry.cells for entry in model.entries if entry.cells]
            fonts = (QFontMetrics(font), QFontMetrics(self.small(font)))
            self._kept = (key, laid(self.columns, rows, fonts, width))
        return self._kept[1]

    def letters_of(self, view: QListView) -> QFont:
        """Return the font of the cells."""
        return self.small(view.font()) if self.layout_of(view).small else view.font()

    def opens_out(self, entry: ListEntry) -> bool:
        """True if an entry is higher while it is the current one."""
        return (self.opens and bool(entry.cells)) or super().opens_out(entry)

    def _view(self) -> QListView:
        view = self.parent()
        assert isinstance(view, QListView)
        return view

    def _cells_height(self, entry: ListEntry) -> int:
        view = self._view()
        where, font = self.layout_of(view), self.letters_of(view)
        step = QFontMetrics(font).height()
        highest = max(
            (
                self.height_of(cell, font, place.width)
                for cell, place, column in zip(entry.cells, where.places, self.columns, strict=True)
                if column.wraps
            ),
            default=step,
        )
        return where.lines * step + max(0, highest - step)

    def _below(self, entry: ListEntry, index: Index) -> str:
        current = self.open_row == index.row()
        return self._words_below(entry, current)

    def _words_below(self, entry: ListEntry, current: bool) -> str:
        return entry.under if self.opens and current else entry.brief

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return room for the cells, at least the height of a line in a list."""
        model = index.model()
        assert isinstance(model, EntryListModel)
        entry = model.entries[index.row()]
        if not entry.cells:
            return super().sizeHint(option, index)
        below = self.height_of(
            self._below(entry, index), self.small(option.font), self.room(self._view())
        )
        high = self._cells_height(entry) + below + 6
        return QSize(80, max(high, self.appearance.metrics.row))

    def _paint_entry(
        self, painter: QPainter, option: QStyleOptionViewItem, entry: ListEntry, below: str
    ) -> None:
        if not entry.cells:
            super()._paint_entry(painter, option, entry, below)
            return
        view, theme = self._view(), self.appearance.theme
        rect = QRect(option.rect)
        chosen = self.paint_ground(painter, option)
        indent = self._indent(option.fontMetrics)
        where, font = self.layout_of(view), self.letters_of(view)
        step = QFontMetrics(font).height()
        under = self._words_below(entry, self._is_current(entry))
        small, width = self.small(option.font), self.room(view)
        high = self._cells_height(entry)
        content = high + self.height_of(under, small, width)
        top = rect.top() + max(3, (rect.height() - content) // 2)
        painter.setFont(option.font)
        painter.setPen(
            theme.colour("on_selected" if chosen else COLOURS.get(entry.level, "graphite"))
        )
        at_top = int(Qt.AlignmentFlag.AlignTop)
        painter.drawText(
            QRect(rect.left() + 8, top, indent, step),
            at_top | int(Qt.AlignmentFlag.AlignLeft),
            SIGNS[entry.level],
        )
        painter.setFont(font)
        painter.setPen(theme.colour("on_selected" if chosen else "ink"))
        for cell, place, column in zip(entry.cells, where.places, self.columns, strict=True):
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            wrap = int(Qt.TextFlag.TextWordWrap) if column.wraps else 0
            box = QRect(
                rect.left() + indent + place.left, top + place.line * step, place.width, high
            )
            painter.drawText(box, at_top | int(side) | wrap, unbroken(cell))
        if under:
            painter.setFont(small)
            painter.setPen(theme.colour("on_selected" if chosen else "graphite"))
            box = QRect(rect.left() + indent, top + high, width, rect.bottom() - top - high)
            painter.drawText(box, at_top | int(Qt.TextFlag.TextWordWrap), unbroken(under))
        self.paint_edge(painter, option)

    def _is_current(self, entry: ListEntry) -> bool:
        view = self._view()
        assert isinstance(view, EntryListView)
        return view.current_key() == entry.key


class ColumnHeads(QWidget):
    """The names of a list's columns, above them; `set_columns` gives them other names."""

    def __init__(self, view: EntryListView, delegate: ColumnDelegate) -> None:
        super().__init__()
        self._list, self._delegate = view, delegate
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        view.lines.modelReset.connect(self._anew)
        view.lines.dataChanged.connect(lambda *_: self._anew())

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns that are named."""
        return self._delegate.columns

    def set_columns(self, columns: tuple[Column, ...]) -> None:
        """Use columns with other names, as many as before."""
        if columns != self._delegate.columns:
            self._delegate.columns = columns
            self._list.scheduleDelayedItemsLayout()
            self._anew()

    def _anew(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for the names, on as many lines as the columns need."""
        small = QFontMetrics(self._delegate.small(self._list.font()))
        return QSize(80, self._delegate.layout_of(self._list).lines * small.height() + 3)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write each name over its column."""
        delegate, view = self._delegate, self._list
        where = delegate.layout_of(view)
        start = view.x() - self.x() + delegate.indent_of(view)
        with QPainter(self) as painter:
            font = delegate.small(view.font())
            painter.setFont(font)
            painter.setPen(delegate.appearance.theme.colour("graphite"))
            step = QFontMetrics(font).height()
            for column, place in zip(delegate.columns, where.places, strict=True):
                side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
                box = QRect(start + place.left, place.line * step + 1, place.width, step)
                painter.drawText(box, int(side), column.name)


def in_columns(
    view: EntryListView, columns: tuple[Column, ...], opens: bool = False
) -> ColumnHeads:
    """Show a list's entries in columns; return the line of their names, to stand above it."""
    delegate = ColumnDelegate(view.delegate.appearance, view, columns, opens)
    view.delegate = delegate
    view.setItemDelegate(delegate)
    return ColumnHeads(view, delegate)
