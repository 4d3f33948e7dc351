"""The pane of the check in a window: counts, groups, figures; drawings; the motion; the order."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.geometry.display import Polyline
from gridjig.qt.forms.job.loading_form import LoadingForm
from gridjig.qt.panes.lists.findings_pane import FindingsPane
from gridjig.qt.window import proofs
from gridjig.qt.window.window import Window
from gridjig.sheets.drawings.proof_motion import SLIDE
from gridjig.sheets.text.finding_text import LEVEL_WORDS
from tests.proof.layouts import layout
from tests.qt.windows import make_window, told

JOB = layout("T01")
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    made = make_window(qtbot, JOB)
    made.port.do("check.run")
    return made


def pane(window: Window) -> FindingsPane:
    return window.workspace.checks


def test_the_counts_are_at_a_glance_and_the_lamp_says_what_was_looked_at(window: Window) -> None:
    checks = pane(window)
    looks = sum(one.level == "look" for one in checks.findings)
    assert checks.summary.text().startswith(f"{looks} to look at, ")
    assert f"{looks} to look at" in window.status_bar.lamp.text()
    assert "located" in window.status_bar.lamp.toolTip()
    assert "the way out" in window.status_bar.lamp.toolTip()
    assert checks.footnote.text() == "This program plans; it qualifies nothing."
    assert "does not qualify welds, lifts" in checks.footnote.toolTip()


def test_a_click_shows_how_much_against_which_limit_and_from_where(window: Window) -> None:
    checks = pane(window)
    one = next(f for f in checks.findings if f.kind == "inexact")
    checks.mark(one)
    checks.list.chosen.emit(frozenset(one.ids))
    assert "limit" in checks.detail.text()
    assert "ISO 13920" in checks.detail.text()
    assert window.document.selection == set(one.ids)
    before = checks.list.height()
    checks.list.clearSelection()
    checks.list.chosen.emit(frozenset())
    assert "limit" in checks.detail.text() or checks.detail.text()
    assert checks.list.height() == before  # nothing moves as the figures change


def test_several_findings_are_selected_and_copied_with_their_figures(window: Window) -> None:
    checks = pane(window)
    one = next(f for f in checks.findings if f.kind == "inexact")
    checks.mark(one)
    QTest.keyClick(checks.list, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert len(checks.list.chosen_entries()) == 2
    assert checks.detail.text().startswith("2 findings are selected. Click a finding: ")
    window.port.do("edit.copy_list")
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 2
    (copied,) = [line.split("\t") for line in lines if one.what in line]
    assert copied[0] == copied[4] == LEVEL_WORDS[one.level]
    assert copied[3] == one.do
    assert "limit" in copied[6]
    assert copied[7] == one.source
    assert one.source.startswith("ISO 13920, table ")


def test_the_findings_stand_by_member_and_by_kind(window: Window) -> None:
    checks = pane(window)
    heads = []
    for value in ("level", "member", "kind"):
        checks.order.set_value(value)
        checks.order.chosen.emit(value)
        heads.append([e.head for e in checks.list.lines.entries if e.heading])
    assert heads[0] == ["To look at", "Good to know"]
    assert heads[1][:4] == ["A bottom", "B top", "C left", "D right"]
    assert "Loose" in heads[2]


@pytest.mark.parametrize("name", ["motion", "reactions", "errors", "torch", "ways_out"])
def test_a_drawing_is_shown_and_hidden_again(window: Window, name: str) -> None:
    shown: list[int] = []
    window.workspace.proofs.drawn.connect(lambda drawing: shown.append(len(drawing)))
    window.port.do(f"check.show.{name}")
    assert shown[-1] > 0
    assert told(window).startswith("Shown on the plan: ")
    window.port.do(f"check.show.{name}")
    assert shown[-1] == 0
    assert told(window).startswith("No longer on the plan: ")


def test_a_drawing_without_anything_to_draw_says_why(qtbot: QtBot) -> None:
    window = make_window(qtbot, structs.replace(JOB, placements=()))
    window.port.do("check.run")
    window.port.do("check.show.reactions")
    assert told(window).startswith(
        "No stop, pin or arm stands against the work, so no reaction is drawn."
    )


def test_the_motion_is_played_once_and_over(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = window.workspace
    work.proofs._timer.setInterval(1)
    monkeypatch.setattr(proofs, "STEPS", 8)
    seen: list[object] = []
    work.proofs.drawn.connect(seen.append)
    before = window.document.job
    window.port.do("check.play")
    assert work.proofs.playing
    assert told(window).startswith("A bottom moves like this; nothing was found to stop it.")
    qtbot.waitUntil(lambda: not work.proofs.playing)
    assert len(seen) >= 8
    assert seen[-1] == ()
    outlines = [
        s.points
        for drawing in seen
        for s in drawing  # type: ignore[attr-defined]
        if isinstance(s, Polyline) and s.role == "reach"
    ]
    lefts = [min(x for x, _ in ring) for ring in outlines]
    assert len(lefts) == 8
    assert max(lefts) - lefts[0] == pytest.approx(SLIDE)  # there and back, then the other way
    assert min(lefts) - lefts[0] == pytest.approx(-SLIDE)
    assert lefts.index(max(lefts)) < lefts.index(min(lefts))
    assert window.document.job is before


def test_the_loading_order_is_chosen_with_keys_as_one_step(qtbot: QtBot, window: Window) -> None:
    form = LoadingForm(window, window.document, window.appearance)
    qtbot.addWidget(form)
    before = form.order.keys()
    assert len(before) == 4
    form.order.list.setCurrentRow(3)
    QTest.keyClick(form.order.list, Qt.Key.Key_Up, ALT)
    assert form.order.keys() == (before[0], before[1], before[3], before[2])
    assert window.document.job is JOB
    form.apply()
    assert window.document.undo_name == "Change the loading order"
    assert window.document.job.weldments[0].loading == (before[0], before[1], before[3], before[2])
    window.document.undo()
    assert window.document.job is JOB


def test_a_part_is_dragged_to_another_place(qtbot: QtBot, window: Window) -> None:
    form = LoadingForm(window, window.document, window.appearance)
    qtbot.addWidget(form)
    before = form.order.keys()
    rows = form.order.list.model()
    assert rows.moveRow(form.order.list.rootIndex(), 0, form.order.list.rootIndex(), 4)
    form.order.list.dropped.emit()
    assert form.order.keys() == (*before[1:], before[0])
    assert form.order.list.item(0).text().startswith("1. ")
    form.take_proposed()
    assert form.order.keys() == before
