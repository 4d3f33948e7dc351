"""The border of the plan: column and row addresses along the plate, always in view, and the scale
bar.

Like the zones of a drawing's frame: the bands lie along the plate's edges, and stop at the
window's edge when the plate runs beyond it.  Works in dots.
"""

import math
from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QRegion

from gridjig.geometry.box_index import Box
from gridjig.model import Hole, Table
from gridjig.model.labels import GridLine, axis_of, counted, label
from gridjig.qt.paint.glyphs import EdgeLabel, Glyphs
from gridjig.qt.paint.lettering import Lettering
from gridjig.qt.paint.scale_bar import draw_scale_bar
from gridjig.qt.paint.view import View
from gridjig.units import Display

BAND_MM = 5.5
OPERATOR = "operator"
_GAP_MM = 1.0
AROUND_MM = BAND_MM + _GAP_MM
"""Room that the addresses take up around the plate."""
_LONGEST = 8192  # dots: longer bands are drawn letter by letter
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
_MARKS = 16  # holes whose marks are kept

Marked = tuple[QRect, tuple[QRect, ...]]
"""The box of a marked label, and the boxes of labels that it partly covers, dots."""


class Border:
    """Draws the bands of one table."""

    def __init__(self, lettering: Lettering, table: Table, display: Display) -> None:
        self._lettering = lettering
        self._table = table
        self._display = display
        self._bands: dict[GridLine, QPixmap] = {}
        self._scale = 0.0
        ends = (label(table, "row", 0), label(table, "row", table.rows - 1))
        widest = max(lettering.width(end, "small") for end in ends)
        # With large letters the labels of the rows are wider than the usual band.
        self.band = max(round(BAND_MM * lettering.per_mm), math.ceil(widest + 2 * lettering.unit))
        self._beyond = self.band // 2  # beyond the plate's corners: room for the ends of a label
        self._labels: dict[GridLine, list[EdgeLabel]] = {}
        self._glyphs = Glyphs(lettering.font("small"))
        self._bar: QPixmap | None = None
        self._placed: tuple[View, tuple[int, int], dict[str, QRect]] | None = None
        # The marks of recent holes where the bands are now; each is asked for several times.
        self._marks: dict[Hole, dict[str, Marked]] = {}

    def bands(self, view: View, size: tuple[int, int]) -> Mapping[str, QRect]:
        """Return the four bands' rectangles within a window of that size."""
        kept = self._placed
        if kept is None or kept[0] != view or kept[1] != size:
            kept = self._placed = (view, size, self._bands_in(view, size))
            self._marks.clear()
        return kept[2]

    def _bands_in(self, view: View, size: tuple[int, int]) -> dict[str, QRect]:
        wide, high = size
        gap = round(_GAP_MM * self._lettering.per_mm)
        x1, y1 = view.to_screen((0.0, self._table.depth))
        x2, y2 = view.to_screen((self._table.width, 0.0))
        beyond = self._beyond
        left = min(max(round(x1) - gap - self.band, 0), wide - self.band)
        top = min(max(round(y1) - gap - self.band, 0), high - self.band)
        right = max(min(round(x2) + gap, wide - self.band), 0)
        bottom = max(min(round(y2) + gap, high - self.band), 0)
        across = QRect(round(x1) - beyond, 0, round(x2 - x1) + 2 * beyond, 1)
        span_x = across.intersected(QRect(0, 0, wide, 1))
        span_y = QRect(0, round(y1), 1, round(y2 - y1)).intersected(QRect(0, 0, 1, high))
        return {
            "left": QRect(left, span_y.top(), self.band, span_y.height()),
            "right": QRect(right, span_y.top(), self.band, span_y.height()),
            "top": QRect(span_x.left(), top, span_x.width(), self.band),
            "bottom": QRect(span_x.left(), bottom, span_x.width(), self.band),
        }

    def around(self, scale: float) -> list[Box]:
        """Return where the addresses and the operator are, dots from the table's corner."""
        gap = round(_GAP_MM * self._lettering.per_mm)
        wide, deep = self._table.width * scale, self._table.depth * scale
        far = gap + self.band
        more = far + self.band
        return [
            (-far, -deep, -gap, 0.0),
            (wide + gap, -deep, wide + far, 0.0),
            (-self._beyond, -deep - more, wide + self._beyond, -deep - gap),
            (-self._beyond, gap, wide + self._beyond, more),
        ]

    def beside(self, view: View, size: tuple[int, int]) -> list[QRect]:
        """Return the bands that lie beside the plate, not over it."""
        plate = self._plate(view)
        return [one for one in self.bands(view, size).values() if not one.intersects(plate)]

    def held(self, view: View, size: tuple[int, int]) -> list[QRect]:
        """Return the bands that lie over the plate, at the edges of the window."""
        plate = self._plate(view)
        return [one for one in self.bands(view, size).values() if one.intersects(plate)]

    def _plate(self, view: View) -> QRect:
        x1, y1 = view.to_screen((0.0, self._table.depth))
        x2, y2 = view.to_screen((self._table.width, 0.0))
        return QRect(round(x1), round(y1), round(x2 - x1), round(y2 - y1))

    def draw(
        self,
        painter: QPainter,
        view: View,
        size: tuple[int, int],
        region: QRegion,
        at: Hole | None,
    ) -> None:
        """Draw the bands and the scale bar within `region`, and mark the hole under the pointer."""
        if self._scale != view.scale:
            self._bands.clear()
            self._bar = None
            self._scale = view.scale
        places = self.bands(view, size)
        if places["left"].height() > 0 and places["top"].width() > 0:
            for side, place in places.items():
                if region.intersects(place):
                    line = _line_of(side)
                    self._draw_band(painter, view, place, line)
                    if at is not None and self._table.has(at):  # an undo may have removed it
                        self._mark(painter, line, at, self._marked(view, size, at)[side])
            self._draw_operator(painter, places, size, region)
        if self._bar is None:
            self._bar = draw_scale_bar(self._lettering, view.scale, self._display)
        bar, margin = self._bar, round(2 * self._lettering.per_mm)
        left, top = size[0] - bar.width() - margin, size[1] - bar.height() - margin
        place = QRect(left, top, bar.width(), bar.height())
        # While a tool's row takes room below the plate, the addresses come first.
        covers = not self._plate_goes_beyond(view, size) and place.intersects(places["bottom"])
        if region.intersects(place) and not covers:
            painter.drawPixmap(left, top, bar)

    def _plate_goes_beyond(self, view: View, size: tuple[int, int]) -> bool:
        """True if the plate's front edge is below the window, where the bar has to lie over it."""
        return view.to_screen((0.0, 0.0))[1] > size[1]

    def _draw_band(self, painter: QPainter, view: View, place: QRect, line: GridLine) -> None:
        theme = self._lettering.theme
        along = self._length(line) * view.scale
        if along <= _LONGEST:
            band = self._bands.get(line)
            if band is None:
                band = self._bands[line] = self._make_band(line, view.scale)
            x1, y1 = view.to_screen((0.0, self._table.depth))
            if line == "column":
                skip = place.left() - (round(x1) - self._beyond)
                painter.drawPixmap(
                    place.left(), place.top(), band, skip, 0, place.width(), self.band
                )
            else:
                skip = place.top() - round(y1)
                painter.drawPixmap(
                    place.left(), place.top(), band, 0, skip, self.band, place.height()
                )
        else:
            painter.fillRect(place, theme.brush_of("desk"))
            painter.save()
            painter.setClipRect(place, Qt.ClipOperation.IntersectClip)
            origin = view.to_screen((0.0, self._table.depth))
            offset = (origin[0], place.top()) if line == "column" else (place.left(), origin[1])
            span = (place.left(), place.right()) if line == "column" else _span(place)
            self._write(painter, line, view.scale, offset, span)
            painter.restore()

    def _draw_operator(
        self, painter: QPainter, places: Mapping[str, QRect], size: tuple[int, int], region: QRegion
    ) -> None:
        """Draw the side that the operator stands on, outside the band if there is room."""
        lettering, band = self._lettering, self.band
        side = {"front": "bottom", "back": "top"}.get(
            self._table.labels.operator, self._table.labels.operator
        )
        place = places[side]
        middle = place.center()
        x, y, turn = middle.x() + 0.5, middle.y() + 0.5, 0.0
        match side:
            case "bottom":
                y += band
            case "top":
                y -= band
            case "left":
                x, turn = x - band, 90.0
            case _:
                x, turn = x + band, -90.0
        half = band / 2
        if not region.intersects(place.adjusted(-band, -band, band, band)):
            return
        if half <= x <= size[0] - half and half <= y <= size[1] - half:
            colour = lettering.theme.colour("graphite")
            painter.save()
            painter.translate(x, y)
            painter.rotate(-turn)
            lettering.write(painter, OPERATOR, (0.0, 0.0), colour, size="small")
            away = lettering.width(OPERATOR, "small") / 2 + lettering.height("small") * 1.4
            _draw_person(painter, QPointF(-away, 0.0), lettering.height("small"), colour)
            painter.restore()

    def _length(self, line: GridLine) -> float:
        return self._table.width if line == "column" else self._table.depth

    def _centre(self, line: GridLine, index: int, scale: float) -> float:
        """Return a column's or row's position along its band, dots from the plate's left or top."""
        table = self._table
        if line == "column":
            return (table.first_x + index * table.pitch_x) * scale
        return (table.depth - table.first_y - index * table.pitch_y) * scale

    def _make_band(self, line: GridLine, scale: float) -> QPixmap:
        along = max(1, math.ceil(self._length(line) * scale))
        beyond = self._beyond if line == "column" else 0
        along += 2 * beyond
        size = (along, self.band) if line == "column" else (self.band, along)
        band = QPixmap(*size)
        band.fill(self._lettering.theme.colour("desk"))
        with QPainter(band) as painter:
            self._write(painter, line, scale, (beyond, 0.0), (0, along))
        return band

    def _write(
        self,
        painter: QPainter,
        line: GridLine,
        scale: float,
        offset: tuple[float, float],
        span: tuple[int, int],
    ) -> None:
        step = self._step(line, scale)
        start = offset[0] if line == "column" else offset[1]
        across = (offset[1] if line == "column" else offset[0]) + self.band / 2
        first = start + self._centre(line, 0, scale)
        pitch = self._centre(line, 1, scale) - self._centre(line, 0, scale)
        low, high = span[0] - self.band, span[1] + self.band
        placed = []
        for one in self._row(line):
            along = first + one.index * pitch
            if _shown(one.count, step) and low <= along <= high:
                placed.append((one, along, across) if line == "column" else (one, across, along))
        painter.setPen(self._lettering.theme.colour("graphite"))
        self._glyphs.write(painter, placed)

    def _row(self, line: GridLine) -> list[EdgeLabel]:
        """Return a label for every column or row."""
        kept = self._labels.get(line)
        if kept is None:
            table = self._table
            size = table.columns if line == "column" else table.rows
            kept = self._labels[line] = [
                self._glyphs.label(k, counted(table, line, k) + 1, label(table, line, k))
                for k in range(size)
            ]
        return kept

    def _step(self, line: GridLine, scale: float) -> int:
        """Return n such that writing every nth label leaves no two running together."""
        table, lettering = self._table, self._lettering
        count = table.columns if line == "column" else table.rows
        if line == "row":
            need = lettering.height("small") * 1.6
        else:
            last = label(table, line, counted(table, line, count - 1))
            sample = "W" * len(last) if axis_of(table, line) == "letters" else "0" * len(last)
            need = lettering.width(sample, "small") + 4 * lettering.unit
        pitch = (table.pitch_x if line == "column" else table.pitch_y) * scale
        return next((step for step in _STEPS if step * pitch >= need), _STEPS[-1])

    def _mark(self, painter: QPainter, line: GridLine, at: Hole, marked: Marked) -> None:
        """Draw the label of the pointer's column or row in inverted colours."""
        lettering = self._lettering
        box, hidden = marked
        for other in hidden:  # half a label could be misread as another
            painter.fillRect(other, lettering.theme.brush_of("desk"))
        painter.fillRect(box, lettering.theme.brush_of("ink"))
        one = self._row(line)[_index(line, at)]
        painter.setPen(lettering.theme.colour("paper"))
        middle = (box.x() + box.width() / 2, box.y() + box.height() / 2)
        self._glyphs.write(painter, [(one, *middle)])

    def _marked(self, view: View, size: tuple[int, int], at: Hole) -> Mapping[str, Marked]:
        """Return what the mark of a hole takes up in each band."""
        bands = self.bands(view, size)
        kept = self._marks.get(at)
        if kept is None:
            if len(self._marks) >= _MARKS:
                self._marks.clear()
            kept = self._marks[at] = {
                side: self._marked_in(view, place, _line_of(side), at)
                for side, place in bands.items()
            }
        return kept

    def _marked_in(self, view: View, place: QRect, line: GridLine, at: Hole) -> Marked:
        box = self._label_box(view, place, line, at)
        step = self._step(line, view.scale)
        if step == 1:  # all are written, each with room of its own
            return box, ()
        row, index = self._row(line), _index(line, at)
        near = [
            self._label_box(
                view, place, line, Hole(k, at.row) if line == "column" else Hole(at.col, k)
            )
            for k in range(max(0, index - step), min(len(row), index + step + 1))
            if k != index and _shown(row[k].count, step)
        ]
        return box, tuple(other for other in near if other.intersects(box))

    def labels_of(self, view: View, size: tuple[int, int], at: Hole) -> list[QRect]:
        """Return the boxes of the labels of a hole's column and row in the four bands, and what
        they hide.
        """
        if not self._table.has(at):
            return []
        every = self._marked(view, size, at).values()
        return [place for box, hidden in every for place in (box, *hidden)]

    def _label_box(self, view: View, place: QRect, line: GridLine, at: Hole) -> QRect:
        lettering = self._lettering
        text = label(self._table, line, _index(line, at))
        x, y = view.to_screen(self._table.at(at))
        centre = (
            QPointF(x, place.center().y() + 0.5)
            if line == "column"
            else QPointF(place.center().x() + 0.5, y)
        )
        half_x = max(lettering.width(text, "small") / 2 + 3 * lettering.unit, self.band / 2)
        half_y = self.band / 2 - lettering.unit if line == "column" else self.band * 0.42
        box = QRectF(centre.x() - half_x, centre.y() - half_y, 2 * half_x, 2 * half_y)
        return box.toRect()


def _line_of(side: str) -> GridLine:
    return "row" if side in ("left", "right") else "column"


def _index(line: GridLine, at: Hole) -> int:
    return at.col if line == "column" else at.row


def _shown(count: int, step: int) -> bool:
    """True if this label is written when only every `step`th has room: A, C, E; 1, 5, 10, 15."""
    return (count - 1) % step == 0 if step < 5 else count == 1 or count % step == 0


def _draw_person(painter: QPainter, at: QPointF, tall: float, colour: QColor) -> None:
    """Draw somebody from above, as on a plan: shoulders and a head."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, max(1.0, tall / 8)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(at, tall * 0.95, tall * 0.5)
    painter.setBrush(colour)
    painter.drawEllipse(at, tall * 0.32, tall * 0.32)


def _span(place: QRect) -> tuple[int, int]:
    return (place.top(), place.bottom())
