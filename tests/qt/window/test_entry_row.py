import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.qt.window.entry_row import EntryRow
from gridjig.qt.window.status_bar import StatusBar
from gridjig.tools.core.prompt import Prompt, esc


@pytest.mark.expectation(9)
def test_the_row_is_as_high_for_every_tool_so_that_the_sheet_does_not_jump(
    qapp: QApplication,
) -> None:
    row = EntryRow()
    row.resize(row.fontMetrics().averageCharWidth() * 290, row.sizeHint().height())
    heights = set()
    for tool in ("select", "place", "plate", "hole", "member", "dimension"):
        row.show_tool(tool)
        heights.add(row.minimumSizeHint().height())
    assert len(heights) == 1
    row.deleteLater()


@pytest.mark.expectation(93)
def test_what_keys_do_elsewhere_is_told_apart_from_the_plan(qtbot: QtBot) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.show_prompt(Prompt(state="Tube 1 is selected.", drag="to move it", keys=(esc(),)))
    row.set_keys("", letters=True)
    assert row.hint.words() == "Tube 1 is selected. Drag to move it. Esc to stop."
    keys = "Arrow keys choose a line. Ctrl+2 goes back to the plan."
    row.set_keys(keys, letters=True)
    assert row.hint.words() == f"{keys} Tube 1 is selected. Drag to move it."
    row.show_prompt(Prompt())
    assert row.hint.words() == keys


@pytest.mark.expectation(84)
def test_with_large_letters_an_empty_message_gives_its_room_to_the_prompt(qtbot: QtBot) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.resize(row.fontMetrics().averageCharWidth() * 80, 60)
    row.show()
    QApplication.processEvents()
    wide = row.hint.width()
    assert not row.said.isVisible()
    row.show_message("The file is saved.")
    QApplication.processEvents()
    assert row.said.isVisible()
    assert row.hint.width() < wide
    row.resize(row.fontMetrics().averageCharWidth() * 150, 60)
    row.show_message("")
    QApplication.processEvents()
    assert row.said.isVisible()  # there it keeps its place


def test_the_lamp_calls_nothing_fine_before_the_first_check(qapp: QApplication) -> None:
    strip = StatusBar(EntryRow())
    assert strip.lamp.text() == "○  CHECK\nnot checked yet"
    strip.deleteLater()


@pytest.mark.expectation(84)
@pytest.mark.parametrize("tool", ["member", "hole"])
def test_what_a_tool_asks_goes_below_where_the_hint_would_have_no_room(
    qtbot: QtBot, tool: str
) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.show()
    row.show_tool(tool)
    asked = row.member if tool == "member" else row.state
    for letters, beside in ((290, True), (80, False), (290, True)):
        row.resize(row.fontMetrics().averageCharWidth() * letters, 60)
        QApplication.processEvents()
        assert (abs(asked.geometry().center().y() - row.out.geometry().center().y()) < 6) == beside
        assert row.hint.width() > row.fontMetrics().averageCharWidth() * 18


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Escape])
def test_typing_that_is_over_is_not_kept_to_be_undone(qtbot: QtBot, key: Qt.Key) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.show_tool("select")
    heard: list[str] = []
    row.typed.connect(heard.append)
    QTest.keyClicks(row.edit, "37.5")
    assert row.edit.isUndoAvailable()
    QTest.keyClick(row.edit, key)
    assert heard == (["37.5"] if key == Qt.Key.Key_Return else [])
    assert row.edit.text() == "".join(heard)
    assert row.edit.selectedText() == "".join(heard)
    assert not row.edit.isUndoAvailable()
    QTest.keyClicks(row.edit, "2")
    assert row.edit.text() == "2"
