"""The rack as a table: each piece with its silhouette, its count in use and on hand, its bin."""

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.copying import let_copy
from gridjig.sheets.lists.drawer_list import DrawerLine, PieceOrder, sorted_pieces

from .rack_rows import BIN, HEADS, OWNED, PIECE, USED, CellTyped, RackDelegate, RackModel

_ORDERS: tuple[PieceOrder, ...] = ("name", "used", "owned", "bin")


class RackTable(QTableView):
    """The table; Tab leaves it, Enter opens the piece, Del removes it, typing edits a cell.

    A click on the name of a column sorts by it, a second one the other way round, a third one
    lists the pieces by kind again.
    """

    opened = Signal()
    removing = Signal()

    def __init__(
        self, typed: CellTyped, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName("Pieces of the rack")
        self.rows = RackModel(typed, self)
        self.setModel(self.rows)
        self.delegate = RackDelegate(appearance, self)
        self.setItemDelegate(self.delegate)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            trigger.AnyKeyPressed | trigger.EditKeyPressed | trigger.SelectedClicked
        )
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        heads = self.horizontalHeader()
        heads.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        heads.setSectionResizeMode(PIECE, QHeaderView.ResizeMode.Stretch)
        heads.setHighlightSections(False)
        heads.setSectionsClickable(True)
        heads.sectionClicked.connect(self._on_head)
        self._given: tuple[DrawerLine, ...] = ()
        self._sorted: tuple[int, bool] | None = None
        self._order: dict[str, int] = {}
        let_copy(self)
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Make each column as wide as its heading and what it usually holds."""
        wide, heads = self.fontMetrics().averageCharWidth(), self.horizontalHeader()
        for column, letters in ((USED, 6), (OWNED, 7), (BIN, 8)):
            self.setColumnWidth(column, max(letters * wide + 16, heads.sectionSizeHint(column)))

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the columns: only now is the style of the headings known."""
        super().showEvent(event)
        self._fit_columns()

    def show_lines(self, lines: tuple[DrawerLine, ...]) -> None:
        """Show these lines; the current piece stays current.

        While the table is sorted, a line stays where it is when its count or bin changes.
        """
        held, column = self.current_id(), max(self.currentIndex().column(), PIECE)
        self._given = lines
        if self._sorted is not None:
            last = len(self._order)
            pieces = (line for line in lines if line.piece is not None)
            lines = tuple(sorted(pieces, key=lambda one: self._order.get(one.piece_id, last)))
        if self.rows.show(lines):
            self.clearSpans()
            for row, line in enumerate(lines):
                if line.piece is None:
                    self.setSpan(row, PIECE, 1, len(HEADS))
            if not self.choose(held, column):
                first = next((line.piece_id for line in lines if line.piece), "")
                self.choose(first, PIECE)

    def _on_head(self, column: int) -> None:
        """Sort by a column, then the other way round, then list by kind again."""
        up, down = (column, False), (column, True)
        self._sorted = {up: down, down: None}.get(self._sorted or (-1, False), up)
        heads = self.horizontalHeader()
        heads.setSortIndicatorShown(self._sorted is not None)
        if self._sorted is not None:
            way = Qt.SortOrder.DescendingOrder if self._sorted[1] else Qt.SortOrder.AscendingOrder
            heads.setSortIndicator(column, way)
            lines = sorted_pieces(self._given, _ORDERS[column], self._sorted[1])
            self._order = {line.piece_id: at for at, line in enumerate(lines)}
        self.show_lines(self._given)

    def chosen_ids(self) -> tuple[str, ...]:
        """Return the ids of the selected pieces, from the top."""
        rows = sorted({index.row() for index in self.selectionModel().selectedIndexes()})
        return tuple(self.rows.lines[row].piece_id for row in rows)

    def choose(self, piece_id: str, column: int = PIECE) -> bool:
        """Make a piece current; return False if it is not shown."""
        for row, line in enumerate(self.rows.lines):
            if piece_id and line.piece_id == piece_id:
                self.go_to(self.rows.index(row, column))
                return True
        return False

    def go_to(self, index: QModelIndex) -> None:
        """Make a cell the current one, and its line the only one selected.

        Not by setCurrentIndex: with Ctrl held for a shortcut, it would leave the selection as it
        is.
        """
        flag = QItemSelectionModel.SelectionFlag
        self.selectionModel().setCurrentIndex(index, flag.ClearAndSelect | flag.Rows)

    def current_id(self) -> str:
        """Return the id of the current piece, or ""."""
        index = self.currentIndex()
        return self.rows.lines[index.row()].piece_id if index.isValid() else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens a piece, or edits a count or bin; Del removes the piece."""
        current = self.currentIndex()
        if self.state() == QAbstractItemView.State.EditingState:
            event.accept()  # the Enter that has just closed an editor
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and current.isValid():
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                event.ignore()
            elif current.flags() & Qt.ItemFlag.ItemIsEditable:
                # Unlike edit(index), no warning where a click has left an editor open.
                self.edit(current, QAbstractItemView.EditTrigger.AllEditTriggers, event)
            elif self.current_id():
                self.opened.emit()
        elif event.key() == Qt.Key.Key_Delete:
            self.removing.emit()
        else:
            super().keyPressEvent(event)
