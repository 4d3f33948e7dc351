"""A dimension as drawn by hand: witness lines, a line with filled arrowheads, its number in a gap.

Everything but its two points keeps its size on the screen or page.
"""

import math

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from gridjig.geometry.display import Dimension
from gridjig.rack import Point

from .lettering import Lettering
from .view import View

HEAD_MM = 3.0
GAP_MM = 0.8
BEYOND_MM = 1.5


def number_at(
    lettering: Lettering, d: Dimension, view: View, along: float = 0.5
) -> tuple[Point, float, bool] | None:
    """Return where the number is written (dots) and its turn, and whether it is in the line.

    `along` says where on the line, from 0 to 1, if it is long enough; None if there is no line.
    """
    (x1, y1), (x2, y2) = view.to_screen(d.a), view.to_screen(d.b)
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 1:
        return None
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    nx, ny = uy, -ux  # to the left: the screen's y axis points down
    off, head = d.offset * lettering.per_mm, HEAD_MM * lettering.per_mm
    room = lettering.width(d.text) + 10 * lettering.unit
    turn = _readable(math.degrees(math.atan2(-(y2 - y1), x2 - x1)))
    within = length > room + 2 * head
    if within:
        far = length * along
        far = min(max(far, head + room / 2), length - head - room / 2)
    else:  # beside the line, away from what is measured
        off += lettering.height() / 2 + 4 * lettering.unit
        far = length / 2
    return (x1 + ux * far + nx * off, y1 + uy * far + ny * off), turn, within


def draw_dimension(
    painter: QPainter, lettering: Lettering, d: Dimension, view: View, along: float = 0.5
) -> None:
    """Draw a dimension; its line is to the left of the direction from `a` to `b`, as
    seen on paper, and its number is `along` it.
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
    inside = length > 2 * head + 4 * lettering.unit
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
    number = number_at(lettering, d, view, along)
    if number is not None:
        at, turn, _ = number
        colour = lettering.theme.text(d.role)
        lettering.write(painter, d.text, at, colour, turn=turn, cleared=True)


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
