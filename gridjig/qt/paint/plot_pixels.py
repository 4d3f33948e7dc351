"""One thing as drawn, kept as pixels, so that a repaint beside it need not draw it again.

Valid for one scale and one position within a dot; the plan pans by whole dots, so both stay valid.
"""

import math
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QPainter, QPixmap

from gridjig.geometry.box_index import Box

from .view import View

_LARGEST = 512 * 512  # dots; larger things would take too much memory and are drawn each time

Phase = tuple[float, float, float]


class PlotPixels:
    """The pixels of one plot, if any yet."""

    __slots__ = ("_at", "_phase", "_pixmap", "_seen")

    def __init__(self) -> None:
        self._seen: Phase | None = None
        self._phase: Phase | None = None
        self._pixmap: QPixmap | None = None
        self._at = (0, 0)  # relative to the dot of the table's origin

    def ready(self, view: View) -> bool:
        """True if the pixels are valid for this view."""
        return self._phase is not None and self._phase == _phase(view)

    def wanted(self, view: View) -> bool:
        """True from the second time at one scale: nothing is kept while zooming."""
        phase = _phase(view)
        if self._seen == phase:
            return True
        self._seen, self._phase, self._pixmap = phase, None, None
        return False

    @contextmanager
    def painter(self, box: Box, margin: float, view: View) -> Iterator[tuple[QPainter, View]]:
        """Return a painter for the pixels, and the view to draw with."""
        x1, y1 = view.to_screen((box[0], box[3]))
        x2, y2 = view.to_screen((box[2], box[1]))
        left, top = math.floor(x1 - margin), math.floor(y1 - margin)
        wide, high = math.ceil(x2 + margin) - left, math.ceil(y2 + margin) - top
        pixmap = QPixmap(wide, high)
        pixmap.fill(Qt.GlobalColor.transparent)
        with QPainter(pixmap) as painter:
            yield painter, view.panned(-left, -top)
        self._pixmap, self._phase = pixmap, _phase(view)
        self._at = (left - math.floor(view.left), top - math.floor(view.top))

    def draw(self, painter: QPainter, view: View, within: Box | None = None) -> None:
        """Draw the pixels; those outside `within`, dots, need not be.

        Pixels that the painter's clip cuts off take as long as those that it leaves.
        """
        assert self._pixmap is not None
        at = QPoint(self._at[0] + math.floor(view.left), self._at[1] + math.floor(view.top))
        if within is None:
            painter.drawPixmap(at, self._pixmap)
            return
        left, top = math.floor(within[0]), math.floor(within[1])
        area = QRect(left, top, math.ceil(within[2]) - left, math.ceil(within[3]) - top)
        seen = area & QRect(at, self._pixmap.size())
        if not seen.isEmpty():
            painter.drawPixmap(seen.topLeft(), self._pixmap, seen.translated(-at))


def fits(box: Box, scale: float) -> bool:
    """True if a box of the table is small enough to be kept as pixels."""
    return (box[2] - box[0]) * scale * (box[3] - box[1]) * scale <= _LARGEST


def _phase(view: View) -> Phase:
    return (view.scale, round(view.left % 1.0, 6), round(view.top % 1.0, 6))
