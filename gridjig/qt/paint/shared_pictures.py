"""Pictures of things that look alike, for the frames of a zoom: drawn once, copied many times.

While the wheel turns, every frame has a new scale, and nothing drawn before can be reused; but most
of hundreds of pieces are equal and turned the same way.  Copied to whole dots, they are up to one
dot off until the zoom ends and everything is drawn exactly.
"""

import math
from collections import Counter
from collections.abc import Callable, Iterable

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPixmap

from gridjig.geometry.box_index import Box
from gridjig.rack import Point

from .circle_pixels import dot
from .view import View

MANY = 40
"""With fewer things than this, each is drawn exactly by itself: that is fast enough."""

ALIKE = 3
"""If there are at least this many of a kind, a picture is worthwhile."""


class PictureKind(Struct, frozen=True):
    """A number for what a thing looks like, and the point of the table that it is placed at."""

    picture: int
    origin: Point


class SharedPictures:
    """The pictures of one scale."""

    def __init__(self) -> None:
        self._scale = 0.0
        self._kept: dict[int, tuple[int, int, QPixmap]] = {}
        self._common: frozenset[int] = frozenset()

    def begin(self, kinds: Iterable[PictureKind | None], scale: float) -> bool:
        """Begin a frame with these things; False if pictures would not help."""
        if scale != self._scale:
            self._kept.clear()
            self._scale = scale
        counted = Counter(kind.picture for kind in kinds if kind is not None)
        if counted.total() < MANY:
            return False
        self._common = frozenset(
            appearance for appearance, count in counted.items() if count >= ALIKE
        )
        return bool(self._common)

    def common(self, kind: PictureKind | None) -> bool:
        """True if there are several of the kind in this frame."""
        return kind is not None and kind.picture in self._common

    def lay(
        self,
        painter: QPainter,
        kind: PictureKind,
        box: Box,
        view: View,
        margin: float,
        draw: Callable[[QPainter, View], None],
    ) -> None:
        """Copy the picture of a kind to its place; `draw` is called to make the first of a kind."""
        x, y = view.to_screen(kind.origin)
        kept = self._kept.get(kind.picture)
        if kept is None:
            kept = self._kept[kind.picture] = _made((x, y), box, view, margin, draw)
        left, top, pixmap = kept
        painter.drawPixmap(dot(x) + left, dot(y) + top, pixmap)


def _made(
    at: Point, box: Box, view: View, margin: float, draw: Callable[[QPainter, View], None]
) -> tuple[int, int, QPixmap]:
    """Return a picture, and the offset of its corner from the thing's point, which is on a whole
    dot.
    """
    x1, y1 = view.to_screen((box[0], box[3]))
    x2, y2 = view.to_screen((box[2], box[1]))
    left, top = math.floor(x1 - at[0] - margin), math.floor(y1 - at[1] - margin)
    wide, high = math.ceil(x2 - at[0] + margin) - left, math.ceil(y2 - at[1] + margin) - top
    pixmap = QPixmap(wide, high)
    pixmap.fill(Qt.GlobalColor.transparent)
    with QPainter(pixmap) as painter:
        draw(painter, view.panned(-at[0] - left, -at[1] - top))
    return left, top, pixmap
