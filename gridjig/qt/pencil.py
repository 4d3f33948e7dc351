"""The strokes that icons are made of: wide and narrow lines, rings, full shapes, hatch."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from gridjig.geometry.hatch import hatch

from .theme import Theme

GRID = 24.0
WIDE = 2.0
NARROW = 1.0


class Pencil:
    """Draws on a grid of 24 by 24 units with y down, in the ink of a theme."""

    def __init__(self, painter: QPainter, theme: Theme, off: bool = False) -> None:
        self._painter = painter
        self._theme = theme
        self._off = off
        self._ink = theme.colour("ring" if off else "ink")

    def _colour(self, name: str) -> QColor:
        return self._ink if self._off or name == "ink" else self._theme.colour(name)

    def _pen(self, width: float, colour: str, dash: tuple[float, float] | None = None) -> None:
        pen = QPen(self._colour(colour), width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        if dash is not None:
            pen.setDashPattern([d / width for d in dash])
        self._painter.setPen(pen)
        self._painter.setBrush(Qt.BrushStyle.NoBrush)

    def line(
        self,
        *xy: float,
        width: float = WIDE,
        closed: bool = False,
        dash: tuple[float, float] | None = None,
        colour: str = "ink",
    ) -> None:
        """A line through points, given as x, y, x, y ..."""
        self._pen(width, colour, dash)
        if closed:
            self._painter.drawPolygon(_points(xy))
        else:
            self._painter.drawPolyline(_points(xy))

    def fill(self, *xy: float, colour: str = "ink") -> None:
        """A full shape; a coloured one is left out when the icon is off."""
        if self._off and colour != "ink":
            return
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(self._colour(colour))
        self._painter.drawPolygon(_points(xy))

    def ring(self, x: float, y: float, r: float, width: float = WIDE, colour: str = "ink") -> None:
        """A circle's line."""
        self._pen(width, colour)
        self._painter.drawEllipse(QPointF(x, y), r, r)

    def dot(self, x: float, y: float, r: float, colour: str = "ink") -> None:
        """A full circle."""
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(self._colour(colour))
        self._painter.drawEllipse(QPointF(x, y), r, r)

    def arc(
        self, x: float, y: float, r: float, start: float, span: float, width: float = WIDE
    ) -> None:
        """An arc, counter-clockwise from the right, degrees."""
        self._pen(width, "ink")
        box = QRectF(x - r, y - r, 2 * r, 2 * r)
        self._painter.drawArc(box, round(start * 16), round(span * 16))

    def head(self, x: float, y: float, degrees: float, size: float = 5.0) -> None:
        """A full arrow head with its point at (x, y), counter-clockwise from the right."""
        c, s = math.cos(math.radians(degrees)), -math.sin(math.radians(degrees))
        bx, by, half = x - c * size, y - s * size, size * 0.6
        self.fill(x, y, bx - s * half, by + c * half, bx + s * half, by - c * half)

    def arrow(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A line with a head at its end."""
        degrees = math.degrees(math.atan2(y1 - y2, x2 - x1))
        c, s = math.cos(math.radians(degrees)), -math.sin(math.radians(degrees))
        self.line(x1, y1, x2 - 4 * c, y2 - 4 * s)
        self.head(x2, y2, degrees)

    def box(self, x1: float, y1: float, x2: float, y2: float, width: float = WIDE) -> None:
        """An upright rectangle."""
        self.line(x1, y1, x2, y1, x2, y2, x1, y2, width=width, closed=True)

    def square(self, x: float, y: float, half: float = 2.0, colour: str = "ink") -> None:
        """A full square about a point."""
        self.fill(
            x - half, y - half, x + half, y - half, x + half, y + half, x - half, y + half,
            colour=colour,
        )  # fmt: skip

    def work(self, *xy: float) -> None:
        """A piece of work: hatched and outlined."""
        ring = tuple((xy[i], -xy[i + 1]) for i in range(0, len(xy), 2))
        for (x1, y1), (x2, y2) in hatch(ring, 45.0, 2.8):
            self.line(x1, -y1, x2, -y2, width=NARROW)
        self.line(*xy, closed=True)

    def sheet(self) -> None:
        """A sheet with a folded corner, for files."""
        self.line(5, 3, 14, 3, 19, 8, 19, 21, 5, 21, closed=True)
        self.line(14, 3, 14, 8, 19, 8, width=NARROW)


def _points(xy: tuple[float, ...]) -> QPolygonF:
    return QPolygonF([QPointF(xy[i], xy[i + 1]) for i in range(0, len(xy), 2)])
