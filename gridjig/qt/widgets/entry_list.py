"""A list of two-line entries with a sign, used for placed pieces, the pull list and findings.

Each entry is a value; the list knows nothing about jobs.
"""

from collections.abc import Iterable

from msgspec import Struct
from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gridjig.qt.style.appearance import Appearance

from .plain import tip

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_COLOUR = {"clash": "clash_text", "check": "check_text", "fine": "held_text", "": "graphite"}
_SIGN = {"clash": "✕", "check": "▲", "fine": "●", "": ""}


class ListEntry(Struct, frozen=True):
    """One entry: `ids` are what it selects; a heading has no ids and only its `head`."""

    key: str
    head: str
    under: str = ""
    right: str = ""
    level: str = ""
    ids: tuple[str, ...] = ()
    heading: bool = False
    spoken: str = ""

    @property
    def text(self) -> str:
        """Return the entry as one text."""
        return self.spoken or ", ".join(t for t in (self.head, self.right, self.under) if t)


class EntryListModel(QAbstractListModel):
    """The entries as a Qt model."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.entries: tuple[ListEntry, ...] = ()

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """Return the number of entries."""
        return 0 if parent.isValid() else len(self.entries)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the entry as text, for lists, tooltips and screen readers."""
        text = self.entries[index.row()].text
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(text)
        wanted = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        return text if role in wanted else None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Headings cannot be selected."""
        if not index.isValid() or self.entries[index.row()].heading:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def show(self, entries: tuple[ListEntry, ...]) -> bool:
        """Show these entries; return True if the list was rebuilt."""
        if entries == self.entries:
            return False
        same = [e.key for e in entries] == [e.key for e in self.entries]
        if same:
            self.entries = entries
            self.dataChanged.emit(self.index(0), self.index(len(entries) - 1))
            return False
        self.beginResetModel()
        self.entries = entries
        self.endResetModel()
        return True


class EntryListDelegate(QStyledItemDelegate):
    """Paints an entry: sign, head and right-hand text on one line, or on two if they are too long
    for one, the rest wrapped below.
    """

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(parent)
        self.appearance = appearance

    def _small(self, base: QFont) -> QFont:
        small = QFont(base)
        small.setPointSizeF(base.pointSizeF() * 0.88)
        return small

    def _height(self, words: str, font: QFont, width: int) -> int:
        """Return the height of a text wrapped to a width."""
        if not words:
            return 0
        box = QFontMetrics(font).boundingRect(
            QRect(0, 0, max(width, 60), 2000), int(Qt.TextFlag.TextWordWrap), words
        )
        return box.height()

    def _head_height(self, entry: ListEntry, font: QFont, width: int) -> int:
        """Return the height of the head, wrapped, and of the text to its right if that is put below
        because a line does not hold both.
        """
        step = QFontMetrics(font).height()
        if entry.right and self._beside(entry, font, width):
            return step
        return self._height(entry.head, font, width) + (step if entry.right else 0)

    def _beside(self, entry: ListEntry, font: QFont, width: int) -> bool:
        """True if the text to the right of the head fits on its line, so that no name is cut."""
        metrics = QFontMetrics(font)
        both = (entry.head, entry.right)
        return sum(metrics.horizontalAdvance(words) for words in both) + 8 <= width

    def _indent(self, font_metrics: QFontMetrics) -> int:
        return 10 + font_metrics.horizontalAdvance("✕ ")

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """Return room for the head and the text below, at least the size of a click target."""
        model = index.model()
        assert isinstance(model, EntryListModel)
        entry = model.entries[index.row()]
        step = option.fontMetrics.height()
        if entry.heading:
            return QSize(80, step + 12)
        view = self.parent()
        assert isinstance(view, QListView)
        # Computed as if the scroll bar were shown, so that heights stay right when it appears.
        bar = view.verticalScrollBar().sizeHint().width()
        width = view.width() - 4 - bar - self._indent(option.fontMetrics) - 8
        head = self._head_height(entry, option.font, width)
        high = head + self._height(entry.under, self._small(option.font), width) + 8
        return QSize(80, max(high, self.appearance.metrics.target))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint the entry."""
        model = index.model()
        assert isinstance(model, EntryListModel)
        entry = model.entries[index.row()]
        painter.save()
        if entry.heading:
            self._paint_heading(painter, option, entry)
        else:
            self._paint_entry(painter, option, entry)
        painter.restore()

    def _paint_heading(
        self, painter: QPainter, option: QStyleOptionViewItem, entry: ListEntry
    ) -> None:
        rect = QRect(option.rect).adjusted(6, 0, -6, -3)
        font = QFont(option.font)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(self.appearance.theme.colour("ink"))
        bottom = int(Qt.AlignmentFlag.AlignBottom)
        painter.drawText(rect, int(Qt.AlignmentFlag.AlignLeft) | bottom, entry.head)
        painter.drawText(rect, int(Qt.AlignmentFlag.AlignRight) | bottom, entry.right)
        painter.drawLine(rect.left(), rect.bottom() + 2, rect.right(), rect.bottom() + 2)

    def _paint_entry(
        self, painter: QPainter, option: QStyleOptionViewItem, entry: ListEntry
    ) -> None:
        theme = self.appearance.theme
        rect = QRect(option.rect)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(rect, theme.colour("selected_text"))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, theme.colour("panel"))

        def colour(name: str) -> None:
            painter.setPen(theme.colour("on_selected" if chosen else name))

        indent = self._indent(option.fontMetrics)
        step = option.fontMetrics.height()
        left = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom)
        width = rect.width() - indent - 8
        high = self._head_height(entry, option.font, width)
        small = self._small(option.font)
        content = high + self._height(entry.under, small, width)
        top = rect.top() + max(3, (rect.height() - content) // 2)
        line = QRect(rect.left() + indent, top, width, high)
        painter.setFont(option.font)
        colour(_COLOUR[entry.level])
        painter.drawText(QRect(rect.left() + 8, line.top(), indent, step), left, _SIGN[entry.level])
        colour("ink")
        painter.drawText(line, left | int(Qt.TextFlag.TextWordWrap), entry.head)
        colour(_COLOUR[entry.level] if entry.level in ("clash", "check") else "ink")
        painter.drawText(line, right, entry.right)
        if entry.under:
            painter.setFont(small)
            colour("graphite")
            under = QRect(
                line.left(), line.bottom() + 1, line.width(), rect.bottom() - line.bottom()
            )
            painter.drawText(under, left | int(Qt.TextFlag.TextWordWrap), entry.under)
        painter.setPen(theme.colour("desk"))
        painter.drawLine(rect.left() + indent, rect.bottom(), rect.right() - 6, rect.bottom())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theme.pen("selected"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -2, -2))


