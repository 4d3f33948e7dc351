"""A menu that marks what is on, beside the icons.

Where an action has an icon, a style sheet shows only the icon, so the mark is painted here: a tick
for what is on or off by itself, a dot for the one chosen of several.
"""

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QAction, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QMenu, QWidget

from .styled import restyle

_TICK = ((0.14, 0.50), (0.42, 0.78), (0.86, 0.22))


class TickedMenu(QMenu):
    """A menu with a column for the marks, if it has actions that can be on or off."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, parent)
        self.setToolTipsVisible(True)

    def addAction(self, *given: object) -> QAction:  # type: ignore[override]
        """Add an action; the first that can be on or off opens the column of marks."""
        made: QAction = super().addAction(*given)  # type: ignore[call-overload]
        shown = made if made is not None else given[0]
        if isinstance(shown, QAction) and shown.isCheckable() and not self.property("ticked"):
            restyle(self, "ticked", True)
        return made

    def mark_box(self, action: QAction) -> QRectF:
        """Return the square in which an action's mark is painted."""
        line = QRect(self.actionGeometry(action))
        side = min(self.fontMetrics().height(), line.height())
        indent = self.fontMetrics().averageCharWidth() // 2
        return QRectF(line.left() + indent, line.center().y() - side / 2.0, side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the menu and its marks."""
        super().paintEvent(event)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for action in self.actions():
                if action.isCheckable() and action.isChecked():
                    self._paint_mark(painter, action)

    def _paint_mark(self, painter: QPainter, action: QAction) -> None:
        group = QPalette.ColorGroup.Active
        role = QPalette.ColorRole.Text
        if not action.isEnabled():
            group = QPalette.ColorGroup.Disabled
        elif action is self.activeAction():
            role = QPalette.ColorRole.HighlightedText
        colour = self.palette().color(group, role)
        box = self.mark_box(action)
        chosen = action.actionGroup() is not None
        if chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour)
            painter.drawEllipse(box.center(), box.width() * 0.22, box.width() * 0.22)
            return
        painter.setPen(QPen(colour, max(2.0, box.width() / 8.0)))
        at = [QPointF(box.left() + x * box.width(), box.top() + y * box.height()) for x, y in _TICK]
        painter.drawPolyline(at)
