"""Copying the lines of a table or a list as spreadsheets paste them."""

from collections.abc import Iterable, Sequence
from typing import Protocol, runtime_checkable

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QWidget

_ROOT = QModelIndex()
COPIED = Qt.ItemDataRole.UserRole + 100
"""The role of a cell's text as it is copied, if it says more than is painted as its text."""


def table_text(view: QAbstractItemView) -> str:
    """Return the selected lines of a table, or all if at most one is selected, under the names of
    the columns, with tabs between the cells.

    Headings between the lines, which cannot be selected, are left out.
    """
    model = view.model()
    columns = range(model.columnCount(_ROOT))
    rows = rows_to_copy(view)
    heads = [str(model.headerData(column, Qt.Orientation.Horizontal)) for column in columns]
    cells = [[model.index(row, column, _ROOT) for column in columns] for row in rows]
    lines = [[str(one.data(COPIED) or one.data() or "") for one in row] for row in cells]
    return "\n".join("\t".join(" ".join(cell.split()) for cell in line) for line in [heads, *lines])


def rows_to_copy(view: QAbstractItemView) -> list[int]:
    """Return the selected rows, or all if at most one is selected; headings are left out."""
    model = view.model()
    chosen = {index.row() for index in view.selectionModel().selectedIndexes()}
    return [
        row
        for row in range(model.rowCount(_ROOT))
        if model.index(row, 0, _ROOT).flags() & Qt.ItemFlag.ItemIsSelectable
        and (len(chosen) < 2 or row in chosen)
    ]


def put_rows(rows: Iterable[Sequence[str]]) -> int:
    """Put rows of cells on the clipboard; return how many there are."""
    lines = ["\t".join(" ".join(cell.split()) for cell in row) for row in rows]
    QGuiApplication.clipboard().setText("\n".join(lines))
    return len(lines)


@runtime_checkable
class CopiesLines(Protocol):
    """A list that can put its lines on the clipboard."""

    def copy(self) -> int:
        """Copy the selected lines, or all if at most one is; return how many."""


def copy_lines(widget: QWidget | None) -> int:
    """Copy the lines of a widget, if it is a list; return how many."""
    if isinstance(widget, QAbstractItemView) and isinstance(widget, CopiesLines):
        return widget.copy()
    return 0


class CopiedList(QListWidget):
    """A list whose lines Ctrl+C copies: a row for each, with a cell for each line of its text."""

    def copy(self) -> int:
        """Copy the selected lines, or all if at most one is; return how many."""
        return put_rows(self.item(row).text().split("\n") for row in rows_to_copy(self))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy on Ctrl+C."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        else:
            super().keyPressEvent(event)


def let_copy(view: QAbstractItemView) -> None:
    """Let Ctrl+C in a table copy its lines."""
    shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Copy), view)
    shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
    shortcut.activated.connect(lambda: QGuiApplication.clipboard().setText(table_text(view)))
