"""The weldment's list in a real window: stops, where, way up, by keys and clicks."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.edits.weldment import middle, move
from gridjig.geometry.display import Polyline
from gridjig.model import Datum, FaceOf, Hole
from tests.qt.formhands import type_in
from tests.qt.weldmenthands import HAND, aside, corners, heads, opened_at, set_up
from tests.qt.windows import told
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH

ENTER = Qt.Key.Key_Return


# -- stops -----------------------------------------------------------------------------------------


@pytest.mark.source("method", HAND)
def test_the_stops_page_tells_what_is_left_and_draws_it(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page = pane.faces
    assert page.summary.text() == "Lines of faces: 4 on the grid, 4 to pack."
    assert page.long.text().startswith("A: A bottom, front face (proposed")
    assert sum(isinstance(s, Polyline) and s.role == "face" for s in aside(window)) == 2
    QTest.keyClick(page.list, Qt.Key.Key_Down)
    assert sum(isinstance(s, Polyline) and s.role == "selected" for s in aside(window)) >= 1


@pytest.mark.source(
    "method", "the rule e1 + e2 = (-(D + f1 + f2)) mod p, with f the radius of a round pin"
)
def test_the_first_enter_sets_a_stop_after_the_weldment_was_moved(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, move(KEYED["T01"](), 5.0, 7.0), "weldment.where")
    qtbot.waitUntil(pane.layout_page.set.isEnabled)
    before = window.document.job
    QTest.keyClick(pane.layout_page.list, ENTER)
    assert window.document.job is not before
    window.port.do("weldment.faces")
    assert window.focusWidget() is pane.faces.list
    assert pane.faces.set_stop.isEnabled()
    QTest.keyClick(pane.faces.list, ENTER)
    assert len(window.document.job.placements) == 1


def test_another_stop_leaves_something_else(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page = pane.faces
    names = [page.stop_box.box.itemText(k) for k in range(page.stop_box.box.count())]
    pin = next(k for k, name in enumerate(names) if name.startswith("Round pin with"))
    page.stop_box.box.setCurrentIndex(pin)
    page.stop_box.box.activated.emit(pin)
    stop = page.stop()
    assert stop is not None
    assert stop.face == pytest.approx(INCH * 3 / 8)
    # 11-1/2" less 3/8" less 1/8" of packing is 11": a row of holes.
    assert any("pack 1/8" in entry.right for entry in page.list.lines.entries)
    page.class_box.box.setCurrentIndex(3)
    page.class_box.box.activated.emit(3)
    assert page.linear_class() == "D"
    assert page.found is not None
    assert page.found.linear_class == "D"
    assert window.document.can_undo is False


@pytest.mark.expectation(36)
def test_enter_sets_the_stop_that_a_line_names_and_the_next_one_far_from_it(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page, before = pane.faces, window.document.job
    under = page.list.lines.entries[1].under
    assert 'set: fixed stop, two pins, 1/2" face in F8 + E8' in under
    QTest.keyClick(page.list, ENTER)
    (first,) = window.document.job.placements
    assert [seat.hole for seat in first.seats] == [Hole(5, 7), Hole(4, 7)]
    window.workspace.refresh()
    assert "1 piece touches it" in page.list.lines.entries[1].under
    page.set_stop.click()
    _, second = window.document.job.placements
    assert second.seats[0].hole.col == 5
    assert second.seats[0].hole.row - 7 >= 8
    window.document.undo()
    window.document.undo()
    assert window.document.job is before


@pytest.mark.expectation(36)
def test_a_line_of_faces_is_wanted_on_the_grid_by_c(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page = pane.faces
    QTest.keyClick(page.list, Qt.Key.Key_Space)
    assert window.document.undo_name == "Mark a line of faces as critical"
    window.workspace.refresh()
    assert page.critical.isChecked()
    assert any("critical" in head for head in heads(pane))
    page.critical.click()
    assert window.document.job.critical == ()


@pytest.mark.expectation(25, 61)
def test_a_datum_face_is_picked_on_the_sheet(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    pane.faces.pick_long.click()
    canvas = window.workspace.canvas
    assert canvas.tool.name == "edge"
    # The back face of B top, straight up at 35-1/2".
    x, y = canvas.view.to_screen((23.5 * INCH, 35.5 * INCH))
    place = QPoint(round(x), round(y))
    QTest.mouseMove(canvas, place)
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=place)
    assert window.document.job.weldments[0].datum == Datum(long=FaceOf("member-2", 0))
    assert window.document.undo_name == "Choose datum face A"
    window.workspace.refresh()
    assert "chosen" in pane.faces.long.text()
    pane.faces.pick("end")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert window.document.job.weldments[0].datum.end is None
    pane.faces.propose.click()
    assert window.document.job.weldments[0].datum == Datum()


def test_an_edge_that_is_no_face_is_refused(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    pane.faces.pick("end")
    canvas = window.workspace.canvas
    canvas.setFocus()
    canvas.send_to_tool(lambda tool: tool.type("30"))
    assert window.document.job.weldments[0].datum.end is None
    assert "not a straight face" in pane.faces.summary.text()


def test_a_rack_without_a_stop_is_told(qtbot: QtBot) -> None:
    from msgspec import structs

    job = KEYED["T01"]()
    job = structs.replace(job, rack=structs.replace(job.rack, pieces=()))
    _, pane = opened_at(qtbot, job, "weldment.faces")
    assert "has no stop; add one to the rack" in pane.faces.summary.text()
    assert pane.faces.stop() is None
    QTest.keyClick(pane.faces.list, ENTER)


# -- where -----------------------------------------------------------------------------------------


@pytest.mark.expectation(28, 36)
def test_the_weldment_moves_and_turns_as_typed(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    before = window.document.job
    form = pane.layout_page.form
    form.right.setFocus()
    form.right.edit.selectAll()
    QTest.keyClicks(form.right.edit, "-2")
    assert any(isinstance(s, Polyline) and s.role == "ghost" for s in aside(window))
    assert not window.document.can_undo
    QTest.keyClick(form.right.edit, ENTER)
    assert window.document.undo_name == 'Move the weldment by 2" to the left'
    assert form.right.edit.text() == '0"'
    assert corners(window.document.job) == [(round(x - 2, 3), y) for x, y in corners(before)]
    type_in(form.turn, "90")
    assert window.document.undo_name == "Move the weldment by 90°"
    assert middle(window.document.job) == pytest.approx((21.5 * INCH, 23.5 * INCH))
    window.port.do("edit.undo")
    window.port.do("edit.undo")
    assert window.document.job == before
    qtbot.waitUntil(lambda: not pane.layout_page.tasks.busy)


def test_the_weldment_is_not_moved_farther_than_a_file_can_say(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    form = pane.layout_page.form
    form.right.setFocus()
    form.right.edit.selectAll()
    QTest.keyClicks(form.right.edit, "100m")
    QTest.keyClick(form.right.edit, ENTER)
    assert "it must be from" in told(window)
    assert not window.document.can_undo
    qtbot.waitUntil(lambda: not pane.layout_page.tasks.busy)


@pytest.mark.expectation(30)
def test_what_cannot_be_read_moves_nothing(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    type_in(pane.layout_page.form.back, "much")
    assert pane.layout_page.form.back.has_complaint()
    pane.layout_page.form.move_button.click()
    assert not window.document.can_undo
    pane.layout_page.form.back.restore()
    pane.layout_page.form.move_button.click()
    assert "Type how far" in told(window)


@pytest.mark.source("method", HAND)
@pytest.mark.expectation(36, 61, 102)
def test_a_place_is_shown_while_highlighted_and_set_by_enter(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T08"](), "weldment.where")
    page = pane.layout_page
    # The tapered trestle end needs two packings where it lies, one half an inch on.
    assert page.statement.text().endswith(
        "Lines packed at the best position: 1; at the present one: 2."
    )
    # The list has the focus and its first line is highlighted: Enter does what it says.
    assert window.focusWidget() is page.list
    assert page.list.current_key() == page.list.lines.entries[0].key
    assert page.list.lines.entries[0].head == '1/2" to the back'
    assert page.set.isEnabled()
    assert sum(isinstance(s, Polyline) and s.role == "ghost" for s in aside(window)) == 5
    before = corners(window.document.job)
    QTest.keyClick(page.list, ENTER)
    assert window.document.undo_name == 'Put the weldment: 1/2" to the back'
    assert corners(window.document.job) == [(x, round(y + 0.5, 3)) for x, y in before]
    window.workspace.refresh()
    qtbot.waitUntil(lambda: not page.tasks.busy)
    assert page.list.lines.entries[0].head == "As placed"
    page.list.go_first()
    page.set_up()
    assert window.document.undo_count == 1


def test_fewer_ways_round_are_looked_at_if_so_told(qtbot: QtBot) -> None:
    _, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    page = pane.layout_page
    assert "in 8 orientations" in page.statement.text()
    for box, words in ((page.flipped, "in 4 orientations"), (page.turned, "in 1 orientation:")):
        box.setChecked(False)
        qtbot.waitUntil(lambda: not page.tasks.busy)
        assert words in page.statement.text()
    page.inner.setChecked(True)
    qtbot.waitUntil(lambda: not page.tasks.busy)
    assert "one of the 8 lines" in page.statement.text()


# -- way up ----------------------------------------------------------------------------------------


@pytest.mark.source("method", HAND)
def test_the_machine_base_is_best_built_face_down(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T10"](), "weldment.way")
    page = pane.way_up
    assert page.advice.text().startswith("Face down, 5 of 9 parts lie flush")
    assert heads(pane) == ["Face down", "As placed"]
    assert page.hand.text().startswith("● ")
    assert any(isinstance(s, Polyline) and s.role == "ghost" for s in aside(window))
    page.list.setFocus()
    page.list.go_first()
    QTest.keyClick(page.list, ENTER)
    job = window.document.job
    assert window.document.undo_name == "Turn the weldment face down"
    heights = {p.name: (p.z_low / INCH, p.z_high / INCH) for p in job.parts}
    assert heights["F strap"] == pytest.approx((0.0, 0.25))
    assert heights["P1 foot plate"] == pytest.approx((4.0, 4.375))
    window.workspace.refresh()
    assert page.advice.text().startswith("As placed, 5 of 9")


@pytest.mark.source("method", HAND)
def test_the_opposite_hand_takes_its_pieces_with_it(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, set_up("T01"), "weldment.way")
    page = pane.way_up
    page.choice.box.setCurrentIndex(1)
    page.choice.box.activated.emit(1)
    assert page.do.text() == "Make it the opposite hand"
    assert "6 of 6 pieces move" in page.told.text()
    before = {p.id: p.seats for p in window.document.job.placements}
    page.do.click()
    assert window.document.undo_name == "Make the weldment the opposite hand"
    assert {p.id: p.seats for p in window.document.job.placements} != before
    window.workspace.refresh()
    page.axis.box.setCurrentIndex(1)
    page.axis.box.activated.emit(1)
    page.picks.setChecked(False)
    kept = {p.id: p.seats for p in window.document.job.placements}
    page.do.click()
    assert {p.id: p.seats for p in window.document.job.placements} == kept
