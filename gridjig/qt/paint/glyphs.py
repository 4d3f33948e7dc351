"""A row of short labels in one stroke of the painter: addresses along an edge of the plate.

Writing them one by one takes longer than everything else drawn while zooming.
"""

from msgspec import Struct
from PySide6.QtCore import QPointF
from PySide6.QtGui import QFont, QGlyphRun, QPainter, QRawFont


class EdgeLabel(Struct, frozen=True):
    """A label's index along the edge, its number in the order of labels, and its glyphs."""

    index: int
    count: int
    glyphs: tuple[int, ...]
    offsets: tuple[float, ...]  # of each glyph from the label's centre


class Glyphs:
    """Labels of one font."""

    def __init__(self, font: QFont) -> None:
        self._font = QRawFont.fromFont(font)
        self._drop = self._font.capHeight() / 2

    def label(self, index: int, count: int, text: str) -> EdgeLabel:
        """Return a label prepared for `write`."""
        glyphs = tuple(self._font.glyphIndexesForString(text))
        advances = [a.x() for a in self._font.advancesForGlyphIndexes(glyphs)]
        at, offsets = -sum(advances) / 2, []
        for advance in advances:
            offsets.append(at)
            at += advance
        return EdgeLabel(index, count, glyphs, tuple(offsets))

    def write(self, painter: QPainter, placed: list[tuple[EdgeLabel, float, float]]) -> None:
        """Write labels centred at (x, y)."""
        glyphs: list[int] = []
        points: list[QPointF] = []
        for label, x, y in placed:
            glyphs += label.glyphs
            base = round(y + self._drop)
            points += [QPointF(x + offset, base) for offset in label.offsets]
        run = QGlyphRun()
        run.setRawFont(self._font)
        run.setGlyphIndexes(glyphs)
        run.setPositions(points)
        painter.drawGlyphRun(QPointF(0, 0), run)
