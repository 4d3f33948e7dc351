"""The shape of a piece in its form: typed corners, holes, openings, heights and faces."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.edits.rack import add_piece, set_piece
from gridjig.edits.shape import edges
from gridjig.geometry.display import Polyline
from gridjig.geometry.piece_mass import mass_of
from gridjig.model import Job
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.piece.piece_shape import edge_words
from gridjig.qt.widgets.fields import LinesField
from gridjig.rack import Piece, RoundHole, Solid
from tests.qt.formhands import form_over, type_in
from tests.workshop import EMPTY, box, laid, put, seat

CTRL = Qt.KeyboardModifier.ControlModifier
FENCE = Piece(
    id="fence",
    name="Fence",
    kind="other",
    solids=(Solid(box(-20, -40, 220, 60), 0, 12), Solid(box(-20, 48, 220, 60), 0, 80)),
    mounts=(RoundHole("h1", (0, 0), 16), RoundHole("h2", (200, 0), 16)),
    takes=("bolt",),
    owned=1,
)
FENCE = structs.replace(FENCE, mass=mass_of(FENCE))
JOB = add_piece(EMPTY, FENCE)


def form_of(qtbot: QtBot, job: Job = JOB, piece_id: str = "fence") -> PieceForm:
    form = form_over(
        qtbot, job, lambda w, d, look: PieceForm(w, d, look, piece_id, None, shape_first=True)
    )
    form.activateWindow()
    qtbot.waitUntil(form.isActiveWindow)  # else no field can be left
    return form


@pytest.fixture
def form(qtbot: QtBot) -> PieceForm:
    return form_of(qtbot)


def piece_of(form: PieceForm) -> Piece:
    return form.draft.job.rack.piece("fence")


def write(field: LinesField, text: str, enter: bool = True) -> None:
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClick(field.edit, Qt.Key.Key_Delete)
    for number, line in enumerate(text.split("\n")):
        if number:
            QTest.keyClick(field.edit, Qt.Key.Key_Return)
        QTest.keyClicks(field.edit, line)
    if enter:
        QTest.keyClick(field.edit, Qt.Key.Key_Tab)


def test_the_page_shows_the_shape_as_it_can_be_typed(form: PieceForm) -> None:
    shape = form.shape
    assert form.tabs.currentIndex() == 2
    assert shape.corners.edit.text() == "−20, −40\n220, −40\n220, 60\n−20, 60"
    assert shape.holes.edit.text() == "0, 0, 16\n200, 0, 16"
    assert (shape.low.value(), shape.high.value()) == (0, 12)
    assert shape.which.box.currentText() == "1 of 2, from 0 mm to 12 mm high"
    assert len(shape.faces.keys()) == 8


def test_typed_corners_change_the_outline_and_the_mass(form: PieceForm) -> None:
    write(form.shape.corners, "-20, -40\n240, -40\n240, 60\n-20, 60")
    assert piece_of(form).solids[0].outline == box(-20, -40, 240, 60)
    assert piece_of(form).mass == pytest.approx(mass_of(piece_of(form)), abs=1e-4)
    assert form.draft.undo_name == "Change the outline"
    form.undo_button.click()
    assert form.shape.corners.edit.text().startswith("−20, −40\n220, −40")


def test_ctrl_enter_takes_what_is_typed_and_applies_the_form(form: PieceForm) -> None:
    write(form.shape.corners, "-20, -40\n240, -40\n240, 60\n-20, 60", enter=False)
    QTest.keyClick(form.shape.corners.edit, Qt.Key.Key_Return, CTRL)
    assert not form.isVisible()
    outline = form.document.job.rack.piece("fence").solids[0].outline
    assert outline == box(-20, -40, 240, 60)


def test_the_picture_shows_what_is_typed_before_it_is_entered(form: PieceForm) -> None:
    before = piece_of(form)
    write(form.shape.corners, "-20, -40\n260, -40\n260, 60\n-20, 60", enter=False)
    assert piece_of(form) is before
    assert form.shape.as_typed().solids[0].outline == box(-20, -40, 260, 60)
    drawn = [s for s in form.picture._drawing if isinstance(s, Polyline)]
    assert max(p[0] for line in drawn for p in line.points if line.role == "edge") == 260
    write(form.shape.corners, "-20, -40\n260,", enter=False)
    assert form.shape.as_typed() == before


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("corners", "0, 0\nfar, 0\n5, 5", "Line 2, “far, 0”"),
        ("corners", "0, 0\n100, 0", "at least three corners"),
        ("corners", "0, -40\n220, 60\n220, -40\n0, 60", "would cross itself"),
        ("holes", "0, 0", "Line 1, “0, 0”: type x, y, diameter"),
        ("holes", "-19, 0, 16", "no steel left at the edge of"),
        ("openings", "0, 0, 30", "no steel left at the edge of hole h1"),
    ],
)
def test_an_error_marks_its_field_and_nothing_is_lost(
    form: PieceForm, name: str, text: str, says: str
) -> None:
    field = getattr(form.shape, name)
    assert isinstance(field, LinesField)
    write(field, text)
    assert says in field.complaint.text()
    assert field.edit.text() == text
    assert piece_of(form) == FENCE
    form.tabs.setCurrentIndex(0)
    form.apply_button.click()
    assert form.isVisible()
    assert form.tabs.currentIndex() == 2
    assert says in form.said.text()


def test_holes_and_openings_are_typed(form: PieceForm) -> None:
    write(form.shape.holes, "0, 0, 16\n200, 0, 16\n60, 20, 100, 20, 16")
    assert [m.id for m in piece_of(form).mounts] == ["h1", "h2", "slot-1"]
    write(form.shape.openings, "150, 0, 30")
    assert len(piece_of(form).solids[0].openings) == 1
    assert form.shape.openings.edit.text() == "150, 0, 30"


@pytest.mark.parametrize("first", ["corners", "holes"])
def test_corners_and_holes_that_fit_only_together_are_taken_together(
    form: PieceForm, first: str
) -> None:
    """A new outline leaves the old holes outside, and new holes lie outside the old outline."""
    shape = form.shape
    texts = {"corners": "500, 0\n800, 0\n800, 60\n500, 60", "holes": "520, 30, 16\n780, 30, 16"}
    second = next(name for name in texts if name != first)
    write(getattr(shape, first), texts[first])
    said = getattr(shape, first).complaint.text()
    assert "no steel left" in said
    assert said.endswith("Type the holes to match: then both are taken together.") == (
        first == "corners"
    )
    assert piece_of(form) == FENCE
    write(getattr(shape, second), texts[second], enter=False)
    assert shape.as_typed().solids[0].outline == box(500, 0, 800, 60)
    QTest.keyClick(getattr(shape, second).edit, Qt.Key.Key_Tab)
    made = piece_of(form)
    assert made.solids[0].outline == box(500, 0, 800, 60)
    assert [hole.at for hole in made.mounts if isinstance(hole, RoundHole)] == [
        (520, 30),
        (780, 30),
    ]
    assert not shape.corners.has_complaint()
    assert not shape.holes.has_complaint()
    assert shape.faulty() is None
    form.undo_button.click()
    assert piece_of(form) == FENCE


def test_a_text_that_no_other_can_mend_stays_refused(form: PieceForm) -> None:
    write(form.shape.corners, "500, 0\n800, 0\n800, 60\n500, 60")
    write(form.shape.holes, "520, 30, 16\n790, 30, 90")
    assert form.shape.corners.has_complaint()
    assert form.shape.holes.has_complaint()
    assert piece_of(form) == FENCE


def test_a_placed_piece_keeps_the_hole_that_it_is_pinned_by(qtbot: QtBot) -> None:
    job = laid(put("f", "fence", seat("h1", 2, 6), seat("h2", 6, 6)), job=JOB)
    form = form_of(qtbot, job)
    write(form.shape.holes, "100, 0, 16")
    assert "Fence is mounted by its h1" in form.shape.holes.complaint.text()
    assert piece_of(form).mounts == FENCE.mounts


def test_each_outline_has_its_corners_and_heights(form: PieceForm) -> None:
    form.shape.which.set_value(1)
    form.shape.which.chosen.emit(1)
    assert form.shape.corners.edit.text().startswith("−20, 48")
    type_in(form.shape.high, "100")
    assert [s.z_high for s in piece_of(form).solids] == [12, 100]
    type_in(form.shape.low, "120")
    assert "The top must be higher" in form.shape.low.complaint.text()
    form.shape.low.restore()
    form.shape.remove_button.click()
    assert len(piece_of(form).solids) == 1
    assert not form.shape.remove_button.isEnabled()
    form.shape.add_button.click()
    assert [s.z_low for s in piece_of(form).solids] == [0, 12]
    assert form.shape.which.value() == 1
    assert form.shape.corners.edit.text() == "−20, −40\n5, −40\n5, −15\n−20, −15"


def test_a_text_that_is_wrong_is_mended_before_another_outline_is_shown(form: PieceForm) -> None:
    write(form.shape.corners, "0, 0")
    form.shape.which.chosen.emit(1)
    assert form.shape.which.value() == 0
    assert form.shape.corners.edit.text() == "0, 0"


def test_what_is_refused_for_one_outline_is_not_given_to_a_new_one(form: PieceForm) -> None:
    before, refused = piece_of(form), "0, 0\n100, 0"
    write(form.shape.corners, refused)
    form.shape.add_button.click()
    assert piece_of(form) == before
    assert (form.shape.which.value(), form.shape.corners.edit.text()) == (0, refused)
    assert form.shape.corners.has_complaint()
    form.shape.corners.restore()
    form.shape.add_button.click()
    assert len(piece_of(form).solids) == len(before.solids) + 1


LOST = "“0, 0; 100, 0” was ignored: there are other outlines now."


@pytest.mark.parametrize("step", ["undo", "redo"])
def test_what_is_refused_for_an_outline_that_undo_takes_is_dropped(
    form: PieceForm, step: str
) -> None:
    shape, refused = form.shape, "0, 0\n100, 0"
    shape.add_button.click()
    if step == "redo":
        form.undo_button.click()
    write(shape.corners, refused)
    assert shape.corners.has_complaint()
    getattr(form, f"{step}_button").click()
    assert not shape.corners.has_complaint()
    assert shape.corners.typed() in [solid.outline for solid in piece_of(form).solids]
    assert shape.as_typed() == piece_of(form)
    assert form.said.text() == f"{step.capitalize()}ne: Add an outline. {LOST}"


def test_what_is_refused_for_an_outline_that_is_removed_is_dropped(form: PieceForm) -> None:
    """But not if the outline cannot be removed."""
    shape = form.shape
    write(shape.corners, "0, 0\n100, 0")
    shape.remove_button.click()
    assert piece_of(form) == FENCE, "its holes need the first outline"
    assert shape.corners.edit.text() == "0, 0\n100, 0"
    shape.corners.restore()
    shape.which.chosen.emit(1)
    write(shape.corners, "0, 0\n100, 0")
    assert shape.corners.has_complaint()
    shape.remove_button.click()
    assert piece_of(form).solids == FENCE.solids[:1]
    assert not shape.corners.has_complaint()
    assert shape.corners.typed() == FENCE.solids[0].outline
    assert form.said.text() == LOST


def test_edges_are_ticked_ordered_and_given_heights(form: PieceForm) -> None:
    faces = form.shape.faces
    faces.list.setCurrentRow(6)
    assert not form.shape.face_low.isEnabled()
    assert form.shape.in_hand() == (Polyline(((220, 60), (-20, 60)), "selected"),)
    QTest.keyClick(faces.list, Qt.Key.Key_Space)
    [face] = piece_of(form).faces
    assert (face.a, face.b, face.z_low, face.z_high) == ((220, 60), (-20, 60), 0, 80)
    assert faces.current() == face.id
    type_in(form.shape.face_low, "20")
    assert piece_of(form).faces[0].z_low == 20
    type_in(form.shape.face_high, "90")
    assert "no lower and no higher" in form.shape.face_high.complaint.text()
    form.shape.face_high.restore()
    faces.list.setCurrentRow(1)
    QTest.keyClick(faces.list, Qt.Key.Key_Space)
    second = faces.current()
    QTest.keyClick(faces.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert [f.id for f in piece_of(form).faces] == [second, face.id]
    form.apply_button.click()
    assert [f.id for f in form.document.job.rack.piece("fence").faces] == [second, face.id]


def test_edges_are_told_in_words(form: PieceForm) -> None:
    words = [edge_words(e, EMPTY.display, many=True) for e in edges(FENCE)]
    assert words[0] == "1: 240 mm facing front, 0 mm to 12 mm high, from −20, −40"
    assert words[6] == "2: 240 mm facing back, 0 mm to 80 mm high, from 220, 60"
    slant = structs.replace(FENCE, solids=(Solid(((0, 0), (30, 0), (0, 40)), 0, 9),))
    assert "50 mm facing 36.87°" in edge_words(edges(slant)[1], EMPTY.display)


def test_a_piece_without_an_outline_has_no_page_for_its_shape(qtbot: QtBot) -> None:
    form = form_over(qtbot, EMPTY, lambda w, d, look: PieceForm(w, d, look, "shim"))
    assert not form.tabs.isTabVisible(2)
    full = form_over(qtbot, EMPTY, lambda w, d, look: PieceForm(w, d, look, "stop"))
    assert full.tabs.isTabVisible(2)


def test_the_shape_follows_a_size_that_is_changed(form: PieceForm) -> None:
    form.tabs.setCurrentIndex(0)
    type_in(form.sizes.fields["spacing.h2"], "150")
    assert form.shape.holes.edit.text() == "0, 0, 16\n150, 0, 16"
    assert set_piece(form.draft.job, piece_of(form)) is form.draft.job
