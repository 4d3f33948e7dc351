"""Text in one theme at one pixel density.  Works in dots: device pixels on a screen."""

import math

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from gridjig.geometry.box_index import Box
from gridjig.geometry.pose import unit as direction
from gridjig.qt.style.theme import Theme
from gridjig.rack import Point

_SENTENCE = 20  # letters
MOST_WIDTHS = 4096  # texts whose width is kept; a plan has some hundred
_SIZES = {"small": 0.88, "normal": 1.0, "large": 1.5}


class Lettering:
    """Measures and writes texts: `per_mm` and `unit` are dots per screen mm and logical px."""

    def __init__(self, theme: Theme, per_mm: float, unit: float, font: QFont) -> None:
        self.theme = theme
        self.per_mm = per_mm
        self.unit = unit
        self._fonts = {name: _sized(font, unit * by) for name, by in _SIZES.items()}
        self._widths: dict[tuple[str, str], float] = {}
        self._measures = {name: QFontMetricsF(f) for name, f in self._fonts.items()}
        self._heights = {name: float(m.capHeight()) for name, m in self._measures.items()}

    def font(self, size: str = "normal") -> QFont:
        """Return the font of a named size, in dots."""
        return self._fonts[size]

    @property
    def kept_widths(self) -> int:
        """How many texts have a width that is kept."""
        return len(self._widths)

    def width(self, text: str, size: str = "normal") -> float:
        """Return the width of a text in dots."""
        wide = self._widths.get((text, size))
        if wide is None:
            if len(self._widths) >= MOST_WIDTHS:
                self._widths.clear()
            wide = float(self._measures[size].horizontalAdvance(text))
            self._widths[text, size] = wide
        return wide

    def height(self, size: str = "normal") -> float:
        """Return the cap height in dots."""
        return self._heights[size]

    def room(self, text: str, at: Point, size: str, turn: float, anchor: str) -> Box:
        """Return a box around all that `write` covers, in dots; it may be larger than needed."""
        spare = 3 * self._heights[size] + 8 * self.unit
        if not turn and is_sentence(text):  # it may be moved aside
            return (-math.inf, at[1] - spare, math.inf, at[1] + spare)
        far = self.width(text, size) * (1.0 if anchor in ("left", "right") else 0.5)
        c, s = direction(turn)
        x, y = far * abs(c) + spare, far * abs(s) + spare
        return (at[0] - x, at[1] - y, at[0] + x, at[1] + y)

    def write(
        self,
        painter: QPainter,
        text: str,
        at: Point,
        colour: QColor,
        *,
        size: str = "normal",
        turn: float = 0.0,
        anchor: str = "centre",
        cleared: bool = False,
    ) -> None:
        """Write a text at `at` (dots); `anchor` says where the text is relative to that point.

        A `cleared` text gets a background of paper; if it is a sentence, it is kept within the
        picture.
        """
        wide, tall = self.width(text, size), self.height(size)
        space = 4 * self.unit
        dx = {"left": -wide - space, "right": space}.get(anchor, -wide / 2)
        dy = {"above": -space, "below": tall + space}.get(anchor, tall / 2)
        if turn:
            painter.save()
            painter.translate(at[0], at[1])
            painter.rotate(-turn)
            at = (0.0, 0.0)
        if cleared and not turn and is_sentence(text):
            device = painter.device()
            room = device.width() * device.devicePixelRatioF()
            if 0.0 <= at[0] <= room:
                dx = max(min(at[0] + dx, room - wide - space), space) - at[0]
        if cleared:
            ground = QRectF(
                at[0] + dx - space, at[1] + dy - tall - space, wide + 2 * space, tall + 2 * space
            )
            painter.fillRect(ground, self.theme.colour("paper"))
        painter.setFont(self._fonts[size])
        painter.setPen(colour)
        painter.drawText(QPointF(at[0] + dx, at[1] + dy), text)
        if turn:
            painter.restore()


def is_sentence(text: str) -> bool:
    """True if a text is meant to be read whole, unlike a name or a size, which only
    labels a place.
    """
    return len(text) > _SENTENCE


def _sized(font: QFont, by: float) -> QFont:
    sized = QFont(font)
    pixels = font.pixelSize() if font.pixelSize() > 0 else font.pointSizeF() * 96 / 72
    sized.setPixelSize(max(1, round(pixels * by)))
    sized.setFeature(QFont.Tag("tnum"), 1)
    return sized
