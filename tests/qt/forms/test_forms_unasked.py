"""Nothing changes behind the person's back in a form: by wheel, by letters, by the focus."""

from collections.abc import Callable

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.forms.job.repeat_form import RepeatForm
from gridjig.qt.forms.job.sheet_form import SheetForm
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.qt.window.window import Window
from tests.qt.formhands import type_in
from tests.qt.forms.test_large_letters import OPENS, SAMPLE
from tests.qt.window.test_unasked import settle, turn_wheel
from tests.qt.windows import make_window, on_plan

LETTERS = (Qt.Key.Key_M, Qt.Key.Key_B, Qt.Key.Key_S, Qt.Key.Key_A, Qt.Key.Key_9)


def front() -> FormDialog:
    settle()
    modal = QApplication.activeModalWidget()
    shown = [
        w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
    ]
    return modal if isinstance(modal, FormDialog) else shown[-1]


def state(form: QWidget) -> dict[str, object]:
    """What every choice, field and tick of a form says."""
    found: dict[str, object] = {}
    for n, one in enumerate(form.findChildren(QWidget)):
        key = f"{n} {type(one).__name__} {one.accessibleName()}"
        if isinstance(one, QComboBox | QTabBar):
            found[key] = one.currentIndex()
        elif isinstance(one, QLineEdit):
            found[key] = one.text()
        elif isinstance(one, QPlainTextEdit):
            found[key] = one.toPlainText()
        elif isinstance(one, QAbstractButton) and one.isCheckable():
            found[key] = one.isChecked()
    return found


def close_all() -> None:
    for one in QApplication.topLevelWidgets():
        if isinstance(one, FormDialog):
            one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
            one.done(0)
            one.deleteLater()


def test_wheel_and_letters_change_nothing_in_any_form(qtbot: QtBot) -> None:
    """The wheel takes no focus; a letter reaches no choice that is not open."""
    window = make_window(qtbot, SAMPLE)
    wheel_too, turned, lettered, boxes, tried = [], [], [], 0, 0
    for name, opens in OPENS.items():
        opens(window)
        form = front()
        before, focus = state(form), form.focusWidget()
        for one in form.findChildren(QWidget):
            if one.isVisible():
                tried += 1
                if one.focusPolicy() == Qt.FocusPolicy.WheelFocus:
                    wheel_too.append(f"{name}: {type(one).__name__} {one.accessibleName()}")
                turn_wheel(one)
        if state(form) != before or form.focusWidget() is not focus:
            turned.append(name)
        for box in form.findChildren(QComboBox):
            if box.isVisible() and box.isEnabled() and not box.isEditable():
                boxes += 1
                at = box.currentIndex()
                for key in LETTERS:
                    QTest.keyClick(box, key)
                if box.currentIndex() != at or box.view().isVisible():
                    lettered.append(f"{name}: {box.accessibleName()}")
        close_all()
    assert tried > 500
    assert boxes > 10
    assert (wheel_too, turned, lettered) == ([], [], [])
    assert window.document.job is SAMPLE


def pressed(qtbot: QtBot, form: FormDialog, words: str) -> None:
    (one,) = [
        b for b in form.findChildren(QPushButton) if b.text().startswith(words) and b.isVisible()
    ]
    qtbot.waitUntil(one.isEnabled, timeout=20_000)
    QTest.mouseClick(one, Qt.MouseButton.LeftButton)


def by_loading(qtbot: QtBot, window: Window) -> None:
    window.port.do("check.loading")
    form = front()
    pressed(qtbot, form, "Later")
    pressed(qtbot, form, "Use this order")


def by_changes(qtbot: QtBot, window: Window) -> None:
    window.document.do(structs.replace(SAMPLE, revision="Q"), "Revise")
    window.port.do("file.changes")
    pressed(qtbot, front(), "Add to the notes")


def by_starter(qtbot: QtBot, window: Window) -> None:
    window.port.do("weldment.starter")
    pressed(qtbot, front(), "Put it on the table")


def by_cut_plate(qtbot: QtBot, window: Window) -> None:
    window.document.do(structs.replace(SAMPLE, placements=()), "Clear")
    window.document.select([SAMPLE.parts[0].id])
    window.port.do("angle.part_plate")
    pressed(qtbot, front(), "Put it on the table")


def by_suggesting(qtbot: QtBot, window: Window) -> None:
    window.document.do(structs.replace(SAMPLE, placements=()), "Clear")
    window.port.do("piece.suggest")
    pressed(qtbot, front(), "Use this set-up")


def by_sheet(_: QtBot, window: Window) -> None:
    """A field of the title block belongs to the job at once."""
    window.port.do("file.sheet")
    form = front()
    assert isinstance(form, SheetForm)
    type_in(form.title_block.fields["title"], "Gate")
    assert window.document.job.title_block.title == "Gate"


def by_repeating(qtbot: QtBot, window: Window) -> None:
    window.port.do("table.repeat")
    form = front()
    assert isinstance(form, RepeatForm)
    box = form.table.box
    box.setCurrentIndex(box.findText("48 x 96 in, 2 in centres, 3/4 in holes"))
    box.activated.emit(box.currentIndex())
    pressed(qtbot, form, "Pick again")


def by_changing_a_piece(qtbot: QtBot, window: Window) -> None:
    window.port.do("rack.form")
    rack = front()
    assert isinstance(rack, RackForm)
    rack.change_piece()
    piece = front()
    assert isinstance(piece, PieceForm)
    piece.tabs.setCurrentIndex(1)
    type_in(piece.facts.owned, "77")
    pressed(qtbot, piece, "Change the piece")
    pressed(qtbot, rack, "Change the rack")
    assert 77 in {one.owned for one in window.document.job.rack.pieces}


ACTS = {
    f.__name__: f
    for f in (
        *(by_loading, by_changes, by_starter, by_cut_plate, by_suggesting),
        *(by_sheet, by_repeating, by_changing_a_piece),
    )
}


OWN_WORDS = (
    "The changes are in the notes of the job.",
    "Cut plate for Bottom rail is on the table and in the rack.",
    "The set-up is picked again. Ctrl+Z undoes it.",
)
"""What forms say themselves of what they have done."""


@pytest.mark.parametrize("act", ACTS.values(), ids=ACTS)
def test_after_a_form_has_acted_the_window_says_so_and_the_plan_has_the_focus(
    qtbot: QtBot, act: Callable[[QtBot, Window], None]
) -> None:
    window = make_window(qtbot, SAMPLE)
    on_plan(qtbot, window)
    window.workspace.placed.list.setFocus()
    window.port.say("Undone: Move the pin.")
    act(qtbot, window)
    settle()
    assert window.document.can_undo
    said = window.entry.said.words()
    assert said in (*OWN_WORDS, f"Done: {window.document.undo_name}. Ctrl+Z undoes it.")
    close_all()
    settle()
    assert window.focusWidget() is window.workspace.canvas
