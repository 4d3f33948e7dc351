"""The plate with its holes, and the marks on holes that have one."""

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter

from gridjig.model import Hole, HoleMark, Table
from gridjig.model.marks import mark_index
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.qt.paint.view import View
from gridjig.sheets.drawings.hole_marks import draw_hole_mark

from .ground import PlateGround


class MarkedGround(PlateGround):
    """Draws one table with one plotter, hole marks included."""

    def __init__(self, plotter: Plotter, table: Table) -> None:
        super().__init__(plotter.theme, plotter.unit, table)
        self._plotter = plotter
        self._marks: dict[HoleMark, Plot] = {}

    def draw(self, painter: QPainter, view: View, part: QRect) -> None:
        """Draw the area `part` (dots).  The painter must be clipped to it."""
        super().draw(painter, view, part)
        marks: Mapping[Hole, HoleMark] = mark_index(self._table)
        if not marks:
            return
        area = QRectF(part)
        margin = self._table.pitch_x * view.scale
        area.adjust(-margin, -margin, margin, margin)
        self._plotter.draw(
            painter,
            [
                self._plot(mark)
                for hole, mark in marks.items()
                if area.contains(QPointF(*view.to_screen(self._table.at(hole))))
            ],
            view,
        )

    def _plot(self, mark: HoleMark) -> Plot:
        plot = self._marks.get(mark)
        if plot is None:
            plot = self._marks[mark] = self._plotter.plot(draw_hole_mark(self._table, mark))
        return plot
