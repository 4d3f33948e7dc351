"""A list of two-line entries with a sign, used for placed pieces, the pull list and findings.

Each entry is a value; the list knows nothing about jobs.
"""

from collections.abc import Iterable

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
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gridjig.qt.style.appearance import Appearance

from .list_ends import go_to_end
from .list_entry import ListEntry, ListOrder, as_table, in_order
from .plain import tip

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_SHIFT, _CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
_COLOUR = {"stop": "clash_text", "look": "check_text", "fine": "held_text"}
"""Of the sign; that of a note, or of no level, is the second colour of text."""
_SIGN = {"stop": "✕", "look": "▲", "note": "◇", "fine": "●", "": ""}


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
    """Paints an entry: sign, head and right-hand text on one line, the rest wrapped below.

    Nothing is cut: a head that does not fit beside the text on its right is above it, and wraps.
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

    def _beside(self, entry: ListEntry, font: QFont, width: int) -> bool:
        """Return True if the head and the text to its right fit on one line."""
        letters = QFontMetrics(font)
        taken = letters.horizontalAdvance(entry.right) + 8 if entry.right else 0
        return letters.horizontalAdvance(entry.head) + taken <= width

    def _head_height(self, entry: ListEntry, font: QFont, width: int) -> int:
        """Return the height of the head, and of what is below it if that does not fit beside it."""
        if self._beside(entry, font, width):
            return QFontMetrics(font).height()
        return self._height(entry.head, font, width) + self._height(entry.right, font, width)

    def _under(self, entry: ListEntry, index: _Index) -> str:
        """Return what is shown below the head: in full only at the current entry."""
        view = self.parent()
        assert isinstance(view, QListView)
        full = not entry.brief or view.currentIndex().row() == index.row()
        return entry.under if full else entry.brief

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
        under = self._under(entry, index)
        high = head + self._height(under, self._small(option.font), width) + 8
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
            self._paint_entry(painter, option, entry, self._under(entry, index))
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
        self, painter: QPainter, option: QStyleOptionViewItem, entry: ListEntry, below: str
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
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        width = rect.width() - indent - 8
        high = self._head_height(entry, option.font, width)
        small = self._small(option.font)
        content = high + self._height(below, small, width)
        top = rect.top() + max(3, (rect.height() - content) // 2)
        line = QRect(rect.left() + indent, top, width, high)
        painter.setFont(option.font)
        colour(_COLOUR.get(entry.level, "graphite"))
        painter.drawText(QRect(rect.left() + 8, line.top(), indent, step), left, _SIGN[entry.level])
        wrap = int(Qt.TextFlag.TextWordWrap)
        colour("ink")
        painter.drawText(line, left | wrap, entry.head)
        beside = self._beside(entry, option.font, width)
        low = 0 if beside else self._height(entry.head, option.font, width)
        colour(_COLOUR[entry.level] if entry.level in ("stop", "look") else "ink")
        painter.drawText(line.adjusted(0, low, 0, 0), right | wrap, entry.right)
        if below:
            painter.setFont(small)
            colour("graphite")
            under = QRect(
                line.left(), line.bottom() + 1, line.width(), rect.bottom() - line.bottom()
            )
            painter.drawText(under, left | wrap, below)
        painter.setPen(theme.colour("desk"))
        painter.drawLine(rect.left() + indent, rect.bottom(), rect.right() - 6, rect.bottom())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theme.pen("selected"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -2, -2))


class EntryListView(QListView):
    """A list of entries; `chosen` carries the selected ids, `opened` the entry opened.

    Several entries are selected with Shift or Ctrl.  They can be shown in another order than the
    list has them, and copied as a table.
    """

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
        self._held = Qt.KeyboardModifier.NoModifier
        self.given: tuple[ListEntry, ...] = ()  # the entries as the list has them
        self.order: ListOrder = "listed"
        self.selectionModel().selectionChanged.connect(self._tell)
        self.selectionModel().currentChanged.connect(self._open_out)
        self.activated.connect(self._on_click)
        self.clicked.connect(self._on_click)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.delegate.appearance = appearance
        self.scheduleDelayedItemsLayout()

    def show_entries(self, entries: Iterable[ListEntry], selected: frozenset[str] | None) -> None:
        """Show entries and select those with all ids in `selected`; None keeps the selection."""
        self._showing = True
        held = self.current_key()
        self.given = tuple(entries)
        made_anew = self.lines.show(in_order(self.given, self.order))
        if made_anew:
            self._set_current(held)
        if selected is not None:
            self._mark(selected)
        self._showing = False
        self._open_out(self.currentIndex(), QModelIndex())
        if self.hasFocus() and self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())  # entries above it may be taller than before

    def sort(self, order: ListOrder) -> None:
        """Show the entries in this order; what is selected stays so."""
        if order == self.order:
            return
        self.order = order
        chosen = {entry.key for entry in self.chosen_entries()}
        self.show_entries(self.given, None)
        self._showing = True
        flag = QItemSelectionModel.SelectionFlag.Select
        for row, entry in enumerate(self.lines.entries):
            if entry.key in chosen:
                self.selectionModel().select(self.lines.index(row), flag)
        self._showing = False
        self.scrollTo(self.currentIndex())

    def chosen_entries(self) -> tuple[ListEntry, ...]:
        """Return the selected entries, from the top."""
        rows = sorted(i.row() for i in self.selectionModel().selectedIndexes())
        return tuple(self.lines.entries[row] for row in rows)

    def chosen_ids(self) -> frozenset[str]:
        """Return the ids of the selected entries."""
        return frozenset(i for entry in self.chosen_entries() for i in entry.ids)

    def ids_with(self, opened: ListEntry) -> frozenset[str]:
        """Return the ids of the selected entries, or of the one opened if none is selected."""
        return self.chosen_ids() or frozenset(opened.ids)

    def copy(self) -> int:
        """Put the selected entries on the clipboard as a table, or all if at most one is selected;
        return how many there are.
        """
        chosen = self.chosen_entries()
        keys = {entry.key for entry in chosen}
        entries = [
            entry
            for entry in self.lines.entries
            if len(chosen) < 2 or entry.heading or entry.key in keys
        ]
        QGuiApplication.clipboard().setText(as_table(entries))
        return sum(not entry.heading for entry in entries)

    def current_key(self) -> str:
        """Return the key of the current entry, or ""."""
        index = self.currentIndex()
        return self.lines.entries[index.row()].key if index.isValid() else ""

    def go_to(self, key: str) -> bool:
        """Highlight the line with this key; return False if there is none."""
        for row, entry in enumerate(self.lines.entries):
            if entry.key == key and not entry.heading:
                # Not setCurrentIndex: with Ctrl held for a shortcut, it would extend the selection.
                self.selectionModel().setCurrentIndex(
                    self.lines.index(row), QItemSelectionModel.SelectionFlag.ClearAndSelect
                )
                return True
        return False

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

    def _open_out(self, now: QModelIndex, _: QModelIndex) -> None:
        """Show the current entry in full, and bring all of it into view."""
        if now.isValid() and self.lines.entries[now.row()].brief:
            self.doItemsLayout()
            self.scrollTo(now)

    def _tell(self) -> None:
        if self._showing:
            return
        self.chosen.emit(self.chosen_ids())

    def _on_click(self, index: QModelIndex) -> None:
        """Open the entry clicked; with Shift or Ctrl the click only selects."""
        if not self._held & (_SHIFT | _CTRL):
            self._open(index)

    def _open(self, index: QModelIndex) -> None:
        entry = self.lines.entries[index.row()]
        if not entry.heading:
            self.opened.emit(entry)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Note which keys are held with a click."""
        self._held = event.modifiers()
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove on Del, open on Enter, go to the ends on Home and End.

        Copy on Ctrl+C where the window has no other use of it.
        """
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removing.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex())
        elif not go_to_end(self, event):
            super().keyPressEvent(event)
