"""The strips of the drawing tools in the real window, and Enter and Esc in the typed row."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import read_settings
from gridjig.model import Member, Plate
from gridjig.qt.window.focus_words import focus_words
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window, told
from tests.workshop import EMPTY


def enter(window: Window, text: str) -> None:
    window.entry.edit.setFocus()
    window.entry.edit.selectAll()
    QTest.keyClicks(window.entry.edit, text)
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)


def last(window: Window) -> Member:
    part = window.document.job.parts[-1]
    assert isinstance(part, Member)
    return part


def test_section_side_way_up_and_height_are_remembered(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    strip = window.entry.member
    edit = strip.section.lineEdit()
    assert edit is not None
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "30 x 50 x 3")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert strip.section.currentText() == "50x30x3 rectangular tube"
    strip.way_up.setCurrentIndex(1)
    strip.way_up.activated.emit(1)
    strip.lies.setCurrentIndex(1)
    strip.lies.activated.emit(1)
    strip.height_edit.setFocus()
    strip.height_edit.selectAll()
    QTest.keyClicks(strip.height_edit, "25")
    QTest.keyClick(strip.height_edit, Qt.Key.Key_Return)
    assert strip.height_edit.text() == "z 25"
    enter(window, "C3")
    enter(window, "300")
    drawn = last(window)
    assert (drawn.width, drawn.depth, drawn.z_low) == (30.0, 50.0, 25.0)
    assert drawn.line_kept == "right"
    window.port.do("tool.select")
    window.port.do("tool.member")
    assert (strip.way_up.currentIndex(), strip.lies.currentIndex()) == (1, 1)
    assert strip.height_edit.text() == "z 25"
    kept = read_settings()
    assert (kept.section, kept.section_kind) == ("50x30x3", "rectangular tube")
    assert (kept.lies, kept.way_up) == ("left", 90)
    other = make_window(qtbot, EMPTY, kept)
    other.port.do("tool.member")
    assert other.entry.member.section.currentText() == "50x30x3 rectangular tube"
    assert (other.entry.member.way_up.currentIndex(), other.entry.member.lies.currentIndex()) == (
        1,
        1,
    )


def test_several_sections_that_fit_are_named_and_none_is_taken(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    box = window.entry.member.section
    before = box.section
    edit = box.lineEdit()
    assert edit is not None
    edit.selectAll()
    QTest.keyClicks(edit, '2" sq')
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert box.section == before
    assert "fits" in told(window)
    assert "square tube" in told(window)


def test_plates_have_a_strip_with_thickness_and_height(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.rectangle")
    strip = window.entry.plate
    assert strip.isVisible()
    assert (strip.thickness.text(), strip.height_edit.text()) == ("t 10", "z 0")
    strip.thickness.setFocus()
    strip.thickness.selectAll()
    QTest.keyClicks(strip.thickness, "6")
    QTest.keyClick(strip.thickness, Qt.Key.Key_Return)
    enter(window, "C3")
    enter(window, "100 x 50")
    made = window.document.job.parts[-1]
    assert isinstance(made, Plate)
    assert (made.z_low, made.z_high) == (0.0, 6.0)
    window.port.do("tool.select")
    assert not strip.isVisible()
    window.port.do("tool.rectangle")
    assert strip.thickness.text() == "t 6"


def test_places_can_be_typed_from_the_weldment_by_the_strip(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.rectangle")
    enter(window, "300, 200")
    enter(window, "100 x 50")
    origin = window.entry.plate.origin
    origin.setCurrentIndex(1)
    origin.activated.emit(1)
    assert window.document.job.origin == (300.0, 200.0)
    assert origin.currentText() == "from 300 mm, 200 mm"
    enter(window, "10, 10")
    enter(window, "20 x 20")
    assert (window.document.job.parts[-1].x, window.document.job.parts[-1].y) == (310.0, 210.0)
    origin.setCurrentIndex(0)
    origin.activated.emit(0)
    assert window.document.job.origin is None


def test_enter_without_new_text_ends_the_outline_and_one_esc_leaves(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.polygon")
    for corner in ("100, 100", "400, 100", "400, 300"):
        enter(window, corner)
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    assert len(window.document.job.parts) == 1
    assert window.workspace.tool.name == "plate"
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Escape)
    assert window.workspace.tool.name == "select"


@pytest.mark.parametrize("last", ["100, 100", ""])
def test_one_enter_too_many_starts_no_other_run(qtbot: QtBot, last: str) -> None:
    """Neither after a run that closes itself nor after one that Enter has ended."""
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    for point in ("100, 100", "400, 100", "400, 300", last):
        if point:
            enter(window, point)
        else:
            QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    assert len(window.document.job.parts) == (3 if last else 2)
    assert window.entry.edit.text() == ""
    told_before = told(window)
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    assert not window.workspace.tool.in_progress
    assert told(window) == told_before
    enter(window, "600, 100")
    assert window.workspace.tool.in_progress
    assert window.entry.edit.text() == "600, 100"


def test_the_prompt_says_when_enter_ends_what_is_drawn(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    hint = window.entry.hint
    window.port.do("tool.polygon")
    window.entry.take_focus()
    qtbot.waitUntil(lambda: hint.words().startswith("Enter uses what you type, Esc goes"))
    for corner in ("100, 100", "400, 100"):
        enter(window, corner)
    assert "again" not in hint.words()
    enter(window, "400, 300")
    assert "Enter again closes the outline, Esc goes back" in hint.words()
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    assert "again" not in hint.words()
    window.port.do("tool.member")
    window.entry.take_focus()
    enter(window, "100, 500")
    assert "Enter again ends the run, Esc goes back" in hint.words()
    assert not hint.is_cut()


def test_esc_with_nothing_to_leave_only_goes_to_the_sheet(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.entry.edit.setFocus()
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Escape)
    assert window.workspace.tool.name == "select"


def test_a_drawing_tool_takes_the_focus_from_a_field(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.workspace.focus_form()
    window.port.do("tool.member")
    qtbot.waitUntil(window.workspace.canvas.hasFocus)


def test_a_click_into_the_section_lets_the_next_keys_replace_it(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.port.do("tool.member")
    box = window.entry.member.section
    edit = box.lineEdit()
    assert edit is not None
    before = edit.text()
    assert len(before) > 5
    QTest.mouseClick(edit, Qt.MouseButton.LeftButton, pos=edit.rect().center())
    assert edit.selectedText() == before
    focused = QApplication.focusWidget()
    assert focused is box
    QTest.keyClicks(focused, "60x60x3")
    assert edit.text() == "60x60x3"


def test_the_prompt_says_that_the_section_is_typed_and_the_side_is_opened(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    strip = window.entry.member
    said = [focus_words(b, window.workspace, window.entry) for b in (strip.section, strip.lies)]
    assert said == [
        "Type to search the list, Enter takes what you typed. Ctrl+2 goes back to the plan.",
        "Space opens the choices. Ctrl+2 goes back to the plan.",
    ]


def test_while_a_section_is_refused_the_prompt_says_how_to_go_on(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.port.do("tool.member")
    box, said = window.entry.member.section, window.entry.said
    before = box.currentText()
    box.setFocus()
    QTest.keyClicks(box, "60x61x62")
    completer = box.completer()
    assert completer is not None
    popup = completer.popup()
    assert popup is not None
    popup.hide()  # as Enter does
    qtbot.waitUntil(window.isActiveWindow)
    QTest.keyClick(box, Qt.Key.Key_Return)
    QApplication.processEvents()
    assert "60x61x62" in said.words()
    prompt = window.entry.hint.words()
    assert prompt.startswith("Type something else or more, the arrow keys go through the list.")
    assert "Esc brings back the old one." in prompt
    window.activateWindow()  # Enter had opened and closed the list of what was found
    qtbot.waitUntil(window.isActiveWindow)
    QTest.keyClick(box, Qt.Key.Key_Escape)
    QApplication.processEvents()
    assert box.currentText() == before
    assert said.words() == ""
    assert window.entry.hint.words().startswith("Type to search the list, Enter takes")


def test_a_click_into_the_height_lets_the_next_keys_replace_it(qtbot: QtBot) -> None:
    """A 0 typed behind 1/4 would put the member a fortieth of an inch up."""
    window = make_window(qtbot, EMPTY)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.port.do("tool.member")
    edit = window.entry.member.height_edit
    for typed, shown in (("12", "z 12"), ("0", "z 0")):
        window.workspace.canvas.setFocus()
        QTest.mouseClick(edit, Qt.MouseButton.LeftButton, pos=edit.rect().center())
        QTest.keyClicks(edit, typed)
        QTest.keyClick(edit, Qt.Key.Key_Return)
        assert edit.text() == shown
