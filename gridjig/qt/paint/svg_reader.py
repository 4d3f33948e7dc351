"""Reads an SVG drawing into a sketch: Qt draws it on a device that records what is drawn.

Qt cannot be stopped while it does; `svg_process` has it done in a process of its own.

No SVG layers are written by every program, so the colour of a line is used as its layer.
"""

import math
import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import (
    QBuffer,
    QByteArray,
    QIODevice,
    QLineF,
    QPointF,
    QRectF,
    Qt,
    QXmlStreamReader,
    QXmlStreamWriter,
)
from PySide6.QtGui import (
    QGuiApplication,
    QPaintDevice,
    QPaintEngine,
    QPainter,
    QPainterPath,
    QTransform,
)
from PySide6.QtSvg import QSvgRenderer

from gridjig.files.drawings.curves import Affine, Beziers, Curve, DrawnCurve, Ellipse, LineArcPath
from gridjig.files.drawings.sketch import MOST, Count, Report, Sketch
from gridjig.files.drawings.svg_size import DEEPEST, SvgSize
from gridjig.files.drawings.svg_size import MOST as MOST_SHAPES
from gridjig.files.drawings.tags import AGAIN
from gridjig.files.format.codec import read_bytes
from gridjig.files.format.faults import ReadFault
from gridjig.qt.messages import listened
from gridjig.rack import Point
from gridjig.units import format_count
from gridjig.units.progress import Cancelled, look

_PHYSICAL: dict[str, tuple[str, float]] = {
    "mm": ("mm", 1.0),
    "cm": ("mm", 10.0),
    "in": ("in", 1.0),
    "pt": ("in", 1.0 / 72.0),
    "pc": ("in", 1.0 / 6.0),
    "px": ("px", 1.0),
}
"""For each unit of a width: the unit that the drawing gets, and the factor to it (CSS 2.1)."""

_LEFT = {
    "text": ("text", "texts"),
    "image": ("image", "images"),
    "flowRoot": ("text", "texts"),
    "foreignObject": ("text", "texts"),
    "clipPath": ("clip path", "clip paths"),
    "mask": ("mask", "masks"),
    "filter": ("filter", "filters"),
    "marker": ("line end", "line ends"),
    "pattern": ("pattern", "patterns"),
    "script": ("script", "scripts"),
}
"""Elements that are left out; what a clip path or a mask would cut off is drawn whole."""
_TOO_LARGE = ("shape too large to draw", "shapes too large to draw")
_NO_SUCH = ("broken reference", "broken references")
_TOO_DEEP = ("group nested more than 32 deep", "groups nested more than 32 deep")
_CUT_SHORT = ("path that could not be read in full", "paths that could not be read in full")
_SAID = {
    "will take too long": _TOO_LARGE,
    "is undefined": _NO_SUCH,
    "max nested limit": _TOO_DEEP,
    "path truncated": _CUT_SHORT,
}
"""What Qt's messages say about content it leaves out."""
_NESTED = 200
"""Maximum nesting of elements; Qt uses stack for each level."""
_LARGEST = 1e9
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z%]*)\s*")
_LOOK = 500
_XLINK = "http://www.w3.org/1999/xlink"
_NO_SVG = "choose a DXF or SVG drawing"


class _Root:
    """What the root element of an SVG says about its size."""

    def __init__(self, width: str, height: str, box: str) -> None:
        parts = _numbers(box)
        self.box = QRectF(*parts) if len(parts) == 4 and min(parts[2:]) > 0 else None
        self.width, word = _length(width)
        self.height, _ = _length(height)
        self.unit: str | None
        self.unit, self.per = _PHYSICAL.get(word, (None, 1.0))

    def frame(self) -> tuple[QRectF, QRectF]:
        """Return the box of the drawing and the box, in units, that it fills."""
        if self.box is None:
            # The numbers in the file are pixels, whatever unit its width is given in.
            whole = QRectF(0.0, 0.0, 1000.0, 1000.0)
            self.unit = self.unit and "px"
            return whole, whole
        if self.unit is None or self.width <= 0:
            self.unit = None
            return self.box, self.box
        width = self.width * self.per
        height = self.height * self.per or width * self.box.height() / self.box.width()
        scale = min(width / self.box.width(), height / self.box.height())
        return self.box, QRectF(0.0, 0.0, self.box.width() * scale, self.box.height() * scale)


def _length(text: str) -> tuple[float, str]:
    read = _LENGTH.fullmatch(text)
    if read is None or not abs(float(read[1])) <= _LARGEST:
        return (0.0, "")
    return (float(read[1]), read[2])


def _numbers(text: str) -> list[float]:
    """Return the numbers in a list separated by blanks or commas; an empty list if any is not a
    number.
    """
    try:
        made = [float(part) for part in text.replace(",", " ").split()]
    except ValueError:
        return []
    return made if all(abs(number) <= _LARGEST for number in made) else []


