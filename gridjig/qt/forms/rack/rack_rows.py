"""The rows of the rack's table: a model of the drawer's lines, and how its cells are painted.

Counts and bins are typed in place.  A text that is not accepted stays in its cell, marked, and
the old value stays in force.  Typed texts are passed to the form, which owns the draft.
"""

from collections.abc import Callable

from PySide6.QtCore import (
    QAbstractItemModel,
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gridjig.qt.paint.silhouettes import Silhouettes, paint_silhouette
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.copying import COPIED
from gridjig.qt.widgets.plain import tip
from gridjig.sheets.lists.drawer_list import DrawerLine

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_LEFT = Qt.AlignmentFlag.AlignLeft
_PX_PER_MM = 0.3
PIECE, USED, OWNED, BIN = range(4)
HEADS = ("Piece", "In use", "On hand", "Bin")
CellTyped = Callable[[str, int, str], str]
"""Takes a piece id, a column and a text; returns "" if the text is accepted, else why not."""


class RackModel(QAbstractTableModel):
    """The drawer's lines, including headings, as a table."""

    refused = Signal(str)

    def __init__(self, typed: CellTyped, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[DrawerLine, ...] = ()
        self._typed = typed
        self._wrong: dict[tuple[str, int], tuple[str, str]] = {}  # the refused text, and why

    def show(self, lines: tuple[DrawerLine, ...]) -> bool:
        """Show these lines; return True if the table was rebuilt."""
        same = [(a.heading, a.piece_id) for a in lines] == [
            (b.heading, b.piece_id) for b in self.lines
        ]
        if same:
            self.lines = lines
            if lines:  # dataChanged needs valid indexes
                last = self.index(len(lines) - 1, BIN)
                self.dataChanged.emit(self.index(0, PIECE), last)
            return False
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()
        return True

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """Return the number of lines."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        """Return the number of columns: piece, in use, owned, bin."""
        return 0 if parent.isValid() else len(HEADS)

    def headerData(
        self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the name of a column."""
        if role == Qt.ItemDataRole.DisplayRole and way == Qt.Orientation.Horizontal:
            return HEADS[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if section in (USED, OWNED) else _LEFT
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        return None

    def wrong(self, index: _Index) -> tuple[str, str]:
        """Return the refused text in a cell and why it is refused, or ("", "")."""
        return self._wrong.get((self.lines[index.row()].piece_id, index.column()), ("", ""))

    def first_wrong(self) -> tuple[QModelIndex, str] | None:
        """Return the first cell with a refused text, and why it is refused, or None."""
        for row, line in enumerate(self.lines):
            for column in (OWNED, BIN):
                if (line.piece_id, column) in self._wrong:
                    return self.index(row, column), self._wrong[line.piece_id, column][1]
        return None

    def text(self, index: _Index) -> str:
        """Return the text of a cell."""
        line = self.lines[index.row()]
        if line.piece is None:
            return line.heading if index.column() == PIECE else ""
        wrong = self.wrong(index)[0]
        if wrong:
            return wrong
        texts = (
            line.name,
            str(line.piece.owned - line.left),
            str(line.piece.owned),
            line.piece.bin,
        )
        return texts[index.column()]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the cell as text; for screen readers, with the rest of its line."""
        line = self.lines[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self.text(index)
        if role == COPIED and index.column() == PIECE and line.piece is not None:
            return line.piece.full_name  # with its size, which is painted below the name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            why = self.wrong(index)[1]
            head = line.spoken if index.column() == PIECE else HEADS[index.column()]
            return ", ".join(t for t in (head, self.text(index), why) if t)
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(self.wrong(index)[1] or (line.spoken if line.piece else ""))
        return None

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed text, or keep it in the cell and say why it is not accepted."""
        key = (self.lines[index.row()].piece_id, index.column())
        text = str(value)
        why = self._typed(key[0], key[1], text)
        if why:
            self._wrong[key] = (text, why)
            self.refused.emit(why)
        else:
            self._wrong.pop(key, None)
        at = self.index(index.row(), index.column())
        self.dataChanged.emit(at, at)
        return not why

    def forget_wrong(self) -> None:
        """Discard every text that is not accepted."""
        self._wrong.clear()

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Headings cannot be selected; counts and bins can be edited."""
        if not index.isValid() or self.lines[index.row()].piece is None:
            return Qt.ItemFlag.NoItemFlags
        base = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return base | Qt.ItemFlag.ItemIsEditable if index.column() in (OWNED, BIN) else base


class RackDelegate(QStyledItemDelegate):
    """Paints the cells, and creates editors for those that can be edited."""

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(parent)
        self.appearance = appearance
        self._silhouettes = Silhouettes()

    def _line(self, index: _Index) -> DrawerLine:
        model = index.model()
        assert isinstance(model, RackModel)
        return model.lines[index.row()]

    def _small(self, base: QFont) -> QFont:
        small = QFont(base)
        small.setPointSizeF(base.pointSizeF() * 0.85)
        return small

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """Return room for the silhouette and two lines, at least the size of a click target."""
        line = self._line(index)
        step = option.fontMetrics.height()
        if line.piece is None:
            return QSize(40, step + 12)
        fine = QFontMetrics(self._small(option.font)).height()
        tall = round(self._silhouettes.height(line.piece, _PX_PER_MM)) + 10
        return QSize(40, max(step + fine + 10, self.appearance.metrics.target, tall))

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: _Index) -> QWidget:
        """Return a line edit with a name for screen readers."""
        edit = QLineEdit(parent)
        edit.setAccessibleName(f"{HEADS[index.column()]} of {self._line(index).name}")
        return edit

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: _Index) -> None:
        """Pass the typed text to the model."""
        assert isinstance(editor, QLineEdit)
        if editor.isModified():
            model.setData(index, editor.text(), Qt.ItemDataRole.EditRole)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint one cell."""
        line = self._line(index)
        painter.save()
        if line.piece is None:
            self._paint_heading(painter, option, line)
        else:
            self._paint_cell(painter, option, index, line)
        painter.restore()

    def _paint_heading(
        self, painter: QPainter, option: QStyleOptionViewItem, line: DrawerLine
    ) -> None:
        strong = QFont(option.font)
        strong.setBold(True)
        painter.fillRect(option.rect, self.appearance.theme.colour("paper"))
        rect = QRect(option.rect).adjusted(6, 0, -6, -3)
        painter.setFont(strong)
        painter.setPen(self.appearance.theme.colour("ink"))
        where = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom
        painter.drawText(rect, int(where), line.heading)
        painter.drawLine(rect.left(), rect.bottom() + 2, rect.right(), rect.bottom() + 2)

    def _paint_cell(
        self, painter: QPainter, option: QStyleOptionViewItem, index: _Index, line: DrawerLine
    ) -> None:
        theme, rect = self.appearance.theme, QRect(option.rect)
        model = index.model()
        assert isinstance(model, RackModel)
        assert line.piece is not None
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.fillRect(rect, theme.colour("panel" if chosen else "paper"))
        if index.column() == PIECE:
            self._paint_piece(painter, option, line, chosen)
        else:
            wrong = model.wrong(index)[0]
            short = index.column() == USED and line.short
            words = f"✕ {wrong}" if wrong else model.text(index)
            words = f"▲ {words}" if short else words
            painter.setPen(theme.colour("clash_text" if wrong or short else "ink"))
            side = _LEFT if index.column() == BIN else Qt.AlignmentFlag.AlignRight
            box = rect.adjusted(8, 0, -10, 0)
            painter.drawText(box, int(side | Qt.AlignmentFlag.AlignVCenter), words)
        painter.setPen(theme.colour("desk"))
        painter.drawLine(rect.left(), rect.bottom(), rect.right(), rect.bottom())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theme.pen("selected"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -2, -2))

    def _paint_piece(
        self, painter: QPainter, option: QStyleOptionViewItem, line: DrawerLine, chosen: bool
    ) -> None:
        assert line.piece is not None
        theme, rect = self.appearance.theme, QRect(option.rect)
        if chosen:
            painter.fillRect(rect.left(), rect.top(), 4, rect.height(), theme.colour("selected"))
        picture = min(130, rect.width() // 3)
        area = QRectF(rect.left() + 8, rect.top() + 3, picture - 8, rect.height() - 6)
        drawing = self._silhouettes.of(line.piece)
        paint_silhouette(painter, area, drawing, _PX_PER_MM, self.appearance, False)
        small = self._small(option.font)
        step, fine = option.fontMetrics.height(), QFontMetrics(small).height()
        text = rect.adjusted(picture + 10, 0, -6, 0)
        y = rect.top() + max(3, (rect.height() - step - fine) // 2)
        for words, font, colour, high in (
            (line.name, option.font, "ink", step),
            (line.size, small, "graphite", fine),
        ):
            painter.setFont(font)
            painter.setPen(theme.colour(colour))
            mode = Qt.TextElideMode.ElideRight
            shown = QFontMetrics(font).elidedText(words, mode, text.width())
            painter.drawText(QRect(text.left(), y, text.width(), high), 0, shown)
            y += high
