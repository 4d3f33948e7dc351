"""A live picture of the table in a form, drawn as on the plan: plate, holes, marks, addresses.

It uses the tool that marks holes, so clicks, boxes and keys work as they do on the plan.
"""

import math

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QRegion, QWheelEvent
from PySide6.QtWidgets import QWidget

from gridjig.geometry.display import Circle, DisplayList, Polyline, Symbol
from gridjig.model import Display, Hole, Table
from gridjig.model.labels import address
from gridjig.qt.canvas.border import Border
from gridjig.qt.canvas.input import key_of, pointer_at
from gridjig.qt.canvas.marked_ground import MarkedGround
from gridjig.qt.paint.painter import Plotter, box_of
from gridjig.qt.paint.view import View, fitted
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import tip
from gridjig.session.document import Document
from gridjig.sheets.drawings.plan import box_of_stand, draw_beneath
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.tool import Leave, Outcome, Tool, apply_outcome

_STEP = 1.25


class TablePicture(LivePicture):
    """Shows a draft's table; `hinted` carries what was just done and what the next click does."""

    hinted = Signal(str, str)

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__("Picture of the table", appearance, parent)
        self._document = document
        self._tool: Tool | None = None
        self._zoomed: View | None = None  # in dots; None for the whole table
        self._at: Hole | None = None
        self._over: DisplayList = ()
        self._pan_from: QPointF | None = None
        self._grounds: tuple[Plotter, Table, Display, MarkedGround, Border] | None = None
        self.setMouseTracking(True)

    # -- what is shown ---------------------------------------------------------------------------

    def show_table(self) -> None:
        """Show the draft's table as it is now."""
        job = self._document.shown
        if self._at is not None and not job.table.has(self._at):
            self._at = None
        self.show_drawing(
            tuple(s for placed in self._document.placed_pieces.values() for s in _placed(placed))
        )
        self.update()

    def point_out(self, holes: frozenset[Hole]) -> None:
        """Draw a ring round each of these holes."""
        table = self._document.shown.table
        radius = 0.75 * table.hole_diameter
        self._over = tuple(
            Circle(table.at(hole), radius, "selected") for hole in sorted(holes) if table.has(hole)
        )
        self.update()

    def set_tool(self, tool: Tool | None) -> None:
        """Set the tool; with None the picture is for viewing only."""
        if self._tool is not None:
            apply_outcome(self._document, self._tool.leave("another tool"))
        self._tool = tool
        on = tool is not None
        policy = Qt.FocusPolicy.StrongFocus if on else Qt.FocusPolicy.NoFocus
        self.setFocusPolicy(policy)
        self.setCursor(Qt.CursorShape.CrossCursor if on else Qt.CursorShape.ArrowCursor)
        self.update()

    # -- view ------------------------------------------------------------------------------------

    def _ground(self) -> tuple[MarkedGround, Border]:
        plotter, job = self.plotter(), self._document.shown
        kept = self._grounds
        if kept is None or (kept[0], kept[1], kept[2]) != (plotter, job.table, job.display):
            ground = MarkedGround(plotter, job.table)
            border = Border(plotter, job.table, job.display)
            kept = self._grounds = (plotter, job.table, job.display, ground, border)
        return kept[3], kept[4]

    def view(self) -> View:
        """Return the view, in dots."""
        if self._zoomed is not None:
            return self._zoomed
        table = self._document.shown.table
        wide, high = self.size_in_dots()
        margin = 2.4 * self._ground()[1].band
        return fitted((0.0, 0.0), (table.width, table.depth), wide, high, margin)

    def _view_px(self) -> View:
        return self.view().times(1 / self.dots)

    def zoom(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point, px; zooming out stops at the whole table."""
        place = about or QPointF(self.rect().center())
        view = self.view().zoomed(factor, (place.x() * self.dots, place.y() * self.dots))
        self._zoomed = None
        self._zoomed = view if view.scale > self.view().scale * 1.001 else None
        self.update()

    def show_whole(self) -> None:
        """Show the whole table."""
        self._zoomed = None
        self.update()

    # -- painting --------------------------------------------------------------------------------

    def paint_content(self, painter: QPainter) -> None:
        """Paint the plate, the holes, the tool's drawing and the addresses."""
        wide, high = self.size_in_dots()
        part, view = QRect(0, 0, wide, high), self.view()
        ground, border = self._ground()
        painter.setClipRect(part)
        ground.draw(painter, view, part)
        over = self._over + (self._tool.overlay() if self._tool is not None else ())
        plotter = self.plotter()
        border.draw(painter, view, (wide, high), QRegion(part), self._at)
        plotter.draw(painter, [self.plot(), plotter.plot(over)], view)

    # -- pointer and keys ------------------------------------------------------------------------

    def _tell(self, outcome: Outcome) -> None:
        assert self._tool is not None
        apply_outcome(self._document, outcome)
        self.hinted.emit(outcome.said, self._tool.hint())
        self.update()

    def _pointer(self, event: QMouseEvent) -> Pointer:
        return pointer_at(
            event.position(), event.modifiers(), self._view_px(), self.appearance.metrics
        )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Start a mark or a box with the primary button; pan with the middle one."""
        if event.button() == Qt.MouseButton.MiddleButton:
            self._pan_from = event.position()
        elif event.button() == Qt.MouseButton.LeftButton and self._tool is not None:
            self._tell(self._tool.press(self._pointer(event)))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Highlight the address of the hole near the pointer; continue a pan or a box."""
        if self._pan_from is not None:
            step = (event.position() - self._pan_from) * self.dots
            self._pan_from = event.position()
            self._zoomed = self.view().panned(step.x(), step.y())
            self.update()
            return
        pointer = self._pointer(event)
        table = self._document.shown.table
        at = table.nearest(pointer.x, pointer.y)
        near = math.dist((pointer.x, pointer.y), table.at(at)) <= max(table.pitch_x, table.pitch_y)
        self._at = at if near else None
        self.setToolTip(tip(address(table, at) if near else ""))
        if self._tool is not None:
            self._tell(self._tool.move(pointer))
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Mark the hole, or the holes in the box."""
        if event.button() == Qt.MouseButton.MiddleButton:
            self._pan_from = None
        elif event.button() == Qt.MouseButton.LeftButton and self._tool is not None:
            self._tell(self._tool.release(self._pointer(event)))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        self.zoom(_STEP ** (event.angleDelta().y() / 120), event.position())
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom with plus, minus and 0; other keys go to the tool, an idle Esc to the form."""
        if event.text() in ("+", "="):
            self.zoom(_STEP)
        elif event.text() == "-":
            self.zoom(1 / _STEP)
        elif event.text() == "0":
            self.show_whole()
        elif not self._key_to_tool(event):
            super().keyPressEvent(event)

    def _key_to_tool(self, event: QKeyEvent) -> bool:
        key = key_of(event)
        if self._tool is None or key is None:
            return False
        outcome = self._tool.key(key)
        if isinstance(outcome, Leave) or key.name not in _KEYS:
            return False
        self._tell(outcome)
        self._follow()
        return True

    def _follow(self) -> None:
        """Scroll so that the hole at the keyboard cursor stays in view."""
        assert self._tool is not None
        if self._zoomed is None:
            return
        x1, y1, x2, y2 = box_of(self._tool.overlay()[0])
        x, y = self._zoomed.to_screen(((x1 + x2) / 2, (y1 + y2) / 2))
        wide, high = self.size_in_dots()
        edge = 2.5 * self._ground()[1].band
        dx = min(max(x, edge), wide - edge) - x
        dy = min(max(y, edge), high - edge) - y
        self._zoomed = self._zoomed.panned(dx, dy)


def _placed(placed: PlacedPiece) -> DisplayList:
    """Return a placed piece as hidden lines or, if it no longer fits, as a clash with its sign."""
    box = box_of_stand(placed)
    if placed.fault is None or box is None:
        return draw_beneath(placed)
    rings = (Polyline(s.points, "clash", closed=True) for s in placed.solids if s.role != "handle")
    return (*rings, Symbol((box[2], box[3]), "clash", "clash"))


_KEYS = frozenset({"left", "right", "up", "down", "enter", "space", "escape"})
