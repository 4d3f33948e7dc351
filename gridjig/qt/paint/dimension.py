"""A dimension as drawn by hand: witness lines, a line with filled arrowheads, its number in a gap.

Everything but its two points keeps its size on the screen or page.
"""

import math

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from gridjig.geometry.display import Dimension

from .lettering import Lettering
from .view import View

HEAD_MM = 3.0
GAP_MM = 0.8
BEYOND_MM = 1.5


def draw_dimension(painter: QPainter, lettering: Lettering, d: Dimension, view: View) -> None:
    """Draw a dimension; its line is to the left of the direction from `a` to `b`, as
    seen on paper.
    """
    (x1, y1), (x2, y2) = view.to_screen(d.a), view.to_screen(d.b)
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 1:
        return
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    nx, ny = uy, -ux  # to the left: the screen's y axis points down
    mm = lettering.per_mm
    pen = lettering.theme.pen(d.role, lettering.unit)
    painter.setPen(pen)
    off, gap, beyond = d.offset * mm, GAP_MM * mm, (d.offset + BEYOND_MM) * mm
    for x, y in ((x1, y1), (x2, y2)):
        painter.drawLine(QLineF(x + nx * gap, y + ny * gap, x + nx * beyond, y + ny * beyond))
    ax, ay, bx, by = x1 + nx * off, y1 + ny * off, x2 + nx * off, y2 + ny * off
    head = HEAD_MM * mm
    room = lettering.width(d.text) + 10 * lettering.unit
    inside = length > 2 * head + 4 * lettering.unit
    within = length > room + 2 * head
    if inside:
        painter.drawLine(QLineF(ax, ay, bx, by))
    else:  # arrowheads outside, pointing inwards
        painter.drawLine(QLineF(ax - ux * 2 * head, ay - uy * 2 * head, ax, ay))
        painter.drawLine(QLineF(bx, by, bx + ux * 2 * head, by + uy * 2 * head))
    way = 1.0 if inside else -1.0
    painter.setBrush(pen.color())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon(_head(ax, ay, way * ux, way * uy, head))
    painter.drawPolygon(_head(bx, by, -way * ux, -way * uy, head))
    turn = _readable(math.degrees(math.atan2(-(y2 - y1), x2 - x1)))
    middle = ((ax + bx) / 2, (ay + by) / 2)
    if not within:  # beside the line, away from what is measured
        stand = lettering.height() / 2 + 4 * lettering.unit
        middle = (middle[0] + nx * stand, middle[1] + ny * stand)
    colour = lettering.theme.text(d.role)
    lettering.write(painter, d.text, middle, colour, turn=turn, cleared=True)


def _head(x: float, y: float, ux: float, uy: float, head: float) -> QPolygonF:
    half = head / 6
    return QPolygonF(
        [
            QPointF(x, y),
            QPointF(x + ux * head - uy * half, y + uy * head + ux * half),
            QPointF(x + ux * head + uy * half, y + uy * head - ux * half),
        ]
    )


def _readable(turn: float) -> float:
    """Return the line's direction, reversed if needed so that the number reads from below or the
    right.
    """
    if turn > 90.0 + 1e-9:
        return turn - 180.0
    if turn <= -90.0 + 1e-9:
        return turn + 180.0
    return turn
