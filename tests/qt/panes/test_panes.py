"""The panes: what they show of a document, and what they do to it."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_display
from gridjig.edits.lookup import placement_of, plate_of, with_placement
from gridjig.edits.placements import set_lift
from gridjig.model import Display, Hole, Job, Seat
from gridjig.model.labels import address
from gridjig.qt.canvas.input import PIECE_MIME
from gridjig.qt.panes.properties.placement_form import PlacementForm
from gridjig.qt.panes.properties.plate_form import PlateForm
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.window.window import Window
from gridjig.sheets.lists.piece_settings import piece_settings, setting_words
from tests.qt.windows import make_window, told
from tests.tools.select.test_arm_lock import JOB as ARM_JOB
from tests.workshop import EMPTY, laid, pin, plate, put, seat, stop

SLIDER = put("s", "slider", seat("s", 2, 2), slide=30.0)
ARM = put("arm", "arm", seat("h", 6, 3))
LOCKED = Seat("lock", Hole(10, 10))


def with_selected(qtbot: QtBot, job: Job, *ids: str) -> Window:
    window = make_window(qtbot, job)
    window.document.select(ids)
    window.workspace.refresh()
    return window


def form(window: Window) -> PlacementForm:
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlacementForm)
    return shown


def enter(qtbot: QtBot, field: TypedField, text: str) -> None:
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClicks(field.edit, text)
    QTest.keyClick(field.edit, Qt.Key.Key_Return)


def hole(col: int, row: int) -> str:
    return address(EMPTY.table, Hole(col, row))


# -- one piece -------------------------------------------------------------------------------------


@pytest.mark.expectation(28)
def test_a_typed_hole_moves_the_piece(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)), "s")
    enter(qtbot, form(window).holes[0], hole(5, 6))
    moved = placement_of(window.document.job, "s")
    assert [s.hole for s in moved.seats] == [Hole(5, 6), Hole(6, 6)]
    assert hole(5, 6) in window.document.undo_name


@pytest.mark.expectation(30, 85)
def test_a_hole_that_is_taken_is_refused_in_words_at_the_field(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2), pin("p", 5, 6)), "s")
    field = form(window).holes[0]
    enter(qtbot, field, hole(5, 6))
    assert field.has_complaint()
    assert field.edit.text() == hole(5, 6)
    assert not window.document.can_undo
    enter(qtbot, field, "nowhere")
    assert "nowhere" in field.complaint.text()


def test_a_piece_that_stands_badly_can_be_moved_anywhere(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("a", 2, 2), pin("b", 2, 2), pin("c", 6, 6)), "a")
    enter(qtbot, form(window).holes[0], hole(6, 6))
    assert placement_of(window.document.job, "a").seats[0].hole == Hole(6, 6)


@pytest.mark.expectation(28, 85)
def test_a_turn_that_the_holes_do_not_allow_offers_the_nearest(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 4, 4)), "s")
    shown = form(window)
    enter(qtbot, shown.turn, "80")
    assert shown.turn.edit.text() == "80"
    assert "nearest is 90°" in shown.turn.complaint.text()
    assert shown.take.isVisible()
    assert shown.take.text() == "Use 90°"
    assert not window.document.can_undo
    shown.take.click()
    assert window.document.placed_pieces["s"].turn == pytest.approx(90)
    window.workspace.refresh()
    assert shown.turn.edit.text() == "90°"
    assert not shown.take.isVisible()


def test_the_other_way_round_has_a_button_of_its_own(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 4, 4), pin("taken", 4, 5)), "s")
    shown = form(window)
    enter(qtbot, shown.turn, "91")
    assert "The other way round, −90°, pinned in" in shown.turn.complaint.text()
    assert [button.text() for button in (shown.take, shown.take_other)] == [
        "Use 180°",
        "Use −90°, the other way round",
    ]
    assert shown.take_other.isVisible()
    shown.take_other.click()
    assert window.document.placed_pieces["s"].turn == pytest.approx(-90)
    assert "Turned to −90°, now pinned in" in told(window)
    assert not shown.take_other.isVisible()
    assert not shown.turn.has_complaint()


def test_a_face_is_shown_as_the_pull_list_tells_it(qtbot: QtBot) -> None:
    """In fractions of an inch 22 mm is no fraction: it is set by its decimals."""
    far = put("s", "slider", seat("s", 5, 5), seat("s", 6, 5), slide=58.0)
    job = structs.replace(laid(far), display=Display(unit="inch fractions"))
    window = with_selected(qtbot, job, "s")
    assert form(window).face.edit.text() == '.866"'
    (one,) = piece_settings(job, window.document.placed_pieces)
    assert setting_words(one, job.display).startswith('face .866" from ')


def test_an_arm_says_what_sets_it(qtbot: QtBot) -> None:
    """By its scale it opens from one angle to another; a pin in its lock allows only one."""
    window = with_selected(qtbot, ARM_JOB, "k")
    assert form(window).leaf.note.words() == "0° to 180°"
    assert form(window).leaf_words.text().startswith("Set by its scale; good to ")
    locked = structs.replace(
        placement_of(ARM_JOB, "k"), seats=(*placement_of(ARM_JOB, "k").seats, LOCKED)
    )
    window.document.do(with_placement(ARM_JOB, locked), "Lock it")
    window.workspace.refresh()
    assert form(window).leaf.note.words() == "by its pin"
    assert form(window).leaf_words.text().startswith(f"Locked by a pin in {hole(10, 10)}; good to ")


def test_what_was_taken_is_told_with_its_holes(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 4, 4)), "s")
    enter(qtbot, form(window).turn, "80")
    assert "pinned in" in form(window).turn.complaint.text()
    form(window).take.click()
    assert "Turned to 90°, now pinned in" in told(window)
    enter(qtbot, form(window).turn, "180")
    assert "Turned to 180°, now pinned in" in told(window)


def test_a_turn_that_can_be_had_is_taken(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 4, 4)), "s")
    enter(qtbot, form(window).turn, "180")
    assert abs(window.document.placed_pieces["s"].turn) == pytest.approx(180)


@pytest.mark.source("method", "lattice vectors of length 1 pitch: the four right angles, no other")
def test_the_turns_that_exist_are_listed_and_can_be_taken(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 4, 4)), "s")
    shown = form(window)
    texts = [shown.poses.itemText(i) for i in range(shown.poses.count())]
    each = ["−90", "0", "90", "180"]  # with either of its two pins in the hole
    assert [t.split("°")[0] for t in texts] == [turn for turn in each for _ in (1, 2)]
    [wanted] = [n for n, t in enumerate(texts) if t.startswith("90°") and hole(4, 5) in t]
    shown.poses.activated.emit(wanted)
    assert window.document.placed_pieces["s"].turn == pytest.approx(90)


@pytest.mark.expectation(28, 31)
@pytest.mark.source(
    "method", "geometry by hand: the face stands 130 mm along the slot from its end"
)
def test_the_face_distance_slides_the_piece(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(SLIDER), "s")
    shown = form(window)
    assert shown.face.note.words() == "20 mm to 130 mm"
    assert shown.face.edit.text() == "100 mm"
    enter(qtbot, shown.face, "70")
    assert placement_of(window.document.job, "s").slide == pytest.approx(60)
    enter(qtbot, shown.face, "10")
    assert shown.face.has_complaint()
    assert placement_of(window.document.job, "s").slide == pytest.approx(60)


@pytest.mark.expectation(33)
def test_values_follow_a_preview(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(SLIDER), "s")
    from gridjig.edits.placements import set_pose

    window.document.preview(set_pose(window.document.job, "s", slide=0.0))
    window.workspace.refresh()
    assert form(window).face.edit.text() == "130 mm"
    window.document.preview(None)
    window.workspace.refresh()
    assert form(window).face.edit.text() == "100 mm"


def test_freedom_is_told_in_words(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)), "s")
    assert form(window).freedom.text().startswith("Pinned by 2 pins; play ")


def test_name_note_and_flip_are_steps(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)), "s")
    shown = form(window)
    enter(qtbot, shown.name, "datum 1")
    shown.note.edit.setPlainText("feel for burrs")
    shown.note.apply()
    shown.flipped.click()
    made = placement_of(window.document.job, "s")
    assert (made.name, made.note, made.flipped) == ("datum 1", "feel for burrs", True)
    for _ in range(3):
        window.document.undo()
    assert not window.document.can_undo


def test_risers_go_below_and_come_off(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)), "s")
    lift = form(window).lift
    riser = lift.add.findData("shim")
    assert "20 left" in lift.add.itemText(riser)
    lift.add.activated.emit(riser)
    window.workspace.refresh()
    assert placement_of(window.document.job, "s").lift == ("shim",)
    assert lift.note.text() == "1 mm high"
    assert "19 left" in lift.add.itemText(riser)
    lift.off.click()
    assert placement_of(window.document.job, "s").lift == ()


def test_a_round_pin_is_packed_too(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("p", 4, 4)), "p")
    packing = form(window).packing
    assert not packing.isHidden()
    packing.add.activated.emit(packing.add.findData("shim"))
    assert placement_of(window.document.job, "p").packing == ("shim",)
    assert window.document.placed_pieces["p"].fault is None


def test_packing_goes_before_the_face(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)), "s")
    packing = form(window).packing
    packing.add.activated.emit(packing.add.findData("shim"))
    assert placement_of(window.document.job, "s").packing == ("shim",)
    packing.add.activated.emit(0)
    assert placement_of(window.document.job, "s").packing == ("shim",)


def test_cells_that_do_not_concern_a_piece_are_not_there(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("a", 2, 2)), "a")
    shown = form(window)
    for cell in (shown.holes[1], shown.face, shown.leaf, shown.reach, shown.flipped):
        assert not cell.isVisible()
    assert shown.holes[0].isVisible()


def test_arm_and_clamp_have_their_cells(qtbot: QtBot) -> None:
    job = laid(put("h", "hinge", seat("a", 2, 2), seat("b", 4, 2), leaf=90.0))
    window = with_selected(qtbot, job, "h")
    shown = form(window)
    assert shown.leaf.isVisible()
    assert "scale" in shown.leaf_words.text()
    enter(qtbot, shown.leaf, "45")
    assert window.document.placed_pieces["h"].leaf == pytest.approx(45)
    enter(qtbot, shown.leaf, "300")
    assert shown.leaf.has_complaint()


def test_a_clamp_takes_a_reach(qtbot: QtBot) -> None:
    clamp = next(p for p in EMPTY.rack.pieces if p.kind == "clamp")
    job = laid(put("c", clamp.id, seat(clamp.mounts[0].id, 5, 5)))
    window = with_selected(qtbot, job, "c")
    shown = form(window)
    assert clamp.tip is not None
    enter(qtbot, shown.reach, f"{clamp.tip.reach_max} mm")
    assert placement_of(window.document.job, "c").reach == clamp.tip.reach_max
    enter(qtbot, shown.reach, f"{clamp.tip.reach_max + 50} mm")
    assert shown.reach.has_complaint()


# -- outlines, several, the job --------------------------------------------------------------------


@pytest.mark.expectation(28)
def test_an_outline_takes_typed_place_size_turn_and_heights(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(plate("part", 100, 100)), "part")
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlateForm)
    for field, text in (
        (shown.at_x, "120"),
        (shown.at_y, "12.5 cm"),
        (shown.size_x, "200"),
        (shown.size_y, "80"),
        (shown.turn, "37 30'"),
        (shown.z_high, "60"),
        (shown.z_low, "10"),
        (shown.name, "rail"),
    ):
        enter(qtbot, field, text)
        assert not field.has_complaint(), field.complaint.text()
    made = plate_of(window.document.job, "part")
    assert (made.x, made.y, made.turn, made.z_low, made.z_high) == (120, 125, 37.5, 10, 16)
    assert made.corners == ((0, 0), (200, 0), (200, 80), (0, 80))
    assert made.name == "rail"


def test_a_name_that_another_plate_has_is_numbered_and_that_is_said(qtbot: QtBot) -> None:
    rib = structs.replace(plate("rib", 100, 100), name="Rib")
    window = with_selected(qtbot, laid(rib, plate("part", 400, 100)), "part")
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlateForm)
    enter(qtbot, shown.name, "Rib")
    assert plate_of(window.document.job, "part").name == "Rib 2"
    assert "There is a Rib already; this one is Rib 2." in window.entry.said.words()
    enter(qtbot, shown.name, "Gusset")
    assert "Gusset" not in window.entry.said.words()


def test_the_examples_of_holes_follow_the_unit_of_the_job(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(plate("part", 100, 100)), "part")
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlateForm)
    assert shown.holes.note.words() == "18 at 30, 30; 170, 30; or 18 at corners 30"
    inches = structs.replace(window.document.job.display, unit="inch fractions")
    window.document.do(set_display(window.document.job, inches), "Show inches")
    window.workspace.properties.refresh()
    assert shown.holes.note.words() == "3/4 at 1, 1; 7, 1; or 3/4 at corners 1"
    assert "3/4 at 1, 1; slot 1/2 from 2, 1" in shown.about.text()


def test_corners_can_be_typed_and_crossed_sides_are_refused(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(plate("part", 100, 100)), "part")
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlateForm)
    enter(qtbot, shown.corners, "0, 0; 300, 0; 0, 200")
    assert plate_of(window.document.job, "part").corners == ((0, 0), (300, 0), (0, 200))
    enter(qtbot, shown.corners, "0, 0; 100, 100; 100, 0; 0, 50")
    assert "cross" in shown.corners.complaint.text()
    enter(qtbot, shown.thick, "0")
    assert shown.thick.has_complaint()


def test_several_move_by_typed_whole_holes(qtbot: QtBot) -> None:
    from gridjig.qt.panes.properties.several_form import SeveralForm

    window = with_selected(qtbot, laid(pin("a", 2, 2), pin("b", 3, 3), pin("c", 6, 2)), "a", "b")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    enter(qtbot, shown.columns, "2")
    enter(qtbot, shown.rows, "-1")
    shown.move_button.click()
    assert placement_of(window.document.job, "a").seats[0].hole == Hole(4, 1)
    assert placement_of(window.document.job, "b").seats[0].hole == Hole(5, 2)
    enter(qtbot, shown.columns, "1")
    enter(qtbot, shown.rows, "0")
    shown.move_button.click()  # c is in the way of b
    assert shown.columns.has_complaint()
    enter(qtbot, shown.columns, "x")
    shown.move_button.click()
    assert placement_of(window.document.job, "a").seats[0].hole == Hole(4, 1)


def test_the_job_form_names_and_notes(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("a", 2, 2)))
    shown = window.workspace.properties.job_form
    enter(qtbot, shown.name, "bracket 7")
    enter(qtbot, shown.drawing, "D-12")
    enter(qtbot, shown.revision, "C")
    shown.notes.edit.setPlainText("two off")
    shown.notes.apply()
    shown.unit.box.activated.emit(4)
    job = window.document.job
    assert (job.name, job.drawing, job.revision, job.notes) == ("bracket 7", "D-12", "C", "two off")
    assert job.display.unit == "inch decimals"
    window.workspace.refresh()
    assert window.status_bar.drawing.words() == "D-12 / C"


def test_a_note_that_is_too_long_is_kept_in_sight(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("a", 2, 2)))
    notes = window.workspace.properties.job_form.notes
    notes.edit.setPlainText("x" * 5000)
    notes.apply()
    assert "too many" in notes.complaint.text()
    assert window.document.job.notes == ""
    QTest.keyClick(notes.edit, Qt.Key.Key_Escape)
    assert notes.edit.toPlainText() == ""
    notes.edit.setPlainText("short")
    QTest.keyClick(notes.edit, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert window.document.job.notes == "short"


# -- the drawer ------------------------------------------------------------------------------------


@pytest.mark.expectation(26)
def test_the_drawer_lists_finds_and_gives_pieces(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)))
    rack = window.workspace.drawer
    rack.search.setText("fixed stop")
    names = [line.piece_id for line in rack.model.lines if line.piece is not None]
    assert names == ["stop"]
    line = rack.model.lines[1]
    assert line.count_words.startswith("5 of 6 left")
    index = rack.model.index(1)
    assert rack.model.mimeData([index]).data(PIECE_MIME).data() == b"stop"
    rack.list.clicked.emit(index)
    assert window.workspace.canvas.tool.name == "place"
    assert window.focusWidget() is window.workspace.canvas


def test_what_stands_in_no_hole_says_where_it_goes(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)))
    rack = window.workspace.drawer
    rack.search.setText("shim")
    row = next(i for i, line in enumerate(rack.model.lines) if line.piece_id == "shim")
    rack.list.activated.emit(rack.model.index(row))
    assert "add it under" in told(window)
    rack.search.setText("zeppelin")
    QTest.keyClick(rack.search, Qt.Key.Key_Return)
    assert "zeppelin" in told(window)


# -- lists -----------------------------------------------------------------------------------------


@pytest.mark.expectation(67)
def test_everything_placed_is_listed_with_place_and_state(qtbot: QtBot) -> None:
    window = with_selected(
        qtbot, laid(pin("a", 2, 2), pin("b", 2, 2), plate("part", 300, 200)), "a"
    )
    window.workspace.checker.check_now()
    entries = {e.key: e for e in window.workspace.placed.list.lines.entries}
    assert entries["a"].right == hole(2, 2)
    assert entries["a"].level == "stop"
    assert entries["a"].under.startswith("To fix: ")
    assert entries["part"].right == "300 mm, 200 mm"
    window.workspace.placed.list.chosen.emit(frozenset({"b"}))
    assert window.document.selection == {"b"}
    QTest.keyClick(window.workspace.placed.list, Qt.Key.Key_Delete)
    assert window.document.job.find("b") is None


def test_choosing_on_the_sheet_marks_the_list(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(pin("a", 2, 2), pin("b", 5, 5)), "b")
    view = window.workspace.placed.list
    rows = [i.row() for i in view.selectionModel().selectedIndexes()]
    assert [view.lines.entries[r].key for r in rows] == ["b"]


@pytest.mark.expectation(78)
def test_the_bill_shows_a_shortage_by_word_and_sign(qtbot: QtBot) -> None:
    job = laid(*(put(f"s{n}", "slider", seat("s", 1, n)) for n in range(6)))
    window = with_selected(qtbot, job)
    entries = {e.key: e for e in window.workspace.pull_list.list.lines.entries}
    line = entries["slider"]
    assert (line.level, line.cells[2:], line.brief) == ("look", ("6", "4"), "short by 2")
    assert line.under.startswith("short by 2")
    assert "short by 2" in line.text
    assert "Short by" in window.workspace.pull_list.total.text()
    assert "bolt" in entries  # the locking pins come along
    window.workspace.pull_list.list.opened.emit(line)
    assert len(window.document.selection) == 6


def test_the_bill_is_live(qtbot: QtBot) -> None:
    window = with_selected(qtbot, laid(stop("s", 2, 2)))
    window.document.do(set_lift(window.document.job, "s", ("shim",)), "Lift")
    window.workspace.refresh()
    assert any(e.key == "shim" for e in window.workspace.pull_list.list.lines.entries)
    window.document.undo()
    window.workspace.refresh()
    assert not any(e.key == "shim" for e in window.workspace.pull_list.list.lines.entries)
