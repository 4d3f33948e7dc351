"""Paints pages with a QPainter, on paper or in a picture: thin, and decides nothing.

Works in the page's millimetres; the caller scales the painter.
"""

from functools import lru_cache

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTransform,
)

from gridjig.geometry.page import (
    Dash,
    Ink,
    PageDiscs,
    PageLine,
    PageLines,
    PageMark,
    PageText,
    PageWindow,
    SheetPage,
)
from gridjig.units.seen import seen

FAMILY = "DejaVu Sans"
CAPITAL = 0.729
"""Height of a capital of that font as a fraction of its size."""
_PX = 100
_ORIGIN = QPointF(0.0, 0.0)
_INKS: dict[Ink, QColor] = {
    "black": QColor("#000000"),
    "grey": QColor("#4B4A45"),
    "white": QColor("#FFFFFF"),
    "tint": QColor("#E6E6E6"),
}
_DASHES: dict[Dash, tuple[float, ...]] = {
    "dashed": (2.0, 0.8),
    "chain": (5.0, 1.0, 0.6, 1.0),
    "far": (4.0, 1.0, 0.5, 1.0, 0.5, 1.0),
}
"""Dashes in mm."""


@lru_cache(maxsize=4)
def page_font(bold: bool) -> QFont:
    """Return the font of a page at 100 px: no ligatures, so that its text can be searched."""
    font = QFont(FAMILY)
    font.setPixelSize(_PX)
    font.setBold(bold)
    for tag in ("liga", "clig", "dlig"):
        font.setFeature(QFont.Tag(tag), 0)
    font.setKerning(False)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


class PagePainter:
    """Paints the marks of pages; keeps pens and measures from one page to the next.

    Texts are most of a page.  Matrix, pen and font are set only where they differ from those of the
    text before: saving and restoring the painter for each would cost more than the text.
    """

    def __init__(self) -> None:
        self._fonts = {bold: page_font(bold) for bold in (False, True)}
        self._metrics = {bold: QFontMetricsF(font) for bold, font in self._fonts.items()}
        self._widths: dict[tuple[str, bool], float] = {}
        self._pens: dict[tuple[float, Ink, Dash | None], QPen] = {}
        self._text_pens = {grey: QPen(_INKS["grey" if grey else "black"]) for grey in (False, True)}
        self._base = QTransform()
        self._writing: tuple[bool, bool, float] | None = None

    def paint(self, painter: QPainter, page: SheetPage) -> None:
        """Paint a page; one unit of the painter is a millimetre."""
        self._base = painter.transform()
        self._writing = None
        for mark in page.marks:
            if isinstance(mark, PageText):
                self._text(painter, mark)
            else:
                self._leave_text(painter)
                self._mark(painter, mark)
        self._leave_text(painter)

    def _leave_text(self, painter: QPainter) -> None:
        if self._writing is not None:
            painter.setTransform(self._base)
            self._writing = None

    def _mark(self, painter: QPainter, mark: PageMark) -> None:
        match mark:
            case PageLines():
                painter.setPen(self._pen(mark.width, mark.ink, "solid"))
                painter.drawLines([QLineF(*a, *b) for a, b in mark.strokes])
            case PageLine():
                self._line(painter, mark)
            case PageDiscs():
                self._discs(painter, mark)
            case PageWindow():
                painter.save()
                painter.setClipRect(QRectF(mark.x, mark.y, mark.width, mark.height))
                for one in mark.marks:
                    self._mark(painter, one)
                painter.restore()
            case _:
                pass

    def _pen(self, width: float, ink: Ink, dash: Dash) -> QPen:
        key: tuple[float, Ink, Dash | None] = (width, ink, dash)
        pen = self._pens.get(key)
        if pen is None:
            pen = QPen(_INKS[ink], width) if ink != "none" else QPen(Qt.PenStyle.NoPen)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            if dash != "solid":
                pen.setDashPattern([mm / width for mm in _DASHES[dash]])
            self._pens[key] = pen
        return pen

    def _line(self, painter: QPainter, line: PageLine) -> None:
        painter.setPen(self._pen(line.width, line.ink, line.dash))
        polygon = QPolygonF([QPointF(x, y) for x, y in line.points])
        if not line.closed:
            painter.drawPolyline(polygon)
            return
        painter.setBrush(_brush(line.fill))
        if not line.openings:
            painter.drawPolygon(polygon)
            return
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.OddEvenFill)
        for ring in (line.points, *line.openings):
            path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ring]))
            path.closeSubpath()
        painter.drawPath(path)

    def _discs(self, painter: QPainter, discs: PageDiscs) -> None:
        painter.setPen(self._pen(discs.width, discs.ink, discs.dash))
        painter.setBrush(_brush(discs.fill))
        r = discs.radius
        if len(discs.centres) == 1:
            painter.drawEllipse(QPointF(*discs.centres[0]), r, r)
            return
        if discs.fill == discs.ink:
            painter.setPen(self._dot(2.0 * r + discs.width, discs.ink))
            painter.drawPoints(QPolygonF([QPointF(x, y) for x, y in discs.centres]))
            return
        path = QPainterPath()
        for x, y in discs.centres:
            path.addEllipse(QPointF(x, y), r, r)
        painter.drawPath(path)

    def _dot(self, width: float, ink: Ink) -> QPen:
        """The pen of a full disc: a point under it is a tenth of the writing of four curves."""
        key: tuple[float, Ink, Dash | None] = (width, ink, None)
        pen = self._pens.get(key)
        if pen is None:
            pen = self._pens[key] = QPen(_INKS[ink], width)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        return pen

    def _text(self, painter: QPainter, text: PageText) -> None:
        words = seen(text.words)
        long, high = (text.height, text.width) if text.up else (text.width, text.height)
        if text.cleared:
            self._leave_text(painter)
            painter.fillRect(QRectF(text.x, text.y, text.width, text.height), _INKS["white"])
        scale = text.size / CAPITAL / _PX
        wide = self._width(words, text.bold) * scale
        squeeze = min(1.0, long / wide) if wide else 1.0
        spare = long - wide * squeeze
        off = 0.0 if text.align == "left" else spare if text.align == "right" else spare / 2
        base = (high + text.size) / 2
        bold, grey, size = self._writing or (None, None, 0.0)
        at = _ORIGIN
        if text.up:
            x, y = text.x + base, text.y + long - off
            own = QTransform(0.0, -scale * squeeze, scale, 0.0, x, y)
            painter.setTransform(own * self._base)
            size = 0.0
        elif squeeze < 1.0:
            own = QTransform(scale * squeeze, 0.0, 0.0, scale, text.x + off, text.y + base)
            painter.setTransform(own * self._base)
            size = 0.0
        else:
            if size != text.size:
                painter.setTransform(QTransform.fromScale(scale, scale) * self._base)
                size = text.size
            at = QPointF((text.x + off) / scale, (text.y + base) / scale)
        if bold != text.bold:
            painter.setFont(self._fonts[text.bold])
        if grey != text.grey:
            painter.setPen(self._text_pens[text.grey])
        self._writing = (text.bold, text.grey, size)
        painter.drawText(at, words)

    def _width(self, words: str, bold: bool) -> float:
        key = (words, bold)
        wide = self._widths.get(key)
        if wide is None:
            wide = self._widths[key] = float(self._metrics[bold].horizontalAdvance(words))
        return wide


@lru_cache(maxsize=8)
def _brush(fill: Ink) -> QBrush:
    return QBrush(Qt.BrushStyle.NoBrush) if fill == "none" else QBrush(_INKS[fill])
