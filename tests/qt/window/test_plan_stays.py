"""The plan stays where it is: no pane, tool row or verdict moves it by a pixel."""

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QSplitter
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Division, Settings, read_settings
from gridjig.qt.paint.view import View, plate_fitted, still_fitted
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.window.window import Window
from tests.qt.events import settle
from tests.qt.windows import make_window
from tests.trials.keyed import KEYED
from tests.workshop import TABLE

PAGES = ("go.placed", "go.pull", "check.run", "angle.find", "weldment.faces", "weldment.where")
TOOLS = ("tool.member", "tool.dimension", "tool.holes", "tool.select")


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    window = make_window(qtbot, KEYED["T02"]())
    window.resize(1280, 760)
    qtbot.waitUntil(lambda: window.width() == 1280)
    settle()
    return window


def place(window: Window) -> tuple[float, ...]:
    """Where on the window the table's corners are, px."""
    canvas = window.workspace.canvas
    corner = canvas.mapTo(window, QPoint(0, 0))
    table = window.document.job.table
    ends = ((0.0, 0.0), (table.width, table.depth))
    return tuple(
        round(offset + at, 6)
        for end in ends
        for offset, at in zip((corner.x(), corner.y()), canvas.view.to_screen(end), strict=True)
    )


@pytest.mark.expectation(9)
def test_no_list_and_no_tool_moves_the_plan(qtbot: QtBot, window: Window) -> None:
    before = place(window)
    for action in (*PAGES, *TOOLS, *PAGES):
        window.port.do(action)
        settle()
        assert place(window) == before, action


def test_a_row_that_takes_room_below_the_plan_does_not_move_it(
    qtbot: QtBot, window: Window
) -> None:
    """As a tool's row does with larger letters, or in a narrower window."""
    before, high = place(window), window.workspace.canvas.height()
    window.entry.setMinimumHeight(window.entry.height() + 30)
    qtbot.waitUntil(lambda: window.workspace.canvas.height() == high - 30)
    assert place(window) == before
    window.entry.setMinimumHeight(0)
    qtbot.waitUntil(lambda: window.workspace.canvas.height() == high)
    assert place(window) == before


def test_no_verdict_moves_the_row_beside_the_lamp(qtbot: QtBot, window: Window) -> None:
    widths = set()
    for level, words in (
        ("", "nothing to check yet"),
        ("fine", "no overlaps"),
        ("fine", "no overlaps, no gaps"),
        ("fine", "located, held, no gaps"),
        ("fine", "located, held, gaps as accepted"),
        ("look", "1 to look at"),
        ("stop", "1 to fix"),
        ("stop", "12 to fix"),
    ):
        window.status_bar.show_verdict(level, words)
        settle()
        widths.add((window.status_bar.lamp.width(), window.entry.width()))
    assert len(widths) == 1


def test_the_plan_follows_the_window(qtbot: QtBot, window: Window) -> None:
    before = window.workspace.canvas.view.scale
    window.resize(1280, 1000)
    qtbot.waitUntil(lambda: window.workspace.canvas.view.scale > before)
    window.resize(1280, 700)
    qtbot.waitUntil(lambda: window.workspace.canvas.view.scale < before)


def test_a_fitted_view_is_kept_while_the_plate_is_whole_and_could_not_be_larger() -> None:
    metrics, around = Metrics(), 24.0
    view = plate_fitted(TABLE, 700.0, 600.0, metrics)

    def kept(width: float, height: float, seen: View = view) -> bool:
        return still_fitted(seen, TABLE, width, height, metrics, around)

    assert kept(700.0, 600.0)
    right, bottom = view.to_screen((TABLE.width, 0.0))
    assert kept(right + around, bottom + around)
    assert not kept(right + around - 1.0, bottom + around)
    assert not kept(right + around, bottom + around - 1.0)
    assert not kept(1400.0, 1200.0)
    assert not kept(700.0, 600.0, view.panned(-view.to_screen((0.0, 0.0))[0], 0.0))


# -- the division ----------------------------------------------------------------------------------


def drag(splitter: QSplitter, by: int) -> None:
    """Drag a splitter's handle, to the right or down."""
    handle = splitter.handle(1)
    middle = handle.rect().center()
    step = QPoint(by, 0) if splitter.orientation() == Qt.Orientation.Horizontal else QPoint(0, by)
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=middle)
    QTest.mouseMove(handle, middle + step)
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=middle)


def test_how_the_person_divides_the_window_is_remembered(qtbot: QtBot, window: Window) -> None:
    work = window.workspace
    before = (work.outer.sizes()[1], work.side.sizes()[0])
    drag(work.outer, -40)
    drag(work.side, -90)
    now = (work.outer.sizes()[1], work.side.sizes()[0])
    assert now[0] == pytest.approx(before[0] + 40, abs=4)
    assert now[1] == pytest.approx(before[1] - 90, abs=4)
    window.port.do("weldment.faces")
    assert work.outer.sizes()[1] == now[0]
    wide = work.side.sizes()[0]
    assert wide > now[1]  # it needs more room than a list
    drag(work.side, -60)
    lower = work.side.sizes()[0]
    assert lower == pytest.approx(wide - 60, abs=4)
    window.port.do("go.placed")
    window.port.do("angle.find")
    assert work.side.sizes()[0] == pytest.approx(lower, abs=8)
    window.port.do("go.placed")
    assert work.outer.sizes()[1] == now[0]
    assert work.side.sizes()[0] == pytest.approx(now[1], abs=8)  # the form's share, in percent
    qtbot.waitUntil(lambda: window.settings.division.side == now[0])
    kept = read_settings().division
    assert kept.side == now[0]
    assert kept.drawer == 0  # not touched: it still follows the size of the letters
    again = make_window(qtbot, KEYED["T02"](), Settings(division=kept))
    again.resize(1280, 760)
    qtbot.waitUntil(lambda: again.workspace.outer.sizes()[1] == now[0])
    assert again.workspace.side.sizes()[0] == pytest.approx(now[1], abs=8)


@pytest.mark.parametrize("wrong", [{"side": -1}, {"form": 101}, {"drawer": 1e9}, {"left": 3}])
def test_a_division_that_cannot_be_is_refused(wrong: dict[str, float]) -> None:
    assert msgspec.convert({"side": 400, "form": 30}, Division) == Division(side=400, form=30)
    assert Division(form=30).form_by_work == 0
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert(wrong, Division)
