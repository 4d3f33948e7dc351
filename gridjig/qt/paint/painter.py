"""Draws a display list with a QPainter, on a screen, picture or page alike.

A drawing is plotted once (its polygons and pens are made), then drawn whenever the view moves.
Works in dots: device pixels on a screen, so that a line keeps its true width at every scaling.
"""

from collections.abc import Iterable, Mapping
from functools import partial

from msgspec import Struct, field
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QFont,
    QPainter,
    QPen,
    QPolygonF,
)

from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.display import (
    Arc,
    Circle,
    Dimension,
    DisplayList,
    HighlightBox,
    Polyline,
    Shape,
    Spot,
    Symbol,
    TextLabel,
    Ticks,
)
from gridjig.geometry.pose import unit
from gridjig.qt.style.theme import Theme
from gridjig.rack import Point

from .circle_pixels import CirclePixels
from .dimension import draw_dimension
from .lettering import Lettering
from .marks import AreaMark, HatchMark, PaintPlace, PlotMark, PolygonMark, RoundMark, SweepMark
from .plot_pixels import PlotPixels, fits
from .shared_pictures import PictureKind, SharedPictures
from .symbols import Signs
from .ticks import draw_ticks
from .view import View

# How far a sign extends from its position, px: the margin that must be redrawn with it.
_SIGN_PX = 20.0


Fixed = Symbol | TextLabel | HighlightBox | Dimension | Ticks


class Chosen(Struct, frozen=True):
    """Where a label is shown and in which words; of a dimension's number how far along."""

    spot: Spot
    text: str
    along: float = 0.5


class Plot(Struct):
    """A prepared drawing: what scales with the table, what keeps its size, and its box.

    `outreach` is how far beyond the box, in dots, the drawing may extend at any scale, and `rise`
    how far above and below it: words are wide and low.  `sprite` is the scaling part as pixels,
    kept from the second time it is drawn at one scale.  Plots of one `kind` look alike except for
    their position and what keeps its size.  `guards` are circles, mm, that no label may cover:
    pins, holes for them, and pads.
    """

    marks: list[PlotMark]
    fixed: list[Fixed]
    box: Box | None
    outreach: float
    rise: float
    sprite: PlotPixels = field(default_factory=PlotPixels)
    kind: PictureKind | None = None
    guards: list[tuple[Point, float]] = field(default_factory=list)


