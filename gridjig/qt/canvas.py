"""The drawing as a widget: it shows the desk, and hands what the person does to the active tool.

It holds no part of the job.  What is where is the desk's, what a click means is the tool's, what a
thing looks like is the plan's; here is only where on the screen it lies, and how to get about.
"""

import logging
import math
from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QRegion,
    QResizeEvent,
)
from PySide6.QtWidgets import QPushButton, QWidget

from gridjig.geometry.display import Drawing
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Placement
from gridjig.rack import Point
from gridjig.session.desk import Desk
from gridjig.sheets.plan import box_of_stand, draw_dims, outline_ring
from gridjig.tools.pointer import Pointer
from gridjig.tools.tool import Leave, Nothing, Outcome, Tool, play

from .canvas_gestures import Gestures
from .canvas_input import key_of, pointer_at
from .canvas_place import place_text
from .canvas_sheet import Sheet
from .canvas_view import View, centred, fitted
from .metrics import Means, Metrics
from .painter import Box, Plot
from .theme import Theme

log = logging.getLogger(__name__)

_NOTCH = 1.2  # zoom factor of one notch of the wheel and of the keys
_FOCUS_PX = 2


class Canvas(QWidget):
    """The plan of the table.  One desk, one active tool."""

    pointed = Signal(str)
    zoomed = Signal(float)
    hinted = Signal(str)
    tool_left = Signal()

    def __init__(
        self, desk: Desk, theme: Theme, metrics: Metrics, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._desk = desk
        self._theme = theme
        self._metrics = metrics
        self._tool = Tool(desk)
        self._view = View()
        self._fit = True  # the view follows the window's size until the person moves it
        self._clash: frozenset[str] = frozenset()
        self._check: frozenset[str] = frozenset()
        self._overlay: Drawing = ()
        self._over: Plot | None = None
        self._dims: Plot | None = None
        self._at: Hole | None = None
        self._make_sheet()
        self._gestures = Gestures(self)
        self._offer = QPushButton("Fit the table (0)", self)
        self._offer.clicked.connect(self.fit_table)
        self._offer.hide()
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAcceptDrops(True)
        self.setMinimumSize(240, 180)
        self.setAccessibleName("Plan of the table")
        self.setAccessibleDescription(
            "Pieces and outlines on the table. Plus and minus zoom, 0 shows the whole table, 9 what"
            " is selected, 1 true size, Space with drag moves the view, Tab leaves the plan."
            " The outline list holds the same things as text."
        )
        self._unsubscribe: Callable[[], object] = desk.subscribe(self._desk_changed)
        self.destroyed.connect(lambda: self._unsubscribe())

    # -- for the window ------------------------------------------------------------------------

    @property
    def desk(self) -> Desk:
        """The desk that is shown."""
        return self._desk

    def set_desk(self, desk: Desk) -> None:
        """Show another desk, whole and with no tool at work."""
        self._unsubscribe()
        self._desk = desk
        self._clash = self._check = frozenset()
        self._unsubscribe = desk.subscribe(self._desk_changed)
        self._tool = Tool(desk)
        self._make_sheet()
        self.fit_table()

    @property
    def tool(self) -> Tool:
        """The tool that is told of pointer and keys."""
        return self._tool

    def set_tool(self, tool: Tool) -> None:
        """Give pointer and keys to another tool; the one before drops what it had under way."""
        self._gestures.drop()
        self._answer(self._tool.leave("another tool"), quiet=True)
        self._tool = tool
        cross = tool.name != "select"
        self.setCursor(Qt.CursorShape.CrossCursor if cross else Qt.CursorShape.ArrowCursor)
        self._refresh_overlay()
        self.hinted.emit(tool.hint())

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self._theme = theme
        self._make_sheet()

    def set_metrics(self, metrics: Metrics) -> None:
        """Draw and catch for another screen, or for gloves."""
        self._metrics = metrics
        self._make_sheet()

    def set_findings(self, clash: Iterable[str], check: Iterable[str]) -> None:
        """Ids of things that clash and of those that want a look; they are marked so."""
        self._clash, self._check = frozenset(clash), frozenset(check)
        self._desk_changed()

    def set_wheel_zooms(self, zooms: bool) -> None:
        """What the plain wheel does: zoom (True) or pan.  With Ctrl it always zooms."""
        self._gestures.wheel_zooms = zooms

    @property
    def view(self) -> View:
        """Where the table lies in the widget, logical px."""
        return self._view

    @property
    def metrics(self) -> Metrics:
        """The screen's millimetres."""
        return self._metrics

    def fit_table(self) -> None:
        """Show the whole plate."""
        table = self._desk.shown.table
        self._show_box((0.0, 0.0, table.width, table.depth))
        self._fit = True

    def fit_selection(self) -> None:
        """Show all that is selected; the whole plate if nothing is."""
        boxes = [b for b in map(self._box_of, self._desk.selection) if b is not None]
        if not boxes:
            self.fit_table()
            return
        low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
        self._show_box((min(low_x), min(low_y), max(high_x), max(high_y)))

    def actual_size(self) -> None:
        """Show one millimetre as one millimetre of a calibrated screen."""
        self.zoom_by(self._metrics.px_per_mm / self._view.scale)

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point of the widget, its middle if none is given."""
        place = about if about is not None else QPointF(self.width() / 2, self.height() / 2)
        self.set_view(self._view.zoomed(factor, (place.x(), place.y())))

    def pan_by(self, dx: float, dy: float) -> None:
        """Shift the view by logical px, to whole dots so that the pixels can be moved."""
        dots = self._sheet.dots
        self.set_view(self._view.panned(round(dx * dots) / dots, round(dy * dots) / dots))

    def set_view(self, view: View) -> None:
        """Look at another part of the table; the view no longer follows the window's size."""
        if view == self._view:
            return
        scaled = view.scale != self._view.scale
        self._view = view
        self._fit = False
        self._sheet.look_at(view.times(self._sheet.dots))
        self._offer.setVisible(not self._sheet.plate_in_view())
        self.update()
        if scaled:
            self.zoomed.emit(view.scale)

    def show_points(self, points: Iterable[Point]) -> None:
        """Bring places of the table into view; nothing moves if they are in view already."""
        shown = list(points)
        if not shown:
            return
        x1, y1, x2, y2 = bounds(shown)
        margin = self._metrics.px(15.0)
        (low_x, low_y), (high_x, high_y) = self._view.box(self.width(), self.height())
        edge = margin / self._view.scale
        if low_x + edge <= x1 and x2 <= high_x - edge and low_y + edge <= y1:
            if y2 <= high_y - edge:
                return
        fit = fitted((x1, y1), (x2, y2), self.width(), self.height(), margin)
        scale = min(self._view.scale, fit.scale)
        middle = ((x1 + x2) / 2, (y1 + y2) / 2)
        self.set_view(centred(scale, middle, self.width(), self.height()))

    # -- the sheet -----------------------------------------------------------------------------

    def _make_sheet(self) -> None:
        dots = self.devicePixelRatioF()
        self._sheet = Sheet(
            self._theme, self._metrics, dots, self.font(), self._desk.shown, self._size_in_dots()
        )
        self._sheet.look_at(self._view.times(dots))
        self._sheet.sync(self._desk, self._clash, self._check)
        self._overlay, self._over = (), None
        self._refresh_dims()
        self.update()

    def _size_in_dots(self) -> QSize:
        dots = self.devicePixelRatioF()
        return QSize(
            max(1, math.ceil(self.width() * dots)), max(1, math.ceil(self.height() * dots))
        )

    def _show_box(self, box: Box) -> None:
        margin = self._metrics.px(10.0)
        self.set_view(fitted(box[:2], box[2:], self.width(), self.height(), margin))

    def _box_of(self, thing_id: str) -> Box | None:
        job = self._desk.shown
        thing = job.find(thing_id)
        if thing is None:
            return None
        if isinstance(thing, Placement):
            return box_of_stand(self._desk.stands[thing_id])
        return bounds(outline_ring(thing))

    def _desk_changed(self) -> None:
        changed = self._sheet.sync(self._desk, self._clash, self._check)
        if not changed.isEmpty():
            self._update_dots(changed)
            self._refresh_dims()

    def _refresh_dims(self) -> None:
        """The size of what is selected, if it is one thing, as dimension lines."""
        before, chosen = self._dims, self._desk.selection
        box = self._box_of(next(iter(chosen))) if len(chosen) == 1 else None
        drawing = draw_dims(box[:2], box[2:], self._desk.shown.display) if box else ()
        self._dims = self._sheet.plotter.plot(drawing) if drawing else None
        self._update_plot(before)
        self._update_plot(self._dims)

    def _refresh_overlay(self) -> None:
        drawing = self._tool.overlay()
        if drawing == self._overlay:
            return
        self._update_plot(self._over)
        self._overlay = drawing
        self._over = self._sheet.plotter.plot(drawing) if drawing else None
        self._update_plot(self._over)

    def _update_plot(self, plot: Plot | None) -> None:
        if plot is not None and plot.box is not None:
            self._update_dots(QRegion(self._sheet.rect(plot.box, plot.outreach)))

    def _update_dots(self, region: QRegion) -> None:
        dots = self._sheet.dots
        if dots == 1.0:
            self.update(region)
            return
        for part in region:
            left, top = math.floor(part.left() / dots), math.floor(part.top() / dots)
            right = math.ceil((part.right() + 1) / dots)
            bottom = math.ceil((part.bottom() + 1) / dots)
            self.update(QRect(left, top, right - left, bottom - top))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Show the layer, then overlay, border and focus mark over it."""
        dots = self._sheet.dots
        area = event.rect()
        part = QRect(
            math.floor(area.left() * dots),
            math.floor(area.top() * dots),
            math.ceil(area.width() * dots) + 1,
            math.ceil(area.height() * dots) + 1,
        )
        over = [plot for plot in (self._dims, self._over) if plot is not None]
        with QPainter(self) as painter:
            if dots != 1.0:
                painter.scale(1.0 / dots, 1.0 / dots)
            self._sheet.paint(painter, part, over, self._at)
            if self.hasFocus():
                self._draw_focus(painter, dots)

    def _draw_focus(self, painter: QPainter, dots: float) -> None:
        wide, high = self._sheet.size
        thick = math.ceil(_FOCUS_PX * dots)
        colour = self._theme.brush_of("selected")
        for strip in (
            QRect(0, 0, wide, thick),
            QRect(0, high - thick, wide, thick),
            QRect(0, 0, thick, high),
            QRect(wide - thick, 0, thick, high),
        ):
            painter.fillRect(strip, colour)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the view where it is; a fitted one is fitted again."""
        self._sheet.resize(self._size_in_dots())
        self._offer.adjustSize()
        self._offer.move((self.width() - self._offer.width()) // 2, self.height() // 2)
        if self._fit:
            self.fit_table()
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """A new letter size changes everything that is written."""
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_sheet"):
            self._make_sheet()
        super().changeEvent(event)

    def event(self, event: QEvent) -> bool:
        """Gestures of a trackpad or fingers go their own way; the rest as usual."""
        if event.type() == QEvent.Type.DevicePixelRatioChange and hasattr(self, "_sheet"):
            self._make_sheet()
        if hasattr(self, "_gestures") and self._gestures.take(event):
            return True
        return super().event(event)

    # -- what the person does ------------------------------------------------------------------

    def pointer(
        self, place: QPointF, modifiers: Qt.KeyboardModifier, means: Means = "mouse"
    ) -> Pointer:
        """A place of the widget as tools know it."""
        return pointer_at(place, modifiers, self._view, self._metrics, means)

    def tell(self, act: Callable[[Tool], Outcome]) -> bool:
        """Tell the tool of something and play its answer; False if it had none.

        A tool that breaks is put down; the job stays as it was.
        """
        try:
            outcome = act(self._tool)
            self._answer(outcome)
        except Exception:
            log.exception("the %s tool broke off", self._tool.name)
            name, self._tool = self._tool.name, Tool(self._desk)
            self._desk.preview(None)
            self.hinted.emit(f"The {name} tool stopped; the job is unchanged. Take it up again.")
            self.tool_left.emit()
            return True
        return outcome != Nothing()

    def _answer(self, outcome: Outcome, quiet: bool = False) -> None:
        play(self._desk, outcome)
        self._refresh_overlay()
        if not quiet:
            self.hinted.emit(outcome.hint or self._tool.hint())
            if isinstance(outcome, Leave):
                self.tool_left.emit()

    def point(self, place: QPointF) -> None:
        """The pointer is at a place: say the address and mark its column and row."""
        job = self._desk.shown
        at = self._view.to_table((place.x(), place.y()))
        table = job.table
        inside = 0 <= at[0] <= table.width and 0 <= at[1] <= table.depth
        hole = table.nearest(*at) if inside else None
        if hole != self._at:
            self._at = hole
            self._update_dots(self._sheet.bands())
        self.pointed.emit(place_text(table, job.display, at))

    def leaveEvent(self, event: QEvent) -> None:
        """The pointer is gone: no column or row is marked."""
        if self._at is not None:
            self._at = None
            self._update_dots(self._sheet.bands())
        self.pointed.emit("")
        super().leaveEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Primary: the tool.  Middle, or with Space: pan."""
        self._gestures.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Hover or drag."""
        self._gestures.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The end of a click or drag."""
        self._gestures.release(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """View keys first, then the tool; what neither knows goes on to the window."""
        if self._view_key(event) or self._gestures.key_press(event):
            return
        key = key_of(event)
        if key is None or not self.tell(lambda tool: tool.key(key)):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Letting go of Space ends panning."""
        if not self._gestures.key_release(event):
            event.ignore()

    def _view_key(self, event: QKeyEvent) -> bool:
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        shift = Qt.KeyboardModifier.ShiftModifier
        code = event.key()
        if held not in (Qt.KeyboardModifier.NoModifier, shift):
            return False
        if code in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_by(_NOTCH)
        elif code == Qt.Key.Key_Minus:
            self.zoom_by(1 / _NOTCH)
        elif code == Qt.Key.Key_0 and held == Qt.KeyboardModifier.NoModifier:
            self.fit_table()
        elif code in (Qt.Key.Key_9, Qt.Key.Key_0, Qt.Key.Key_ParenRight):
            self.fit_selection()
        elif code == Qt.Key.Key_1:
            self.actual_size()
        else:
            return False
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus mark."""
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the focus mark away."""
        self._gestures.space_up()
        self.update()
        super().focusOutEvent(event)
