"""With the focus in a form the prompt says what the next key does, also while a refusal stands."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPushButton
from pytestqt.qtbot import QtBot

from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.window.window import Window
from tests.qt.test_fields_of_the_gone import JOB, THINGS
from tests.qt.windows import make_window, on_plan

TYPE, BACK = "Type a value, Enter sets it.", "Ctrl+2 goes back to the plan."
ESC = "Esc brings back the old one"


def form_of(window: Window, ids: tuple[str, ...]) -> CellForm:
    window.document.select(ids)
    window.workspace.refresh()
    QApplication.processEvents()
    return window.workspace.properties.form()


def fields(form: CellForm) -> list[TypedField]:
    return [one for one in form.typed() if one.isVisibleTo(form)]


def enter(field: TypedField, text: str) -> None:
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClicks(field.edit, text)
    QTest.keyClick(field.edit, Qt.Key.Key_Return)
    QApplication.processEvents()


@pytest.mark.expectation(30, 93)
@pytest.mark.parametrize("name", sorted(THINGS))
def test_in_every_field_the_prompt_holds_before_and_after_a_refusal_and_esc(
    qtbot: QtBot, name: str
) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    form = form_of(window, THINGS[name])
    count = len(fields(form))
    assert count >= 2
    tried = 0
    for at in range(count):
        field = fields(form)[at]
        before, job = field.edit.text(), window.document.job
        field.edit.setFocus()
        QApplication.processEvents()
        words = window.entry.hint.words()
        if field.edit is not window.focusWidget() or "note" in words:
            continue
        assert TYPE in words
        assert BACK in words
        assert ESC not in words
        enter(field, "?!")  # no length, no angle, no hole, no count
        if not field.has_complaint():
            window.document.undo()  # a name may be anything
            QApplication.processEvents()
            form = form_of(window, THINGS[name])
            continue
        tried += 1
        assert window.document.job is job
        assert TYPE in window.entry.hint.words()
        assert ESC in window.entry.hint.words()
        assert window.focusWidget() is field.edit
        QTest.keyClick(field.edit, Qt.Key.Key_Escape)
        QApplication.processEvents()
        assert not field.has_complaint()
        assert field.edit.text() == before
        assert TYPE in window.entry.hint.words()
        assert ESC not in window.entry.hint.words()
        assert window.document.job is job
        QTest.keyClick(field.edit, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
        assert window.focusWidget() is window.workspace.canvas
        QApplication.processEvents()
        assert BACK not in window.entry.hint.words()
    assert tried >= 1


@pytest.mark.expectation(93)
def test_space_opens_the_choices_where_the_prompt_says_so(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    opened = 0
    for ids in THINGS.values():
        form = form_of(window, ids)
        for box in form.findChildren(QComboBox):
            if box.isVisible() and box.isEnabled() and not box.isEditable():
                on_plan(qtbot, window)
                box.setFocus()
                qtbot.waitUntil(lambda: "Space opens the choices." in window.entry.hint.words())
                QTest.keyClick(box, Qt.Key.Key_Space)
                assert box.view().isVisible()
                box.hidePopup()
                opened += 1
    assert opened > 3


@pytest.mark.expectation(93)
def test_space_presses_the_button_that_the_prompt_names(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    pressed = 0
    for ids in THINGS.values():
        form = form_of(window, ids)
        for button in form.findChildren(QPushButton):
            if not (button.isVisible() and button.isEnabled()):
                continue
            button.setFocus()
            QApplication.processEvents()
            if window.focusWidget() is not button:
                continue  # it takes no focus: another key or field does the same
            name = button.accessibleName() or button.text()
            assert f"Space presses “{name.split(chr(10))[0]}”" in window.entry.hint.words()
            QTest.keyPress(button, Qt.Key.Key_Space)
            assert button.isDown()
            button.setDown(False)
            pressed += 1
    assert pressed > 3


def test_in_the_menus_the_prompt_tells_of_the_menus(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.menu_bar.setFocus(Qt.FocusReason.MenuBarFocusReason)
    QApplication.processEvents()
    words = window.entry.hint.words()
    assert "Arrow keys go through the menus" in words
    assert BACK not in words
    window.workspace.canvas.setFocus()
    QApplication.processEvents()
    assert "menus" not in window.entry.hint.words()
