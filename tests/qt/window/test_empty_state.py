"""The empty state goes with the first thing on the table, and stays away."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.library.assets import samples
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window
from tests.workshop import EMPTY, laid, pin, plate


def by_piece(window: Window) -> None:
    window.document.do(laid(pin("a", 2, 2), job=window.document.job), "Place a pin")


def by_plate(window: Window) -> None:
    window.document.do(laid(plate("p", 300, 300), job=window.document.job), "Draw a plate")


def by_sample(window: Window) -> None:
    window.file.open_sample(next(iter(samples().values())))


@pytest.mark.expectation(96)
@pytest.mark.parametrize("begin", [by_piece, by_plate, by_sample])
def test_the_empty_state_goes_with_the_first_thing_and_does_not_come_back(
    qtbot: QtBot, begin: Callable[[Window], None]
) -> None:
    """Not after all is deleted, not with another page in front, not in another size."""
    window = make_window(qtbot, EMPTY)
    assert window.start_pages.page is not None
    begin(window)
    qtbot.waitUntil(lambda: window.start_pages.page is None)
    assert window.workspace.placed.list.given
    window.document.select([*(p.id for p in window.document.job.placements),
                            *(p.id for p in window.document.job.parts)])  # fmt: skip
    window.port.do("edit.delete")
    job = window.document.job
    assert not job.placements
    assert not job.parts
    for page in window.workspace.pages:
        window.port.pages.show(page)
        QApplication.processEvents()
        assert window.start_pages.page is None
    window.resize(1000, 700)
    window.port.do("theme.dark")
    window.document.undo()
    window.document.redo()
    QApplication.processEvents()
    assert window.start_pages.page is None


def drawn(window: Window) -> None:
    window.port.do("tool.member")


def taken(window: Window) -> None:
    drawer = window.workspace.drawer
    drawer.list.setFocus()
    QTest.keyClick(drawer.list, Qt.Key.Key_Down)
    QTest.keyClick(drawer.list, Qt.Key.Key_Return)


def left_by_esc(window: Window) -> None:
    focus = window.window().focusWidget()
    assert isinstance(focus, QAbstractButton)
    QTest.keyClick(focus, Qt.Key.Key_Escape)


def gone_to_the_plan(window: Window) -> None:
    window.port.do("go.plan")


@pytest.mark.expectation(96)
@pytest.mark.parametrize(
    ("way", "tool"),
    [(drawn, "member"), (taken, "place"), (left_by_esc, "select"), (gone_to_the_plan, "select")],
)
def test_the_start_page_makes_way_when_the_plan_is_needed(
    qtbot: QtBot, way: Callable[[Window], None], tool: str
) -> None:
    window = make_window(qtbot, EMPTY)
    window.activateWindow()
    assert window.start_pages.page is not None
    way(window)
    assert window.start_pages.page is None
    assert window.workspace.tool.name == tool
    assert window.window().focusWidget() is window.workspace.canvas
    window.port.tools.select()
    assert window.start_pages.page is None
    window.port.do("file.start")
    assert window.start_pages.page is not None
