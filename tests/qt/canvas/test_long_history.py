"""What is painted after a long history is what is painted from the job alone.

Random acts (pointer, keys, typed text, tools, edits, undo and redo) are done on one canvas.  A new
canvas that has seen none of them must then look the same, dot for dot, and hold the same things.
"""

from collections.abc import Callable

import numpy as np
import pytest
from msgspec import structs
from PySide6.QtCore import QPoint
from PySide6.QtGui import QPen
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.edits.selection import remove, shift
from gridjig.model import Job
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.paint.marks import HatchMark
from gridjig.qt.style.theme import THEMES, Stroke, Theme
from gridjig.session.document import Document
from gridjig.tools.core.controller import ToolController, ToolMaker
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Tool
from gridjig.tools.select.select import SelectTool
from tests.qt.canvases import METRICS, move, shown
from tests.test_random_actions import Hand, number
from tests.workshop import laid, pin, plate, put, seat, stop

__all__ = ["number"]

START = laid(
    stop("s", 3, 3),
    pin("p", 10, 10),
    put("clamp", "clamp", seat("p", 14, 4), reach=100.0),
    put("arm", "arm", seat("h", 8, 12), seat("a", 10, 12)),
    plate("bar", 600, 600, 200, 40),
)
ACTS, EVERY = 160, 8


class Through:
    """The canvas's controller as the random hand knows it: every event goes through the canvas."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas

    def _send(self, act: Callable[[ToolController], object]) -> None:
        self._canvas.send_to_tool(act)

    def press(self, pointer: Pointer) -> None:
        self._send(lambda c: c.press(pointer))

    def move(self, pointer: Pointer) -> None:
        self._send(lambda c: c.move(pointer))

    def release(self, pointer: Pointer) -> None:
        self._send(lambda c: c.release(pointer))

    def key(self, key: KeyPress) -> None:
        self._send(lambda c: c.key(key))

    def type(self, text: str) -> None:
        self._send(lambda c: c.type(text))

    def take(self, make: ToolMaker) -> Tool:
        self._canvas.set_tool(make(self._canvas.document))
        return self._canvas.tool

    def overlay(self) -> object:
        return self._canvas.controller.overlay()


class CanvasHand(Hand):
    """Does random things on a canvas."""

    def __init__(self, canvas: Canvas, number: int) -> None:
        super().__init__(canvas.document.job, number)
        self.controller.close()
        self.document = canvas.document
        self.controller = Through(canvas)  # type: ignore[assignment]


def picture(canvas: Canvas) -> "np.ndarray[tuple[int, ...], np.dtype[np.uint8]]":
    image = canvas.grab().toImage()
    bits = np.frombuffer(image.constBits(), dtype=np.uint8)
    dots = bits.reshape(image.height(), image.bytesPerLine())
    return dots[3:-3, 12:-12].copy()  # without the frame that shows the focus


def from_the_job_alone(qtbot: QtBot, canvas: Canvas, job: Job, at: QPoint) -> Canvas:
    document = Document(job)
    document.select(canvas.document.selection)
    fresh = Canvas(document, THEMES["light"], METRICS)
    qtbot.addWidget(fresh)
    fresh.resize(canvas.size())
    fresh.show()
    qtbot.waitExposed(fresh)
    fresh.set_view(canvas.view)
    move(fresh, at)
    fresh._settle()  # names are placed when a zoom ends
    return fresh


def require_same(qtbot: QtBot, canvas: Canvas, at: QPoint) -> None:
    fresh = from_the_job_alone(qtbot, canvas, canvas.document.job, at)
    old, new = canvas._sheet.items.items, fresh._sheet.items.items
    assert {i: (o.height, o.box) for i, o in old.items()} == {
        i: (o.height, o.box) for i, o in new.items()
    }
    assert canvas._overlay == fresh._overlay
    assert canvas.prompt == fresh.prompt
    QApplication.processEvents()
    a, b = picture(canvas), picture(fresh)
    off = int((np.abs(a.astype(int) - b.astype(int)) > 8).sum())
    fresh.close()
    fresh.deleteLater()
    assert off == 0, (off, canvas.document.undo_name)


@pytest.fixture
def whole_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """No dashes and no hatches: Qt starts both where it clips a line.

    They therefore depend on where the edges of earlier repaints were, by a few dots.
    """
    made = Theme.make_pen

    def pen(theme: Theme, stroke: Stroke, unit: float = 1.0) -> QPen:
        return made(theme, structs.replace(stroke, dash=()), unit)

    monkeypatch.setattr(Theme, "make_pen", pen)
    monkeypatch.setitem(THEMES, "light", Theme(THEMES["light"].palette))
    monkeypatch.setattr(HatchMark, "draw", lambda *_: None)


@pytest.mark.usefixtures("whole_lines")
def test_a_long_history_leaves_nothing_behind_on_the_plan(qtbot: QtBot, number: int) -> None:
    canvas = shown(qtbot, START, 500, 400)
    canvas.set_tool(SelectTool(canvas.document))
    hand = CanvasHand(canvas, number)
    for n in range(ACTS):
        (hand.edit if hand.chance.random() < 0.3 else hand.hand)()
        document = canvas.document
        assert canvas._overlay == canvas.controller.overlay(), (n, document.undo_name)
        assert canvas._prompt == canvas.prompt, (n, document.undo_name)
        if n % EVERY == 0:
            canvas.set_tool(SelectTool(document))
            at = QPoint(hand.chance.randrange(40, 460), hand.chance.randrange(40, 360))
            move(canvas, at)
            hand.undo()  # by a menu: the tool does not hear of it
            move(canvas, at)
            require_same(qtbot, canvas, at)


@pytest.mark.parametrize("act", ["undo", "delete", "move", "select"])
def test_what_is_done_from_outside_takes_handles_and_arrows_along(qtbot: QtBot, act: str) -> None:
    canvas = shown(qtbot, START, 900, 700)
    document = canvas.document
    document.select(["clamp"])
    tip = document.placed_pieces["clamp"].tip
    assert tip is not None
    x, y = canvas.view.to_screen(tip.at)
    at = QPoint(round(x), round(y))
    move(canvas, at)
    canvas.send_to_tool(lambda controller: controller.type("120 mm"))
    document.select(["clamp"])
    before = canvas._overlay
    assert before
    if act == "undo":
        document.undo()
    elif act == "delete":
        document.do(remove(document.job, {"clamp"}), "Delete")
    elif act == "move":
        document.do(shift(document.job, {"clamp"}, -2, 2), "Move")
    else:
        document.select(["arm"])
    assert canvas._overlay == canvas.controller.overlay() != before