def sketch_of(path: Path, report: Report) -> Sketch:
    """Read the sketch in an SVG file.  Raise ReadFault, or Cancelled if `report` does."""
    data = read_bytes(path)
    if not data.strip():
        raise ReadFault(path, "", "it is empty", AGAIN)
    left: Counter[tuple[str, str]] = Counter()
    root, bare = _without_letters(path, data, left)
    report(0, None)
    program = QGuiApplication.instance() or QGuiApplication(["gridjig", "-platform", "offscreen"])
    keeper = _Keeper(report)
    with listened() as said:
        renderer = QSvgRenderer(QByteArray(bare))
        if not renderer.isValid():
            raise ReadFault(path, "", "it is not an SVG drawing", _NO_SVG)
        box, to = root.frame()
        renderer.setViewBox(box)
        renderer.setAnimationEnabled(False)
        with QPainter(keeper) as painter:
            renderer.render(painter, to)
    del program
    for line in said:
        for mark, names in _SAID.items():
            left[names] += mark in line
    if keeper.engine.fault is not None:
        raise keeper.engine.fault
    curves = tuple(keeper.engine.curves)
    counts = tuple(Count(number, *names) for names, number in left.most_common() if number)
    if len(curves) > MOST:
        why = f"it draws more than {format_count(MOST)} shapes"
        raise ReadFault(path, "", why, "import only a part of it")
    if not curves:
        holds = ", ".join(str(count) for count in counts)
        why = "it has no lines or curves" + (f"; it holds {holds}" if holds else "")
        raise ReadFault(path, "", why, "choose another drawing")
    return Sketch(name=path.name, unit=root.unit, curves=curves, unused=counts)


def _without_letters(
    path: Path, data: bytes, left: Counter[tuple[str, str]]
) -> tuple[_Root, bytes]:
    """Return what the root says, and the text of the file without lettering and images.

    Qt would draw letters as outlines, indistinguishable from those of the drawing.
    """
    source = QBuffer()
    source.setData(data)
    source.open(QIODevice.OpenModeFlag.ReadOnly)
    reader, bare = QXmlStreamReader(source), QByteArray()
    writer = QXmlStreamWriter(bare)
    root: _Root | None = None
    size = SvgSize()
    while not reader.atEnd():
        look()
        token = reader.readNext()
        if token == QXmlStreamReader.TokenType.DTD:
            continue
        if token == QXmlStreamReader.TokenType.EndElement:
            size.end()
        if token == QXmlStreamReader.TokenType.StartElement:
            name = str(reader.name())
            if root is None:
                if name != "svg":
                    raise ReadFault(path, "", "it is not an SVG drawing", _NO_SVG)
                said = reader.attributes()
                values = (str(said.value(key)) for key in ("width", "height", "viewBox"))
                root = _Root(*values)
            if name in _LEFT:
                left[_LEFT[name]] += 1
                if name == "pattern":  # the shape it fills is still drawn
                    writer.writeStartElement("solidColor")
                    writer.writeAttribute("id", str(reader.attributes().value("id")))
                    writer.writeAttribute("solid-color", "#808080")
                    writer.writeEndElement()
                reader.skipCurrentElement()
                continue
            said = reader.attributes()
            refers = said.value("href") or said.value(_XLINK, "href") or said.value("xlink:href")
            size.begin(name, str(said.value("id")), str(refers))
            if size.deepest > _NESTED:
                why = f"its groups are nested more than {_NESTED} deep"
                raise ReadFault(path, "", why, AGAIN)
        if not reader.hasError():
            writer.writeCurrentToken(reader)
    if reader.hasError() or root is None:
        why = "the text is not XML from here on" if root else "it is not an SVG drawing"
        line, column = reader.lineNumber(), reader.columnNumber() + 1
        place = (line, column) if root else (0, 0)
        raise ReadFault(path, "", why, AGAIN if root else _NO_SVG, *place)
    _require_bounded(path, size)
    return root, bytes(bare.data())


def _require_bounded(path: Path, size: SvgSize) -> None:
    """Raise ReadFault if nested references would draw more than can be handled."""
    measured = size.measure()
    if measured is None:
        raise ReadFault(path, "", "its references form a loop", AGAIN)
    shapes, deep = measured
    if shapes > MOST_SHAPES:
        why = f"with its references it draws more than {format_count(MOST_SHAPES)} shapes"
        raise ReadFault(path, "", why, "import only a part of it")
    if deep > DEEPEST:
        why = f"with its references its groups are nested more than {format_count(DEEPEST)} deep"
        raise ReadFault(path, "", why, AGAIN)


class _Keeper(QPaintDevice):
    """A paint device that records the curves drawn on it."""

    def __init__(self, report: Report) -> None:
        super().__init__()
        self.engine = _Engine(report)

    def paintEngine(self) -> QPaintEngine:
        """Return the engine that records."""
        return self.engine

    def metric(self, metric: QPaintDevice.PaintDeviceMetric) -> int:
        """Return what a painter asks of a device; the values do not matter here."""
        kinds = QPaintDevice.PaintDeviceMetric
        if metric in (kinds.PdmDevicePixelRatio, kinds.PdmDevicePixelRatioScaled):
            return super().metric(metric)
        return 96


