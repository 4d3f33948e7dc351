"""Signs of fixed size: what each symbol of the display list looks like.

Each sign has a shape of its own, so that they can be told apart in greyscale.
"""

import math
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPen, QPixmap, QPolygonF

from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.display import Symbol, SymbolKind
from gridjig.qt.style.theme import STROKES, Stroke, Theme

from .view import View

_RING = 9.0  # radius in px of the signs drawn around a pin
_LARGEST = 4.0
_REACH = 19.0  # no sign extends farther from its position, px
MOST_DOTS = 4_000_000  # of the pictures of one theme together: 16 MB

Sign = Callable[[QPainter, QPen, QBrush, Theme], None]


def grown_by(symbol: Symbol, scale: float, unit: float) -> float:
    """Return how much larger a sign is drawn, to stay clear of what it is around."""
    # In steps, so that a slow zoom does not redraw each sign in every frame.
    return min(max(1.0, round(symbol.clear * scale / (_RING * unit) * 4) / 4), _LARGEST)


class Signs:
    """Draws signs for one theme; each is kept as a picture once drawn."""

    def __init__(self, theme: Theme, unit: float) -> None:
        self._theme = theme
        self._unit = unit  # dots per logical px
        self._kept: dict[tuple[str, str, float, float], QPixmap] = {}
        self._dots = 0

    @property
    def dots(self) -> int:
        """How many dots the pictures that are kept have."""
        return self._dots

    def draw(
        self, painter: QPainter, symbol: Symbol, view: View, within: Box | None = None
    ) -> None:
        """Draw a sign, unless it is outside `within`, dots; `view` is in dots."""
        x, y = view.to_screen(symbol.at)
        grown = grown_by(symbol, view.scale, self._unit)
        far = math.ceil(_REACH * self._unit * grown) + 1.0
        if within is not None and not touch((x, y, x, y), within, far):
            return
        key = (symbol.mark, symbol.role, round(symbol.turn, 1), grown)
        picture = self._kept.get(key)
        if picture is None:
            picture = self._picture(symbol, grown)
            self._keep(key, picture)
        half = picture.width() / 2
        painter.drawPixmap(QPointF(round(x - half), round(y - half)), picture)

    def _keep(self, key: tuple[str, str, float, float], picture: QPixmap) -> None:
        """Keep a picture; a sign that turns or a slow zoom makes one after another."""
        dots = picture.width() * picture.height()
        if self._dots + dots > MOST_DOTS:
            self._kept.clear()
            self._dots = 0
        self._kept[key] = picture
        self._dots += dots

    def _picture(self, symbol: Symbol, grown: float) -> QPixmap:
        side = math.ceil(2 * _REACH * self._unit * grown)
        picture = QPixmap(side, side)
        picture.fill(Qt.GlobalColor.transparent)
        with QPainter(picture) as painter:
            painter.translate(side / 2, side / 2)
            painter.scale(self._unit * grown, self._unit * grown)
            painter.rotate(-symbol.turn)  # the screen's y axis points down
            draw_sign(painter, self._theme, symbol, 1.0 / grown)
        return picture


def draw_sign(painter: QPainter, theme: Theme, symbol: Symbol, thin: float = 1.0) -> None:
    """Draw a sign at the painter's origin, one unit per logical px; `thin` thins its lines."""
    colour = STROKES[symbol.role].colour
    pen = theme.make_pen(Stroke(colour, 1.5 * thin))
    pen.setCosmetic(False)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    SIGNS[symbol.mark](painter, pen, QBrush(theme.colour(colour)), theme)


