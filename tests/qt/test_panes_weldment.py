"""The weldment's list in a real window: cuts, joints, stops, where, way up, by keys and clicks."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListView,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.edits.joints import set_welds
from gridjig.edits.weldment import middle
from gridjig.files.settings import Settings
from gridjig.geometry.display import Line, Symbol, Ticks
from gridjig.geometry.parts import part_ring
from gridjig.model import Datum, FaceOf, Job
from gridjig.qt.panes.weldment import WeldmentPane
from gridjig.qt.window import Window
from gridjig.solve.welds import welded
from tests.qt.formhands import type_in
from tests.qt.windows import Answers, make_window
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, empty, load, with_stop

HAND = "trial weldments, reckoned by hand"
KEYS = {
    "weldment.cuts": (Qt.Key.Key_6, 0),
    "weldment.joints": (Qt.Key.Key_7, 1),
    "weldment.faces": (Qt.Key.Key_8, 2),
    "weldment.where": (Qt.Key.Key_9, 3),
}
CTRL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


def set_up(trial: str) -> Job:
    job = KEYED[trial]()
    for stop in load(trial)["stops"]:
        job = with_stop(job, stop)
    return job


def opened_at(qtbot: QtBot, job: Job, action: str) -> tuple[Window, WeldmentPane]:
    window = make_window(qtbot, job)
    window.commands.do(action)
    pane = window.work.weldment.pane
    if action == "weldment.where":
        qtbot.waitUntil(lambda: not pane.where.errands.busy)
    return window, pane


def aside(window: Window) -> tuple[object, ...]:
    return window.work.canvas._aside


def heads(pane: WeldmentPane) -> list[str]:
    entries = pane.page.list.lines.entries  # type: ignore[attr-defined]
    return [entry.head for entry in entries]


def corners(job: Job) -> list[tuple[float, float]]:
    return sorted(
        (round(x / INCH, 3), round(y / INCH, 3))
        for part in job.outlines
        for x, y in part_ring(part)
    )


# -- getting there ---------------------------------------------------------------------------------


@pytest.mark.expectation(61, 64)
def test_each_page_has_a_key_and_takes_the_side(qtbot: QtBot) -> None:
    window = make_window(qtbot, KEYED["T01"]())
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    for key, page in KEYS.values():
        QTest.keyClick(window, key, CTRL)
        pane = window.work.weldment.pane
        assert pane.pages.currentIndex() == page
        assert window.work.properties.isHidden()
    qtbot.waitUntil(lambda: not window.work.weldment.pane.where.errands.busy)
    window.commands.do("go.form")
    assert not window.work.properties.isHidden()


@pytest.mark.expectation(97)
def test_help_opens_at_the_page_in_hand(qtbot: QtBot) -> None:
    window = make_window(qtbot, KEYED["T01"]())
    for action, topic in (
        ("weldment.cuts", "cuts"),
        ("weldment.joints", "joints"),
        ("weldment.faces", "where"),
        ("weldment.way", "where"),
    ):
        window.commands.do(action)
        assert window.topic() == topic
        window.commands.do("help.topic")
        assert window.work.help.topic == topic


def test_an_empty_table_says_what_to_do_on_every_page(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, empty(load("T01")), "weldment.cuts")
    assert "draw a member" in pane.cuts.total.text()
    window.commands.do("weldment.joints")
    assert "needs two parts" in pane.joints.total.text()
    window.commands.do("weldment.faces")
    assert "There is no weldment" in pane.faces.summary.text()
    window.commands.do("weldment.where")
    qtbot.waitUntil(lambda: not pane.where.errands.busy)
    assert pane.where.statement.text() == ("There is no weldment to place; draw a member first.")
    pane.where.form.move_button.click()
    pane.where.set_up()
    window.commands.do("weldment.way")
    assert "There is no weldment" in pane.way.advice.text()
    pane.way.carry_out()
    assert not window.desk.can_undo


# -- cuts ------------------------------------------------------------------------------------------


@pytest.mark.source(HAND)
@pytest.mark.expectation(98)
def test_a_line_of_the_cut_list_selects_and_shows_its_members(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    assert heads(pane) == ["2x2x1/8 square tube", "A bottom, B top", "C left, D right"]
    view = pane.cuts.list
    view.go_to("member-3/member-4")
    assert window.desk.selection == {"member-3", "member-4"}
    QTest.keyClick(view, ENTER)
    place = view.visualRect(view.lines.index(1)).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.desk.selection == {"member-1", "member-2"}


def test_the_cut_list_follows_the_selection_and_the_job(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    window.desk.select({"member-1", "member-2"})
    window.work.refresh()
    assert pane.cuts.list.chosen_keys() == ("member-1/member-2",)
    window.commands.do("edit.delete")
    window.work.refresh()
    assert heads(pane) == ["2x2x1/8 square tube", "C left, D right"]


def test_the_cut_list_goes_to_the_clipboard_and_to_a_file(qtbot: QtBot, tmp_path: Path) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    pane.cuts.copy.click()
    assert "A bottom, B top\t2x2x1/8" in QGuiApplication.clipboard().text()
    answers = window.questions
    assert isinstance(answers, Answers)
    answers.path = str(tmp_path / "cuts")
    pane.cuts.save.click()
    text = (tmp_path / "cuts.csv").read_text(encoding="utf-8-sig")
    assert text.startswith("Members,Section,Stock,Long point mm")
    answers.path = ""
    pane.cuts.save.click()


# -- joints ----------------------------------------------------------------------------------------


@pytest.mark.source(HAND)
@pytest.mark.expectation(78, 98)
def test_the_joints_are_drawn_while_their_list_is_open(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    assert len(heads(pane)) == 4
    assert sum(isinstance(s, Ticks) for s in aside(window)) == 4
    QTest.keyClick(pane.joints.list, Qt.Key.Key_Down)
    (ring,) = [s for s in aside(window) if isinstance(s, Symbol)]
    assert ring.at == welded(window.desk.job)[1].joint.place
    window.commands.do("go.placed")
    assert aside(window) == ()


def test_nothing_stays_behind_while_something_is_dragged(qtbot: QtBot) -> None:
    window, _ = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    job = window.desk.job
    window.desk.preview(empty(load("T01")), "dragging")
    window.work.refresh()
    assert aside(window) == ()
    window.desk.preview(None)
    window.work.refresh()
    assert aside(window)
    assert window.desk.job is job


@pytest.mark.expectation(32, 36)
def test_weld_leg_and_name_of_one_joint(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    form = pane.joints.form
    form.kind.box.setCurrentIndex(2)
    form.kind.box.activated.emit(2)
    assert window.desk.undo_name == "Change the weld of J1"
    type_in(form.leg, "3/16")
    assert window.desk.undo_name == "Change the leg of J1"
    window.work.refresh()
    first = welded(window.desk.job)[0]
    assert first.kind == "flare bevel"
    assert first.leg == pytest.approx(INCH * 3 / 16)
    type_in(form.name, "Corner 1")
    assert welded(window.desk.job)[0].name == "Corner 1"
    window.work.refresh()
    assert "Corner 1   A bottom + C left" in heads(pane)
    pane.joints.list.go_to(welded(window.desk.job)[1].joint.id)
    type_in(form.name, "Corner 1")
    assert "another joint" in form.name.complaint.text()
    form.name.restore()


def test_all_joints_at_once_and_back_to_what_suits(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    form = pane.joints.form
    form.every.setChecked(True)
    assert not form.name.isEnabled()
    type_in(form.leg, "1/4")
    assert {one.leg for one in welded(window.desk.job)} == {INCH / 4}
    assert window.desk.undo_name == "Change the leg of 4 joints"
    window.work.refresh()
    assert "without a size" not in pane.joints.total.text()
    form.leg.edit.setFocus()
    form.leg.edit.selectAll()
    QTest.keyClick(form.leg.edit, Qt.Key.Key_Delete)
    QTest.keyClick(form.leg.edit, ENTER)
    assert {one.leg for one in welded(window.desk.job)} == {0.0}
    form.suit.click()
    form.every.setChecked(False)
    pane.joints.list.clearSelection()
    assert not form.kind.isEnabled()


def test_several_that_differ_say_so(qtbot: QtBot) -> None:
    job = KEYED["T01"]()
    job = set_welds(job, {welded(job)[0].joint.id}, leg=6.0)
    _, pane = opened_at(qtbot, job, "weldment.joints")
    pane.joints.list.selectAll()
    assert pane.joints.form.leg.edit.placeholderText() == "not all alike"
    assert pane.joints.form.leg.edit.text() == ""
    QTest.keyClick(pane.joints.list, ENTER)


# -- stops -----------------------------------------------------------------------------------------


@pytest.mark.source(HAND)
def test_the_stops_page_tells_what_is_left_and_draws_it(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page = pane.faces
    assert page.summary.text() == "Lines of faces: 4 on the grid, 4 to pack."
    assert page.long.text().startswith("<b>A</b>  A bottom, front face (proposed")
    assert sum(isinstance(s, Line) and s.role == "face" for s in aside(window)) == 2
    QTest.keyClick(page.list, Qt.Key.Key_Down)
    assert sum(isinstance(s, Line) and s.role == "selected" for s in aside(window)) >= 1


@pytest.mark.source("the rule e1 + e2 = (-(D + f1 + f2)) mod p, with f the radius of a round pin")
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
    assert window.desk.can_undo is False


@pytest.mark.expectation(36)
def test_a_line_of_faces_is_wanted_on_the_grid_by_enter(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    page = pane.faces
    QTest.keyClick(page.list, ENTER)
    assert window.desk.undo_name == "Want a line of faces on the grid"
    window.work.refresh()
    assert page.critical.isChecked()
    assert any("critical" in head for head in heads(pane))
    page.critical.click()
    assert window.desk.job.critical == ()


@pytest.mark.expectation(25, 61)
def test_a_datum_face_is_picked_on_the_sheet(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    pane.faces.pick_long.click()
    canvas = window.work.canvas
    assert canvas.tool.name == "edge"
    # The back face of B top, straight up at 35-1/2".
    x, y = canvas.view.to_screen((23.5 * INCH, 35.5 * INCH))
    place = QPoint(round(x), round(y))
    QTest.mouseMove(canvas, place)
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=place)
    assert window.desk.job.datum == Datum(long=FaceOf("member-2", 0))
    assert window.desk.undo_name == "Choose datum face A"
    window.work.refresh()
    assert "chosen" in pane.faces.long.text()
    pane.faces.pick("end")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert window.desk.job.datum.end is None
    pane.faces.propose.click()
    assert window.desk.job.datum == Datum()


def test_an_edge_that_is_no_face_is_refused(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.faces")
    pane.faces.pick("end")
    canvas = window.work.canvas
    canvas.setFocus()
    canvas.tell(lambda tool: tool.type("30"))
    assert window.desk.job.datum.end is None
    assert "no straight face" in pane.faces.summary.text()


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
    before = window.desk.job
    form = pane.where.form
    form.right.setFocus()
    form.right.edit.selectAll()
    QTest.keyClicks(form.right.edit, "-2")
    assert any(isinstance(s, Line) and s.role == "ghost" for s in aside(window))
    assert not window.desk.can_undo
    QTest.keyClick(form.right.edit, ENTER)
    assert window.desk.undo_name == 'Move the weldment by 2" left'
    assert form.right.edit.text() == '0"'
    assert corners(window.desk.job) == [(round(x - 2, 3), y) for x, y in corners(before)]
    type_in(form.turn, "90")
    assert window.desk.undo_name == "Move the weldment by 90°"
    assert middle(window.desk.job) == pytest.approx((21.5 * INCH, 23.5 * INCH))
    window.commands.do("edit.undo")
    window.commands.do("edit.undo")
    assert window.desk.job == before
    qtbot.waitUntil(lambda: not pane.where.errands.busy)


@pytest.mark.expectation(30)
def test_what_cannot_be_read_moves_nothing(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    type_in(pane.where.form.back, "much")
    assert pane.where.form.back.has_complaint()
    pane.where.form.move_button.click()
    assert not window.desk.can_undo
    pane.where.form.back.restore()
    pane.where.form.move_button.click()
    assert "Type how far" in window.entry.hint.words()


@pytest.mark.source(HAND)
@pytest.mark.expectation(36, 61, 102)
def test_a_place_is_shown_while_highlighted_and_set_by_enter(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T08"](), "weldment.where")
    page = pane.where
    # The tapered trestle end needs two packings where it lies, one half an inch on.
    assert page.statement.text().endswith("Packings at the best: 1; where it lies now: 2.")
    assert page.list.lines.entries[0].head == '1/2" back'
    assert not page.set.isEnabled()
    page.set_up()
    assert "Highlight a place" in window.entry.hint.words()
    page.list.setFocus()
    page.list.go_first()
    assert sum(isinstance(s, Line) and s.role == "ghost" for s in aside(window)) == 5
    before = corners(window.desk.job)
    QTest.keyClick(page.list, ENTER)
    assert window.desk.undo_name == 'Put the weldment: 1/2" back'
    assert corners(window.desk.job) == [(x, round(y + 0.5, 3)) for x, y in before]
    window.work.refresh()
    qtbot.waitUntil(lambda: not page.errands.busy)
    assert page.list.lines.entries[0].head == "As it lies"
    page.list.go_first()
    page.set_up()
    assert window.desk.undo_count == 1


def test_fewer_ways_round_are_looked_at_if_so_told(qtbot: QtBot) -> None:
    _, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    page = pane.where
    assert "in 8 ways round" in page.statement.text()
    for box, words in ((page.flipped, "in 4 ways round"), (page.turned, "in 1 way round")):
        box.setChecked(False)
        qtbot.waitUntil(lambda: not page.errands.busy)
        assert words in page.statement.text()
    page.inner.setChecked(True)
    qtbot.waitUntil(lambda: not page.errands.busy)
    assert "one of the 8 lines" in page.statement.text()


# -- way up ----------------------------------------------------------------------------------------


@pytest.mark.source(HAND)
def test_the_machine_base_is_best_built_face_down(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T10"](), "weldment.way")
    page = pane.way
    assert page.advice.text().startswith("Face down, 5 of 9 parts lie flush")
    assert heads(pane) == ["Face down", "As it lies"]
    assert page.hand.text().startswith("● ")
    assert any(isinstance(s, Line) and s.role == "ghost" for s in aside(window))
    page.list.setFocus()
    page.list.go_first()
    QTest.keyClick(page.list, ENTER)
    job = window.desk.job
    assert window.desk.undo_name == "Turn the weldment face down"
    heights = {p.name: (p.z_low / INCH, p.z_high / INCH) for p in job.outlines}
    assert heights["F strap"] == pytest.approx((0.0, 0.25))
    assert heights["P1 foot plate"] == pytest.approx((4.0, 4.375))
    window.work.refresh()
    assert page.advice.text().startswith("As it lies, 5 of 9")


@pytest.mark.source(HAND)
def test_the_opposite_hand_takes_its_pieces_with_it(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, set_up("T01"), "weldment.way")
    page = pane.way
    page.deed.box.setCurrentIndex(1)
    page.deed.box.activated.emit(1)
    assert page.do.text() == "Make it the opposite hand"
    assert "6 of 6 pieces follow" in page.told.text()
    before = {p.id: p.seats for p in window.desk.job.placements}
    page.do.click()
    assert window.desk.undo_name == "Make the weldment the opposite hand"
    assert {p.id: p.seats for p in window.desk.job.placements} != before
    window.work.refresh()
    page.axis.box.setCurrentIndex(1)
    page.axis.box.activated.emit(1)
    page.picks.setChecked(False)
    kept = {p.id: p.seats for p in window.desk.job.placements}
    page.do.click()
    assert {p.id: p.seats for p in window.desk.job.placements} == kept


# -- looks -----------------------------------------------------------------------------------------


@pytest.mark.expectation(66)
def test_every_control_has_a_name(qtbot: QtBot) -> None:
    _, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    for worded in (*pane.findChildren(QPushButton), *pane.findChildren(QCheckBox)):
        assert worded.text()
    named: list[QWidget] = [
        *pane.findChildren(QComboBox),
        *pane.findChildren(QLineEdit),
        *pane.findChildren(QListView),
    ]
    for widget in named:
        inner = isinstance(widget.parent(), QComboBox) or widget.window() is not pane.window()
        assert inner or widget.accessibleName(), widget


@pytest.mark.expectation(71, 72)
def test_gloves_get_large_targets_on_every_page(qtbot: QtBot) -> None:
    window = make_window(qtbot, KEYED["T01"](), Settings(glove=True, px_per_mm=4.0))
    least = window.look.metrics.target
    assert least >= 80
    for action in ("weldment.joints", "weldment.faces", "weldment.where", "weldment.way"):
        window.commands.do(action)
        page = window.work.weldment.pane.page
        buttons = [*page.findChildren(QPushButton), *window.work.weldment.pane.buttons]
        assert all(b.height() >= least for b in buttons if b.isVisible())
    qtbot.waitUntil(lambda: not window.work.weldment.pane.where.errands.busy)


def test_another_look_reaches_every_page(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    window.change_settings(theme="dark")
    assert {page.look.theme.palette.name for page in pane.all} == {"dark"}
