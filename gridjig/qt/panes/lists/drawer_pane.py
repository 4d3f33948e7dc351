"""The drawer: the rack's pieces as silhouettes to one scale, by kind, with how many are left.

A piece is picked by dragging it out, by clicking it and then a hole, or with Enter.  The drawer
itself changes nothing: it only signals which piece was picked.
"""

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QDrag, QFont, QKeyEvent, QKeySequence, QPainter, QPixmap
from PySide6.QtWidgets import (
    QAbstractItemView,
    QLineEdit,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gridjig.model import Job
from gridjig.qt.canvas.input import PIECE_MIME
from gridjig.qt.paint.silhouettes import Silhouettes, paint_silhouette
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.copying import put_rows
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.line_edit import make_clearable
from gridjig.qt.widgets.list_ends import go_to_end
from gridjig.qt.widgets.tips import sent_away
from gridjig.sheets.lists.drawer_list import DrawerLine, drawer_lines
from gridjig.units.unbroken import unbroken

from .drawer_model import DrawerModel
from .drawer_texts import DrawerText, DrawerTexts, fonts

_Index = QModelIndex | QPersistentModelIndex
_PX_PER_MM = 0.34
_THROUGH_LIST = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class DrawerDelegate(QStyledItemDelegate):
    """Paints one line of the drawer."""

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(parent)
        self.appearance = appearance
        self._silhouettes = Silhouettes()
        self._texts = DrawerTexts()

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """Return room for the silhouette and text, at least the size of a click target."""
        model = index.model()
        assert isinstance(model, DrawerModel)
        line = model.line(index)
        if line.piece is None:
            return QSize(80, option.fontMetrics.height() + 10)
        view = self.parent()
        assert isinstance(view, QListView)
        least = self.appearance.metrics.target + self.appearance.metrics.gap
        if not view.testAttribute(Qt.WidgetAttribute.WA_Resized):
            return QSize(80, least)  # it has no width yet, and asks again when it has
        # As if the scroll bar were shown, so that heights stay right when it appears.
        wide = view.width() - 4 - view.verticalScrollBar().sizeHint().width()
        words = sum(high for *_, high in self._rows(line, option.font, wide))
        tall = round(self._silhouettes.height(line.piece, _PX_PER_MM)) + 12
        return QSize(80, max(words + 10, least, tall))

    def _picture(self, width: int) -> int:
        return max(64, round(width * 0.36))

    def _rows(self, line: DrawerLine, font: QFont, width: int) -> list[DrawerText]:
        """Return the texts of a line of that width."""
        return self._texts.of(line, font, width - self._picture(width) - 14)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint the line."""
        model = index.model()
        assert isinstance(model, DrawerModel)
        line = model.line(index)
        rect: QRect = option.rect
        painter.save()
        if line.piece is None:
            self._paint_heading(painter, option, line)
        else:
            self._paint_piece(painter, option, line, QRect(rect))
        painter.restore()

    def _paint_heading(
        self, painter: QPainter, option: QStyleOptionViewItem, line: DrawerLine
    ) -> None:
        strong, _ = fonts(option.font)
        rect = QRect(option.rect).adjusted(6, 0, -6, -3)
        painter.setFont(strong)
        painter.setPen(self.appearance.theme.colour("ink"))
        painter.drawText(
            rect, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom), line.heading
        )
        painter.drawLine(rect.left(), rect.bottom() + 2, rect.right(), rect.bottom() + 2)

    def _paint_piece(
        self, painter: QPainter, option: QStyleOptionViewItem, line: DrawerLine, rect: QRect
    ) -> None:
        assert line.piece is not None
        theme = self.appearance.theme
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        focused = chosen and bool(option.state & QStyle.StateFlag.State_HasFocus)
        if option.state & QStyle.StateFlag.State_MouseOver and line.can_place:
            painter.fillRect(rect, theme.colour("panel"))
        picture = self._picture(rect.width())
        area = QRectF(rect.left() + 6, rect.top() + 4, picture - 6, rect.height() - 8)
        drawing = self._silhouettes.of(line.piece)
        paint_silhouette(painter, area, drawing, _PX_PER_MM, self.appearance, not line.can_place)
        text = rect.adjusted(picture + 8, 4, -6, -4)
        rows = self._rows(line, option.font, rect.width())
        y = rect.top() + max(4, (rect.height() - sum(high for *_, high in rows)) // 2)
        for words, font, colour, high in rows:
            painter.setFont(font)
            painter.setPen(theme.colour(colour))
            wrap = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
            painter.drawText(QRect(text.left(), y, text.width(), high), wrap, unbroken(words))
            y += high
        if chosen:
            self._paint_corners(painter, rect, focused)

    def _paint_corners(self, painter: QPainter, rect: QRect, focused: bool) -> None:
        """Mark a selected line with a double outline and corner ticks, as on the plan."""
        pen = self.appearance.theme.pen("selected")
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(rect.adjusted(2, 2, -3, -3))
        if focused:
            thin = self.appearance.theme.pen("thin")
            painter.setPen(thin)
            painter.drawRect(rect.adjusted(5, 5, -6, -6))
        for x in (rect.left(), rect.right() - 5):
            for y in (rect.top(), rect.bottom() - 5):
                painter.fillRect(x, y, 6, 6, self.appearance.theme.colour("selected"))


class DrawerView(QListView):
    """The list of pieces; a dragged piece shows as a ghost on the plan, not as a drag picture.

    `typed` carries text typed while the list has the focus: it starts a search instead of jumping
    to a line.
    """

    typed = Signal(str)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the ends on Home and End; copy on Ctrl+C if the window does not."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif not go_to_end(self, event):
            super().keyPressEvent(event)

    def copy(self) -> int:
        """Copy the pieces as a table: kind, name, size, how many are left, owned, bin."""
        model = self.model()
        assert isinstance(model, DrawerModel)
        return put_rows(
            (one.heading, one.name, one.size, str(one.left), str(one.piece.owned), one.piece.bin)
            for one in model.lines
            if one.piece is not None
        )

    def keyboardSearch(self, search: str) -> None:
        """Emit what was typed."""
        self.typed.emit(search)

    def startDrag(self, supported: Qt.DropAction) -> None:
        """Start a drag with an empty picture."""
        data = self.model().mimeData(self.selectedIndexes())
        if data is None or not data.hasFormat(PIECE_MIME):
            return
        drag = QDrag(self)
        drag.setMimeData(data)
        empty = QPixmap(1, 1)
        empty.fill(Qt.GlobalColor.transparent)
        drag.setPixmap(empty)
        drag.exec(Qt.DropAction.CopyAction)


class SearchEdit(QLineEdit):
    """The search field; `through` carries the keys that go through the list below it."""

    through = Signal(object)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Pass on the keys that go up and down."""
        if event.key() in _THROUGH_LIST:
            self.through.emit(event)
        else:
            super().keyPressEvent(event)


class DrawerPane(QWidget):
    """The search field and the list of pieces."""

    picked = Signal(str)
    message = Signal(str)
    left = Signal()

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drawer")
        self._job: Job | None = None
        self._needs: object = None
        self.search = SearchEdit()
        self.search.setPlaceholderText("Find in the rack")
        self.search.setAccessibleName("Find in the rack")
        make_clearable(self.search)
        # The style sheet gives tool buttons a minimum size, but this one must fit in the field.
        self.search.setStyleSheet("QToolButton { min-width: 0; min-height: 0; border: 0; }")
        self.model = DrawerModel(self)
        self.list = DrawerView()
        self.list.setObjectName("lines")
        self.list.setAccessibleName("Rack drawer: pieces")
        self.list.setModel(self.model)
        self.delegate = DrawerDelegate(appearance, self.list)
        self.list.setItemDelegate(self.delegate)
        self.list.setMouseTracking(True)
        self.list.setDragEnabled(True)
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        in_column(self.search, (self.list, 1), over=self, margins="none", gap=0)
        self.search.through.connect(self.list.keyPressEvent)
        self.search.textChanged.connect(self._on_search)
        self.search.returnPressed.connect(self._pick_found)
        self.list.typed.connect(self._search_for)
        self.list.clicked.connect(self._pick)
        self.list.activated.connect(self._pick)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.delegate.appearance = appearance
        self.model.layoutChanged.emit()

    def show_job(self, job: Job) -> None:
        """Show this job's rack, with how many of each piece are left."""
        last = self._job
        if last is None or last.rack is not job.rack or last.placements is not job.placements:
            self._job = job
            if last is not None and self.search.text() and self._found_in(_added(last, job)):
                self.search.clear()  # what was looked for is on the table
            self._rebuild()

    def _found_in(self, pieces: set[str]) -> bool:
        return any(line.piece_id in pieces for line in self.model.lines)

    def _rebuild(self) -> None:
        if self._job is not None:
            held = self.current()
            self.model.show(drawer_lines(self._job, self.search.text()))
            if held:
                self._choose(held)

    def _on_search(self, text: str) -> None:
        """Show what is found and highlight the first of it: Enter picks what is highlighted."""
        self._rebuild()
        if text:
            self.list.setCurrentIndex(self._first())

    def _first(self) -> QModelIndex:
        """Return the first piece that can be placed; an invalid index if there is none."""
        for row, line in enumerate(self.model.lines):
            if line.can_place:
                return self.model.index(row)
        return QModelIndex()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Clear the search on Esc; if there is none, emit `left`."""
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif sent_away(event):
            return
        elif self.search.text():
            self.search.clear()
            self.focus_list()
        else:
            self.left.emit()

    def focus_list(self) -> None:
        """Put the focus on the list, at the first piece if none is selected."""
        if not self.current():
            self.list.setCurrentIndex(self._first())
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def current(self) -> str:
        """Return the id of the piece selected in the list, or ""."""
        index = self.list.currentIndex()
        return self.model.line(index).piece_id if index.isValid() else ""

    def _choose(self, piece_id: str) -> None:
        for row, line in enumerate(self.model.lines):
            if line.piece_id == piece_id:
                self.list.setCurrentIndex(self.model.index(row))

    def _search_for(self, text: str) -> None:
        self.search.setText(text)
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.deselect()

    def _pick_found(self) -> None:
        index = self.list.currentIndex()
        if not index.isValid():
            index = self._first()
            self.list.setCurrentIndex(index)
        if index.isValid():
            self._pick(index)
            return
        self.message.emit(f"No piece of the rack has “{self.search.text()}” in its name or size.")

    def _pick(self, index: QModelIndex) -> None:
        line = self.model.line(index)
        if line.piece is None:
            return
        if line.can_place:
            self.picked.emit(line.piece_id)
        else:
            self.message.emit(line.help)


def _added(before: Job, after: Job) -> set[str]:
    """Return the pieces that have been placed between two jobs."""
    known = {one.id for one in before.placements}
    return {one.piece for one in after.placements if one.id not in known}
