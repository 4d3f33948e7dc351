"""Copying the lines of a table, with the names of its columns, as spreadsheets paste them."""

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractItemView

_ROOT = QModelIndex()


def table_text(view: QAbstractItemView) -> str:
    """Return the selected lines of a table, or all if at most one is selected, under the names of
    the columns, with tabs between the cells.

    Headings between the lines, which cannot be selected, are left out.
    """
    model = view.model()
    columns = range(model.columnCount(_ROOT))
    chosen = {index.row() for index in view.selectionModel().selectedIndexes()}
    rows = [
        row
        for row in range(model.rowCount(_ROOT))
        if model.index(row, 0, _ROOT).flags() & Qt.ItemFlag.ItemIsSelectable
        and (len(chosen) < 2 or row in chosen)
    ]
    heads = [str(model.headerData(column, Qt.Orientation.Horizontal)) for column in columns]
    lines = [
        [str(model.index(row, column, _ROOT).data() or "") for column in columns] for row in rows
    ]
    return "\n".join("\t".join(" ".join(cell.split()) for cell in line) for line in [heads, *lines])


def let_copy(view: QAbstractItemView) -> None:
    """Let Ctrl+C in a table copy its lines."""
    shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Copy), view)
    shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
    shortcut.activated.connect(lambda: QGuiApplication.clipboard().setText(table_text(view)))
