"""The plate with its holes, drawn under everything else.

One row of holes is drawn once per zoom level and then copied for every row: an item per hole, or
one path of all holes, would take many frames.  Works in dots (device pixels).
"""

import math

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QBrush, QPainter, QPixmap

from gridjig.model import Table
from gridjig.qt.paint.circle_pixels import dot, make_stamp
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import Theme

_BLOCK = 2048  # approximate maximum length of a strip, dots
_SINGLE = 1.0  # holes of a smaller radius, dots, are not drawn


class PlateGround:
    """Draws one table in one theme, at `unit` dots per logical px."""

    def __init__(self, theme: Theme, unit: float, table: Table) -> None:
        self._theme = theme
        self._unit = unit
        self._table = table
        self._strip: QPixmap | None = None
        self._strip_scale = 0.0
        self._block = 1

    def draw(self, painter: QPainter, view: View, part: QRect) -> None:
        """Draw the area `part` (dots).  The painter must be clipped to it."""
        theme = self._theme
        plate = self.plate(view)
        seen = plate.intersected(part)
        desk = theme.brush_of("desk")
        if seen.isEmpty():
            painter.fillRect(part, desk)
        elif seen != part:
            self._fill_round(painter, part, seen, desk)
        if not seen.isEmpty():
            painter.fillRect(seen, theme.brush("paper"))
            self._draw_holes(painter, view, part)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(theme.pen("edge", self._unit))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(plate)

    @staticmethod
    def _fill_round(painter: QPainter, part: QRect, seen: QRect, desk: QBrush) -> None:
        """Fill the area of `part` around the plate, each dot only once."""
        right, bottom = part.right() + 1, part.bottom() + 1
        across = seen.right() + 1, seen.bottom() + 1
        for x1, y1, x2, y2 in (
            (part.left(), part.top(), right, seen.top()),
            (part.left(), across[1], right, bottom),
            (part.left(), seen.top(), seen.left(), across[1]),
            (across[0], seen.top(), right, across[1]),
        ):
            if x2 > x1 and y2 > y1:
                painter.fillRect(x1, y1, x2 - x1, y2 - y1, desk)

    def plate(self, view: View) -> QRect:
        """Return the rectangle of the plate, on whole dots."""
        x1, y1 = view.to_screen((0.0, self._table.depth))
        x2, y2 = view.to_screen((self._table.width, 0.0))
        left, top = round(x1), round(y1)
        return QRect(left, top, round(x2) - left, round(y2) - top)

    # -- holes ---------------------------------------------------------------------------------

    def _draw_holes(self, painter: QPainter, view: View, part: QRect) -> None:
        table, scale = self._table, view.scale
        if table.hole_diameter * scale / 2 < _SINGLE:
            return
        step_x, step_y = table.pitch_x * scale, table.pitch_y * scale
        if self._strip is None or self._strip_scale != scale:
            self._make_strip(scale)
        strip = self._strip
        assert strip is not None
        x0, y0 = view.to_screen((table.first_x, table.first_y))
        high = strip.height()
        first_row = max(0, math.floor((y0 - part.bottom() - high) / step_y))
        last_row = min(table.rows - 1, math.ceil((y0 - part.top() + high) / step_y))
        wide = self._block * step_x
        first = max(0, math.floor((part.left() - x0 - step_x) / wide))
        last = min((table.columns - 1) // self._block, math.floor((part.right() - x0) / wide + 1))
        for block in range(first, last + 1):
            left = dot(x0 - step_x / 2 + block * wide)
            columns = min(self._block, table.columns - block * self._block)
            width = math.ceil(columns * step_x)
            # Draw only the requested part: a small repaint must not cost a whole row.
            skip = max(0, part.left() - left)
            take = min(width, part.right() + 1 - left) - skip
            if take <= 0:
                continue
            for row in range(first_row, last_row + 1):
                top = dot(y0 - row * step_y) - high // 2
                painter.drawPixmap(left + skip, top, strip, skip, 0, take, high)

    def _make_strip(self, scale: float) -> None:
        table, theme = self._table, self._theme
        step = table.pitch_x * scale
        self._block = max(1, min(table.columns, int(_BLOCK / step)))
        pen, nothing = theme.pen("hole", self._unit), theme.brush("none")
        ring = make_stamp(table.hole_diameter / 2 * scale, pen, nothing)
        strip = QPixmap(math.ceil(self._block * step), ring.height())
        strip.fill(theme.colour("paper"))
        with QPainter(strip) as painter:
            half = ring.width() // 2
            for column in range(self._block):
                painter.drawPixmap(math.floor((column + 0.5) * step) - half, 0, ring)
        self._strip, self._strip_scale = strip, scale
