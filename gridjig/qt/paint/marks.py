"""The plotted form of a drawing's lines: each keeps its pens and can be drawn in any view.

Points are mapped before they reach the painter, whose units are always dots.
"""

from collections.abc import Iterable

from msgspec import Struct, field
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from gridjig.geometry.display import Hatch
from gridjig.geometry.hatch import hatch
from gridjig.qt.style.theme import HATCHES
from gridjig.rack import Point

from .circle_pixels import LARGEST, CirclePixels
from .view import View

_LEAST_PX = 1.2  # a smaller radius is not drawn: it would only be a smudge


class PaintPlace(Struct, frozen=True):
    """Where marks are drawn: the view and its map in dots, dots per mm and per logical px."""

    view: View
    map: QTransform
    per_mm: float
    unit: float
    stamps: CirclePixels

    @staticmethod
    def of(view: View, per_mm: float, unit: float, stamps: CirclePixels) -> "PaintPlace":
        """Return the place for a view."""
        way = QTransform(view.scale, 0, 0, -view.scale, view.left, view.top)
        return PaintPlace(view, way, per_mm, unit, stamps)


class PolygonMark(Struct):
    """A line through points, or a closed and filled polygon."""

    polygon: QPolygonF
    pen: QPen
    brush: QBrush
    smooth: bool
    closed: bool

    def draw(self, painter: QPainter, place: PaintPlace) -> None:
        """Draw it."""
        painter.setPen(self.pen)
        if self.closed:
            painter.setBrush(self.brush)
            painter.drawPolygon(place.map.map(self.polygon))
        else:
            painter.drawPolyline(place.map.map(self.polygon))


class AreaMark(Struct):
    """A filled area with openings, without an outline."""

    path: QPainterPath
    brush: QBrush
    smooth: bool = True

    @staticmethod
    def of(rings: Iterable[QPolygonF], brush: QBrush) -> "AreaMark":
        """Return the area inside the first ring and outside the others."""
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.OddEvenFill)
        for ring in rings:
            path.addPolygon(ring)
            path.closeSubpath()
        return AreaMark(path, brush)

    def draw(self, painter: QPainter, place: PaintPlace) -> None:
        """Draw it."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.brush)
        painter.drawPath(place.map.map(self.path))


class RoundMark(Struct):
    """A circle."""

    x: float
    y: float
    radius: float
    pen: QPen
    brush: QBrush
    smooth: bool = True

    def draw(self, painter: QPainter, place: PaintPlace) -> None:
        """Draw the circle, or stamp it."""
        view = place.view
        dots = self.radius * view.scale
        x, y = view.left + view.scale * self.x, view.top - view.scale * self.y
        if dots > LARGEST:
            painter.setPen(self.pen)
            painter.setBrush(self.brush)
            painter.drawEllipse(QPointF(x, y), dots, dots)
        elif dots >= _LEAST_PX * place.unit:
            place.stamps.lay(painter, (x, y, dots), self.pen, self.brush, view.scale)


class SweepMark(Struct):
    """An arc; angles in Qt's convention."""

    x: float
    y: float
    radius: float
    start: int
    span: int
    pen: QPen
    smooth: bool = True

    def draw(self, painter: QPainter, place: PaintPlace) -> None:
        """Draw it."""
        x, y = place.view.to_screen((self.x, self.y))
        r = self.radius * place.view.scale
        painter.setPen(self.pen)
        painter.drawArc(QRectF(x - r, y - r, 2 * r, 2 * r), self.start, self.span)


class HatchMark(Struct):
    """Hatch lines within a polygon; they differ at every scale, as their pitch is fixed on the
    screen.
    """

    points: tuple[Point, ...]
    style: Hatch
    pen: QPen
    openings: tuple[tuple[Point, ...], ...] = ()
    smooth: bool = False
    pitch: float = 0.0
    path: QPainterPath = field(default_factory=QPainterPath)

    def draw(self, painter: QPainter, place: PaintPlace) -> None:
        """Draw them."""
        style = HATCHES[self.style]
        pitch = style.pitch * place.per_mm / place.view.scale
        if self.pitch != pitch:
            self.pitch, self.path = pitch, QPainterPath()
            for angle in style.angles:
                for (x1, y1), (x2, y2) in hatch(self.points, angle, pitch, self.openings):
                    self.path.moveTo(x1, y1)
                    self.path.lineTo(x2, y2)
        painter.setPen(self.pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(place.map.map(self.path))


PlotMark = PolygonMark | AreaMark | RoundMark | SweepMark | HatchMark
