"""With the focus on a list, the prompt says what Enter does there, and Enter does it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.qt.panes.weldment.weldment_pane import WeldmentPane
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window, on_plan, press
from tests.trials.keyed import KEYED

ENTER, ESCAPE = Qt.Key.Key_Return, Qt.Key.Key_Escape


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    window = make_window(qtbot, KEYED["T02"]())
    on_plan(qtbot, window)
    return window


def pane(window: Window) -> WeldmentPane:
    return window.workspace.weldment.pane


def prompt(qtbot: QtBot, window: Window, words: str) -> None:
    qtbot.waitUntil(lambda: words in window.entry.hint.words(), timeout=3000)


def test_in_stops_enter_sets_the_stop(qtbot: QtBot, window: Window) -> None:
    window.port.do("weldment.faces")
    view = pane(window).faces.list
    view.setFocus()
    prompt(qtbot, window, "Arrow keys choose a line, Enter sets its stop.")
    before = len(window.document.job.placements)
    press(qtbot, view, ENTER)
    assert len(window.document.job.placements) == before + 1


def test_in_layout_enter_moves_the_weldment(qtbot: QtBot, window: Window) -> None:
    window.port.do("weldment.where")
    page = pane(window).layout_page
    qtbot.waitUntil(lambda: len(page.list.given) > 1 and not page.tasks.busy, timeout=8000)
    page.list.setFocus()
    prompt(qtbot, window, "Enter moves the weldment there.")
    before = window.document.job.parts
    press(qtbot, page.list, Qt.Key.Key_Down)
    press(qtbot, page.list, ENTER)
    assert window.document.job.parts != before


def test_in_joints_enter_goes_to_the_form_of_the_joint(qtbot: QtBot, window: Window) -> None:
    window.port.do("weldment.joints")
    page = pane(window).joints
    page.list.setFocus()
    prompt(qtbot, window, "Enter goes to its form.")
    press(qtbot, page.list, ENTER)
    assert page.form.isAncestorOf(window.focusWidget())


def test_an_empty_list_promises_nothing(qtbot: QtBot, window: Window) -> None:
    work = window.workspace
    work.check_now()
    # What the check finds is put into the list, which must not happen once it is emptied.
    qtbot.waitUntil(lambda: work.checker.answered is window.document.job)
    view = work.placed.list
    view.show_entries((), None)
    view.setFocus()
    prompt(qtbot, window, "The keys go to the pane beside the plan.")


def test_after_a_piece_is_chosen_nothing_still_asks_for_one(qtbot: QtBot, window: Window) -> None:
    window.port.do("tool.place")
    prompt(qtbot, window, "The arrow keys choose a piece, Enter takes it")
    assert "arrow keys" not in window.entry.said.words()
    drawer = window.workspace.drawer.list
    assert window.focusWidget() is drawer
    press(qtbot, drawer, Qt.Key.Key_Down)
    press(qtbot, drawer, ENTER)
    assert window.workspace.tool.name == "place"
    qtbot.waitUntil(lambda: "choose a piece" not in window.entry.hint.words())
    assert "hoose a piece" not in window.entry.said.words()


def test_esc_empties_the_typed_field(qtbot: QtBot, window: Window) -> None:
    row = window.entry
    row.take_focus()
    QTest.keyClicks(row.edit, "H6")
    press(qtbot, row.edit, ESCAPE)
    assert window.focusWidget() is window.workspace.canvas
    assert row.edit.text() == ""
    assert "ignored" not in row.said.words()  # it was meant
