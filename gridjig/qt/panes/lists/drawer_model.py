"""The lines of the rack drawer as Qt asks for them."""

from PySide6.QtCore import (
    QAbstractListModel,
    QByteArray,
    QMimeData,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtWidgets import QWidget

from gridjig.qt.canvas.input import PIECE_MIME
from gridjig.qt.widgets.plain import tip
from gridjig.sheets.lists.drawer_list import DrawerLine

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class DrawerModel(QAbstractListModel):
    """The lines of the drawer: headings and pieces."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[DrawerLine, ...] = ()

    def show(self, lines: tuple[DrawerLine, ...]) -> None:
        """Show these lines; if only counts changed, keep the lines and repaint them."""
        same = [(a.heading, a.piece_id) for a in lines] == [
            (b.heading, b.piece_id) for b in self.lines
        ]
        if lines == self.lines:
            return
        if same:
            self.lines = lines
            self.dataChanged.emit(self.index(0), self.index(len(lines) - 1))
            return
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """Return the number of lines."""
        return 0 if parent.isValid() else len(self.lines)

    def line(self, index: _Index) -> DrawerLine:
        """Return the line at an index."""
        return self.lines[index.row()]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the line as text, for screen readers and tooltips."""
        line = self.line(index)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return line.spoken
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(line.help)
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Headings cannot be selected; a piece that stands in no hole cannot be dragged."""
        if not index.isValid() or self.line(index).piece is None:
            return Qt.ItemFlag.NoItemFlags
        base = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return base | Qt.ItemFlag.ItemIsDragEnabled if self.line(index).can_place else base

    def mimeTypes(self) -> list[str]:
        """Return the MIME types of a drag."""
        return [PIECE_MIME]

    def mimeData(self, indexes: list[QModelIndex]) -> QMimeData:  # type: ignore[override]
        """Return the id of the dragged piece as MIME data."""
        data = QMimeData()
        for index in indexes:
            data.setData(PIECE_MIME, QByteArray(self.line(index).piece_id.encode()))
            data.setText(self.line(index).name)
        return data
