"""Circles as stamps: a jig is full of equal circles, and laying one down is ten times drawing it.

A stamp stands on a whole dot, so that equal circles look equal and those about one centre stay so.
"""

import math

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QPainter, QPen, QPixmap

LARGEST = 48.0  # dots of radius: larger circles are few, and drawn at their true place


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
        """Draw a circle (x, y, radius in dots) with its middle on the dot of (x, y).

        Making a stamp takes three times as long as drawing the circle, so that the first of its
        kind at a scale is drawn.  Pens and brushes are the theme's, told apart by identity.
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
    """The dot that a place falls on.

    Places often fall just between two dots, where a rounding error would decide; so that a repair
    agrees with what it repairs, such ties are always broken the same way.
    """
    return math.floor(at + 1 / 1024)


def make_stamp(radius: float, pen: QPen, brush: QBrush) -> QPixmap:
    """A circle of a radius in dots, in the middle of a picture of an odd number of dots."""
    half = math.ceil(radius + pen.widthF() / 2 + 1)
    stamp = QPixmap(2 * half + 1, 2 * half + 1)
    stamp.fill(Qt.GlobalColor.transparent)
    with QPainter(stamp) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen)
        painter.setBrush(brush)
        painter.drawEllipse(QPointF(half + 0.5, half + 0.5), radius, radius)
    return stamp
