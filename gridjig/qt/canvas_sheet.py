"""The sheet as pixels: one layer that is repaired where something changed, and moved when panned.

Works in dots.  The layer holds the ground and the things; what changes at every move (a tool's
overlay, the border) is drawn over it and never into it.
"""

import math
from collections.abc import Iterable

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtGui import QFont, QPainter, QPixmap, QRegion

from gridjig.model import Hole, Job
from gridjig.session.desk import Desk
from gridjig.sheets.plan import draw_hole_mark

from .canvas_frame import Border
from .canvas_ground import Ground
from .canvas_view import View
from .items import Items
from .metrics import Metrics
from .painter import Box, Plot, Plotter
from .theme import Theme

_MANY = 12  # more damaged places than this are repaired as one


class Sheet:
    """The layer of one canvas."""

    def __init__(
        self, theme: Theme, metrics: Metrics, dots: float, font: QFont, job: Job, size: QSize
    ) -> None:
        self.dots = dots  # per logical px
        self.plotter = Plotter(theme, metrics.px_per_mm * dots, dots, font)
        self.items = Items(self.plotter)
        self.view = View()
        self._table = job.table
        self._display = job.display
        self._ground = Ground(self.plotter, job.table, draw_hole_mark)
        self._border = Border(self.plotter, job.table, job.display)
        self._layer = QPixmap(size)
        self._dirty = QRegion(self._layer.rect())

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in dots."""
        return (self._layer.width(), self._layer.height())

    # -- what differs --------------------------------------------------------------------------

    def sync(self, desk: Desk, clash: frozenset[str], check: frozenset[str]) -> QRegion:
        """Take over what the desk shows; returns what has to be painted again."""
        job = desk.shown
        if job.table is not self._table:
            self._table = job.table
            self._ground = Ground(self.plotter, job.table, draw_hole_mark)
            self._border = Border(self.plotter, job.table, job.display)
            self._damage_all()
        if job.display is not self._display:
            self._display = job.display
            self._border = Border(self.plotter, job.table, job.display)
        changed = QRegion()
        for damage in self.items.sync(desk, clash, check):
            changed += self.rect(damage.box, damage.outreach)
        self._dirty += changed
        return changed if not self._all_dirty() else QRegion(self._layer.rect())

    def resize(self, size: QSize) -> None:
        """Another size; everything is painted again."""
        if size != self._layer.size():
            self._layer = QPixmap(size)
            self._damage_all()

    def look_at(self, view: View) -> None:
        """Show another part.  A shift by whole dots moves the pixels that are there already."""
        if view == self.view:
            return
        dx, dy = view.left - self.view.left, view.top - self.view.top
        same = view.scale == self.view.scale and not self._all_dirty()
        whole = abs(dx - round(dx)) < 1e-6 and abs(dy - round(dy)) < 1e-6
        self.view = view
        wide, high = self.size
        if not (same and whole) or abs(dx) >= wide or abs(dy) >= high:
            self._damage_all()
            return
        step = QPoint(round(dx), round(dy))
        self._dirty.translate(step)
        # scroll() hands back what it uncovered through its last argument only in C++.
        self._layer.scroll(step.x(), step.y(), self._layer.rect())
        whole_layer = QRegion(self._layer.rect())
        self._dirty = (self._dirty & whole_layer) + (
            whole_layer - QRegion(self._layer.rect().translated(step))
        )

    def rect(self, box: Box, outreach: float) -> QRect:
        """A box of the table in dots, with a margin."""
        x1, y1 = self.view.to_screen((box[0], box[3]))
        x2, y2 = self.view.to_screen((box[2], box[1]))
        margin = math.ceil(outreach) + 2
        left, top = math.floor(x1) - margin, math.floor(y1) - margin
        return QRect(
            left, top, math.ceil(x2) + margin - left + 1, math.ceil(y2) + margin - top + 1
        ).intersected(self._layer.rect())

    def bands(self) -> QRegion:
        """Where the border's bands lie now."""
        region = QRegion()
        for place in self._border.bands(self.view, self.size).values():
            region += place
        return region

    def plate_in_view(self) -> bool:
        """True if any of the plate can be seen."""
        return self._ground.plate(self.view).intersects(self._layer.rect())

    # -- painting ------------------------------------------------------------------------------

    def paint(self, painter: QPainter, part: QRect, over: Iterable[Plot], at: Hole | None) -> None:
        """Paint `part` (dots) on a painter whose units are dots."""
        self._repair()
        painter.drawPixmap(part.topLeft(), self._layer, part)
        self.plotter.draw(painter, over, self.view)
        self._border.draw(painter, self.view, self.size, at)

    def _repair(self) -> None:
        if self._dirty.isEmpty():
            return
        dirty = self._dirty & QRegion(self._layer.rect())
        self._dirty = QRegion()
        places = [dirty.boundingRect()] if dirty.rectCount() > _MANY else rects_of(dirty)
        with QPainter(self._layer) as painter:
            for place in places:
                painter.setClipRect(place)
                self._ground.draw(painter, self.view, place)
                if place == self._layer.rect():
                    plots = self.items.all()
                else:
                    x1, y1 = self.view.to_table((place.left(), place.bottom() + 1))
                    x2, y2 = self.view.to_table((place.right() + 1, place.top()))
                    plots = self.items.within((x1, y1, x2, y2), 1.0 / self.view.scale)
                self.plotter.draw(painter, plots, self.view)

    def _damage_all(self) -> None:
        self._dirty = QRegion(self._layer.rect())

    def _all_dirty(self) -> bool:
        return self._dirty.boundingRect() == self._layer.rect() and self._dirty.rectCount() == 1


def rects_of(region: QRegion) -> list[QRect]:
    """The rectangles of a region, none over another."""
    return [QRect(part) for part in region]  # type: ignore[attr-defined]  # missing in its types
