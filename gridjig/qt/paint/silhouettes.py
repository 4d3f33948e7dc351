"""Paints pieces as outline silhouettes at one scale, with a break line where a piece is
too long.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen, QPolygonF

from gridjig.geometry.display import Circle, DisplayList, Polyline
from gridjig.qt.style.appearance import Appearance
from gridjig.rack import Piece
from gridjig.sheets.drawings.silhouette import bounds, lying, silhouette


class Silhouettes:
    """Silhouettes, made once for each piece; a changed piece is another value and gets
    a new one.
    """

    def __init__(self) -> None:
        self._made: dict[str, tuple[Piece, DisplayList, float]] = {}

    def of(self, piece: Piece) -> DisplayList:
        """Return the silhouette of a piece, lying flat."""
        return self._held(piece)[1]

    def height(self, piece: Piece, scale: float) -> float:
        """Return the height at which a piece is painted, px."""
        return self._held(piece)[2] * scale

    def _held(self, piece: Piece) -> tuple[Piece, DisplayList, float]:
        held = self._made.get(piece.id)
        if held is None or held[0] is not piece:
            drawing = lying(silhouette(piece))
            _, low, _, high = bounds(drawing)
            held = self._made[piece.id] = (piece, drawing, high - low)
        return held


def paint_silhouette(
    painter: QPainter,
    area: QRectF,
    drawing: DisplayList,
    scale: float,
    appearance: Appearance,
    quiet: bool,
) -> None:
    """Paint a silhouette centred in `area` at `scale` px per mm; one that is too long is cut short
    with a break line.

    `quiet` draws it in graphite.
    """
    low_x, low_y, high_x, high_y = bounds(drawing)
    wide, high = (high_x - low_x) * scale, (high_y - low_y) * scale
    broken = wide > area.width()
    left = area.left() if broken else area.center().x() - wide / 2
    top = area.center().y() - min(high, area.height()) / 2
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(area)
    origin = QPointF(left - low_x * scale, top + high_y * scale)
    paint_drawing(painter, drawing, origin, scale, appearance, quiet)
    if broken:
        _paint_break(painter, area, appearance)
    painter.restore()


def paint_drawing(
    painter: QPainter,
    drawing: DisplayList,
    origin: QPointF,
    scale: float,
    appearance: Appearance,
    quiet: bool = False,
) -> None:
    """Paint the lines and circles of a drawing at `scale` px per mm, y pointing up from
    `origin`.
    """

    def at(point: tuple[float, float]) -> QPointF:
        return QPointF(origin.x() + point[0] * scale, origin.y() - point[1] * scale)

    for shape in drawing:
        if not isinstance(shape, Polyline | Circle):
            continue
        role = "graphite" if quiet and shape.role == "edge" else shape.role
        pen = QPen(appearance.theme.pen(role))
        if shape.role == "edge":
            pen.setWidthF(1.5)
        painter.setPen(pen)
        painter.setBrush(appearance.theme.brush(shape.fill))
        if isinstance(shape, Circle):
            radius = max(shape.radius * scale, 1.0)
            painter.drawEllipse(at(shape.centre), radius, radius)
        elif shape.closed:
            path = QPainterPath()
            for ring in (shape.points, *shape.openings):
                path.addPolygon(QPolygonF([at(p) for p in ring]))
                path.closeSubpath()
            painter.drawPath(path)
        else:
            painter.drawPolyline(QPolygonF([at(p) for p in shape.points]))


def _paint_break(painter: QPainter, area: QRectF, appearance: Appearance) -> None:
    """Paint a break line, as on drawings: what is beyond it is left out."""
    x, y, h = area.right() - 7, area.center().y(), area.height()
    zigzag = [(x, y - h / 2), (x, y - 5), (x - 4, y - 2), (x + 4, y + 2), (x, y + 5), (x, y + h)]
    beyond = [*zigzag, (area.right() + 1, y + h), (area.right() + 1, y - h / 2)]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(appearance.theme.colour("paper"))
    painter.drawPolygon(QPolygonF([QPointF(*p) for p in beyond]))
    painter.setPen(appearance.theme.pen("thin"))
    painter.drawPolyline(QPolygonF([QPointF(*p) for p in zigzag]))
