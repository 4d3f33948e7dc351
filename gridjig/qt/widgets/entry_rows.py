"""The entries of a list as a Qt model, and how an entry is painted."""

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gridjig.qt.style.appearance import Appearance
from gridjig.units.unbroken import unbroken

from .list_entry import ListEntry
from .plain import tip

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
COLOURS = {"stop": "clash_text", "look": "check_text", "fine": "held_text"}
"""Of the sign; that of a note, or of no level, is the second colour of text."""
SIGNS = {"stop": "✕", "look": "▲", "note": "◇", "fine": "●", "": ""}


class EntryListModel(QAbstractListModel):
    """The entries as a Qt model."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.entries: tuple[ListEntry, ...] = ()

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return the number of entries."""
        return 0 if parent.isValid() else len(self.entries)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the entry as text, for lists, tooltips and screen readers."""
        text = self.entries[index.row()].text
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(text)
        wanted = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        return text if role in wanted else None

    def flags(self, index: Index) -> Qt.ItemFlag:
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
        # Not asked of the view: it makes a line the current one before it knows which lines a press
        # with Shift selects, and a line that grew meanwhile would reach over its neighbours.
        self.open_row = -1

    def small(self, base: QFont) -> QFont:
        """Return the font of what is below a head."""
        small = QFont(base)
        small.setPointSizeF(base.pointSizeF() * 0.88)
        return small

    def height_of(self, words: str, font: QFont, width: int) -> int:
        """Return the height of a text wrapped to a width."""
        if not words:
            return 0
        box = QFontMetrics(font).boundingRect(
            QRect(0, 0, max(width, 60), 2000), int(Qt.TextFlag.TextWordWrap), unbroken(words)
        )
        return box.height()

    def _beside(self, entry: ListEntry, font: QFont, width: int) -> bool:
        """Return True if the head and the text to its right fit on one line."""
        letters = QFontMetrics(font)
        taken = letters.horizontalAdvance(entry.right) + 8 if entry.right else 0
        return letters.horizontalAdvance(entry.head) + taken <= width

    def _is_two_lines(self, heading: ListEntry, font: QFont, width: int) -> bool:
        """Return True if what a heading has to its right does not fit beside it."""
        return bool(heading.right) and not self._beside(heading, _bold(font), width)

    def _head_height(self, entry: ListEntry, font: QFont, width: int) -> int:
        """Return the height of the head, and of what is below it if that does not fit beside it."""
        if self._beside(entry, font, width):
            return QFontMetrics(font).height()
        return self.height_of(entry.head, font, width) + self.height_of(entry.right, font, width)

    def _under(self, entry: ListEntry, index: Index) -> str:
        """Return what is shown below the head: in full only at the entry that is open."""
        full = not entry.brief or self.open_row == index.row()
        return entry.under if full else entry.brief

    def opens_out(self, entry: ListEntry) -> bool:
        """True if an entry is higher while it is the current one."""
        return bool(entry.brief)

    def _indent(self, font_metrics: QFontMetrics) -> int:
        return 10 + font_metrics.horizontalAdvance("✕ ")

    def indent_of(self, view: QListView) -> int:
        """Return where text begins, px from the left edge of a list."""
        return self._indent(view.fontMetrics()) + view.frameWidth()

    def room(self, view: QListView) -> int:
        """Return the width of an entry's text, px.

        Computed as if the scroll bar were shown, so that heights stay right when it appears.
        """
        bar = view.verticalScrollBar().sizeHint().width()
        return view.width() - 4 - bar - self._indent(view.fontMetrics()) - 8

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return room for the head and the text below, at least the size of a click target."""
        model = index.model()
        assert isinstance(model, EntryListModel)
        entry = model.entries[index.row()]
        step = option.fontMetrics.height()
        view = self.parent()
        assert isinstance(view, QListView)
        width = self.room(view)
        if entry.heading:
            room = width + self._indent(view.fontMetrics())
            return QSize(80, step * (2 if self._is_two_lines(entry, option.font, room) else 1) + 12)
        head = self._head_height(entry, option.font, width)
        under = self._under(entry, index)
        high = head + self.height_of(under, self.small(option.font), width) + 8
        return QSize(80, max(high, self.appearance.metrics.target))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
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
        painter.setFont(_bold(option.font))
        painter.setPen(self.appearance.theme.colour("ink"))
        bottom = int(Qt.AlignmentFlag.AlignBottom)
        two = self._is_two_lines(entry, option.font, rect.width())
        above = rect.adjusted(0, 0, 0, -painter.fontMetrics().height() if two else 0)
        painter.drawText(above, int(Qt.AlignmentFlag.AlignLeft) | bottom, entry.head)
        painter.drawText(rect, int(Qt.AlignmentFlag.AlignRight) | bottom, entry.right)
        painter.drawLine(rect.left(), rect.bottom() + 2, rect.right(), rect.bottom() + 2)

    def _paint_entry(
        self, painter: QPainter, option: QStyleOptionViewItem, entry: ListEntry, below: str
    ) -> None:
        theme = self.appearance.theme
        rect = QRect(option.rect)
        chosen = self.paint_ground(painter, option)

        def colour(name: str) -> None:
            painter.setPen(theme.colour("on_selected" if chosen else name))

        indent = self._indent(option.fontMetrics)
        step = option.fontMetrics.height()
        left = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        width = rect.width() - indent - 8
        high = self._head_height(entry, option.font, width)
        small = self.small(option.font)
        content = high + self.height_of(below, small, width)
        top = rect.top() + max(3, (rect.height() - content) // 2)
        line = QRect(rect.left() + indent, top, width, high)
        painter.setFont(option.font)
        colour(COLOURS.get(entry.level, "graphite"))
        painter.drawText(QRect(rect.left() + 8, line.top(), indent, step), left, SIGNS[entry.level])
        wrap = int(Qt.TextFlag.TextWordWrap)
        colour("ink")
        painter.drawText(line, left | wrap, unbroken(entry.head))
        beside = self._beside(entry, option.font, width)
        low = 0 if beside else self.height_of(entry.head, option.font, width)
        colour(COLOURS[entry.level] if entry.level in ("stop", "look") else "ink")
        painter.drawText(line.adjusted(0, low, 0, 0), right | wrap, unbroken(entry.right))
        if below:
            painter.setFont(small)
            colour("graphite")
            under = QRect(
                line.left(), line.bottom() + 1, line.width(), rect.bottom() - line.bottom()
            )
            painter.drawText(under, left | wrap, unbroken(below))
        self.paint_edge(painter, option)

    def paint_ground(self, painter: QPainter, option: QStyleOptionViewItem) -> bool:
        """Fill the ground of an entry; return True if it is selected."""
        theme = self.appearance.theme
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(option.rect, theme.colour("selected_text"))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(option.rect, theme.colour("panel"))
        return chosen

    def paint_edge(self, painter: QPainter, option: QStyleOptionViewItem) -> None:
        """Draw the line below an entry, and the mark of the focus."""
        theme, rect = self.appearance.theme, QRect(option.rect)
        indent = self._indent(option.fontMetrics)
        painter.setPen(theme.colour("desk"))
        painter.drawLine(rect.left() + indent, rect.bottom(), rect.right() - 6, rect.bottom())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theme.pen("selected"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -2, -2))


def _bold(font: QFont) -> QFont:
    made = QFont(font)
    made.setBold(True)
    return made
