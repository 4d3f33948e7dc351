"""Icons in the visual language of the drawing, one SVG file each in assets/icons, at any size.

Square: locates.  Circle: pin or hole.  Filled wedge: force.  Arc with arrow: turns.  Hatch: work.
Dashed: ghost.  Plan views only.  A file is drawn on a grid of 24 units, with lines 2 or 1 wide.
`currentColor` becomes the ink of the theme, and a class becomes the theme's colour of that name; a
colour with the class `under` lies below strokes of ink.  The window decides which icon goes where.
"""

import re
from functools import cache
from typing import ClassVar

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QIconEngine, QImage, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from gridjig.files.library.assets import assets_dir

from .theme import Theme

_COLOURED = re.compile(r'class="(under )?(\w+)" (stroke|fill)="[^"]*"')


@cache
def _drawings() -> dict[str, str]:
    files = sorted((assets_dir() / "icons").glob("*.svg"))
    return {file.stem: file.read_text(encoding="utf-8") for file in files}


def names() -> tuple[str, ...]:
    """Return the names of all icons."""
    return tuple(_drawings())


def tinted(name: str, theme: Theme, off: bool = False) -> str:
    """Return the SVG of an icon in a theme's colours.

    Raise KeyError if the name is unknown.  If it is `off`, it is grey, and a colour under its
    strokes is left out.
    """
    ink = theme.colour("ring" if off else "ink").name()

    def colour(found: re.Match[str]) -> str:
        under, name, kind = found.groups()
        shade = theme.colour(name).name() if not off else "none" if under else ink
        return f'{kind}="{shade}"'

    return _COLOURED.sub(colour, _drawings()[name]).replace("currentColor", ink)


def _renderer(name: str, theme: Theme, off: bool) -> QSvgRenderer:
    return QSvgRenderer(tinted(name, theme, off).encode())


def draw_icon(painter: QPainter, rect: QRectF, theme: Theme, name: str, off: bool = False) -> None:
    """Draw an icon as large as fits a rectangle, grey if `off`.  Raise KeyError if it
    is unknown.
    """
    _render(painter, rect, _renderer(name, theme, off))


def _render(painter: QPainter, rect: QRectF, renderer: QSvgRenderer) -> None:
    side = min(rect.width(), rect.height())
    box = QRectF(0.0, 0.0, side, side)
    box.moveCenter(rect.center())
    renderer.render(painter, box)


class _Engine(QIconEngine):
    """Draws an icon afresh at every size and scaling, so that none is ever blurred."""

    # WORKAROUND: Qt owns what clone() returns, but PySide lets Python free it as well (seen with
    # 6.11.3: a crash after some hundred clones).  Copies are rare, so they are simply kept.
    clones: ClassVar[list[QIconEngine]] = []

    def __init__(self, name: str, theme: Theme) -> None:
        super().__init__()
        self._name = name
        self._theme = theme
        self._renderers: dict[bool, QSvgRenderer] = {}

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        off = mode == QIcon.Mode.Disabled
        if off not in self._renderers:
            self._renderers[off] = _renderer(self._name, self._theme, off)
        _render(painter, QRectF(rect), self._renderers[off])

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
    """Return an icon by name, in a theme's colours.  Raise KeyError if the name is unknown."""
    _drawings()[name]
    return QIcon(_Engine(name, theme))