class Plotter(Lettering):
    """Plots and draws for one theme at one density: dots per mm and dots per logical px."""

    def __init__(self, theme: Theme, per_mm: float, unit: float, font: QFont) -> None:
        super().__init__(theme, per_mm, unit, font)
        self._signs = Signs(theme, unit)
        # Where labels are shown, by the identity of the shape; those over the plan come first.
        self.labels: Mapping[int, Chosen | None] = {}
        self.over: Mapping[int, Chosen] = {}
        self.stamps = CirclePixels()
        self._looks = SharedPictures()

    # -- plotting ------------------------------------------------------------------------------

    def plot(self, drawing: DisplayList) -> Plot:
        """Return a drawing prepared for `draw`."""
        marks: list[PlotMark] = []
        fixed: list[Fixed] = []
        box: list[Box] = []
        outreach = rise = 2.0 * self.unit
        guards: list[tuple[Point, float]] = []
        for shape in drawing:
            box.append(box_of(shape))
            if isinstance(shape, (Symbol, TextLabel, HighlightBox, Dimension, Ticks)):
                fixed.append(shape)
                across, up = self._outreach(shape)
                outreach, rise = max(outreach, across, up), max(rise, up)
            else:
                self._plot(shape, marks)
                if isinstance(shape, Circle) and shape.fill in ("paper", "held"):
                    guards.append((shape.centre, shape.radius))
        return Plot(marks, fixed, joined(box), outreach, rise, guards=guards)

    def _outreach(self, shape: Fixed) -> tuple[float, float]:
        """How far it may extend beyond its box to the sides, and above and below."""
        if isinstance(shape, TextLabel):
            return self._outreach_of_words(shape)
        if isinstance(shape, HighlightBox):
            around = shape.margin * self.per_mm + 8 * self.unit
        elif isinstance(shape, Dimension):
            beside = (shape.offset + 6) * self.per_mm
            around = max(beside, self.width(shape.text) / 2) + 12 * self.unit
        else:
            around = _SIGN_PX * self.unit
        return (around, around)

    def _outreach_of_words(self, label: TextLabel) -> tuple[float, float]:
        room = 2 * self.height(label.size) + 8 * self.unit
        if label.room and not label.spots:
            return (room, room)  # it fits in its box or is left out
        wide = self.width(label.text, label.size)
        if label.cleared and not label.turn:
            return (1.2 * wide + 3 * room, 3 * room)  # it may be moved aside
        along = (wide if label.anchor in ("left", "right") else wide / 2) + room
        c, s = map(abs, unit(label.turn))
        return (c * along + s * room, s * along + c * room)

    def _plot(self, shape: Polyline | Circle | Arc, marks: list[PlotMark]) -> None:
        pen = self.theme.pen(shape.role, self.unit)
        if isinstance(shape, Circle):
            brush = self.theme.brush(shape.fill)
            marks.append(RoundMark(*shape.centre, shape.radius, pen, brush))
        elif isinstance(shape, Arc):
            start, span = round(16 * shape.start), round(16 * (shape.end - shape.start))
            marks.append(SweepMark(*shape.centre, shape.radius, start, span, pen))
        else:
            polygon = QPolygonF([QPointF(x, y) for x, y in shape.points])
            smooth = not _square(shape.points, shape.closed)
            openings = [QPolygonF([QPointF(x, y) for x, y in ring]) for ring in shape.openings]
            if shape.hatch == "none" and not openings:
                brush = self.theme.brush(shape.fill)
                marks.append(PolygonMark(polygon, pen, brush, smooth, shape.closed))
                return
            nothing = QPen(Qt.PenStyle.NoPen)
            if shape.fill != "none":
                brush = self.theme.brush(shape.fill)
                filled = PolygonMark(polygon, nothing, brush, smooth, True)
                marks.append(AreaMark.of((polygon, *openings), brush) if openings else filled)
            if shape.hatch != "none":
                hatch_pen = self.theme.hatch_pen(shape.hatch, self.unit)
                marks.append(HatchMark(shape.points, shape.hatch, hatch_pen, shape.openings))
            marks.append(PolygonMark(polygon, pen, self.theme.brush("none"), smooth, shape.closed))
            for opening in openings:
                marks.append(PolygonMark(opening, pen, self.theme.brush("none"), True, True))

    # -- drawing -------------------------------------------------------------------------------

    def draw(
        self, painter: QPainter, plots: Iterable[Plot], view: View, within: Box | None = None
    ) -> None:
        """Draw plots in order, then everything that keeps its size on top.

        `view` is in dots; nothing outside `within`, dots, needs to be drawn.
        """
        plots = list(plots)
        self._draw_marks(painter, plots, view)
        self._draw_all_fixed(painter, plots, view, within)

    def draw_words(self, painter: QPainter, plots: Iterable[Plot], view: View) -> None:
        """Draw only the texts."""
        for plot in plots:
            for shape in plot.fixed:
                if isinstance(shape, TextLabel):
                    self._draw_words(painter, shape, view)

    def repair(
        self, painter: QPainter, plots: list[Plot], view: View, within: Box | None = None
    ) -> None:
        """Do the same as `draw`, but reuse pixels from last time where the scale is unchanged."""
        direct: list[Plot] = []
        for plot in plots:
            if not plot.marks:
                continue
            if plot.sprite.ready(view):
                self._draw_marks(painter, direct, view)
                direct = []
                plot.sprite.draw(painter, view, within)
            elif plot.box and fits(plot.box, view.scale) and plot.sprite.wanted(view):
                self._make_sprite(plot, view)
                self._draw_marks(painter, direct, view)
                direct = []
                plot.sprite.draw(painter, view, within)
            else:
                direct.append(plot)
        self._draw_marks(painter, direct, view)
        self._draw_all_fixed(painter, plots, view, within)

    def sketch(self, painter: QPainter, plots: list[Plot], view: View) -> bool:
        """Do the same for one frame of a zoom: things that look alike are drawn once and copied to
        whole dots.  True if any were, so they must be drawn again when the zoom ends.
        """
        looks = self._looks
        if not looks.begin((plot.kind for plot in plots), view.scale):
            self.repair(painter, plots, view)
            return False
        direct: list[Plot] = []
        for plot in plots:
            kind, box = plot.kind, plot.box
            if kind is None or box is None or not looks.common(kind) or not fits(box, view.scale):
                direct.append(plot)
                continue
            if direct:
                self._draw_marks(painter, direct, view)
                direct = []
            looks.lay(painter, kind, box, view, 3 * self.unit, partial(self._draw_one, plot))
        self._draw_marks(painter, direct, view)
        self._draw_all_fixed(painter, plots, view)
        return True

    def _make_sprite(self, plot: Plot, view: View) -> None:
        assert plot.box is not None
        with plot.sprite.painter(plot.box, 3 * self.unit, view) as (painter, shifted):
            self._draw_one(plot, painter, shifted)

    def _draw_one(self, plot: Plot, painter: QPainter, view: View) -> None:
        self._draw_marks(painter, [plot], view)

    def _draw_marks(self, painter: QPainter, plots: list[Plot], view: View) -> None:
        if not plots:
            return
        place = PaintPlace.of(view, self.per_mm, self.unit, self.stamps)
        hint = QPainter.RenderHint.Antialiasing
        smooth = False
        painter.setRenderHint(hint, False)
        for plot in plots:
            for mark in plot.marks:
                if mark.smooth is not smooth:
                    smooth = mark.smooth
                    painter.setRenderHint(hint, smooth)
                mark.draw(painter, place)

    def _draw_all_fixed(
        self, painter: QPainter, plots: list[Plot], view: View, within: Box | None = None
    ) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for plot in plots:
            for shape in plot.fixed:
                self._draw_fixed(painter, shape, view, within)

    def _draw_fixed(self, painter: QPainter, shape: Fixed, view: View, within: Box | None) -> None:
        if isinstance(shape, Symbol):
            self._signs.draw(painter, shape, view, within)
        elif isinstance(shape, TextLabel):
            self._draw_words(painter, shape, view, within)
        elif isinstance(shape, HighlightBox):
            self._draw_frame(painter, shape, view)
        elif isinstance(shape, Ticks):
            draw_ticks(painter, self, shape, view)
        else:
            placed = self.labels.get(id(shape))
            draw_dimension(painter, self, shape, view, placed.along if placed else 0.5)

    def _draw_frame(self, painter: QPainter, frame: HighlightBox, view: View) -> None:
        grow = frame.margin * self.per_mm
        x1, y1 = view.to_screen((frame.low[0], frame.high[1]))
        x2, y2 = view.to_screen((frame.high[0], frame.low[1]))
        # On whole dots, so that the thin double line stays crisp.
        box = QRectF(
            QPointF(round(x1 - grow), round(y1 - grow)), QPointF(round(x2 + grow), round(y2 + grow))
        )
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        pen = self.theme.pen(frame.role, self.unit)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        if frame.corners:
            side = 3.5 * self.unit
            for corner in (box.topLeft(), box.topRight(), box.bottomLeft(), box.bottomRight()):
                square = QRectF(corner.x() - side, corner.y() - side, 2 * side, 2 * side)
                painter.fillRect(square, pen.color())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)

    def _draw_words(
        self, painter: QPainter, words: TextLabel, view: View, within: Box | None = None
    ) -> None:
        usual = Chosen(Spot(words.at, words.anchor, words.room), words.text)
        placed = self.over.get(id(words)) or self.labels.get(id(words), usual)
        if placed is None:
            return
        spot, text = placed.spot, placed.text
        if spot.room and self.width(text, words.size) > spot.room * view.scale:
            return
        at, size, turn, anchor = view.to_screen(spot.at), words.size, words.turn, spot.anchor
        if within is not None and not touch(self.room(text, at, size, turn, anchor), within):
            return
        self.write(
            painter,
            text,
            at,
            self.theme.text(words.role),
            size=size,
            turn=turn,
            anchor=anchor,
            cleared=words.cleared,
        )


