"""The canvas in a real window: getting about, and handing what the person does to the tool."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QByteArray, QEvent, QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton, QToolTip
from pytestqt.qtbot import QtBot

from gridjig.model import Hole, Section
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.canvas.input import PIECE_MIME
from gridjig.qt.canvas.place_text import place_text
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.tips import TipPlace
from gridjig.session.document import Document
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.tool import Leave, Outcome, Tool
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.select.select import SelectTool
from tests.qt.canvases import LEFT, METRICS, NONE, alike, move, picture, shown, spot
from tests.qt.hands import drag_event
from tests.workshop import EMPTY, TABLE, laid, plate, stop

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)


class Noting(Tool):
    name = "noting"

    def __init__(self, context: Document) -> None:
        super().__init__(context)
        self.got: list[str] = []
        self.last: Pointer | None = None

    def press(self, pointer: Pointer) -> Outcome:
        self.got.append("press")
        self.last = pointer
        return super().press(pointer)

    def move(self, pointer: Pointer) -> Outcome:
        self.got.append("move")
        self.last = pointer
        return super().move(pointer)

    def release(self, pointer: Pointer) -> Outcome:
        self.got.append("release")
        return Leave("Done.")


# -- the tool --------------------------------------------------------------------------------------


@pytest.mark.expectation(11, 13, 23)
def test_a_click_selects_on_release(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    at = spot(canvas, Hole(6, 6))
    QTest.mousePress(canvas, LEFT, NONE, at)
    assert canvas.document.selection == frozenset()
    QTest.mouseRelease(canvas, LEFT, NONE, at)
    assert canvas.document.selection == {"s"}


@pytest.mark.expectation(18, 22)
def test_a_drag_starts_after_four_px_and_esc_puts_it_back(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    job, at = canvas.document.job, spot(canvas, Hole(6, 6))
    QTest.mousePress(canvas, LEFT, NONE, at)
    move(canvas, at + QPoint(3, 0), LEFT)
    assert not canvas.document.previewing
    move(canvas, spot(canvas, Hole(9, 8)), LEFT)
    assert canvas.document.previewing
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    QTest.mouseRelease(canvas, LEFT, NONE, spot(canvas, Hole(9, 8)))
    assert canvas.document.job is job
    assert not canvas.document.can_undo


def test_a_finger_catches_farther_than_the_mouse(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    tool = Noting(canvas.document)
    canvas.set_tool(tool)
    device = QTest.createTouchDevice()
    QTest.touchEvent(canvas, device).press(0, QPoint(200, 200), canvas).commit()
    finger = tool.last
    QTest.touchEvent(canvas, device).move(0, QPoint(230, 200), canvas).commit()
    QTest.touchEvent(canvas, device).release(0, QPoint(230, 200), canvas).commit()
    assert tool.got == ["press", "move", "release"]
    assert finger is not None
    assert (finger.grip, finger.drag_start) == (4.5, 2.7)
    move(canvas, QPoint(200, 200))
    assert finger.table_mm == pytest.approx(METRICS.px_per_mm / canvas.view.scale)


@pytest.mark.expectation(93)
def test_the_tool_s_hint_is_passed_on_and_its_leaving_told(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    heard: list[str] = []
    canvas.said.connect(heard.append)
    canvas.set_tool(Noting(canvas.document))
    assert canvas.cursor().shape() == Qt.CursorShape.CrossCursor
    with qtbot.waitSignal(canvas.tool_left):
        QTest.mouseClick(canvas, LEFT, NONE, QPoint(200, 200))
    assert canvas.tool.name == "select"
    assert "Done." in heard
    assert canvas.cursor().shape() == Qt.CursorShape.ArrowCursor


def test_a_tool_that_breaks_is_put_down_and_the_job_stays(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    class Broken(Tool):
        name = "broken"

        def press(self, pointer: Pointer) -> Outcome:
            raise RuntimeError("no")

    canvas = shown(qtbot)
    job = canvas.document.job
    canvas.set_tool(Broken(canvas.document))
    QTest.mouseClick(canvas, LEFT, NONE, QPoint(200, 200))
    assert canvas.tool.name == "select"
    assert canvas.document.job is job


@pytest.mark.expectation(12, 19, 20)
def test_what_the_tool_draws_over_the_sheet_comes_and_goes(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    move(canvas, QPoint(5, 5))
    before = picture(canvas)
    canvas.set_tool(PlaceTool(canvas.document, "stop"))
    move(canvas, spot(canvas, Hole(12, 10)))
    assert not alike(picture(canvas), before)
    canvas.set_tool(SelectTool(canvas.document))
    move(canvas, QPoint(5, 5))
    assert alike(picture(canvas), before)


@pytest.mark.expectation(20, 33)
def test_the_pointer_s_address_and_offset_are_told(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    heard: list[str] = []
    canvas.pointed.connect(heard.append)
    move(canvas, spot(canvas, Hole(2, 3)))
    assert heard[-1].startswith("C4")
    QApplication.sendEvent(canvas, QEvent(QEvent.Type.Leave))
    assert heard[-1] == ""


@pytest.mark.source("method", "by hand: C4 lies at 150, 200 mm")
def test_a_place_in_words() -> None:
    display = EMPTY.display
    assert place_text(TABLE, display, (150.2, 199.8)) == "C4"
    assert place_text(TABLE, display, (160.0, 197.0)) == "C4 +10 mm −3 mm"


def test_another_desk_can_be_shown(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    old, new = canvas.document, Document(laid(stop("s", 6, 6)))
    before = picture(canvas)
    canvas.set_document(new)
    assert canvas.document is new
    after = picture(canvas)
    assert not alike(after, before)
    old.do(laid(stop("x", 3, 3)), "Place")
    assert alike(picture(canvas), after)


# -- a piece dragged in from the rack --------------------------------------------------------------


def dragging(canvas: Canvas, piece: str) -> Callable[[type[QDropEvent], QPoint], QDropEvent]:
    data = QMimeData()
    data.setData(PIECE_MIME, QByteArray(piece.encode()))

    def send(kind: type[QDropEvent], at: QPoint) -> QDropEvent:
        event = drag_event(kind, at, data)
        QApplication.sendEvent(canvas, event)
        return event

    send.data = data  # type: ignore[attr-defined]
    return send


@pytest.mark.expectation(26)
def test_a_piece_dragged_from_the_rack_lands_where_it_is_dropped(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    send = dragging(canvas, "stop")
    assert send(QDragEnterEvent, spot(canvas, Hole(3, 3))).isAccepted()
    assert canvas.tool.name == "place"
    send(QDragMoveEvent, spot(canvas, Hole(8, 7)))
    send(QDropEvent, spot(canvas, Hole(8, 7)))
    assert [p.seats[0].hole for p in canvas.document.job.placements] == [Hole(8, 7)]
    assert canvas.document.undo_count == 1
    assert canvas.tool.name == "select"


def test_a_drag_that_leaves_or_is_no_piece_changes_nothing(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    job, tool = canvas.document.job, canvas.tool
    send = dragging(canvas, "stop")
    send(QDragEnterEvent, spot(canvas, Hole(3, 3)))
    QApplication.sendEvent(canvas, QDragLeaveEvent())
    assert canvas.tool is tool
    other = dragging(canvas, "no-such-piece")
    assert not other(QDragEnterEvent, QPoint(100, 100)).isAccepted()
    assert canvas.tool is tool
    assert canvas.document.job is job


@pytest.mark.expectation(84)
@pytest.mark.parametrize("palette", ["light", "dark"])
def test_other_metrics_and_letters_are_taken_over(qtbot: QtBot, palette: str) -> None:
    canvas = shown(qtbot, laid(plate("o", 300, 400, 300, 200)))
    canvas.set_theme(THEMES[palette])  # type: ignore[index]
    before = picture(canvas)
    canvas.set_metrics(Metrics(4.0, glove=True))
    assert canvas.pointer(QPointF(1, 1), NONE).drag_start == 5.0
    font = canvas.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    canvas.setFont(font)
    assert not alike(picture(canvas), before)


@pytest.mark.expectation(73)
def test_a_finger_hides_no_read_out(qtbot: QtBot) -> None:
    """Where the finger is, is told beside the sheet and at its border, not under the finger."""
    canvas = shown(qtbot, laid(stop("s", 5, 5)))
    told: list[str] = []
    canvas.pointed.connect(told.append)
    device = QTest.createTouchDevice()
    x, y = canvas.view.to_screen(TABLE.at(Hole(3, 4)))
    QTest.touchEvent(canvas, device).press(0, QPoint(round(x), round(y)), canvas).commit()
    assert told[-1].startswith("D5")
    assert canvas._at == Hole(3, 4)
    QTest.touchEvent(canvas, device).release(0, QPoint(round(x), round(y)), canvas).commit()


@pytest.mark.expectation(91)
def test_esc_sends_a_tip_away_and_does_nothing_else(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    canvas.document.select(["s"])
    QToolTip.showText(canvas.mapToGlobal(QPoint(20, 20)), "a tip", canvas)
    assert QToolTip.isVisible()
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.document.selection == {"s"}
    qtbot.waitUntil(lambda: not QToolTip.isVisible())
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.document.selection == frozenset()


@pytest.mark.expectation(12, 93)
def test_a_tool_taken_by_key_begins_where_the_pointer_rests(qtbot: QtBot) -> None:
    """The prompt names the hole that a click would take without any further move."""
    canvas = shown(qtbot)
    move(canvas, spot(canvas, Hole(3, 4)))
    canvas.set_tool(MemberTool(canvas.document, TUBE))
    assert "the hole D5" in canvas.prompt.text()
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    canvas.set_tool(MemberTool(canvas.document, TUBE))
    assert "the hole D5" not in canvas.prompt.text()  # now the keys say where
    move(canvas, spot(canvas, Hole(3, 4)))
    QApplication.sendEvent(canvas, QEvent(QEvent.Type.Leave))
    canvas.set_tool(MemberTool(canvas.document, TUBE))
    assert "the hole D5" not in canvas.prompt.text()


@pytest.mark.expectation(91)
def test_esc_sends_a_tip_away_from_a_button_too(qtbot: QtBot) -> None:
    place = TipPlace()
    qtbot.addWidget(place)
    button = QToolButton(place)
    place.show()
    QToolTip.showText(button.mapToGlobal(QPoint(2, 2)), "a tip", button)
    assert QToolTip.isVisible()
    QTest.keyClick(button, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not QToolTip.isVisible())


@pytest.mark.expectation(6)
def test_the_view_is_moved_by_keys_too(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    (x, y), _ = canvas.view.box(canvas.width(), canvas.height())
    canvas.look_aside(1, 0)
    (right, _), _ = canvas.view.box(canvas.width(), canvas.height())
    assert right - x == pytest.approx(canvas.width() / 5 / canvas.view.scale, abs=1)
    canvas.look_aside(-1, 1)
    (back_x, back), _ = canvas.view.box(canvas.width(), canvas.height())
    assert back_x == pytest.approx(x, abs=1)
    assert back - y == pytest.approx(canvas.height() / 5 / canvas.view.scale, abs=1)
    ways = [one for one in ACTIONS if one.text.startswith("Look to the ")]
    assert sorted(one.keys[0] for one in ways) == ["Alt+Down", "Alt+Left", "Alt+Right", "Alt+Up"]
    assert all(one.on_plan for one in ways)
