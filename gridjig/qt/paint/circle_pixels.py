"""Circles as stamps: a jig is full of equal circles, and stamping one is ten times faster than
drawing it.

A stamp is placed on a whole dot, so that equal circles look equal and concentric ones stay
concentric.
"""

import math

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QPainter, QPen, QPixmap

LARGEST = 48.0  # radius in dots; larger circles are few, and are drawn at their exact position


class CirclePixels:
    """The stamps of one scale."""

    def __init__(self) -> None:
        self._scale = 0.0
        self._kept: dict[tuple[float, int, int], QPixmap | None] = {}

    def lay(
        self,
        painter: QPainter,
        circle: tuple[float, float, float],
        pen: QPen,
        brush: QBrush,
        scale: float,
    ) -> None:
        """Draw a circle (x, y, radius in dots) with its centre on the dot of (x, y).

        Making a stamp takes three times as long as drawing the circle, so the first of its kind at
        each scale is simply drawn.  Pens and brushes belong to the theme and are compared by
        identity.
        """
        x, y, radius = circle
        if scale != self._scale:
            self._kept.clear()
            self._scale = scale
        key = (radius, id(pen), id(brush))
        if key not in self._kept:
            self._kept[key] = None
            painter.setPen(pen)
            painter.setBrush(brush)
            painter.drawEllipse(QPointF(dot(x) + 0.5, dot(y) + 0.5), radius, radius)
            return
        stamp = self._kept[key]
        if stamp is None:
            stamp = self._kept[key] = make_stamp(radius, pen, brush)
        half = stamp.width() // 2
        painter.drawPixmap(dot(x) - half, dot(y) - half, stamp)


def dot(at: float) -> int:
    """Return the dot that a coordinate falls on.

    Coordinates often fall exactly between two dots, where a rounding error would decide.  Such ties
    are always broken the same way, so that a repaint matches what is around it.
    """
    return math.floor(at + 1 / 1024)


def make_stamp(radius: float, pen: QPen, brush: QBrush) -> QPixmap:
    """Return a circle of that radius in dots, centred in a pixmap with an odd number of dots a
    side.
    """
    half = math.ceil(radius + pen.widthF() / 2 + 1)
    stamp = QPixmap(2 * half + 1, 2 * half + 1)
    stamp.fill(Qt.GlobalColor.transparent)
    with QPainter(stamp) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen)
        painter.setBrush(brush)
        painter.drawEllipse(QPointF(half + 0.5, half + 0.5), radius, radius)
    return stamp