def box_of(shape: Shape) -> Box:
    """Return the box of those elements of a shape that scale with the table, mm."""
    if isinstance(shape, (Polyline, Ticks)):
        xs = [x for x, _ in shape.points]
        ys = [y for _, y in shape.points]
        return (min(xs), min(ys), max(xs), max(ys))
    if isinstance(shape, (Circle, Arc)):
        (x, y), r = shape.centre, shape.radius
        return (x - r, y - r, x + r, y + r)
    if isinstance(shape, HighlightBox):
        return (*shape.low, *shape.high)
    if isinstance(shape, Dimension):
        (x1, y1), (x2, y2) = shape.a, shape.b
        return (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
    if isinstance(shape, TextLabel):  # along its line; the height is outreach
        spots = (Spot(shape.at, shape.anchor, shape.room), *shape.spots)
        return joined(_box_at(spot, shape.turn) for spot in spots) or (0.0, 0.0, 0.0, 0.0)
    x, y = shape.at
    # A sign drawn around its position extends a little beyond the ring that it keeps clear.
    half = 1.6 * shape.clear
    return (x - half, y - half, x + half, y + half)


def _box_at(spot: Spot, turn: float) -> Box:
    (x, y), aside = spot.at, spot.anchor in ("left", "right")
    along, up = (abs(part) * spot.room / (1 if aside else 2) for part in unit(turn))
    return (x - along, y - up, x + along, y + up)


def joined(boxes: Iterable[Box]) -> Box | None:
    """Return the box around some boxes; None if there are none."""
    every = list(boxes)
    if not every:
        return None
    low_x, low_y, high_x, high_y = zip(*every, strict=True)
    return (min(low_x), min(low_y), max(high_x), max(high_y))


def _square(points: tuple[Point, ...], closed: bool) -> bool:
    """True if every edge is at a multiple of 45 degrees: such lines are crisp without
    antialiasing.
    """
    before = points[-1] if closed else points[0]
    for point in points:
        dx, dy = abs(point[0] - before[0]), abs(point[1] - before[1])
        if dx > 1e-9 and dy > 1e-9 and abs(dx - dy) > 1e-9:
            return False
        before = point
    return True
