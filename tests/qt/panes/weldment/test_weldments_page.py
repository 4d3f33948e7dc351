"""Several weldments in a real window: the list, the current one, and the other hand beside it."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from gridjig.checks.findings import findings
from gridjig.edits.selection import shift_parts
from gridjig.geometry.display import Polyline
from gridjig.model import Hole, Member
from gridjig.model.by_weldment import parts_of
from gridjig.qt.panes.properties.weldment_cell import A_NEW_ONE, WeldmentCell
from gridjig.qt.panes.weldment.weldment_pane import WeldmentPane
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.window.window import Window
from gridjig.sheets.text.placed_text import verdict
from tests.qt.formhands import type_in
from tests.qt.weldmenthands import aside, heads, opened_at
from tests.qt.windows import make_window, told
from tests.stock import SQUARE, bar
from tests.workshop import TABLE, laid, pin, plate, put, seat, stop

UPRIGHT, ARM = plate("upright", 200, 200, 50, 300), plate("arm", 250, 200, 150, 50)
JOB = laid(UPRIGHT, ARM, pin("held", 2, 7))
ENTER = Qt.Key.Key_Return


def choose(field: Choices, value: object) -> None:
    """Choose a value in a field as a person does."""
    field.set_value(value)
    field.chosen.emit(value)


def test_one_weldment_needs_no_choice(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, JOB, "weldment.list")
    assert pane.chooser.isHidden()
    assert pane.cuts.of.isHidden()
    assert pane.weldments.form.hand.isHidden()
    assert heads(pane) == ["The weldment", "    upright", "    arm"]
    window.document.select(["arm"])
    window.workspace.refresh()
    forms = window.workspace.properties.findChildren(WeldmentCell)
    assert forms
    assert all(cell.isHidden() for cell in forms)


@pytest.mark.source("method", "arithmetic: a column c goes to 2 m - c")
def test_the_other_hand_is_shown_done_and_taken_back(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, JOB, "weldment.list")
    document = window.document
    type_in(pane.weldments.form.name, "LH bracket")
    assert document.job.weldments[0].name == "LH bracket"
    before = document.job
    window.port.do("weldment.beside")
    page = pane.way_up
    assert (page.choice.value(), page.side.value(), page.line.value()) == ("beside", "right", None)
    assert page.told.text() == (
        "RH bracket, with 1 piece, mirrored about the line midway between columns H and I."
    )
    ghosts = [s for s in aside(window) if isinstance(s, Polyline) and s.role == "ghost"]
    assert len(ghosts) >= 2
    assert document.job is before
    page.do.click()
    job = document.job
    assert [(w.name, w.opposite_of) for w in job.weldments] == [
        ("LH bracket", None),
        ("RH bracket", "weldment-1"),
    ]
    assert job.placements[1].seats[0].hole == Hole(13, 7)
    assert document.weldment == job.weldments[1].id
    window.workspace.refresh()
    assert not pane.chooser.isHidden()
    assert pane.current.value() == document.weldment
    document.undo()
    assert document.job is before
    window.workspace.refresh()
    assert pane.chooser.isHidden()


def test_a_chosen_line_tells_what_is_in_the_way(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, laid(pin("other", 11, 6), job=JOB), "weldment.list")
    window.port.do("weldment.beside")
    page = pane.way_up
    choose(page.line, 425.0)
    assert not page.do.isEnabled()
    assert "runs into locating pin" in page.told.text()
    assert "The nearest line where nothing is in the way: " in page.told.text()
    page.do.click()
    assert not window.document.can_undo
    choose(page.side, "left")
    assert page.line.value() is None
    choose(page.choice, "down")
    assert page.side.isHidden()
    assert page.do.isEnabled()


def pair(qtbot: QtBot) -> tuple[Window, WeldmentPane, str]:
    window, pane = opened_at(qtbot, JOB, "weldment.list")
    window.port.do("weldment.beside")
    pane.way_up.do.click()
    return window, pane, window.document.weldment


def test_lists_are_about_the_current_weldment(qtbot: QtBot) -> None:
    window, pane, second = pair(qtbot)
    document = window.document
    window.port.do("weldment.faces")
    faces = pane.faces
    assert "A: upright, right face" in faces.long.text()
    choose(pane.current, "weldment-1")
    window.workspace.refresh()
    assert "A: upright, left face" in faces.long.text()
    assert document.selection == frozenset()
    window.port.do("weldment.joints")
    assert len(heads(pane)) == 1
    assert pane.joints.total.text().startswith("1 joint")
    window.port.do("weldment.cuts")
    cuts = pane.cuts
    assert cuts.total.text().startswith("4 pieces to cut")
    choose(cuts.of, second)
    assert cuts.total.text().startswith("2 pieces to cut")
    window.port.do("weldment.where")
    page = pane.layout_page
    qtbot.waitUntil(lambda: not page.tasks.busy)
    there = parts_of(document.job, second)
    type_in(page.form.back, "50")
    page.form.move_button.click()
    assert parts_of(document.job, second) == there
    assert parts_of(document.job, "weldment-1")[0].y == 250
    assert document.undo_name == "Move Weldment 1 by 50 mm to the back"


def test_new_parts_go_into_the_new_weldment_and_forms_move_them(qtbot: QtBot) -> None:
    window, _ = opened_at(qtbot, JOB, "weldment.list")
    document = window.document
    window.port.do("weldment.new")
    made = document.weldment
    assert made != "weldment-1"
    window.port.do("weldment.new")
    assert len(document.job.weldments) == 2
    drawn = structs.replace(bar(SQUARE, 300), x=600.0, y=600.0)
    document.do(structs.replace(document.job, parts=(*document.job.parts, drawn)), "Draw", ["bar"])
    found = document.job.find("bar")
    assert isinstance(found, Member)
    assert found.weldment == made
    window.workspace.refresh()
    (cell,) = window.workspace.properties.findChildren(WeldmentCell)
    assert not cell.isHidden()
    choose(cell, "weldment-1")
    assert document.undo_name == "Move parts to another weldment"
    assert len(parts_of(document.job, "weldment-1")) == 3
    window.workspace.refresh()
    assert document.weldment == "weldment-1"
    choose(cell, A_NEW_ONE)
    assert len(document.job.weldments) == 3
    document.select(["upright", "arm"])
    window.port.do("weldment.split")
    assert len(document.job.weldments) == 4
    window.port.do("weldment.delete")
    assert len(document.job.weldments) == 3
    assert document.job.find("arm") is None


def test_number_hand_and_duplicate(qtbot: QtBot) -> None:
    window, pane, _ = pair(qtbot)
    document = window.document
    window.port.do("weldment.list")
    page = pane.weldments
    type_in(page.form.quantity, "3")
    assert document.job.weldments[1].quantity == 3
    window.workspace.refresh()
    assert page.total.text().startswith("2 weldments, 4 made in all")
    choose(page.form.hand, None)
    assert document.job.weldments[1].opposite_of is None
    page.list.go_to("weldment weldment-1")
    assert document.weldment == "weldment-1"
    page.duplicate.click()
    assert "Weldment 3 is a copy of Weldment 1, beside it." in told(window)
    assert len(document.job.weldments) == 3
    assert len(parts_of(document.job, document.weldment)) == 2


def test_a_thin_gap_is_accepted_by_a_tick_and_the_amber_ends(qtbot: QtBot) -> None:
    at = TABLE.at(Hole(5, 5))
    job = laid(pin("p", 5, 5), plate("w", at[0] - 50.0, at[1] + 15.4))
    window = make_window(qtbot, job)
    document, form = window.document, window.workspace.properties.placement_form
    document.select(["p"])
    window.workspace.refresh()

    def found() -> set[str]:
        return {f.id for f in findings(document.job, document.placed_pieces)}

    assert "gap/p" in found()
    form.gap.click()
    (placement,) = document.job.placements
    assert placement.accepted_gap == pytest.approx(0.4)
    assert document.undo_name == "Accept the gap"
    assert "gap/p" not in found()
    assert verdict(findings(document.job, document.placed_pieces)) == ("fine", "gaps as accepted")
    window.workspace.refresh()
    assert form.gap.isChecked()
    assert "a gap of 0.4 mm is accepted" in form.freedom.text()
    form.gap.click()
    assert document.job.placements[0].accepted_gap == 0.0
    window.port.do("piece.gap")
    assert document.job.placements[0].accepted_gap == pytest.approx(0.4)
    assert document.undo_name == "Accept the gap of locating pin"
    window.port.do("piece.gap")
    assert document.job.placements[0].accepted_gap == 0.0
    document.do(shift_parts(document.job, {"w"}, 0.0, 5.0), "Move")
    before = document.job
    window.port.do("piece.gap")
    assert document.job is before


def test_a_lock_that_is_trusted_is_told_and_the_amber_ends(qtbot: QtBot) -> None:
    job = laid(put("s", "stop", seat("h1", 3, 3)))
    window = make_window(qtbot, job)
    document = window.document
    document.select(["s"])
    window.workspace.refresh()
    form = window.workspace.properties.placement_form
    assert not form.by_hand.isHidden()
    form.by_hand.click()
    (placement,) = document.job.placements
    assert placement.clamped_by_hand
    assert document.undo_name == "Clamp by hand"
    window.workspace.refresh()
    assert "clamped by hand" in form.freedom.text()
    window.port.do("piece.by_hand")
    assert not document.job.placements[0].clamped_by_hand
    window.port.do("piece.by_hand")
    assert document.job.placements[0].clamped_by_hand
    document.do(laid(stop("s", 3, 3)), "Pin")
    window.workspace.refresh()
    assert form.by_hand.isHidden()
