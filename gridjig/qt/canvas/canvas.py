"""The canvas: it shows the document and passes pointer and keys to the active tool.

It holds no part of the job.  The tool decides what a click means; this only says where it was.
"""

from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from gridjig.checks.finding import SignPlaces
from gridjig.geometry.display import DisplayList
from gridjig.qt.style.metrics import Metrics, PointerMeans
from gridjig.qt.style.theme import Theme
from gridjig.qt.widgets.lifetime import Surroundings
from gridjig.qt.widgets.tips import sent_away
from gridjig.session.document import Document
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.controller import ToolController
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.prompt import Prompt
from gridjig.tools.core.tool import Tool
from gridjig.tools.select.select import SelectTool

from .accessible import install, plan_of
from .gestures import Gestures
from .input import digit_of, key_of, pointer_at
from .place_text import place_text
from .plan_view import PlanView

_NOTCH = 1.2  # zoom factor of one press of a key


class Canvas(PlanView):
    """The plan of the table to work in: one document and one active tool, at first the
    select tool.

    `prompted` carries a new prompt, `said` what an event has done, or nothing once a refusal no
    longer matters.  Prompt and overlay follow the document too, whoever changes it.
    """

    pointed = Signal(str)
    prompted = Signal(object)
    said = Signal(str)
    tool_left = Signal()
    begun = Signal(str)

    def __init__(
        self, document: Document, theme: Theme, metrics: Metrics, parent: QWidget | None = None
    ) -> None:
        self._controller = ToolController(document, SelectTool)
        self._overlay: DisplayList = ()
        self._aside: DisplayList = ()
        self._proof: DisplayList = ()
        self._prompt: Prompt | None = None
        self._busy = False
        self._letters = True
        self._surroundings = Surroundings()
        super().__init__(document, theme, metrics, parent)
        self._gestures = Gestures(self)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAcceptDrops(True)
        install()
        self.setAccessibleName("Plan of the table")
        self.setAccessibleDescription(
            "Pieces and parts on the table. Plus and minus zoom, 0 shows the whole table, 9 the "
            "selection, 1 true size, Space with drag moves the view, Tab leaves the plan. While "
            "something is drawn, digits start its size. The placed list has the same things as "
            "text."
        )

    # -- the active tool -----------------------------------------------------------------------

    def set_document(self, document: Document) -> None:
        """Show another document, fitted to the view and with the select tool active."""
        self._gestures.drop()
        self._controller.close()
        self._controller = ToolController(document, SelectTool)
        super().set_document(document)
        self._after_tool(self._controller.tool)

    @property
    def controller(self) -> ToolController:
        """Return the controller that holds the active tool; send it events through
        `send_to_tool`.
        """
        return self._controller

    @property
    def tool(self) -> Tool:
        """Return the tool that receives pointer and key events."""
        return self._controller.tool

    def set_tool(self, tool: Tool) -> None:
        """Activate another tool; the previous one abandons what it was doing."""
        self._gestures.drop()
        self._controller.take(lambda _: tool)
        self._after_tool(tool)
        self._gestures.show_hand()
        self._gestures.hover_again()

    def set_findings(
        self, clash: Iterable[str], check: Iterable[str], signs: SignPlaces | None = None
    ) -> None:
        """Mark the ids that clash and that need a look, also for screen readers."""
        stops, looks = frozenset(clash), frozenset(check)
        super().set_findings(stops, looks, signs)
        if (told := plan_of(self)) is not None:
            told.mark(stops, looks)

    def look_aside(self, right: int, back: int) -> None:
        """Move the view by so many fifths of its width and height."""
        self.pan_by(-right * self.width() / 5, back * self.height() / 5)

    def set_wheel_zooms(self, zooms: bool) -> None:
        """Set what the plain wheel does: zoom (True) or pan.  With Ctrl it always zooms."""
        self._gestures.wheel_zooms = zooms

    def set_letters(self, on: bool) -> None:
        """Set whether single letters do anything here."""
        self._letters = on

    @property
    def prompt(self) -> Prompt:
        """What the next click or key will do here."""
        return self._controller.prompt

    def send_to_tool(self, act: Callable[[ToolController], object]) -> None:
        """Pass an event to the active tool; the tool controller applies its outcome."""
        before = self._controller.tool
        self._busy = True  # what follows the document waits until the tool is done
        try:
            act(self._controller)
        finally:
            self._busy = False
        self._after_tool(before)

    def _after_tool(self, before: Tool) -> None:
        said = self._controller.said
        self._follow_tool(changed=bool(said))
        if said or self._controller.overtaken:
            self.said.emit(said)
        if self._controller.tool is not before:
            self._gestures.show_hand()
            self.tool_left.emit()

    def _follow_tool(self, changed: bool = False) -> None:
        """Show what the active tool draws and promises now."""
        self._refresh_overlay()
        prompt = self._controller.prompt
        if changed or prompt != self._prompt:
            self._prompt = prompt
            self.prompted.emit(prompt)

    def _desk_changed(self) -> None:
        """Show the job anew, and with it what the tool draws: no arrow stays where a piece was."""
        super()._desk_changed()
        if (told := plan_of(self)) is not None:
            told.follow()
        if not self._busy:
            self._follow_tool()

    def _refresh_overlay(self) -> None:
        drawing = self._controller.overlay()
        if drawing != self._overlay:
            self._overlay = drawing
            self.show_over((*self._proof, *self._aside, *drawing))

    def show_proof(self, drawing: DisplayList) -> None:
        """Show a drawing of what the check found, beneath all others."""
        if drawing != self._proof:
            self._proof = drawing
            self.show_over((*self._proof, *self._aside, *self._overlay))

    def show_aside(self, drawing: DisplayList) -> None:
        """Show a pane's drawing, below what the active tool draws."""
        if drawing != self._aside:
            self._aside = drawing
            self.show_over((*self._proof, *drawing, *self._overlay))

    def _make_plan(self) -> None:
        super()._make_plan()
        self.show_over((*self._proof, *self._aside, *self._overlay))

    def event(self, event: QEvent) -> bool:
        """Handle trackpad and touch gestures; pass everything else on."""
        if hasattr(self, "_gestures") and self._gestures.take(event):
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            event.setAccepted(self.tool.numbers and digit_of(event) != "")
            if event.isAccepted():  # typed for the tool; otherwise digits change the view
                return True
        return super().event(event)

    # -- input from the user -------------------------------------------------------------------

    def pointer(
        self, place: QPointF, modifiers: Qt.KeyboardModifier, means: PointerMeans = "mouse"
    ) -> Pointer:
        """Return a point of the widget in the form that tools take."""
        return pointer_at(place, modifiers, self._view, self._metrics, means)

    def point(self, place: QPointF) -> None:
        """Report the address under the pointer, and mark its column and row."""
        job = self._document.shown
        at = self._view.to_table((place.x(), place.y()))
        table = job.table
        inside = 0 <= at[0] <= table.width and 0 <= at[1] <= table.depth
        self.mark_hole(table.nearest(*at) if inside else None)
        self.pointed.emit(place_text(table, job.display, at))

    def showEvent(self, event: QShowEvent) -> None:
        """Note which screen the canvas is on."""
        super().showEvent(event)
        self._surroundings.note(self)

    def leaveEvent(self, event: QEvent) -> None:
        """Clear the marked column and row."""
        super().leaveEvent(event)
        if self._surroundings.whole():
            self.mark_hole(None)
            self.pointed.emit("")
            self._gestures.gone()
            self.send_to_tool(lambda controller: controller.away())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Primary button: the tool.  Middle button, or Space held: pan."""
        self._gestures.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Handle a hover or a drag."""
        self._gestures.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a click or a drag."""
        self._gestures.release(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Try digits for a drawing tool, then view keys, then the tool; pass the rest to the
        window.
        """
        if sent_away(event):
            return
        digit = digit_of(event) if self.tool.numbers else ""
        if digit:
            self.begun.emit(digit)
            return
        if self._view_key(event) or self._gestures.key_press(event):
            return
        key = key_of(event)
        if key is None or (key.is_letter and not self._letters):
            event.ignore()
        else:
            if key.name in ARROWS:
                self._gestures.gone()
            self.send_to_tool(lambda controller: controller.key(key))

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End panning when Space is released."""
        if not self._gestures.key_release(event):
            event.ignore()

    def _view_key(self, event: QKeyEvent) -> bool:
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        shift = Qt.KeyboardModifier.ShiftModifier
        code = event.key()
        if held not in (Qt.KeyboardModifier.NoModifier, shift):
            return False
        if code == Qt.Key.Key_Plus or (code == Qt.Key.Key_Equal and held != shift):
            self.zoom_by(_NOTCH)
        elif code == Qt.Key.Key_Minus:
            self.zoom_by(1 / _NOTCH)
        elif code == Qt.Key.Key_0 and held == Qt.KeyboardModifier.NoModifier:
            self.fit_table()
        elif code in (Qt.Key.Key_9, Qt.Key.Key_0, Qt.Key.Key_ParenRight, Qt.Key.Key_Equal):
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
        """Remove the focus mark."""
        super().focusOutEvent(event)
        self.update()
        if self._surroundings.whole():
            self._gestures.space_up()
