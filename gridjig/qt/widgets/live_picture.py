"""A picture of a drawing, fitted to its room: what a form shows while sizes are typed.

It paints the same display lists as the plan, with the same painter, and knows nothing about jobs.
"""

import math

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from gridjig.geometry.box_index import Box
from gridjig.geometry.display import DisplayList
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.qt.paint.view import View, fitted
from gridjig.qt.style.appearance import Appearance

_ROUND_PX = 10.0


class LivePicture(QWidget):
    """Shows one whole drawing, centred.  `name` is its name for screen readers."""

    def __init__(self, name: str, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(220, 160)
        self.appearance = appearance
        self._drawing: DisplayList = ()
        self._plot: Plot | None = None
        self._plotter: Plotter | None = None

    # -- what is shown ---------------------------------------------------------------------------

    def show_drawing(self, drawing: DisplayList, spoken: str = "") -> None:
        """Show a drawing; `spoken` describes it for screen readers."""
        self.setAccessibleDescription(spoken)
        if drawing != self._drawing:
            self._drawing, self._plot = drawing, None
            self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Redraw when the font changes."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_plotter"):
            self._plot = self._plotter = None
            self.update()

    # -- view ------------------------------------------------------------------------------------

    @property
    def dots(self) -> float:
        """Return the number of dots (device pixels) per logical px."""
        return float(self.devicePixelRatioF())

    def plotter(self) -> Plotter:
        """Return the plotter for the current appearance and pixel density."""
        if self._plotter is None or self._plotter.unit != self.dots:
            per_mm = self.appearance.metrics.px_per_mm * self.dots
            self._plotter = Plotter(self.appearance.theme, per_mm, self.dots, self.font())
            self._plot = None
        return self._plotter

    def plot(self) -> Plot:
        """Return the drawing, ready to be painted."""
        plotter = self.plotter()
        if self._plot is None:
            self._plot = plotter.plot(self._drawing)
        return self._plot

    def size_in_dots(self) -> tuple[int, int]:
        """Return width and height, in dots."""
        return math.ceil(self.width() * self.dots), math.ceil(self.height() * self.dots)

    def view_of(self, box: Box, margin: float) -> View:
        """Return the view, in dots, that shows a whole box with a margin (dots) around it."""
        wide, high = self.size_in_dots()
        return fitted((box[0], box[1]), (box[2], box[3]), wide, high, margin, least=0.0)

    # -- painting --------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        """Paint the picture with a painter whose units are dots."""
        plot = self.plot()
        wide, high = self.size_in_dots()
        painter.fillRect(0, 0, wide, high, self.appearance.theme.brush_of("paper"))
        if plot.box is not None:
            # Things of fixed size (letters, dimensions) reach beyond the box at any scale; in a
            # small widget they must not make the drawing itself shrink to a point.
            margin = min(plot.outreach, 0.3 * min(wide, high)) + _ROUND_PX * self.dots
            self.plotter().draw(painter, [plot], self.view_of(plot.box, margin))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture, its frame, and the focus."""
        with QPainter(self) as painter:
            painter.save()
            painter.scale(1 / self.dots, 1 / self.dots)
            self.paint_content(painter)
            painter.restore()
            painter.setBrush(Qt.BrushStyle.NoBrush)
            focused = self.hasFocus()
            painter.setPen(self.appearance.theme.pen("selected" if focused else "thin"))
            inset = 1 if focused else 0
            box = self.rect().adjusted(inset, inset, -1 - inset, -1 - inset)
            painter.drawRect(box)

    def sizeHint(self) -> QSize:
        """Return the size that suits most forms."""
        return QSize(480, 360)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the drawing to the new size."""
        super().resizeEvent(event)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Repaint with the focus frame."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Repaint without the focus frame."""
        super().focusOutEvent(event)
        self.update()
