"""Hands for the angle pane: opening it, typing, reading its list; and jobs to try it on."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display, Job
from gridjig.qt.panes.angle.angle_pane import AnglePane
from gridjig.qt.window.window import Window
from tests.workshop import laid, pin, plate, put, seat

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
TABLE = ready_tables()["48x48-3/4"]
STRUT = Job(
    name="Strut",
    table=TABLE,
    rack=rack_for(TABLE),
    display=Display(unit="inch fractions", denominator=16),
    parts=(plate("strut", 300, 300, 508, 50),),
)
ARMED = laid(
    put("arm-1", "arm", seat("h", 5, 5), seat("a", 7, 5)),
    pin("pin-1", 15, 15),
    plate("part", 500, 300, 200, 40),
)


def opened(qtbot: QtBot, window: Window, action: str = "angle.find") -> AnglePane:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.port.do(action)
    pane = window.workspace.angle.pane
    qtbot.waitUntil(pane.isVisible)
    return pane


def typed(qtbot: QtBot, pane: AnglePane, text: str) -> None:
    pane.ask.angle.edit.selectAll()
    QTest.keyClicks(pane.ask.angle.edit, text)
    qtbot.waitUntil(lambda: not pane.finder.busy)  # on a busy machine answers come a little later


def aside(window: Window) -> tuple[object, ...]:
    return tuple(window.workspace.canvas._aside)


def heads(pane: AnglePane) -> list[str]:
    return [e.head for e in pane.answers.list.lines.entries]
