"""Holding a face in the window: one pick, a list of what can be set, and moving the weldment."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.contact.book import contacts
from gridjig.model import FaceOf, Job
from gridjig.qt.panes.angle.angle_pane import AnglePane
from gridjig.qt.window.window import Window
from gridjig.sheets.text.angle_text import holes_words
from gridjig.solve.angles.answers import usual_shims
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.faces import faces
from tests.angle.test_moving import gable, roof
from tests.qt.anglehands import LEFT, NONE, opened, typed
from tests.qt.windows import make_window, told

ENTER = Qt.Key.Key_Return


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine must not decide whether a small table is answered at once."""
    monkeypatch.setattr("gridjig.qt.panes.angle.finder.AT_ONCE", 60.0)


def held(qtbot: QtBot, job: Job, of: FaceOf) -> tuple[Window, AnglePane]:
    """The pane with a face held, by a press of the button and a click."""
    window = make_window(qtbot, job)
    pane = opened(qtbot, window)
    assert pane.answers.moves.isHidden()
    pane.ask.hold.click()
    face = next(f for f in faces(job.parts) if f.of == of)
    canvas = window.workspace.canvas
    x, y = canvas.view.to_screen(((face.a[0] + face.b[0]) / 2, (face.a[1] + face.b[1]) / 2))
    QTest.mouseClick(canvas, LEFT, NONE, QPoint(round(x), round(y)))
    return window, pane


def touched(window: Window) -> set[FaceOf]:
    job = window.document.job
    found = contacts(job, PlacedPieces().of(job)).pieces
    return {FaceOf(c.part, c.face.number) for p in found.values() for c in p.contacts if c.touches}


def test_one_pick_takes_angle_limits_and_gap_from_the_face(qtbot: QtBot) -> None:
    of, _ = roof(gable())
    window, pane = held(qtbot, gable(), of)
    found = pane.answers.answers
    assert found is not None
    assert len(found.ranked) > 5
    assert found.wanted.angle_deg == pytest.approx(18.434949, abs=1e-6)
    assert pane.ask.limits.where.value() == "along"
    assert "left rafter" in pane.ask.leg.edit.placeholderText()
    entries = [e for e in pane.answers.list.lines.entries if not e.heading]
    assert len(entries) == len(found.ranked)  # none hides another
    assert all("off the face" in e.under or "touches" in e.under for e in entries[:3])
    assert window.document.can_undo is False


def test_after_the_pick_one_enter_sets_what_the_prompt_names(qtbot: QtBot) -> None:
    of, _ = roof(gable())
    window, pane = held(qtbot, gable(), of)
    answer = pane.answers.highlighted()
    assert answer is not None
    named = holes_words(window.document.job.table, answer.holes)
    qtbot.waitUntil(lambda: f"Enter sets {named}, " in told(window))
    assert pane.answers.list.hasFocus()
    QTest.keyClick(pane.answers.list, ENTER)
    assert {s.hole for p in window.document.job.placements for s in p.seats} == set(answer.holes)


def test_pins_that_take_the_room_of_risers_are_said_when_they_are_set(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Job] = []

    def tight(before: Job, _was: object, after: Job, _now: object) -> str:
        asked.extend((before, after))
        return "No riser fits under it."

    monkeypatch.setattr("gridjig.qt.panes.angle.angle_answers.riser_warning", tight)
    monkeypatch.setattr("gridjig.qt.panes.weldment.faces_page.riser_warning", tight)
    job = gable()
    of, _ = roof(job)
    window, pane = held(qtbot, job, of)
    qtbot.waitUntil(lambda: pane.answers.highlighted() is not None)
    pane.answers.set_up()
    assert ". No riser fits under it." in told(window)
    assert asked == [job, window.document.job]
    window.port.do("weldment.faces")
    page = window.workspace.weldment.pane.faces
    settable = [key for key, search in page.searches.items() if search.setting is not None]
    page.list.go_to(settable[0])
    page.set_up()
    assert ". No riser fits under it." in told(window)
    assert len(asked) == 4


def test_the_shims_allowed_are_those_usual_at_a_face_unless_typed(qtbot: QtBot) -> None:
    of, _ = roof(gable())
    _, pane = held(qtbot, gable(), of)
    assert pane.ask.limits.shims.value() == usual_shims(True) == 5
    pane.ask.limits.hold(None)
    assert pane.ask.limits.shims.value() == usual_shims(False) == 3
    pane.ask.limits.shims.set_value(1)
    pane.ask.hold.click()
    pane.ask.limits.hold(None)
    assert pane.ask.limits.shims.value() == 1


def test_what_the_list_names_is_what_the_plan_shows_and_the_button_sets(qtbot: QtBot) -> None:
    of, _ = roof(gable())
    window, pane = held(qtbot, gable(), of)
    pane.answers.list.setFocus()
    pane.answers.list.go_first()
    for _ in range(4):
        answer = pane.answers.highlighted()
        entry = pane.answers.list.lines.entries[pane.answers.list.currentIndex().row()]
        assert answer is not None
        assert pane.answers.place.text().startswith(f"{entry.head}. The only position")
        assert pane.answers.set.isEnabled()
        before = window.document.job
        QTest.keyClick(pane.answers.list, ENTER)
        after = window.document.job
        came = [p for p in after.placements if p not in before.placements]
        assert {s.hole for p in came for s in p.seats} == set(answer.holes)
        if answer.reaches and max(answer.open_mm) <= 0.05:
            assert of in touched(window)
        window.document.undo()
        assert window.document.job is before
        pane.refresh()
        pane.answers.list.go_to(entry.key)
        QTest.keyClick(pane.answers.list, Qt.Key.Key_Down)


def test_the_weldment_moves_to_the_pins_of_both_rafters_in_one_step(qtbot: QtBot) -> None:
    left, _ = roof(gable())
    window, pane = held(qtbot, gable(), left)
    assert not pane.answers.moves.isHidden()
    assert not pane.answers.back.isEnabled()  # a face has only one place
    assert pane.answers.list.does == "Enter sets it on the table, Esc goes back to the angle"
    before = window.document.job
    pane.answers.moves.click()
    entries = pane.answers.list.lines.entries
    assert entries[0].head == "Move the weldment to touch"
    both = next(e for e in entries if e.right == "both faces touch" and "right rafter" in e.under)
    assert "datum A" in both.under
    pane.answers.list.go_to(both.key)
    assert pane.answers.place.text().startswith("Moves the weldment ")
    does = "Enter moves the weldment there and sets the pins, Esc goes back to the angle"
    assert pane.answers.list.does == does
    qtbot.waitUntil(lambda: does in window.entry.hint.words())
    QTest.keyClick(pane.answers.list, ENTER)
    assert window.document.undo_name.startswith("Move the weldment ")
    assert len(window.document.job.placements) == 4
    assert pane.answers.list.does == "Esc goes back to the angle"  # nothing is highlighted
    assert left in touched(window)
    window.document.undo()
    assert window.document.job is before


def test_another_angle_lets_go_of_the_face(qtbot: QtBot) -> None:
    of, _ = roof(gable())
    _, pane = held(qtbot, gable(), of)
    assert pane.ask.origin.isHidden()
    assert pane.ask.swaps.isHidden()
    typed(qtbot, pane, "30")
    assert pane.ask.limits.where.value() == "table"
    assert pane.answers.moves.isHidden()
    assert not pane.ask.swaps.isHidden()
    found = pane.answers.answers
    assert found is not None
    assert found.wanted.angle_deg == pytest.approx(30.0)
    assert found.limits.along is None
