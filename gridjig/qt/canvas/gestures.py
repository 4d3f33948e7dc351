"""Turns mouse, wheel, trackpad, touch and drop events into panning, zooming or tool events.

Holds only the gesture in progress, and knows the canvas only as a `Surface`.
"""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
    QEventPoint,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QTouchEvent,
    QWheelEvent,
)

from gridjig.qt.style.metrics import Metrics, PointerMeans
from gridjig.session.document import Document
from gridjig.tools.core.controller import ToolController
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.place_tool import PlaceTool

from .input import PIECE_MIME

_NOTCH = 1.2
_NOTCH_ANGLE = 120.0
_WHEEL_PAN_MM = 12.0


class Surface(Protocol):
    """What gestures need from the plan they act on."""

    @property
    def document(self) -> Document:
        """The document shown."""

    @property
    def tool(self) -> Tool:
        """The active tool."""

    @property
    def metrics(self) -> Metrics:
        """The screen's metrics."""

    def set_tool(self, tool: Tool) -> None:
        """Activate another tool."""

    def send_to_tool(self, act: Callable[[ToolController], object]) -> None:
        """Pass an event to the active tool."""

    def pointer(
        self, place: QPointF, modifiers: Qt.KeyboardModifier, means: PointerMeans = "mouse"
    ) -> Pointer:
        """Return a point of the widget in the form that tools take."""

    def point(self, place: QPointF) -> None:
        """Note where the pointer is."""

    def pan_by(self, dx: float, dy: float) -> None:
        """Shift the view by logical px."""

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point of the widget."""

    def setCursor(self, shape: Qt.CursorShape, /) -> None:
        """Set the shape of the pointer."""

    def setFocus(self, reason: Qt.FocusReason, /) -> None:
        """Take the focus."""


class Gestures:
    """The gesture in progress on one surface."""

    def __init__(self, canvas: Surface) -> None:
        self._canvas = canvas
        self.wheel_zooms = True
        self._pan_from: QPointF | None = None
        self._space = False
        self._pressed = False
        self._touches = 0
        self._fingers: tuple[QPointF, QPointF] | None = None
        self._hovers: QPointF | None = None  # where the pointer rests, unless keys were used since
        self._resting: Tool | None = None  # the tool to return to after a piece is dragged in

    def drop(self) -> None:
        """Abandon the gesture in progress."""
        self._pan_from = None
        self._pressed = False

    # -- mouse ---------------------------------------------------------------------------------

    def press(self, event: QMouseEvent) -> None:
        """Handle a button press."""
        place = event.position()
        middle = event.button() == Qt.MouseButton.MiddleButton
        primary = event.button() == Qt.MouseButton.LeftButton
        if middle or (primary and self._space):
            self._pan_from = place
            self.show_hand()
        elif primary:
            self._pressed = True
            pointer = self._canvas.pointer(place, event.modifiers())
            self._canvas.send_to_tool(lambda controller: controller.press(pointer))
        else:
            event.ignore()

    def move(self, event: QMouseEvent) -> None:
        """Handle a mouse move."""
        place = event.position()
        if self._pan_from is not None:
            step = place - self._pan_from
            self._pan_from = place
            self._canvas.pan_by(step.x(), step.y())
            return
        self._hovers = place
        pointer = self._canvas.pointer(place, event.modifiers())
        self._canvas.send_to_tool(lambda controller: controller.move(pointer))
        self._canvas.point(place)

    def gone(self) -> None:
        """The pointer has left the plan, or the keys now say where things go."""
        self._hovers = None

    def hover_again(self) -> None:
        """Tell another tool where the pointer rests: there the next click will be."""
        if self._hovers is not None:
            pointer = self._canvas.pointer(self._hovers, Qt.KeyboardModifier.NoModifier)
            self._canvas.send_to_tool(lambda controller: controller.move(pointer))

    def release(self, event: QMouseEvent) -> None:
        """Handle a button release."""
        if self._pan_from is not None:
            self._pan_from = None
            self.show_hand()
        elif self._pressed and event.button() == Qt.MouseButton.LeftButton:
            self._pressed = False
            pointer = self._canvas.pointer(event.position(), event.modifiers())
            self._canvas.send_to_tool(lambda controller: controller.release(pointer))

    # -- Space ---------------------------------------------------------------------------------

    def key_press(self, event: QKeyEvent) -> bool:
        """Prepare to pan if the key is Space; True if it was."""
        if event.key() != Qt.Key.Key_Space or event.modifiers():
            return False
        if not event.isAutoRepeat():
            self._space = True
            self.show_hand()
        return True

    def key_release(self, event: QKeyEvent) -> bool:
        """End panning if the key is Space; True if it was."""
        if event.key() != Qt.Key.Key_Space:
            return False
        if not event.isAutoRepeat():
            self.space_up()
        return True

    def space_up(self) -> None:
        """End panning with Space; also called when the focus is lost."""
        self._space = False
        self.show_hand()

    def show_hand(self) -> None:
        """Set the pointer's shape to show what the primary button would do."""
        if self._pan_from is not None:
            self._canvas.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif self._space:
            self._canvas.setCursor(Qt.CursorShape.OpenHandCursor)
        else:
            cross = self._canvas.tool.name not in ("select", "tool")
            shape = Qt.CursorShape.CrossCursor if cross else Qt.CursorShape.ArrowCursor
            self._canvas.setCursor(shape)

    # -- wheel, trackpad, fingers, drops -------------------------------------------------------

    def take(self, event: QEvent) -> bool:
        """Handle a wheel, gesture, touch or drop event; False if it is none of these."""
        if isinstance(event, QWheelEvent):
            self._wheel(event)
        elif isinstance(event, QNativeGestureEvent):
            return self._native(event)
        elif isinstance(event, QTouchEvent):
            self._touch(event)
        elif event.type() == QEvent.Type.DragLeave:
            self._drag_left()
        elif isinstance(event, QDropEvent):
            return self._dragged(event)
        else:
            return False
        event.accept()
        return True

    def _wheel(self, event: QWheelEvent) -> None:
        fine, coarse = event.pixelDelta(), event.angleDelta()
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if not ctrl and not fine.isNull():
            self._canvas.pan_by(fine.x(), fine.y())
        elif ctrl or self.wheel_zooms:
            # On some systems Alt turns wheel movement sideways.
            turned = coarse.y() or coarse.x()
            self._canvas.zoom_by(_NOTCH ** (turned / _NOTCH_ANGLE), event.position())
        else:
            notch = self._canvas.metrics.px(_WHEEL_PAN_MM) / _NOTCH_ANGLE
            dx, dy = coarse.x() * notch, coarse.y() * notch
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                dx, dy = dy, dx
            self._canvas.pan_by(dx, dy)

    def _native(self, event: QNativeGestureEvent) -> bool:
        kind = event.gestureType()
        if kind == Qt.NativeGestureType.ZoomNativeGesture:
            self._canvas.zoom_by(1.0 + event.value(), event.position())
        elif kind == Qt.NativeGestureType.PanNativeGesture:
            step = event.delta()
            self._canvas.pan_by(step.x(), step.y())
        else:
            return False
        event.accept()
        return True

    def _touch(self, event: QTouchEvent) -> None:
        points = event.points()
        kind = event.type()
        if kind == QEvent.Type.TouchCancel:
            self._cancel_press()
            self._touches, self._fingers = 0, None
            return
        if len(points) >= 2:
            # A second finger ends the tool's gesture.
            self._cancel_press()
            self._touches = max(self._touches, 2)
            self._pinch(points[0].position(), points[1].position())
        elif self._touches < 2:
            self._one_finger(points[0], event.modifiers())
        if len(points) < 2 or any(p.state() == QEventPoint.State.Released for p in points):
            self._fingers = None
        if kind == QEvent.Type.TouchEnd:
            self._touches = 0

    def _one_finger(self, finger: QEventPoint, modifiers: Qt.KeyboardModifier) -> None:
        pointer = self._canvas.pointer(finger.position(), modifiers, "touch")
        if finger.state() == QEventPoint.State.Pressed:
            self._touches = 1
            self._pressed = True
            self._canvas.setFocus(Qt.FocusReason.MouseFocusReason)
            self._canvas.send_to_tool(lambda controller: controller.press(pointer))
            self._canvas.point(finger.position())
        elif finger.state() == QEventPoint.State.Updated:
            self._canvas.send_to_tool(lambda controller: controller.move(pointer))
            self._canvas.point(finger.position())
        elif finger.state() == QEventPoint.State.Released and self._pressed:
            self._pressed = False
            self._canvas.send_to_tool(lambda controller: controller.release(pointer))

    def _pinch(self, one: QPointF, two: QPointF) -> None:
        """Zoom and pan by how far two fingers have moved since the last event."""
        last, self._fingers = self._fingers, (one, two)
        if last is None:
            return
        before, now = (last[0] + last[1]) / 2, (one + two) / 2
        self._canvas.pan_by(now.x() - before.x(), now.y() - before.y())
        was, apart = _apart(*last), _apart(one, two)
        if was > 1 and apart > 1 and was != apart:
            self._canvas.zoom_by(apart / was, now)

    def _cancel_press(self) -> None:
        if self._pressed:
            self._pressed = False
            self._canvas.send_to_tool(lambda controller: controller.key(KeyPress("escape")))

    # -- pieces dragged in from the rack -------------------------------------------------------

    def _dragged(self, event: QDropEvent) -> bool:
        """Handle drag enter, move and drop; ignore drags that carry no piece from the rack."""
        data = event.mimeData()
        if not data.hasFormat(PIECE_MIME):
            return False
        piece_id = bytes(data.data(PIECE_MIME).data()).decode("utf-8", "replace")
        if self._canvas.document.job.rack.find(piece_id) is None:
            return False
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        if isinstance(event, QDragEnterEvent):
            self._resting = self._canvas.tool
            self._canvas.set_tool(PlaceTool(self._canvas.document, piece_id))
        pointer = self._canvas.pointer(event.position(), event.modifiers())
        self._canvas.send_to_tool(lambda controller: controller.move(pointer))
        self._canvas.point(event.position())
        if not isinstance(event, QDragMoveEvent):
            self._canvas.send_to_tool(lambda controller: controller.press(pointer))
            self._canvas.send_to_tool(lambda controller: controller.release(pointer))
            self._canvas.setFocus(Qt.FocusReason.OtherFocusReason)
            self._drag_left()
        return True

    def _drag_left(self) -> None:
        if self._resting is not None:
            resting, self._resting = self._resting, None
            self._canvas.set_tool(resting)


def _apart(a: QPointF, b: QPointF) -> float:
    step = b - a
    return float((step.x() ** 2 + step.y() ** 2) ** 0.5)
