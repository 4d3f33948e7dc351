"""What help says of keys and clicks, done in the window as it is written there."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.model import Hole, Placement
from gridjig.qt.window.window import Window
from tests.qt.windows import CTRL, SHIFT, make_window, on_plan, told
from tests.test_help_claims import topic
from tests.workshop import laid, pin, plate, put, seat, stop

NONE = Qt.KeyboardModifier.NoModifier
JOB = laid(
    stop("s", 6, 6),
    pin("p", 12, 12),
    put("arm", "arm", seat("h", 5, 14), turn=0.0),
    plate("bar", 700, 100, 200, 40),
)


def placed(window: Window, name: str = "s") -> Placement:
    thing = window.document.job.find(name)
    assert isinstance(thing, Placement)
    return thing


def hole(window: Window, name: str = "s") -> Hole:
    return placed(window, name).seats[0].hole


def at(window: Window, name: str) -> QPoint:
    canvas = window.workspace.canvas
    x, y = canvas.view.to_screen(JOB.table.at(hole(window, name)))
    return QPoint(round(x), round(y))


def key(window: Window, code: Qt.Key, held: Qt.KeyboardModifier = NONE) -> None:
    QTest.keyClick(window.workspace.canvas, code, held)
    QApplication.processEvents()


def click(window: Window, name: str, held: Qt.KeyboardModifier = NONE) -> None:
    QTest.mouseClick(window.workspace.canvas, Qt.MouseButton.LeftButton, held, at(window, name))
    QApplication.processEvents()


def by_clicks(window: Window) -> None:
    click(window, "s")
    assert window.document.selection == {"s"}
    click(window, "p", SHIFT)
    assert window.document.selection == {"s", "p"}
    click(window, "s", CTRL)
    assert window.document.selection == {"p"}


def by_arrows(window: Window) -> None:
    click(window, "p")
    key(window, Qt.Key.Key_Right)
    assert hole(window, "p") == Hole(13, 12)
    key(window, Qt.Key.Key_Up, CTRL)
    assert hole(window, "p").row > 13


def by_turning(window: Window) -> None:
    click(window, "s")
    first = window.document.placed_pieces["s"].turn
    key(window, Qt.Key.Key_R)
    assert window.document.placed_pieces["s"].turn != first
    key(window, Qt.Key.Key_R, SHIFT)
    assert window.document.placed_pieces["s"].turn == first
    key(window, Qt.Key.Key_F)
    assert placed(window).flipped


def by_deleting(window: Window) -> None:
    click(window, "s")
    key(window, Qt.Key.Key_Delete)
    assert window.document.job.find("s") is None
    assert QApplication.activeModalWidget() is None
    key(window, Qt.Key.Key_Z, CTRL)
    assert window.document.job is JOB


def by_escape(window: Window) -> None:
    canvas = window.workspace.canvas
    start = at(window, "p")
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, NONE, start)
    for far in (10, 30, 60):
        QTest.mouseMove(canvas, start - QPoint(far, 0))
    assert window.document.previewing
    key(window, Qt.Key.Key_Escape)
    assert not window.document.previewing
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, NONE, start - QPoint(60, 0))
    assert window.document.job is JOB


def by_typing(window: Window) -> None:
    click(window, "p")
    key(window, Qt.Key.Key_T)
    assert window.focusWidget() is window.entry.edit
    QTest.keyClicks(window.entry.edit, "C4")
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    assert hole(window, "p") == Hole(2, 3)


def by_lamp(window: Window) -> None:
    window.port.pages.show("placed")
    window.workspace.check_now()
    window.status_bar.lamp.click()
    assert window.workspace.tabs.currentWidget() is window.workspace.checks
    key(window, Qt.Key.Key_F4)
    assert window.document.selection


def by_drawer_keys(window: Window) -> None:
    before = len(window.document.job.placements)
    key(window, Qt.Key.Key_P)
    drawer = window.workspace.drawer.list
    assert window.focusWidget() is drawer
    QTest.keyClick(drawer, Qt.Key.Key_Down)
    QTest.keyClick(drawer, Qt.Key.Key_Return)
    key(window, Qt.Key.Key_Up)
    key(window, Qt.Key.Key_Left)
    key(window, Qt.Key.Key_Return)
    assert len(window.document.job.placements) == before + 1, told(window)


def by_hiding(window: Window) -> None:
    key(window, Qt.Key.Key_F9)
    assert not window.workspace.drawer.isVisible()
    key(window, Qt.Key.Key_F10)
    assert not window.workspace.side.isVisible()


def by_form(window: Window) -> None:
    click(window, "s")
    form = window.workspace.properties.placement_form
    edit = form.holes[0].edit
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "ZZ9")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert form.holes[0].has_complaint()
    assert window.document.job is JOB
    QTest.keyClick(edit, Qt.Key.Key_Escape)
    assert edit.text() == "G7"


def by_floor(window: Window) -> None:
    key(window, Qt.Key.Key_F12)
    form = QApplication.activeModalWidget()
    assert form is not None
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert QApplication.activeModalWidget() is None
    assert window.document.job is JOB


def by_copying(window: Window) -> None:
    window.port.pages.show("placed")
    view = window.workspace.placed.list
    view.setFocus()
    QApplication.clipboard().setText("nothing")
    QTest.keyClick(view, Qt.Key.Key_C, CTRL)
    assert len(QApplication.clipboard().text().splitlines()) == 4
    click(window, "s")
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_C, CTRL)  # copies the piece as well
    assert "1 copied" in told(window)
    assert "The lines of the list are on the clipboard" in told(window)
    assert "\t" in QApplication.clipboard().text()


TRIED: list[tuple[str, str, Callable[[Window], None]]] = [
    ("select", "Click selects. Shift or Ctrl with a click adds or takes away.", by_clicks),
    ("select", "Arrow keys move by one hole.", by_arrows),
    ("select", "`R` turns to the next position that the holes allow, `Shift+R` back.", by_turning),
    ("select", "Del takes it off the table without asking; `Ctrl+Z` brings it back.", by_deleting),
    ("select", "Esc during a drag puts everything back.", by_escape),
    ("select", "`T` lets you type a hole, an angle or a length.", by_typing),
    ("select", "`Ctrl+C` in a list puts it on the clipboard as a table", by_copying),
    ("select", "the old value stays until you correct it. Enter applies, Esc restores.", by_form),
    ("start", "Press it, and the list leads you to each place.", by_lamp),
    ("start", "find it with the arrow keys, press Enter", by_drawer_keys),
    ("check", "`F4` goes to the next one", by_lamp),
    ("settings", "`F9` hides the rack drawer, `F10` the form and lists.", by_hiding),
    ("sheet", "Nothing can be changed there, and Esc leaves it.", by_floor),
]


@pytest.mark.parametrize(
    ("name", "says", "does"), TRIED, ids=[f"{n}-{d.__name__}" for n, _, d in TRIED]
)
def test_what_help_says_is_what_happens(
    qtbot: QtBot, name: str, says: str, does: Callable[[Window], None]
) -> None:
    assert says in topic(name)
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    does(window)
