"""What was drawn of one thing, kept as pixels, so that a repair beside it need not draw it anew.

Good for one scale and one place within a dot; the sheet is panned by whole dots, so both stay.
"""

import math
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPainter, QPixmap

from .view import View

_LARGEST = 512 * 512  # dots: larger things are drawn anew, they would hold too much memory

Phase = tuple[float, float, float]


class PlotPixels:
    """The pixels of one plot, or none yet."""

    __slots__ = ("_at", "_phase", "_pixmap", "_seen")

    def __init__(self) -> None:
        self._seen: Phase | None = None
        self._phase: Phase | None = None
        self._pixmap: QPixmap | None = None
        self._at = (0, 0)  # from the whole dot of the table's origin

    def ready(self, view: View) -> bool:
        """True if the pixels are those of this view."""
        return self._phase is not None and self._phase == _phase(view)

    def wanted(self, view: View) -> bool:
        """True from the second time at one scale; while zooming, nothing is kept."""
        phase = _phase(view)
        if self._seen == phase:
            return True
        self._seen, self._phase, self._pixmap = phase, None, None
        return False

    @contextmanager
    def painter(
        self, box: tuple[float, float, float, float], margin: float, view: View
    ) -> Iterator[tuple[QPainter, View]]:
        """A painter for the pixels, and the view to draw with on it."""
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

    def draw(self, painter: QPainter, view: View) -> None:
        """Lay the pixels down."""
        assert self._pixmap is not None
        at = QPoint(self._at[0] + math.floor(view.left), self._at[1] + math.floor(view.top))
        painter.drawPixmap(at, self._pixmap)


def fits(box: tuple[float, float, float, float], scale: float) -> bool:
    """True if a box of the table is small enough to be kept as pixels."""
    return (box[2] - box[0]) * scale * (box[3] - box[1]) * scale <= _LARGEST


def _phase(view: View) -> Phase:
    return (view.scale, round(view.left % 1.0, 6), round(view.top % 1.0, 6))
