"""Copies window events into plain pointer and key values, because Qt reuses its events.

No tool ever sees a Qt event, and no Qt event decides what a tool does.
"""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent

from gridjig.qt.paint.view import View
from gridjig.qt.style.metrics import Metrics, PointerMeans
from gridjig.tools.core.pointer import KeyPress, Pointer

PIECE_MIME = "application/x-gridjig-piece"

_NAMES: dict[int, str] = {
    Qt.Key.Key_Escape: "escape",
    Qt.Key.Key_Return: "enter",
    Qt.Key.Key_Enter: "enter",
    Qt.Key.Key_Delete: "delete",
    Qt.Key.Key_Backspace: "backspace",
    Qt.Key.Key_Left: "left",
    Qt.Key.Key_Right: "right",
    Qt.Key.Key_Up: "up",
    Qt.Key.Key_Down: "down",
    Qt.Key.Key_Home: "home",
    Qt.Key.Key_End: "end",
    Qt.Key.Key_PageUp: "page up",
    Qt.Key.Key_PageDown: "page down",
    Qt.Key.Key_Space: "space",
}


def pointer_at(
    place: QPointF,
    modifiers: Qt.KeyboardModifier,
    view: View,
    metrics: Metrics,
    means: PointerMeans = "mouse",
) -> Pointer:
    """Return a point of the canvas (logical px) as a pointer on the table."""
    x, y = view.to_table((place.x(), place.y()))
    shift = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
    ctrl = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
    return Pointer(
        x=x,
        y=y,
        table_mm=metrics.px_per_mm / view.scale,
        grip=metrics.grip(means),
        drag_start=metrics.drag_start(means),
        add=shift or ctrl,
        free=bool(modifiers & Qt.KeyboardModifier.AltModifier),
        fine=shift,
    )


def key_of(event: QKeyEvent) -> KeyPress | None:
    """Return a key as a plain value, or None for a key without a name here (a modifier
    by itself).
    """
    code = event.key()
    name = _NAMES.get(code)
    if name is None and 0x20 < code < 0x7F:
        name = chr(code).lower()
    if name is None:
        return None
    held = event.modifiers()
    return KeyPress(
        name=name,
        shift=bool(held & Qt.KeyboardModifier.ShiftModifier),
        ctrl=bool(held & Qt.KeyboardModifier.ControlModifier),
    )


def digit_of(event: QKeyEvent) -> str:
    """Return the digit that an unmodified key types, on the keypad or above the letters; else an
    empty string.
    """
    held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    plain = held == Qt.KeyboardModifier.NoModifier
    text = event.text()
    return text if plain and text.isascii() and text.isdigit() else ""
