"""The plan as pixels: one layer, repainted where something changed and shifted when panned.

Works in dots.  The layer holds the ground and the things; what changes with every pointer move (a
tool's overlay, the border) is drawn over it, never into it.  The layer is larger than the window,
so most panning only shows another part of it; what is out of sight is repainted when it comes into
view.
"""

import math
import operator
from collections.abc import Iterable

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtGui import QFont, QPainter, QPixmap, QRegion

from gridjig.checks.finding import SignPlaces
from gridjig.contact.values import JobContacts
from gridjig.geometry.box_index import Box
from gridjig.model import Hole, Job
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.qt.paint.view import View
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import Theme
from gridjig.session.document import Document
from gridjig.sheets.drawings.hole_marks import draw_hole_mark

from .border import Border
from .contact_marks import ContactMarks
from .items import Items
from .marked_ground import MarkedGround
from .over_labels import place_over
from .plan_labels import PlanLabels

_LOOSE = 2  # one pass repaints damage whose box is at most this many times its area
_SPARE = 256  # margin of the layer beyond each side of the window, dots


class PlanLayer:
    """The layer of one canvas."""

    def __init__(
        self, theme: Theme, metrics: Metrics, dots: float, font: QFont, job: Job, size: QSize
    ) -> None:
        self.dots = dots  # per logical px
        self.plotter = Plotter(theme, metrics.px_per_mm * dots, dots, font)
        self.items = Items(self.plotter)
        self.contacts = ContactMarks(self.plotter)
        self.labels = PlanLabels(self.plotter)
        self.view = View()  # in dots of the window
        self._table = job.table
        self._display = job.display
        self._ground = MarkedGround(self.plotter, job.table)
        self._border = Border(self.plotter, job.table, job.display)
        self._size = size
        self._layer = _layer(size)
        self._labels_anew()
        self._origin = QPoint(_SPARE, _SPARE)  # of the window, in the layer
        self._dirty = QRegion(self._layer.rect())  # in dots of the layer
        self._zooming = False
        # Whose words are placed, and for what.
        self._over: tuple[list[Plot], View, QSize, int] = ([], self.view, size, 0)
        self._sketched = False  # the screen shows a sketch, less exact than the layer

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the window in dots."""
        return (self._size.width(), self._size.height())

    @property
    def window(self) -> QRect:
        """Return the visible rectangle, in dots of the window."""
        return QRect(QPoint(0, 0), self._size)

    # -- what has changed ----------------------------------------------------------------------

    def sync(
        self,
        document: Document,
        clash: frozenset[str],
        check: frozenset[str],
        signs: SignPlaces | None = None,
        contacts: JobContacts | None = None,
    ) -> QRegion:
        """Take over the document's current state; return what must be repainted.

        `contacts` are the document's contacts if they are to be marked, else None; `signs` is where
        the signs of what is marked belong.
        """
        job = document.shown
        everything = job.table is not self._table or job.display is not self._display
        if everything:
            self._table, self._display = job.table, job.display
            self._ground = MarkedGround(self.plotter, job.table)
            self._border = Border(self.plotter, job.table, job.display)
            self._labels_anew()
            self._damage_all()
        changed = QRegion()
        damaged = self.items.sync(document, clash, check, signs)
        for thing_id in self.items.replaced:
            item = self.items.items.get(thing_id)
            self.labels.show("thing", thing_id, item.plot if item is not None else None)
        if contacts is not None or len(self.contacts):
            damaged += self.contacts.sync(document.placed_pieces, contacts)
            for thing_id in self.contacts.replaced:
                self.labels.show("contact", thing_id, self.contacts.signs_of(thing_id))
        if self.labels.scale == self.view.scale:  # else all is placed when it is painted
            damaged += self.labels.settle(self.view.scale)
        for damage in damaged:
            changed += self.rect(damage.box, damage.outreach, damage.rise)
        self._dirty += changed.translated(self._origin)
        return QRegion(self.window) if everything else changed & self.window

    def show_dims(self, plot: Plot | None) -> QRegion:
        """Take over what is shown of the selection's size; return what must be repainted."""
        self.labels.show("dims", "", plot)
        changed = QRegion()
        if self.labels.scale == self.view.scale:
            for damage in self.labels.settle(self.view.scale):
                changed += self.rect(damage.box, damage.outreach, damage.rise)
            self._dirty += changed.translated(self._origin)
        return changed & self.window

    def _labels_anew(self) -> None:
        """Place all labels anew, clear of the marks on the table's holes."""
        table = self._table
        self.labels = PlanLabels(self.plotter)
        for thing_id, item in self.items.items.items():
            self.labels.show("thing", thing_id, item.plot)
        for thing_id, signs in self.contacts.signs():
            self.labels.show("contact", thing_id, signs)
        for mark in table.marks:
            self.labels.show("hole", str(mark.hole), self.plotter.plot(draw_hole_mark(table, mark)))

    def resize(self, size: QSize) -> None:
        """Change the size; everything is repainted."""
        if size != self._size:
            self._size = size
            self._layer = _layer(size)
            self._origin = QPoint(_SPARE, _SPARE)
            self._damage_all()

    def look_at(self, view: View, passing: bool = True) -> None:
        """Show another part.

        After a shift by whole dots the layer's pixels remain valid.  With `passing`, a new scale is
        one step of a zoom, and the layer is settled when the zoom ends.
        """
        if view == self.view:
            return
        dx, dy = view.left - self.view.left, view.top - self.view.top
        same = view.scale == self.view.scale
        self._zooming = passing and not same
        self.view = view
        if not (same and _whole(dx) and _whole(dy)):
            self._origin = QPoint(_SPARE, _SPARE)
            self._damage_all()
            return
        origin = self._origin - QPoint(round(dx), round(dy))
        if not self._layer.rect().contains(QRect(origin, self._size)):
            home = QPoint(_SPARE, _SPARE)
            self._shift(home - origin)
            origin = home
        self._origin = origin

    def _shift(self, by: QPoint) -> None:
        """Shift the layer's pixels; what comes in from beyond its edge must be painted."""
        whole = QRegion(self._layer.rect())
        moved = QPixmap(self._layer.size())
        with QPainter(moved) as painter:
            painter.drawPixmap(by, self._layer)
        self._layer = moved
        kept = whole.translated(by) & whole
        self._dirty = (self._dirty.translated(by) & kept) + (whole - kept)

    def rect(self, box: Box, outreach: float, rise: float) -> QRect:
        """Return a box of the table in dots of the window, with margins as in `Damage`."""
        x1, y1 = self.view.to_screen((box[0], box[3]))
        x2, y2 = self.view.to_screen((box[2], box[1]))
        across, up = math.ceil(outreach) + 2, math.ceil(rise) + 2
        left, top = math.floor(x1) - across, math.floor(y1) - up
        area = QRect(left, top, math.ceil(x2) + across - left + 1, math.ceil(y2) + up - top + 1)
        return area.intersected(self._layer.rect().translated(-self._origin))

    def labels_of(self, hole: Hole) -> QRegion:
        """Return the areas of the border that hold the labels of a hole's column and row."""
        region = QRegion()
        for place in self._border.labels_of(self.view, self.size, hole):
            region += place
        return region

    def plate_in_view(self) -> bool:
        """True if any of the plate is in view."""
        return self._ground.plate(self.view).intersects(self.window)

    # -- painting ------------------------------------------------------------------------------

    def paint(self, painter: QPainter, region: QRegion, over: list[Plot], at: Hole | None) -> None:
        """Paint a region (dots) with a painter that is clipped to it and works in dots."""
        seen = region.boundingRect() & self.window
        if self._zooming and seen == self.window:
            # The next zoom step would invalidate the layer, so it is settled later.
            self._zooming = False
            self._ground.draw(painter, self.view, self.window)
            plots = self._plots(self.view, self.window)
            self._sketched = self.plotter.sketch(painter, plots, self.view)
        else:
            self._repair(region)
            # Box by box: through a clip of many boxes, one picture takes as long as a whole window.
            for box in rects_of(region & self.window):
                painter.setClipRect(box)
                painter.drawPixmap(box.topLeft(), self._layer, box.translated(self._origin))
            painter.setClipping(False)
        self._border.draw(painter, self.view, self.size, region, at)
        self._draw_beyond(painter, region)
        self._place_over(over)
        touched = self._touched(over, region)
        if touched:
            self._draw_over(painter, region, touched)

    def _place_over(self, over: list[Plot]) -> None:
        """Place the words over the plan; they stay there until they or the view change."""
        kept, self._over = self._over, (over, self.view, self._size, self.labels.version)
        same = len(kept[0]) == len(over) and all(map(operator.is_, kept[0], over))
        if not same or kept[1:] != self._over[1:]:
            self.plotter.over = place_over(self.labels, self.plotter, over, self.view, self.size)

    @property
    def over_is_stale(self) -> bool:
        """True if words over the plan were placed among other labels than there are now."""
        return self._over[3] != self.labels.version

    def _draw_beyond(self, painter: QPainter, region: QRegion) -> None:
        """Draw what hangs over the table's edge again, over the addresses there."""
        for place in self._border.beside(self.view, self.size):
            seen = region.boundingRect() & place
            plots = self.items.beyond(_box_of(self.view, seen)) if not seen.isEmpty() else []
            if plots:
                painter.save()
                painter.setClipRegion(region & place)
                self.plotter.repair(painter, plots, self.view, _dots_of(seen))
                painter.restore()

    def _draw_over(self, painter: QPainter, region: QRegion, over: list[Plot]) -> None:
        """Draw what is over the plan; only its words cover addresses at the window's edge."""
        within = _dots_of(region.boundingRect())
        held = QRegion()
        for place in self._border.held(self.view, self.size):
            held += place
        if not held.intersects(region):
            self.plotter.draw(painter, over, self.view, within)
            return
        painter.save()
        painter.setClipRegion(region - held)
        self.plotter.draw(painter, over, self.view, within)
        painter.restore()
        self.plotter.draw_words(painter, over, self.view)

    def _touched(self, over: Iterable[Plot], region: QRegion) -> list[Plot]:
        return [
            plot
            for plot in over
            if plot.box is not None
            and region.intersects(self.rect(plot.box, plot.outreach, plot.rise))
        ]

    def _repair(self, region: QRegion) -> None:
        seen = region.translated(self._origin)
        dirty = self._dirty & seen
        if dirty.isEmpty():
            return
        self._dirty -= dirty
        view = self.view.panned(self._origin.x(), self._origin.y())
        if self.labels.scale != view.scale:
            self.labels.guard(self._border.around(view.scale))
            self.labels.settle(view.scale)
        places = rects_of(dirty)
        bounds = dirty.boundingRect()
        if _area(bounds) <= _LOOSE * sum(map(_area, places)):
            places = [bounds]  # one pass, clipped to the dirty region
        with QPainter(self._layer) as painter:
            for place in places:
                painter.setClipRegion(dirty & place)
                self._draw(painter, view, place)

    def _draw(self, painter: QPainter, view: View, place: QRect) -> None:
        self._ground.draw(painter, view, place)
        self.plotter.repair(painter, self._plots(view, place), view, _dots_of(place))

    def _plots(self, view: View, place: QRect) -> list[Plot]:
        box, reach = _box_of(view, place), 1.0 / view.scale
        things = self.items.within(box, reach)
        if not len(self.contacts):
            return things
        signs, bars = self.contacts.within(box, reach)
        return [*signs, *things, *bars]  # fixed-size drawings come last, signs below names

    def settle(self) -> bool:
        """Bring the layer up to date now, so that the next small change does not have to.

        Return True if the screen shows only a sketch and must be repainted.
        """
        stale = self.labels.scale != self.view.scale
        self._repair(QRegion(self.window))
        sketched, self._sketched = self._sketched, False
        return sketched or stale

    def _damage_all(self) -> None:
        self._dirty = QRegion(self._layer.rect())


def _box_of(view: View, place: QRect) -> Box:
    """Return what of the table is in a rectangle (dots)."""
    x1, y1 = view.to_table((place.left(), place.bottom() + 1))
    x2, y2 = view.to_table((place.right() + 1, place.top()))
    return (x1, y1, x2, y2)


def _dots_of(place: QRect) -> Box:
    return (place.left(), place.top(), place.right() + 1, place.bottom() + 1)


def _layer(size: QSize) -> QPixmap:
    return QPixmap(size.width() + 2 * _SPARE, size.height() + 2 * _SPARE)


def _area(rect: QRect) -> int:
    return rect.width() * rect.height()


def _whole(step: float) -> bool:
    return abs(step - round(step)) < 1e-6


def rects_of(region: QRegion) -> list[QRect]:
    """Return the rectangles of a region; none overlap."""
    return [QRect(part) for part in region]  # type: ignore[attr-defined]  # missing in its types
