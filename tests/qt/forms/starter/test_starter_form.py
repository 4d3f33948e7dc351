"""The form of standard weldments: typed by hand, beside its live picture, put on as one step."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from gridjig.edits.starters import STARTERS, starter
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Member, Section
from gridjig.model.by_weldment import parts_of
from gridjig.qt.forms.starter.starter_form import StarterForm
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.fields import TypedField
from gridjig.session.document import Document
from gridjig.sheets.lists.cut_list import cut_list
from tests.qt.formhands import LOOK
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, empty, load

HAND = "trial weldments, reckoned by hand"


def form_over(qtbot: QtBot, job: Job, appearance: Appearance = LOOK) -> StarterForm:
    window = QLabel()
    form = StarterForm(window, Document(job), appearance)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    form.under = window  # type: ignore[attr-defined]  # it must live as long as its form
    qtbot.addWidget(window, before_close_func=lambda _: form.reject())
    form.resize(1240, 740)
    form.show()
    qtbot.waitExposed(form)
    return form


@pytest.fixture
def form(qtbot: QtBot) -> StarterForm:
    return form_over(qtbot, empty(load("T01")))


def turn_to(form: StarterForm, key: str) -> None:
    form.kinds.setCurrentRow(STARTERS.index(starter(key)))


def size(form: StarterForm, key: str) -> TypedField:
    return form.fields.sizes[key]


def type_in(field: TypedField, text: str) -> None:
    """Type over what stands in a field and leave it; Enter would press the bold button."""
    field.edit.setFocus()
    field.edit.selectAll()
    if text:
        QTest.keyClicks(field.edit, text)
    else:
        QTest.keyClick(field.edit, Qt.Key.Key_Delete)
    field.apply()


def choose(form: StarterForm, key: str, option: str) -> None:
    box = form.fields.choices[key].box
    choice = next(one for one in form.fields.starter.choices if one.key == key)
    box.setCurrentIndex(choice.options.index(option))
    box.activated.emit(box.currentIndex())


@pytest.mark.source("method", HAND)
@pytest.mark.expectation(28, 32, 36, 61)
def test_the_butted_frame_of_the_trial_comes_from_the_form(form: StarterForm) -> None:
    data = load("T01")
    type_in(size(form, "width"), "24")
    type_in(size(form, "depth"), "24")
    choose(form, "corners", "front and back run through")
    type_in(form.corner, '11-1/2, 11 1/2"')
    assert form.mass.text() == "4 pieces to cut, 22.4 lb"
    assert form.told.text().startswith('2 × 2x2x1/8 square tube, 24"')
    form.apply_button.click()
    document = form.document
    assert document.undo_count == 1
    assert document.undo_name == "Put a rectangular frame on the table"
    wanted = sorted(
        sorted((round(x + 11.5, 3), round(y + 11.5, 3)) for x, y in m["plan"])
        for m in data["members"]
    )
    got = sorted(
        sorted((round(x / INCH, 3), round(y / INCH, 3)) for x, y in part_ring(part))
        for part in document.job.parts
    )
    assert got == wanted
    assert cut_list(document.job).mass / 0.45359237 == pytest.approx(data["mass"], abs=0.01)
    assert all(isinstance(part, Member) for part in document.job.parts)
    assert document.selection == {part.id for part in document.job.parts}
    document.undo()
    assert document.job.parts == ()


@pytest.mark.parametrize("key", [one.key for one in STARTERS])
def test_every_weldment_begins_whole_and_free(form: StarterForm, key: str) -> None:
    turn_to(form, key)
    assert form.apply_button.isEnabled()
    assert form.picture.accessibleDescription().startswith(starter(key).name)
    assert "to cut" in form.mass.text()
    form.apply_button.click()
    assert len(form.document.job.parts) == len(form.parts)


@pytest.mark.expectation(30, 85)
def test_a_wrong_size_keeps_its_text_and_the_form_leads_there(form: StarterForm) -> None:
    field = size(form, "width")
    type_in(field, "abc")
    assert field.edit.text() == "abc"
    assert field.has_complaint()
    assert field.value() == 24 * INCH
    form.apply_button.click()
    assert form.said.text().startswith("Overall width: “abc” is not understood")
    assert form.document.job.parts == ()
    assert field.edit.hasFocus()


@pytest.mark.expectation(31)
def test_ranges_are_round_and_beside_their_fields(form: StarterForm) -> None:
    assert size(form, "width").note.words() == '1/2" to 787"'
    turn_to(form, "gable")
    assert size(form, "pitch").note.words().startswith("3° to 80°")
    type_in(size(form, "pitch"), "85")
    assert "goes from 3° to 80°" in size(form, "pitch").complaint.text()
    type_in(size(form, "pitch"), "4:12")
    assert size(form, "pitch").value() == pytest.approx(18.4349, abs=1e-4)
    turn_to(form, "ring")
    type_in(size(form, "sides"), "2")
    assert "goes from 3 to 60" in size(form, "sides").complaint.text()


@pytest.mark.expectation(85, 94)
def test_sizes_that_do_not_go_together_are_told_and_the_picture_stays(form: StarterForm) -> None:
    turn_to(form, "bracket")
    before = form.parts
    type_in(size(form, "arm"), "9")
    assert "runs past the end of the arm" in form.said.text()
    assert not form.apply_button.isEnabled()
    assert "runs past" in form.apply_button.toolTip()
    assert form.parts == before
    form.apply()
    assert form.document.job.parts == ()
    type_in(size(form, "arm"), "20")
    assert form.apply_button.isEnabled()
    assert form.said.text() == ""


def test_stock_is_searched_by_typing_and_a_wrong_one_stays(form: StarterForm) -> None:
    cell = form.fields.stock["frame"]
    edit = cell.box.lineEdit()
    assert edit is not None
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "2x2x1/4")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    section = form.fields.sections()["frame"]
    assert section.wall == pytest.approx(INCH / 4)
    heavy = form.mass.text()
    edit.selectAll()
    QTest.keyClicks(edit, "9x9x9")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert "not on the list" in cell.complaint.text()
    assert form.mass.text() == heavy
    form.apply_button.click()
    assert form.said.text().startswith("Frame: “9x9x9”")


def test_an_own_section_can_be_added_from_the_list(form: StarterForm, qtbot: QtBot) -> None:
    cell = form.fields.stock["frame"]
    cell.box.adding.emit()
    from gridjig.qt.forms.shop.section_form import SectionForm

    own = form.findChild(SectionForm)
    assert own is not None
    made = Section(name="60x60x5 own", kind="square tube", width=60, height=60, wall=5)
    own.made.emit(made)
    assert form.fields.sections()["frame"] == made
    assert "60x60x5 own" in form.told.text()
    own.reject()


# -- the place -------------------------------------------------------------------------------------


@pytest.mark.expectation(28)
def test_the_corner_takes_a_hole_or_two_lengths(form: StarterForm) -> None:
    table = form.document.job.table
    type_in(form.corner, "C4")
    assert form.corner.value() == table.at(table.nearest(5 * INCH, 7 * INCH))
    assert form.corner.edit.text() == "C4"
    type_in(form.corner, "3.25, 100mm")
    assert form.corner.value() == pytest.approx((3.25 * INCH, 100.0))
    type_in(form.corner, "nowhere")
    assert form.corner.has_complaint()
    form.apply_button.click()
    assert form.said.text().startswith("Front left corner at: “nowhere”")


def test_a_typed_place_stays_when_the_sizes_change(form: StarterForm) -> None:
    free = form.corner.value()
    type_in(size(form, "width"), "10")
    assert form.corner.value() != free
    type_in(form.corner, "A1")
    type_in(size(form, "width"), "12")
    assert form.corner.edit.text() == "A1"
    type_in(form.z_low, "1")
    form.apply_button.click()
    assert {part.z_low for part in form.document.job.parts} == {INCH}
    low = min(p for part in form.document.job.parts for p in part_ring(part))
    assert low == pytest.approx((INCH, INCH))


def test_a_place_over_the_edge_or_on_others_is_told(qtbot: QtBot) -> None:
    form = form_over(qtbot, KEYED["T01"]())
    type_in(form.corner, "X24")
    assert form.said.text() == "▲ It overhangs the edge of the table."
    assert form.place.accessibleDescription() == "It overhangs the edge of the table."
    type_in(form.corner, "F6")
    assert "close to, or on top of, A bottom" in form.said.text()
    form.apply_button.click()
    assert len(form.document.job.parts) == 8


def test_too_high_above_the_table_is_told_and_the_field_is_shown(form: StarterForm) -> None:
    """Its upper faces would be over 100 m up; the plates of a tripod stand on edge."""
    turn_to(form, "tripod")
    type_in(form.z_low, "3936.9")
    told = form.said.text()
    assert "the upper height is" in told
    assert "it must be from" in told
    form.kinds.setFocus()
    form.apply_button.click()
    assert not form.document.job.parts
    assert form.said.text() == told
    assert form.z_low.edit.hasFocus()
    type_in(form.z_low, "1")
    assert form.said.text() == ""
    form.apply_button.click()
    assert min(part.z_low for part in form.document.job.parts) == INCH


def test_too_far_off_is_told_while_the_sizes_are_typed(form: StarterForm) -> None:
    type_in(form.corner, "3910, 0")
    assert "overhangs" in form.said.text()
    type_in(size(form, "width"), "60")
    assert "it must be from" in form.said.text()
    form.apply_button.click()
    assert not form.document.job.parts
    assert form.corner.edit.hasFocus()
    type_in(size(form, "width"), "10")
    assert "overhangs" in form.said.text()


# -- keys, names, gloves ---------------------------------------------------------------------------


@pytest.mark.expectation(32, 61, 66)
def test_tab_goes_down_the_fields_and_every_one_has_a_name(form: StarterForm) -> None:
    turn_to(form, "bracket")
    form.kinds.setFocus()
    names = []
    for _ in range(12):
        QTest.keyClick(form.focusWidget(), Qt.Key.Key_Tab)
        names.append(form.focusWidget().accessibleName() or form.focusWidget().property("text"))
    assert names[:4] == [s.label for s in starter("bracket").sizes]
    assert names[4:9] == ["Where the corner is", "Corner", "Height of the brace", "Frame", "Brace"]
    assert names[9:11] == ["Front left corner at", "Underside at"]
    assert form.kinds.accessibleName() == "Standard weldments"


@pytest.mark.expectation(72)
def test_targets_are_large_enough_for_gloves(qtbot: QtBot) -> None:
    appearance = Appearance(THEMES["dark"], Metrics(4.0, glove=True))
    form = form_over(qtbot, empty(load("T01")), appearance)
    assert form.kinds.iconSize().height() >= appearance.metrics.target


def test_enter_in_a_field_presses_the_bold_button(form: StarterForm) -> None:
    turn_to(form, "gate")
    edit = size(form, "width").edit
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "40")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert form.isHidden()
    assert [p.name for p in form.document.job.parts][:2] == ["Left stile", "Right stile"]


def test_enter_in_the_list_presses_the_bold_button(form: StarterForm) -> None:
    turn_to(form, "ladder")
    form.kinds.setFocus()
    QTest.keyClick(form.kinds, Qt.Key.Key_Return)
    assert form.isHidden()
    assert form.document.undo_count == 1


def test_places_are_typed_in_a_row(form: StarterForm) -> None:
    turn_to(form, "ladder")
    places = form.fields.lists["places"]
    type_in(places, "0, 12; 30")
    xs = [part.x / INCH for part in form.parts[2:]]
    assert xs == pytest.approx([6.0, 18.0, 36.0])
    type_in(places, "")
    assert len(form.parts) == 2 + 5
    type_in(places, "0, nowhere")
    assert places.has_complaint()
    form.apply_button.click()
    assert form.said.text().startswith("Or rungs at:")


def test_it_opens_with_the_weldment_that_was_made_last(qtbot: QtBot) -> None:
    job = empty(load("T01"))
    assert form_over(qtbot, job).fields.starter.key == "frame"
    for key in ("ladder", "gate", "ladder"):
        form = form_over(qtbot, job)
        turn_to(form, key)
        form.apply_button.click()
        assert form_over(qtbot, job).fields.starter.key == key


def test_what_was_typed_is_there_the_next_time(qtbot: QtBot) -> None:
    job = empty(load("T01"))
    first = form_over(qtbot, job)
    turn_to(first, "gate")
    type_in(size(first, "width"), "41")
    type_in(first.fields.lists["rails"], "0, 30")
    box = first.fields.choices["brace"].box
    box.setCurrentIndex(1)
    box.activated.emit(1)
    first.apply_button.click()
    again = form_over(qtbot, job)
    turn_to(again, "gate")
    assert size(again, "width").edit.text() == '41"'
    assert again.fields.lists["rails"].value() == pytest.approx((0.0, 30.0 * INCH))
    assert again.fields.chosen() == {"brace": "rises to the right"}
    turn_to(again, "frame")
    assert size(again, "width").edit.text() == '24"'


def test_a_second_one_is_a_weldment_of_its_own_unless_told_otherwise(qtbot: QtBot) -> None:
    first = form_over(qtbot, empty(load("T01")))
    assert first.own_weldment.isHidden()
    first.apply()
    job = first.document.job
    assert len(job.weldments) == 1
    second = form_over(qtbot, job)
    assert not second.own_weldment.isHidden()
    second.apply()
    both = second.document.job
    assert [(one.name, len(parts_of(both, one.id))) for one in both.weldments] == [
        ("Rectangular frame", 4),
        ("Rectangular frame 2", 4),
    ]
    third = form_over(qtbot, job)
    third.own_weldment.click()
    third.apply()
    assert len(third.document.job.weldments) == 1
    assert len(third.document.job.parts) == 8


def test_a_section_that_no_part_has_is_not_asked_for(form: StarterForm) -> None:
    for key, name in (("gate", "brace"), ("gable", "post")):
        turn_to(form, key)
        choice, cell = form.fields.choices[name], form.fields.stock[name]
        shown = []
        for at in range(choice.box.count()):
            choice.box.setCurrentIndex(at)
            choice.box.activated.emit(at)
            shown.append((choice.value() == "none", cell.isVisible()))
        assert (True, False) in shown
        assert (False, True) in shown
        assert all(none != visible for none, visible in shown), key
