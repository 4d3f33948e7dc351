"""The floor view: large letters, one piece after the other, and nothing there changes the job."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.settings import Settings
from gridjig.model.labels import address
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.forms.job.floor_view import FloorView
from gridjig.qt.window.window import Window
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.sheet import setup_sheet
from tests.qt.windows import opened
from tests.workshop import laid, pin, plate

GATE = load_job(samples()["2-harbour-gate"])
FLOOR = pytest.mark.expectation(75)


def view_in(qtbot: QtBot, window: Window) -> FloorView:
    window.port.do("view.floor")
    form = QApplication.activeModalWidget()
    assert isinstance(form, FloorView)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    form.activateWindow()
    qtbot.waitUntil(form.isActiveWindow)
    return form


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    with opened(qtbot, GATE) as window:
        yield window


@FLOOR
def test_it_goes_through_all_pieces_in_the_order_and_words_of_the_setup_sheet(
    qtbot: QtBot, window: Window
) -> None:
    form = view_in(qtbot, window)
    pages = setup_sheet(GATE, SheetChoices()).pages
    printed = " ".join(text.words for page in pages for text in page.texts)
    seen: list[str] = []
    while True:
        step = form.step
        placement = next(p for p in GATE.placements if p.id == step.placement)
        assert form.count.text() == f"{len(seen) + 1} of {len(GATE.placements)}"
        for seat in placement.seats:
            assert address(GATE.table, seat.hole) in form.holes.text()
        assert GATE.rack.piece(placement.piece).name in form.piece.text()
        for line in (*step.way, *step.setting):
            assert line in form.lines.text()
        assert all(word in printed for word in step.holes)
        assert form.plan.document.selection == {placement.id}
        seen.append(placement.id)
        if not form.next.isEnabled():
            break
        QTest.keyClick(form, Qt.Key.Key_Return)  # the bold button
    assert sorted(seen) == sorted(p.id for p in GATE.placements)
    assert form.focusWidget() is form.previous
    QTest.keyClick(form, Qt.Key.Key_Left)
    assert form.step.placement == seen[-2]
    form.reject()
    assert window.document.selection == frozenset()


@FLOOR
@pytest.mark.parametrize("percent", [100, 200])
def test_its_numbers_are_large(qtbot: QtBot, percent: int) -> None:
    """Three times the letters of the window: capitals of 8 mm, where those are 2.6 mm high."""
    with opened(qtbot, GATE, Settings(text_percent=percent)) as window:
        usual = window.status_bar.lamp.fontMetrics().capHeight()
        form = view_in(qtbot, window)
        sizes = {one: label_height(one) for one in (form.holes, form.count, form.lines)}
        assert sizes[form.holes] >= (3 if percent == 100 else 2) * usual
        assert sizes[form.count] >= 1.5 * usual
        assert sizes[form.lines] >= 1.3 * usual
        assert form.plan.font().pointSizeF() >= 1.3 * 10.0  # the usual letters of this window
        form.reject()


def label_height(label: QLabel) -> int:
    label.ensurePolished()
    return label.fontMetrics().capHeight()


@FLOOR
def test_no_key_no_click_and_no_drag_there_changes_the_job(qtbot: QtBot, window: Window) -> None:
    form = view_in(qtbot, window)
    keys = {key for one in ACTIONS for key in one.keys} - {"F1", "Esc"}
    assert len(keys) > 70
    for key in sorted(keys):
        QTest.keySequence(form.plan, QKeySequence(key))
    x, y = form.plan.view.to_screen(GATE.table.at(GATE.placements[0].seats[0].hole))
    at = QPoint(round(x), round(y))
    QTest.mouseDClick(form.plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
    QTest.mousePress(form.plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
    for far in (10, 40, 90):
        QTest.mouseMove(form.plan, at + QPoint(far, far))
    QTest.mouseRelease(
        form.plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at + QPoint(90, 90)
    )
    assert form.isVisible()
    assert form.plan.document.job is GATE
    assert window.document.job is GATE
    assert not window.document.can_undo
    assert not window.document.modified
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()


@FLOOR
def test_it_says_what_the_check_said_and_that_it_was_not_done(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.port.checks.report() is not None, timeout=20000)
    words = window.status_bar.lamp.text().partition("\n")[2].replace("\n", " ")
    form = view_in(qtbot, window)
    assert form.checked.text().endswith(f"Check: {words}")
    form.reject()
    window.document.do(laid(pin("late", 2, 2), job=GATE), "Place a pin")
    form = view_in(qtbot, window)
    assert form.checked.text() == "The check was not finished when this was opened."
    form.reject()


@FLOOR
def test_parts_alone_have_nothing_to_set(qtbot: QtBot) -> None:
    with opened(qtbot, laid(plate("p", 300, 300))) as window:
        assert window.actions_made.made["view.floor"].isEnabled()
        window.port.do("view.floor")
        assert QApplication.activeModalWidget() is None
        assert "No piece is on the table yet" in window.entry.said.words()


@FLOOR
def test_the_only_piece_has_no_next_and_no_back(qtbot: QtBot) -> None:
    with opened(qtbot, laid(pin("only", 2, 2))) as window:
        form = view_in(qtbot, window)
        assert form.count.text() == "1 of 1"
        assert not form.next.isEnabled()
        assert not form.previous.isEnabled()
        QTest.keyClick(form, Qt.Key.Key_Right)
        assert form.holes.text() == "C3"
        form.reject()