class _Engine(QPaintEngine):
    """Records what is drawn.

    No exception raised here would reach the caller through Qt, so a request to stop is recorded
    too.
    """

    def __init__(self, report: Report) -> None:
        super().__init__(QPaintEngine.PaintEngineFeature.AllFeatures)
        self.curves: list[DrawnCurve] = []
        self.fault: Cancelled | None = None
        self._report = report

    def begin(self, _device: QPaintDevice) -> bool:
        """Begin; nothing needs preparing."""
        return True

    def end(self) -> bool:
        """End."""
        return True

    def type(self) -> QPaintEngine.Type:
        """Return a user-defined type."""
        return QPaintEngine.Type.User

    def updateState(self, _state: object) -> None:
        """Ignore the state; the painter is asked for it instead."""

    def _keep(self, *curves: Curve) -> None:
        if self.fault is not None or len(self.curves) > MOST:
            return
        painter = self.painter()
        pen, brush = painter.pen(), painter.brush()
        # A path that is only filled comes with a pen whose brush is empty.
        if pen.style() != Qt.PenStyle.NoPen and pen.brush().style() != Qt.BrushStyle.NoBrush:
            layer = f"line {pen.color().name()}"
        elif brush.style() != Qt.BrushStyle.NoBrush:
            layer = f"fill {brush.color().name()}"
        else:
            return
        where = _affine(painter.transform())
        self.curves += [DrawnCurve(layer, curve, where) for curve in curves]
        if len(self.curves) % _LOOK < len(curves):
            try:
                self._report(len(self.curves), None)
            except Cancelled as stopped:
                self.fault = stopped

    def drawPath(self, path: QPainterPath) -> None:
        """Record a path, each of its strokes as one curve."""
        self._keep(*_strokes(path))

    def drawRects(self, rects: Sequence[QRectF]) -> None:  # type: ignore[override]
        """Record rectangles."""
        self._keep(
            *(
                _run([r.topLeft(), r.topRight(), r.bottomRight(), r.bottomLeft()], True)
                for r in (QRectF(rect) for rect in rects)
            )
        )

    def drawEllipse(self, box: QRectF) -> None:  # type: ignore[override]
        """Record an ellipse."""
        middle = QRectF(box).center()
        major, minor = (QRectF(box).width() / 2.0, 0.0), (0.0, QRectF(box).height() / 2.0)
        self._keep(Ellipse(_point(middle), major, minor, 0.0, math.tau))

    def drawLines(self, lines: Sequence[QLineF]) -> None:  # type: ignore[override]
        """Record lines."""
        self._keep(*(_run([line.p1(), line.p2()], False) for line in lines))

    def drawPolygon(  # type: ignore[override]
        self, points: Sequence[QPointF], mode: QPaintEngine.PolygonDrawMode
    ) -> None:
        """Record a polygon or a polyline."""
        self._keep(_run(points, mode != QPaintEngine.PolygonDrawMode.PolylineMode))

    def drawPoints(self, _points: Sequence[QPointF]) -> None:  # type: ignore[override]
        """Ignore points: they are not lines."""

    def drawPixmap(self, *_: object) -> None:
        """Ignore images: they are not lines."""

    def drawImage(self, *_: object) -> None:
        """Ignore images: they are not lines."""


def _affine(t: QTransform) -> Affine:
    """Return the map from the painter's coordinates to the drawing's, where y points up."""
    return Affine(t.m11(), -t.m12(), t.m21(), -t.m22(), t.dx(), -t.dy())


def _point(p: QPointF) -> Point:
    return (p.x(), p.y())


def _run(points: Sequence[QPointF], closed: bool) -> LineArcPath:
    return LineArcPath(tuple((p.x(), p.y(), 0.0) for p in points), closed)


def _strokes(path: QPainterPath) -> list[Curve]:
    """Return the strokes of a path; each begins where the path moves without drawing."""
    made: list[Curve] = []
    pieces: list[tuple[Point, ...]] = []
    at = (0.0, 0.0)
    elements = [path.elementAt(k) for k in range(path.elementCount())]
    types = QPainterPath.ElementType
    for k, element in enumerate(elements):
        to = (element.x, element.y)
        if element.type == types.MoveToElement:
            made += _stroke(pieces)
            at, pieces = to, []
        elif element.type == types.LineToElement:
            pieces.append((at, to))
            at = to
        elif element.type == types.CurveToElement:
            b, c = elements[k + 1], elements[k + 2]
            pieces.append((at, to, (b.x, b.y), (c.x, c.y)))
            at = (c.x, c.y)
    return made + _stroke(pieces)


def _stroke(pieces: list[tuple[Point, ...]]) -> list[Curve]:
    return [Beziers(tuple(pieces))] if pieces else []
