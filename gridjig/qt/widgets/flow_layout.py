"""A layout that puts its items in a row and continues in the next row when the width is full."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from .layout import inset


class FlowLayout(QLayout):
    """Left to right, then down; thin items (lines) are stretched to the height of the row."""

    def __init__(self, parent: QWidget | None = None, gap: int = 2) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        inset(self, "flow")

    def set_gap(self, gap: int) -> None:
        """Leave this many px between items."""
        if gap != self._gap:
            self._gap = gap
            self.invalidate()

    @property
    def gap(self) -> int:
        """The gap between items, px."""
        return self._gap

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item."""
        self._items.append(item)

    def count(self) -> int:
        """Return the number of items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return the item at an index, or None."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Remove and return the item at an index, or return None."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Return no direction: the layout never asks for more than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Return True, because the height depends on the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of the rows at a width."""
        return self._lay(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Lay the items out in a rectangle."""
        super().setGeometry(rect)
        self._lay(rect, move=True)

    def sizeHint(self) -> QSize:
        """Return the size of a single row."""
        wide = sum(i.sizeHint().width() + self._gap for i in self._items)
        high = max((i.sizeHint().height() for i in self._items), default=0)
        m = self.contentsMargins()
        return QSize(wide + m.left() + m.right(), high + m.top() + m.bottom())

    def minimumSize(self) -> QSize:
        """Return the size of the largest item."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        m = self.contentsMargins()
        return size + QSize(m.left() + m.right(), m.top() + m.bottom())

    def _lay(self, rect: QRect, move: bool) -> int:
        m = self.contentsMargins()
        area = rect.adjusted(m.left(), m.top(), -m.right(), -m.bottom())
        rows: list[list[QLayoutItem]] = [[]]
        x = area.x()
        for item in self._items:
            if item.isEmpty():
                continue
            wide = item.sizeHint().width()
            if rows[-1] and x + wide > area.right() + 1:
                rows.append([])
                x = area.x()
            rows[-1].append(item)
            x += wide + self._gap
        y = area.y()
        for row in rows:
            high = max((i.sizeHint().height() for i in row), default=0)
            x = area.x()
            for item in row:
                wide = item.sizeHint().width()
                if move:
                    item.setGeometry(QRect(QPoint(x, y), QSize(wide, high)))
                x += wide + self._gap
            y += high + self._gap
        return y - self._gap - rect.y() + m.bottom()
