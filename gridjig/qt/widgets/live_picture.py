"""A picture of a drawing, fitted to the room it has: what a form draws while sizes are typed.

Paints the same display list as the sheet, with the same painter.  Knows no job.
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
    """Shows one drawing whole, its middle in the middle.  `name` is what a reader says."""

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
        """Show a drawing; `spoken` says in words what it shows."""
        self.setAccessibleDescription(spoken)
        if drawing != self._drawing:
            self._drawing, self._plot = drawing, None
            self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Make the picture anew in other letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_plotter"):
            self._plot = self._plotter = None
            self.update()

    # -- how it lies -----------------------------------------------------------------------------

    @property
    def dots(self) -> float:
        """Dots (device pixels) per logical px."""
        return float(self.devicePixelRatioF())

    def plotter(self) -> Plotter:
        """The plotter of this look at this density."""
        if self._plotter is None or self._plotter.unit != self.dots:
            per_mm = self.appearance.metrics.px_per_mm * self.dots
            self._plotter = Plotter(self.appearance.theme, per_mm, self.dots, self.font())
            self._plot = None
        return self._plotter

    def plot(self) -> Plot:
        """The drawing made ready."""
        plotter = self.plotter()
        if self._plot is None:
            self._plot = plotter.plot(self._drawing)
        return self._plot

    def size_in_dots(self) -> tuple[int, int]:
        """Width and height in dots."""
        return math.ceil(self.width() * self.dots), math.ceil(self.height() * self.dots)

    def view_of(self, box: Box, margin: float) -> View:
        """The view, in dots, that shows a box whole with a margin (dots) round it."""
        wide, high = self.size_in_dots()
        return fitted((box[0], box[1]), (box[2], box[3]), wide, high, margin, least=0.0)

    # -- painting --------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        """Paint the picture on a painter whose units are dots."""
        plot = self.plot()
        wide, high = self.size_in_dots()
        painter.fillRect(0, 0, wide, high, self.appearance.theme.brush_of("paper"))
        if plot.box is not None:
            # What keeps its size (letters, dimensions) reaches beyond the box at any scale; where
            # the room is small the drawing itself must not shrink to a point for it.
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
        """As much room as a form can give."""
        return QSize(480, 360)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit anew."""
        super().resizeEvent(event)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that the focus went."""
        super().focusOutEvent(event)
        self.update()
