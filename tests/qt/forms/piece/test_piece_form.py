"""A piece's form: sizes with their ranges, the size in hand measured, facts, pins, mass."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.rack import KINDS, copy_piece
from gridjig.edits.sizes import sizes
from gridjig.files.library.assets import starter_racks
from gridjig.geometry.display import Arc, Circle, Dimension, DisplayList, Polyline, Shape
from gridjig.geometry.piece_mass import mass_of
from gridjig.model import Display, Job
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.piece.piece_picture import IN_HAND, draw_piece
from gridjig.qt.style.appearance import Appearance
from gridjig.rack import Piece
from gridjig.session.document import Document
from gridjig.units import format_angle, format_length
from tests.qt.formhands import form_over, type_in
from tests.workshop import EMPTY, RACK, SHIM, laid, stop

MM = Display(unit="millimetres")
PIECES = [*RACK.pieces, *next(iter(starter_racks().values())).pieces]


def form_of(qtbot: QtBot, piece_id: str, job: Job = EMPTY, start: Job | None = None) -> PieceForm:
    def make(window: QWidget, document: Document, appearance: Appearance) -> PieceForm:
        return PieceForm(window, document, appearance, piece_id, start)

    return form_over(qtbot, job, make)


def piece_of(form: PieceForm, piece_id: str) -> Piece:
    return form.draft.job.rack.piece(piece_id)


# -- the picture -----------------------------------------------------------------------------------


def in_hand(drawing: DisplayList) -> list[Shape]:
    return [shape for shape in drawing if getattr(shape, "role", "") == IN_HAND]


UNSEEN = {"pivot.accuracy"}
"""Sizes that are no length and no angle of the drawing."""


@pytest.mark.parametrize("piece", PIECES, ids=[p.id for p in PIECES])
def test_every_size_of_every_piece_is_measured_in_the_picture(piece: Piece) -> None:
    measured = [s for s in sizes(piece) if s.id not in UNSEEN and abs(s.value) >= 1e-6]
    # Only a shim and a locking pin of two facts and no outline have nothing to measure.
    assert len(measured) >= 2 or piece.id in ("shim", "bolt")
    for size in measured:
        shown = in_hand(draw_piece(piece, MM, size))
        texts = [t for s in shown if (t := getattr(s, "text", ""))]
        wanted = format_angle(size.value) if size.unit == "deg" else format_length(size.value, MM)
        assert shown, size.id
        assert wanted.replace("−", "") in [t.replace("−", "") for t in texts], size.id


def test_a_size_is_measured_between_the_points_that_it_speaks_of() -> None:
    piece = RACK.piece("stop")
    spacing = next(s for s in sizes(piece) if s.id == "spacing.h2")
    (across,) = in_hand(draw_piece(piece, MM, spacing))
    assert isinstance(across, Dimension)
    assert {across.a, across.b} == {(0.0, 0.0), (50.0, 0.0)}


def test_the_front_view_stands_below_the_plan_and_shows_heights() -> None:
    piece = RACK.piece("clamp")
    drawing = draw_piece(piece, MM)
    plan_low = min(y for s in drawing if isinstance(s, Circle) for y in (s.centre[1] - s.radius,))
    front = [
        s for s in drawing if isinstance(s, Polyline) and max(y for _, y in s.points) < plan_low
    ]
    tall = max(max(y for _, y in s.points) - min(y for _, y in s.points) for s in front)
    assert tall == pytest.approx(80.0)
    assert any(s.role == "hidden" for s in front)


def test_an_angle_is_shown_by_an_arc() -> None:
    piece = RACK.piece("hinge")
    size = next(s for s in sizes(piece) if s.id == "pivot.high")
    arcs = [s for s in in_hand(draw_piece(piece, MM, size)) if isinstance(s, Arc)]
    assert arcs[0].end - arcs[0].start == pytest.approx(180.0)


def test_a_piece_without_an_outline_has_a_picture() -> None:
    assert draw_piece(SHIM, MM)


# -- sizes -----------------------------------------------------------------------------------------


def test_a_size_changes_the_draft_the_picture_and_the_mass(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    before = piece_of(form, "stop")
    type_in(form.sizes.fields["height"], "60")
    after = piece_of(form, "stop")
    assert after.height == 60.0
    assert after.faces[0].z_high == 60.0
    assert mass_of(after) > mass_of(before)
    assert form.document.job is EMPTY
    form.apply_button.click()
    assert form.document.job.rack.piece("stop").height == 60.0
    assert form.document.undo_name == "Change fixed stop"
    assert form.document.undo_count == 1


def test_the_size_in_hand_is_said_and_measured(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    form.activateWindow()
    form.sizes.fields["spacing.h2"].edit.setFocus()
    qtbot.waitUntil(lambda: "hole spacing" in form.caption.text())
    assert form.sizes.in_hand() is not None


@pytest.mark.expectation(30, 31)
def test_a_size_out_of_range_stays_and_is_explained(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    field = form.sizes.fields["spacing.h2"]
    type_in(field, "3")
    assert field.edit.text() == "3"
    assert field.has_complaint()
    form.apply_button.click()
    assert form.isVisible()
    assert form.focusWidget() is field.edit
    assert piece_of(form, "stop") == RACK.piece("stop")


def test_a_size_that_could_not_be_made_is_refused_in_words(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    type_in(form.sizes.fields["bore"], "60")
    assert form.sizes.fields["bore"].complaint.text()
    assert piece_of(form, "stop") == RACK.piece("stop")


def test_diameters_that_become_the_same_are_one_field_from_then_on(qtbot: QtBot) -> None:
    rack = starter_racks()["inch-3-4"]
    form = form_of(qtbot, "pin-3-4", structs.replace(EMPTY, rack=rack))
    assert {"diameter.1", "diameter.2"} <= set(form.sizes.fields)
    foot = form.sizes.fields["diameter.1"].edit.text()
    type_in(form.sizes.fields["diameter.1"], "19.05")
    assert "diameter.2" not in form.sizes.fields
    form.undo_button.click()
    assert form.sizes.fields["diameter.1"].edit.text() == foot
    assert "diameter.2" in form.sizes.fields


def test_larger_letters_are_taken_up_by_the_picture(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    before = form.picture.plotter()
    font = form.picture.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    form.picture.setFont(font)
    form.picture.grab()
    assert form.picture.plotter() is not before
    assert form.picture.plotter().height() > 1.8 * before.height()


def test_an_angle_is_typed_in_degrees(qtbot: QtBot) -> None:
    form = form_of(qtbot, "hinge")
    type_in(form.sizes.fields["pivot.high"], "170")
    pivot = piece_of(form, "hinge").pivot
    assert pivot is not None
    assert pivot.high == 170.0


# -- facts -----------------------------------------------------------------------------------------


def test_name_count_bin_hand_and_flip_are_changed(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    form.tabs.setCurrentIndex(1)
    facts = form.facts
    type_in(facts.name, "long stop")
    type_in(facts.wording, "90 mm")
    type_in(facts.owned, "11")
    type_in(facts.bin, "B7")
    facts.flips.click()
    facts.hand.box.activated.emit(1)
    piece = piece_of(form, "stop")
    assert (piece.name, piece.size, piece.owned, piece.bin) == ("long stop", "90 mm", 11, "B7")
    assert (piece.flips, piece.hand) == (False, "left")
    assert form.draft.job.rack.walk[-1] == "B7"
    assert form.windowTitle() == "Piece: long stop"


def test_a_kind_that_the_piece_cannot_be_is_refused_in_words(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    form.facts.kind.box.activated.emit(KINDS.index("riser"))
    assert piece_of(form, "stop").kind == "fixed stop"
    assert form.facts.kind.value() == "fixed stop"
    assert "thickness" in form.said.text()


def test_the_mass_can_be_typed_from_the_scale(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    type_in(form.facts.mass, "1.4 kg")
    assert piece_of(form, "stop").mass == 1.4
    assert "outline" in form.facts.mass.note.words()


def test_the_pins_it_takes_are_ticked_and_put_in_order(qtbot: QtBot) -> None:
    thick = structs.replace(RACK.piece("bolt"), id="thick", name="thick pin")
    job = structs.replace(EMPTY, rack=RACK.with_piece(thick))
    form = form_of(qtbot, "stop", job)
    form.tabs.setCurrentIndex(1)
    takes = form.facts.takes
    assert takes.keys() == ("bolt", "thick")
    takes.list.item(1).setCheckState(Qt.CheckState.Checked)
    assert piece_of(form, "stop").takes == ("bolt", "thick")
    takes.list.setCurrentRow(1)
    QTest.keyClick(takes.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert piece_of(form, "stop").takes == ("thick", "bolt")
    assert "pinned with thick pin" in form.facts.pins_note.text()
    takes.list.item(0).setCheckState(Qt.CheckState.Unchecked)
    assert piece_of(form, "stop").takes == ("bolt",)


def test_a_piece_with_its_own_pin_asks_for_none(qtbot: QtBot) -> None:
    form = form_of(qtbot, "pin")
    form.tabs.setCurrentIndex(1)
    assert not form.facts.takes.isVisible()


def test_a_fact_that_is_not_accepted_is_led_to(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    form.tabs.setCurrentIndex(1)
    type_in(form.facts.owned, "many")
    form.tabs.setCurrentIndex(0)
    form.apply_button.click()
    assert form.isVisible()
    assert form.tabs.currentIndex() == 1
    assert form.said.text().startswith("On hand: “many” is not a whole number")


def test_a_size_that_was_typed_stays_when_a_spacing_is_changed(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    type_in(form.sizes.fields["length.0"], "96")
    type_in(form.sizes.fields["spacing.h2"], "60")
    assert form.sizes.fields["length.0"].value() == pytest.approx(96.0)
    assert form.sizes.fields["spacing.h2"].value() == pytest.approx(60.0)
    type_in(form.sizes.fields["spacing.h2"], "99")
    assert "was typed as 96 mm" in form.sizes.fields["spacing.h2"].complaint.text()
    assert form.sizes.fields["length.0"].value() == pytest.approx(96.0)


def test_typed_sizes_stay_in_the_next_form_until_they_are_let_go(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    assert form.sizes.kept.isHidden()
    assert form.sizes.release.isHidden()
    type_in(form.sizes.fields["length.0"], "96")
    assert form.sizes.kept.text() == (
        "Typed, so they stay when another size changes: overall, left to right."
    )
    form.apply_button.click()
    again = PieceForm(form, form.document, form.appearance, "stop")
    qtbot.addWidget(again)
    assert not again.sizes.release.isHidden()
    type_in(again.sizes.fields["spacing.h2"], "60")
    assert again.sizes.fields["length.0"].value() == pytest.approx(96.0)
    again.sizes.release.click()
    assert again.sizes.release.isHidden()
    type_in(again.sizes.fields["spacing.h2"], "65")
    assert again.sizes.fields["length.0"].value() == pytest.approx(101.0)
    assert again.draft.undo_name.startswith("Change hole spacing of ")


def test_a_size_that_was_not_typed_is_told_when_it_goes_along(qtbot: QtBot) -> None:
    form = form_of(qtbot, "stop")
    before = form.sizes.fields["length.0"].value()
    assert isinstance(before, float)
    type_in(form.sizes.fields["spacing.h2"], "60")
    assert form.sizes.fields["length.0"].value() == pytest.approx(before + 10)
    assert form.said.text() == f"With it, overall, left to right is now {before + 10:.0f} mm."


# -- new pieces, and pieces in use -----------------------------------------------------------------


def test_a_copy_is_put_on_the_rack_as_one_step(qtbot: QtBot) -> None:
    start, copy_id = copy_piece(EMPTY, "stop")
    form = form_of(qtbot, copy_id, EMPTY, start)
    assert form.apply_button.text() == "Add it to the rack"
    assert not form.changed()
    type_in(form.facts.name, "short stop")
    form.apply_button.click()
    assert form.document.job.rack.piece(copy_id).name == "short stop"
    assert form.document.undo_name == "Add short stop"
    assert form.document.undo_count == 1


def test_a_change_that_makes_a_placed_piece_fall_is_said_first(qtbot: QtBot) -> None:
    job = laid(stop("a", 2, 2))
    form = form_of(qtbot, "stop", job)
    type_in(form.sizes.fields["spacing.h2"], "60")
    assert "1 placed piece no longer fits. fixed stop: " in form.lost.text()
    form.apply_button.click()
    assert form.document.job is job
    form.apply_button.click()
    assert form.document.job.placements == job.placements
    assert form.document.job.rack.piece("stop").mounts[1] != RACK.piece("stop").mounts[1]


def test_pin_length_and_force_are_asked_of_what_has_them(qtbot: QtBot) -> None:
    form = form_of(qtbot, "clamp")
    facts = form.facts
    assert not facts.deep.isHidden()  # its shank
    assert facts.deep.note.words() == "0 if not known"
    type_in(facts.deep, "22")
    assert piece_of(form, "clamp").pin_length == 22.0
    type_in(facts.force, "900 N")
    tip = piece_of(form, "clamp").tip
    assert tip is not None
    assert tip.force == 900.0
    held = form_of(qtbot, "stop").facts
    assert held.deep.isHidden()
    assert held.force.isHidden()