class EntryListView(QListView):
    """A list of entries; `chosen` carries the selected ids, `opened` the entry opened."""

    chosen = Signal(object)
    opened = Signal(object)
    removing = Signal()

    def __init__(self, name: str, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("lines")
        self.setAccessibleName(name)
        self.lines = EntryListModel(self)
        self.setModel(self.lines)
        self.delegate = EntryListDelegate(appearance, self)
        self.setItemDelegate(self.delegate)
        self.setMouseTracking(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self._showing = False
        self.selectionModel().selectionChanged.connect(self._tell)
        self.activated.connect(self._open)
        self.clicked.connect(self._open)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.delegate.appearance = appearance
        self.scheduleDelayedItemsLayout()

    def show_entries(self, entries: Iterable[ListEntry], selected: frozenset[str] | None) -> None:
        """Show entries and select those with all ids in `selected`; None keeps the selection."""
        self._showing = True
        held = self.current_key()
        made_anew = self.lines.show(tuple(entries))
        if made_anew:
            self._set_current(held)
        if selected is not None:
            self._mark(selected)
        self._showing = False
        if self.hasFocus() and self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())  # entries above it may be taller than before

    def current_key(self) -> str:
        """Return the key of the current entry, or ""."""
        index = self.currentIndex()
        return self.lines.entries[index.row()].key if index.isValid() else ""

    def _set_current(self, key: str) -> None:
        for row, entry in enumerate(self.lines.entries):
            if entry.key == key:
                self.selectionModel().setCurrentIndex(
                    self.lines.index(row), QItemSelectionModel.SelectionFlag.NoUpdate
                )

    def _mark(self, selected: frozenset[str]) -> None:
        flag = QItemSelectionModel.SelectionFlag
        model = self.selectionModel()
        first = True
        for row, entry in enumerate(self.lines.entries):
            index = self.lines.index(row)
            wanted = bool(entry.ids) and selected.issuperset(entry.ids)
            if wanted != model.isSelected(index):
                model.select(index, flag.Select if wanted else flag.Deselect)
            if wanted and first and not self.hasFocus():
                first = False
                model.setCurrentIndex(index, flag.NoUpdate)
                self.scrollTo(index)

    def _tell(self) -> None:
        if self._showing:
            return
        rows = [i.row() for i in self.selectionModel().selectedIndexes()]
        self.chosen.emit(frozenset(i for row in rows for i in self.lines.entries[row].ids))

    def _open(self, index: QModelIndex) -> None:
        entry = self.lines.entries[index.row()]
        if not entry.heading:
            self.opened.emit(entry)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove on Del, open on Enter."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removing.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex())
        else:
            super().keyPressEvent(event)
