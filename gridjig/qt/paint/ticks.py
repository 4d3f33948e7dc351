"""A row of short strokes across a seam, as drawings mark where parts are welded."""

import math
from itertools import pairwise

from PySide6.QtCore import QLineF
from PySide6.QtGui import QPainter

from gridjig.geometry.display import Ticks

from .lettering import Lettering
from .view import View

PITCH_MM = 1.9
LONG_MM = 3.4


def strokes(
    points: list[tuple[float, float]], pitch: float, long: float
) -> list[tuple[float, float, float, float]]:
    """Return strokes across each stretch of a line, evenly spaced, at least one, as x1,
    y1, x2, y2.
    """
    made = []
    for (x1, y1), (x2, y2) in pairwise(points):
        length = math.hypot(x2 - x1, y2 - y1)
        if length < 1e-9:
            continue
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        count = max(1, round(length / pitch))
        for k in range(count):
            along = length * (k + 0.5) / count
            x, y = x1 + ux * along, y1 + uy * along
            dx, dy = -uy * long / 2.0, ux * long / 2.0
            made.append((x - dx, y - dy, x + dx, y + dy))
    return made


def draw_ticks(painter: QPainter, lettering: Lettering, ticks: Ticks, view: View) -> None:
    """Draw the row of strokes; a stretch shorter than one pitch gets one stroke."""
    mm = lettering.per_mm
    points = [view.to_screen(p) for p in ticks.points]
    painter.setPen(lettering.theme.pen(ticks.role, lettering.unit))
    painter.drawLines([QLineF(*s) for s in strokes(points, PITCH_MM * mm, LONG_MM * mm)])