def _ring(points: list[tuple[float, float]]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _line(painter: QPainter, *xs: float) -> None:
    points = [QPointF(xs[i], xs[i + 1]) for i in range(0, len(xs), 2)]
    painter.drawPolyline(QPolygonF(points))


def _pin(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(full)
    painter.drawEllipse(QPointF(0, 0), 4, 4)


def _clash(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setBrush(theme.brush("paper"))
    r = 11.0
    painter.drawPolygon(
        _ring(
            [
                (r * math.cos(math.radians(a)), r * math.sin(math.radians(a)))
                for a in range(22, 360, 45)
            ]
        )
    )
    _line(painter, -4.5, -4.5, 4.5, 4.5)
    _line(painter, -4.5, 4.5, 4.5, -4.5)


def _check(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    # The fill alone is too pale for paper: the outline and the stroke are ink (see STROKES).
    painter.setBrush(theme.brush("check"))
    painter.drawPolygon(_ring([(0, -12), (12, 9), (-12, 9)]))
    pen.setWidthF(2.0)
    painter.setPen(pen)
    _line(painter, 0, -5, 0, 2.5)
    _line(painter, 0, 4.5, 0, 6.5)


def _pivot(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setBrush(theme.brush("paper"))
    painter.drawEllipse(QPointF(0, 0), 5, 5)
    painter.setBrush(full)
    painter.drawEllipse(QPointF(0, 0), 1.2, 1.2)


def _turns(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.drawArc(QRectF(-9, -9, 18, 18), 20 * 16, 230 * 16)
    painter.setBrush(full)
    c, s = 9 * math.cos(math.radians(20)), -9 * math.sin(math.radians(20))
    painter.drawPolygon(_ring([(c + 3.5, s - 1), (c - 4, s - 1.5), (c + 1, s + 5)]))


def _slides(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    _line(painter, -8, 0, 8, 0)
    painter.setBrush(full)
    painter.drawPolygon(_ring([(12, 0), (6, -3.5), (6, 3.5)]))
    painter.drawPolygon(_ring([(-12, 0), (-6, -3.5), (-6, 3.5)]))


def _datum(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setBrush(full)
    painter.drawPolygon(_ring([(0, 0), (-5, -8), (5, -8)]))


def _riser(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    for y in (-4, 0, 4):
        _line(painter, -6, y, 6, y)


def _force(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(full)
    painter.drawPolygon(_ring([(0, 0), (-15, -6), (-15, 6)]))


def _press(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setBrush(theme.brush("paper"))
    painter.drawEllipse(QPointF(0, 0), 7, 7)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(full)
    painter.drawPolygon(_ring([(0, 4.8), (-4.4, -2.8), (4.4, -2.8)]))


def _snap(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    pen.setWidthF(2.0)
    painter.setPen(pen)
    painter.drawEllipse(QPointF(0, 0), 12, 12)
    for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        _line(painter, 12 * x, 12 * y, 17 * x, 17 * y)


def _tick(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    _line(painter, 0, -5, 0, 5)


def _touch(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.fillRect(QRectF(-3, -7, 5, 14), full)
    painter.fillRect(QRectF(2, -2, 8, 4), full)


def _round_touch(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(full)
    painter.drawPie(QRectF(-7, -7, 14, 14), -90 * 16, 180 * 16)


def _level_touch(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.fillRect(QRectF(-5, -5, 10, 10), theme.brush("paper"))
    painter.fillRect(QRectF(-3.5, -3.5, 7, 7), full)


def _apart(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.fillRect(QRectF(-5.5, -9, 11, 18), theme.brush("paper"))
    painter.fillRect(QRectF(-5, -8, 3, 16), full)
    painter.fillRect(QRectF(2, -8, 3, 16), full)


def _nothing_there(painter: QPainter, pen: QPen, full: QBrush, theme: Theme) -> None:
    painter.setBrush(theme.brush("paper"))
    pen.setWidthF(2.0)
    painter.setPen(pen)
    painter.drawEllipse(QPointF(0, 0), 6.5, 6.5)
    _line(painter, -8.5, 8.5, 8.5, -8.5)


SIGN_REACH: dict[SymbolKind, float] = {
    "pin": 4.0,
    "clash": 12.0,
    "check": 13.0,
    "pivot": 6.0,
    "turns": 12.5,
    "slides": 12.5,
    "datum": 8.5,
    "riser": 7.0,
    "force": 15.0,
    "press": 8.0,
    "ring": 17.5,
    "tick": 6.0,
    "touch": 10.0,
    "round touch": 8.0,
    "level touch": 5.5,
    "apart": 10.0,
    "nothing there": 12.0,
}
"""How far each sign extends from its place, px."""

SIGNS: dict[SymbolKind, Sign] = {
    "pin": _pin,
    "clash": _clash,
    "check": _check,
    "pivot": _pivot,
    "turns": _turns,
    "slides": _slides,
    "datum": _datum,
    "riser": _riser,
    "force": _force,
    "press": _press,
    "ring": _snap,
    "tick": _tick,
    "touch": _touch,
    "round touch": _round_touch,
    "level touch": _level_touch,
    "apart": _apart,
    "nothing there": _nothing_there,
}
