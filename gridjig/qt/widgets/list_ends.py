"""The first and the last line of a list that can be chosen; headings cannot.

Qt's own Home and End stop at a heading and then do nothing.
"""

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView


def end_line(view: QAbstractItemView, last: bool = False) -> QModelIndex:
    """Return the first or last line that can be chosen; an invalid index if there is none."""
    model = view.model()
    rows = range(model.rowCount())
    for row in reversed(rows) if last else rows:
        index = model.index(row, 0)
        if index.flags() & Qt.ItemFlag.ItemIsSelectable:
            return index
    return QModelIndex()


def go_to_end(view: QAbstractItemView, event: QKeyEvent) -> bool:
    """Go to an end of the list on Home or End; return False for any other key."""
    if event.key() not in (Qt.Key.Key_Home, Qt.Key.Key_End) or event.modifiers():
        return False
    last = event.key() == Qt.Key.Key_End
    index = end_line(view, last)
    if index.isValid():
        view.setCurrentIndex(index)
        if not last:
            view.scrollToTop()  # the heading above it, too
    return True
