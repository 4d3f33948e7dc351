"""Icons in the visual language of the drawing, one SVG file each in assets/icons, at any size.

Square: locates.  Circle: pin or hole.  Filled wedge: force.  Arc with arrow: turns.  Hatch: work.
Dashed: ghost.  Plan views only.  A file is drawn on a grid of 24 units, with lines 2 or 1 wide.
`currentColor` becomes the ink of the theme, and a class becomes the theme's colour of that name; a
colour with the class `under` lies below strokes of ink.  The window decides which icon goes where.
"""

import re
from functools import cache
from pathlib import Path
from typing import ClassVar, Literal

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QIconEngine, QImage, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from gridjig.files.library.assets import assets_dir

from .theme import Theme

Look = Literal["plain", "off", "lit"]
"""How an icon is drawn: as it is, for what is not possible now, on the ground of a selection."""
_INKS: dict[Look, str] = {"plain": "ink", "off": "ring", "lit": "on_selected"}
_LOOKS: dict[QIcon.Mode, Look] = {
    QIcon.Mode.Disabled: "off",
    QIcon.Mode.Active: "lit",  # Qt asks for this one for the highlighted line of a menu
    QIcon.Mode.Selected: "lit",
}
_COLOURED = re.compile(r'class="(under )?(\w+)" (stroke|fill)="[^"]*"')


@cache
def _files() -> dict[str, Path]:
    return {file.stem: file for file in sorted((assets_dir() / "icons").glob("*.svg"))}


@cache
def _drawing(name: str) -> str:
    """The SVG of an icon, read when it is first painted: most are in menus."""
    return _files()[name].read_text(encoding="utf-8")


def names() -> tuple[str, ...]:
    """Return the names of all icons."""
    return tuple(_files())


def tinted(name: str, theme: Theme, look: Look = "plain") -> str:
    """Return the SVG of an icon in a theme's colours.

    Raise KeyError if the name is unknown.  If it is `off` it is grey, and if it is `lit` it has the
    colour of selected text; a colour under its strokes is then left out.
    """
    ink = theme.colour(_INKS[look]).name()

    def colour(found: re.Match[str]) -> str:
        under, name, kind = found.groups()
        shade = theme.colour(name).name() if look == "plain" else "none" if under else ink
        return f'{kind}="{shade}"'

    return _COLOURED.sub(colour, _drawing(name)).replace("currentColor", ink)


def _renderer(name: str, theme: Theme, look: Look) -> QSvgRenderer:
    return QSvgRenderer(tinted(name, theme, look).encode())


def draw_icon(
    painter: QPainter, rect: QRectF, theme: Theme, name: str, look: Look = "plain"
) -> None:
    """Draw an icon as large as fits a rectangle.  Raise KeyError if it is unknown."""
    _render(painter, rect, _renderer(name, theme, look))


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
        self._renderers: dict[Look, QSvgRenderer] = {}

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        look = _LOOKS.get(mode, "plain")
        if look not in self._renderers:
            self._renderers[look] = _renderer(self._name, self._theme, look)
        _render(painter, QRectF(rect), self._renderers[look])

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
    _files()[name]
    return QIcon(_Engine(name, theme))
