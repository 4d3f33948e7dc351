"""Icons in the drawing's own grammar, each a few strokes on a grid of 24 units, drawn at any size.

Square: locates.  Circle: pin or hole.  Filled wedge: force.  Arc with arrow: turns.  Hatch: work.
Dashed: ghost.  Plan views only.  Which icon stands where is the window's business.
"""

from typing import ClassVar

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QIconEngine, QImage, QPainter, QPixmap

from . import iconshapes, iconshapes_weldment, iconshapes_whole
from .pencil import GRID, Pencil
from .theme import Theme

SHAPES = {**iconshapes.SHAPES, **iconshapes_weldment.SHAPES, **iconshapes_whole.SHAPES}


def names() -> tuple[str, ...]:
    """Every icon there is."""
    return tuple(SHAPES)


def draw_icon(painter: QPainter, rect: QRectF, theme: Theme, name: str, off: bool = False) -> None:
    """Draw an icon as large as fits a rectangle; grey if it is `off`.  KeyError if unknown."""
    shape = SHAPES[name]
    side = min(rect.width(), rect.height())
    painter.save()
    painter.translate(rect.center().x() - side / 2, rect.center().y() - side / 2)
    painter.scale(side / GRID, side / GRID)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    shape(Pencil(painter, theme, off))
    painter.restore()


class _Engine(QIconEngine):
    """Draws an icon anew at every size and scaling, so that none is ever blurred."""

    # WORKAROUND: Qt owns what clone() returns, but PySide lets Python free it as well (seen with
    # 6.11.3: a crash after some hundred clones).  Copies are rare, so they are simply kept.
    clones: ClassVar[list[QIconEngine]] = []

    def __init__(self, name: str, theme: Theme) -> None:
        super().__init__()
        self._name = name
        self._theme = theme

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        off = mode == QIcon.Mode.Disabled
        draw_icon(painter, QRectF(rect), self._theme, self._name, off)

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(Qt.GlobalColor.transparent)
        with QPainter(image) as painter:
            self.paint(painter, QRect(QPoint(0, 0), size), mode, state)
        return QPixmap.fromImage(image)

    def clone(self) -> QIconEngine:
        copy = _Engine(self._name, self._theme)
        self.clones.append(copy)
        return copy


def icon(name: str, theme: Theme) -> QIcon:
    """An icon by its name, in a theme's colours.  KeyError if there is none of that name."""
    SHAPES[name]
    return QIcon(_Engine(name, theme))
