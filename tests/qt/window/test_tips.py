"""What a tooltip says is also in the row under the plan: under the pointer, and with the focus."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QEnterEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.qt.widgets.labels import LinesLabel
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window

GATE = load_job(samples()["2-harbour-gate"])


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


def turned(window: Window) -> Iterator[str]:
    """Every page of the lists and every kind of form, one after the other."""
    for page in window.workspace.pages:
        window.port.pages.show(page)
        yield page
    for part in range(7):
        window.port.pages.show("weldment", part)
        yield f"weldment {part}"
    for part in range(3):
        window.port.pages.show("angle", part)
        yield f"angle {part}"
    kinds = {GATE.rack.piece(p.piece).kind: p.id for p in GATE.placements}
    for chosen in (*kinds.values(), GATE.parts[0].id, None):
        window.document.select(() if chosen is None else (chosen,))
        window.workspace.show_form()
        yield f"form of {chosen}"
    for tool in ("tool.member", "tool.rectangle", "tool.holes"):
        window.port.do(tool)
        yield tool


def tipped(window: Window) -> list[QWidget]:
    return [w for w in window.findChildren(QWidget) if w.isVisible() and w.toolTip()]


def own_words(widget: QWidget) -> str:
    """What a widget shows or is called by itself."""
    text = getattr(widget, "words" if isinstance(widget, LinesLabel) else "text", str)()
    shown = widget.currentText() if isinstance(widget, QComboBox) else ""
    return f"{text}\n{shown}\n{widget.accessibleName()}"


@pytest.mark.expectation(92)
def test_whatever_a_tip_says_stands_in_the_window_or_in_the_row_under_the_plan(
    qtbot: QtBot,
) -> None:
    window = make_window(qtbot, GATE)
    count: set[str] = set()
    alone = {}
    for where in turned(window):
        settle()
        for widget in tipped(window):
            said = f"{own_words(widget)}\n{widget.statusTip()}"
            count.add(widget.toolTip())
            for line in widget.toolTip().split("\n"):
                bare = line.partition("  (")[0]  # keys stand in the menus and in the sheet of keys
                if bare not in said and bare != "Select it":
                    alone[where, widget.accessibleName()] = line
    assert len(count) > 60
    assert alone == {}


@pytest.mark.expectation(92)
def test_the_row_explains_what_is_under_the_pointer(qtbot: QtBot) -> None:
    window = make_window(qtbot, GATE)
    window.port.pages.show("weldment", 3)
    settle()
    move = window.workspace.weldment.pane.layout_page.set
    about = "Move the weldment to the highlighted position  (Enter)"
    assert move.toolTip() == about
    at = QPointF(move.rect().center())
    QApplication.sendEvent(move, QEnterEvent(at, at, QPointF(move.mapToGlobal(at.toPoint()))))
    assert window.entry.said.words() == about
    assert window.entry.done.text() == "ABOUT"
    QApplication.sendEvent(move, QEvent(QEvent.Type.Leave))
    assert window.entry.said.words() != about


@pytest.mark.expectation(59, 92)
def test_with_the_focus_the_prompt_says_what_a_tip_says(qtbot: QtBot) -> None:
    """Without a pointer: for the keyboard and for gloves, where nothing hovers."""
    window = make_window(qtbot, GATE)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    slanted = next(p for p in GATE.parts if p.name == "Brace")
    window.document.select((slanted.id,))
    settle()
    form = window.workspace.properties.member_form
    length = next(f for f in form.typed() if "≈1060.7 mm" in f.edit.text())
    length.edit.setFocus()
    settle()
    words = window.entry.hint.words()
    assert 'It is ≈1060.7 mm (≈41.758"), 1060.66 mm = 41.75827 in.' in words
    length.edit.selectAll()
    QTest.keyClicks(length.edit, "1000")
    QTest.keyClick(length.edit, Qt.Key.Key_Return)
    settle()
    assert 'It is 1000 mm (≈39.370").' in window.entry.hint.words()
    window.document.undo()
    settle()
    assert "It is ≈1060.7 mm" in window.entry.hint.words()
    window.port.pages.show("weldment", 2)
    critical = window.workspace.weldment.pane.faces.critical
    critical.setFocus()
    settle()
    assert "This line of faces must lie on the grid" in window.entry.hint.words()


def test_a_tool_button_has_the_status_of_its_action(qtbot: QtBot) -> None:
    window = make_window(qtbot, GATE)
    buttons = [b for b in window.row.findChildren(QToolButton) if b.defaultAction()]
    assert len(buttons) > 8
    for one in buttons:
        assert one.statusTip() == one.defaultAction().statusTip() != ""
