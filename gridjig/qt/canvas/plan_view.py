"""The plan as a widget: shows a document, zooms and pans.

It handles no tool and no pointer.  The document says what is where, and the plan drawing says what
a thing looks like; this widget only decides where on the screen it goes.
"""

import math
import weakref
from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QImage, QPainter, QPaintEvent, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from gridjig.checks.finding import SignPlaces
from gridjig.contact.values import JobContacts
from gridjig.geometry.box_index import Box
from gridjig.geometry.display import DisplayList
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Placement
from gridjig.qt.paint.painter import Plot
from gridjig.qt.paint.view import (
    FIT_MARGIN_MM,
    View,
    centred,
    fitted,
    plate_fitted,
    still_fitted,
)
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import Theme
from gridjig.qt.tasks.warmup import is_warm
from gridjig.qt.widgets.plain import Button
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.drawings.plan import box_of_stand, draw_beneath, draw_part_dims

from .border import AROUND_MM
from .items import UNMARKED
from .plan_layer import PlanLayer, rects_of

_FOCUS_PX, _SETTLE_MS = 2, 80  # the delay is after the last step of a zoom


class PlanView(QWidget):
    """Shows the plan of the table."""

    zoomed = Signal(float)

    def __init__(
        self, document: Document, theme: Theme, metrics: Metrics, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._theme, self._metrics = document, theme, metrics
        self._view = View()
        self._window_size = QSize()
        self._fit = True  # the view follows the window's size until the user moves it
        self._marked = UNMARKED
        self._contacts_shown = True
        self._dims: Plot | None = None
        self._over: Plot | None = None
        self._at: Hole | None = None
        self._touched = QRect()
        self._lost = False  # nothing of the plate is in view
        self._settling = QTimer(self, singleShot=True, interval=_SETTLE_MS)
        self._settling.timeout.connect(self._settle)
        self._make_plan()
        self._offer = Button("Fit the table (0)", parent=self)
        self._offer.setAutoDefault(False)  # over a form, Enter presses that form's bold button
        self._offer.clicked.connect(self.fit_table)
        self._offer.hide()
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(240, 180)
        self._unsubscribe = self._follow(document)

    # -- for the window ------------------------------------------------------------------------

    @property
    def document(self) -> Document:
        """The document shown."""
        return self._document

    def set_document(self, document: Document) -> None:
        """Show another document, fitted to the view."""
        self._unsubscribe()
        self._document = document
        self._marked = UNMARKED
        self._unsubscribe = self._follow(document)
        self._make_plan()
        self.fit_table()

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self._theme = theme
        self._make_plan()

    def set_metrics(self, metrics: Metrics) -> None:
        """Use the metrics of another screen, or of glove mode."""
        self._metrics = metrics
        self._make_plan()

    def set_findings(
        self, clash: Iterable[str], check: Iterable[str], signs: SignPlaces | None = None
    ) -> None:
        """Set the ids to mark as clashing and as needing a check, and where their signs belong."""
        self._marked = (frozenset(clash), frozenset(check), signs or {})
        self._desk_changed()

    def set_contacts_shown(self, shown: bool) -> None:
        """Show or hide the contact marks."""
        if shown != self._contacts_shown:
            self._contacts_shown = shown
            self._desk_changed()

    def _contacts(self) -> JobContacts | None:
        """Return the contacts to mark; None until the code that finds them is loaded."""
        document = self._document
        if not self._contacts_shown or not document.shown.parts or not is_warm():
            return None
        return document.contacts if document.shown.placements else None

    @property
    def view(self) -> View:
        """Return the scale and position of the table in the widget, logical px."""
        return self._view

    @property
    def metrics(self) -> Metrics:
        """The screen's metrics."""
        return self._metrics

    def fit_table(self) -> None:
        """Show the whole plate."""
        table = self._document.shown.table
        self.set_view(plate_fitted(table, self.width(), self.height(), self._metrics))
        self._fit = True

    def expect_room(self) -> None:
        """Fit the plate again, if it was fitted, when the canvas gets its next size."""
        self._window_size = QSize()

    def fit_selection(self) -> None:
        """Show the whole selection, or the whole plate if nothing is selected."""
        boxes = [b for b in map(self._box_of, self._document.selection) if b is not None]
        if not boxes:
            self.fit_table()
            return
        low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
        self._show_box((min(low_x), min(low_y), max(high_x), max(high_y)))

    def actual_size(self) -> None:
        """Show at 1:1 on a calibrated screen."""
        self.zoom_by(self._metrics.px_per_mm / self._view.scale)

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point of the widget, by default its centre."""
        place = about if about is not None else QPointF(self.width() / 2, self.height() / 2)
        self.set_view(self._view.zoomed(factor, (place.x(), place.y())))

    def pan_by(self, dx: float, dy: float) -> None:
        """Shift the view by logical px, rounded to whole dots so that the pixels can be reused."""
        dots = self._sheet.dots
        self.set_view(self._view.panned(round(dx * dots) / dots, round(dy * dots) / dots))

    def set_view(self, view: View) -> None:
        """Show another part of the table; the view no longer follows the window's size."""
        if view == self._view:
            return
        scaled = view.scale != self._view.scale
        self._view = view
        self._fit = False
        self._sheet.look_at(view.times(self._sheet.dots))
        lost = not self._sheet.plate_in_view()
        if lost != self._lost:
            self._lost = lost
            self._offer.setVisible(lost)
        self.update()
        if scaled:
            self._settling.start()
            self.zoomed.emit(view.scale)

    def show_points(self, points: Iterable[Point]) -> None:
        """Bring points of the table into view; do nothing if they already are."""
        shown = list(points)
        if not shown:
            return
        x1, y1, x2, y2 = bounds(shown)
        margin = self._metrics.px(15.0)
        (low_x, low_y), (high_x, high_y) = self._view.box(self.width(), self.height())
        edge = margin / self._view.scale
        across = low_x + edge <= x1 and x2 <= high_x - edge
        if across and low_y + edge <= y1 and y2 <= high_y - edge:
            return
        fit = fitted((x1, y1), (x2, y2), self.width(), self.height(), margin)
        scale = min(self._view.scale, fit.scale)
        middle = ((x1 + x2) / 2, (y1 + y2) / 2)
        self.set_view(centred(scale, middle, self.width(), self.height()))

    def _follow(self, document: Document) -> Callable[[], object]:
        """Follow a document, without keeping a closed widget alive or calling into it."""
        me = weakref.ref(self)

        def changed() -> None:
            view = me()
            if view is not None and isValid(view):
                view._desk_changed()

        return document.subscribe(changed)

    # -- the plan -----------------------------------------------------------------------------

    def _make_plan(self) -> None:
        dots = self.devicePixelRatioF()
        self._sheet = PlanLayer(
            self._theme,
            self._metrics,
            dots,
            self.font(),
            self._document.shown,
            self._size_in_dots(),
        )
        self._sheet.look_at(self._view.times(dots), passing=False)
        self._sheet.sync(self._document, *self._marked, self._contacts())
        self._over = None
        self._refresh_dims()
        self.update()

    def _settle(self) -> None:
        if self._sheet.settle():
            self.update()

    def _size_in_dots(self) -> QSize:
        dots = self.devicePixelRatioF()
        return QSize(
            max(1, math.ceil(self.width() * dots)), max(1, math.ceil(self.height() * dots))
        )

    def _show_box(self, box: Box) -> None:
        margin = self._metrics.px(FIT_MARGIN_MM)
        self.set_view(fitted(box[:2], box[2:], self.width(), self.height(), margin))

    def _box_of(self, thing_id: str) -> Box | None:
        job = self._document.shown
        thing = job.find(thing_id)
        if thing is None:
            return None
        if isinstance(thing, Placement):
            return box_of_stand(self._document.placed_pieces[thing_id])
        return bounds(part_ring(thing))

    def _desk_changed(self) -> None:
        changed = self._sheet.sync(self._document, *self._marked, self._contacts())
        if not changed.isEmpty():
            self._touch(changed.boundingRect())
            self._refresh_dims()
        if self._sheet.over_is_stale:
            self._update_plot(self._over)

    def _refresh_dims(self) -> None:
        """Update what is shown about the selection: the size of a single part, and what lies hidden
        under others.

        Pieces show no size: it is printed on them, and would cover their neighbours.
        """
        before, document = self._dims, self._document
        drawing: DisplayList = ()
        if len(document.selection) == 1:
            thing = document.shown.find(next(iter(document.selection)))
            if thing is not None and not isinstance(thing, Placement):
                drawing = draw_part_dims(thing, document.shown.display)
        for thing_id in self._sheet.items.covered(document.selection):
            if thing_id in document.placed_pieces:
                drawing += draw_beneath(document.placed_pieces[thing_id])
        self._dims = self._sheet.plotter.plot(drawing) if drawing else None
        moved = self._sheet.show_dims(self._dims)
        if not moved.isEmpty():
            self._touch(moved.boundingRect())
        self._update_plot(before)
        self._update_plot(self._dims)

    def show_over(self, drawing: DisplayList) -> None:
        """Draw this over the plan, replacing the previous overlay."""
        self._update_plot(self._over)
        self._over = self._sheet.plotter.plot(drawing) if drawing else None
        self._update_plot(self._over)

    def mark_hole(self, hole: Hole | None) -> None:
        """Mark the column and row of a hole in the border, or clear the mark."""
        if hole != self._at:
            for one in (self._at, hole):
                if one is not None:
                    self._update_dots(self._sheet.labels_of(one))
            self._at = hole

    def _update_plot(self, plot: Plot | None) -> None:
        if plot is not None and plot.box is not None:
            self._touch(self._sheet.rect(plot.box, plot.outreach, plot.rise))

    def _touch(self, area: QRect) -> None:
        """Repaint an area (dots) together with all others touched since the last paint, as one box.

        Drawing through a clip of one box is much cheaper than through many small ones.
        """
        self._touched |= area
        self._update_dots(QRegion(self._touched))

    def _update_dots(self, region: QRegion) -> None:
        dots = self._sheet.dots
        if dots == 1.0:
            self.update(region)
            return
        for part in rects_of(region):
            left, top = math.floor(part.left() / dots), math.floor(part.top() / dots)
            right = math.ceil((part.right() + 1) / dots)
            bottom = math.ceil((part.bottom() + 1) / dots)
            self.update(QRect(left, top, right - left, bottom - top))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the layer, then the overlays, then the border and the focus mark."""
        dots = self._sheet.dots
        self._touched = QRect()
        region = self._to_dots(event.region())
        over = [plot for plot in (self._dims, self._over) if plot is not None]
        with QPainter(self) as painter:
            if dots != 1.0:
                painter.scale(1.0 / dots, 1.0 / dots)
            self._sheet.paint(painter, region, over, self._at)
            if self.hasFocus():
                self._draw_focus(painter, dots)

    def picture(self) -> QImage:
        """Return what is in view, without the focus mark and what a tool draws."""
        wide, high = self._sheet.size
        made = QImage(wide, high, QImage.Format.Format_RGB32)
        with QPainter(made) as painter:
            self._sheet.paint(painter, QRegion(QRect(0, 0, wide, high)), [], None)
        return made

    def _to_dots(self, region: QRegion) -> QRegion:
        dots = self._sheet.dots
        if dots == 1.0:
            return region
        found = QRegion()
        for area in rects_of(region):
            left, top = math.floor(area.left() * dots), math.floor(area.top() * dots)
            right = math.ceil((area.right() + 1) * dots)
            found += QRect(left, top, right - left, math.ceil((area.bottom() + 1) * dots) - top)
        return found

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
        """Keep the view where it is, or fit it again if it was fitted and the window has changed.

        If only a row or a pane beside the canvas has grown or shrunk, what the person looks at
        stays where it is, unless the plate would be cut off or could be shown larger.
        """
        self._sheet.resize(self._size_in_dots())
        self._offer.adjustSize()
        self._offer.move((self.width() - self._offer.width()) // 2, self.height() // 2)
        window = self.window().size()
        changed, self._window_size = window != self._window_size, window
        size = (self.width(), self.height())
        around = self._metrics.px(AROUND_MM)
        table = self._document.shown.table
        if self._fit and (
            changed or not still_fitted(self._view, table, *size, self._metrics, around)
        ):
            self.fit_table()
        super().resizeEvent(event)

    def event(self, event: QEvent) -> bool:
        """Adapt to a screen of another pixel density."""
        if event.type() == QEvent.Type.DevicePixelRatioChange and hasattr(self, "_sheet"):
            self._make_plan()
        return super().event(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Drop pending work: the window is hidden."""
        self._settling.stop()
        super().hideEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Redraw all text when the font size changes."""
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_sheet"):
            self._make_plan()
        super().changeEvent(event)
