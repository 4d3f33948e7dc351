"""The table's form: numbers that fit, addresses, marked holes, and what applying would do."""

import pytest
from msgspec import structs
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.table import mark_holes, set_labels
from gridjig.files.library import user_library
from gridjig.files.library.assets import ready_tables
from gridjig.files.storage.locations import user_library_file
from gridjig.model import Display, Hole, Job, LabelScheme, Table
from gridjig.model.labels import address
from gridjig.qt.dialogs import questions
from gridjig.qt.forms.table.table_form import TableForm
from tests.qt.formhands import form_over, type_in
from tests.qt.windows import make_window
from tests.workshop import EMPTY, laid, pin, stop

MM = Display(unit="millimetres")
LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


@pytest.fixture
def form(qtbot: QtBot) -> TableForm:
    return form_over(qtbot, EMPTY, TableForm)


def table_of(form: TableForm) -> Table:
    return form.draft.job.table


# -- numbers ---------------------------------------------------------------------------------------


def test_a_number_typed_changes_the_draft_and_only_applying_changes_the_job(
    form: TableForm,
) -> None:
    type_in(form.numbers.fields["thickness"], "20")
    assert table_of(form).thickness == 20.0
    assert form.document.job is EMPTY
    form.apply_button.click()
    assert form.document.job.table.thickness == 20.0
    assert form.document.undo_name == "Change the thickness of the table"
    assert form.document.undo_count == 1
    assert not form.isVisible()


def test_many_changes_are_one_step(form: TableForm) -> None:
    type_in(form.numbers.fields["thickness"], "20")
    type_in(form.numbers.fields["hole_diameter"], "18")
    form.apply_button.click()
    assert form.document.undo_count == 1
    assert form.document.undo_name == "Change the table"


@pytest.mark.expectation(30, 31, 85, 89)
def test_columns_that_do_not_fit_are_said_at_the_field_and_cannot_be_applied(
    form: TableForm,
) -> None:
    columns = form.numbers.fields["columns"]
    type_in(form.numbers.fields["width"], "800")
    assert "at most 16 fit the width of 800 mm" in columns.complaint.text()
    assert columns.edit.text() == "23"
    assert table_of(form).width == 1200.0
    form.apply_button.click()
    assert form.isVisible()
    assert form.focusWidget() is columns.edit
    assert form.said.text().startswith("Columns: 23 columns do not fit")
    QTest.keyClick(columns.edit, Qt.Key.Key_Return)
    assert columns.has_complaint()
    type_in(columns, "12")
    assert not columns.has_complaint()
    assert (table_of(form).width, table_of(form).columns) == (800.0, 12)


def test_numbers_that_contradict_can_be_taken_back(form: TableForm) -> None:
    type_in(form.numbers.fields["columns"], "90")
    assert form.undo_button.isEnabled()
    form.undo_button.click()
    assert form.numbers.fields["columns"].edit.text() == "23"
    assert not form.numbers.fields["columns"].has_complaint()
    assert not form.unsettled()
    assert not form.undo_button.isEnabled()


@pytest.mark.expectation(30)
def test_a_text_that_is_no_length_stays_and_is_explained(form: TableForm) -> None:
    field = form.numbers.fields["pitch_x"]
    type_in(field, "abc")
    assert field.edit.text() == "abc"
    assert field.has_complaint()
    form.apply_button.click()
    assert form.isVisible()
    assert table_of(form).pitch_x == 50.0


def test_undo_and_redo_go_step_by_step_in_the_form(form: TableForm) -> None:
    field = form.numbers.fields["thickness"]
    type_in(field, "20")
    form.undo_button.click()
    assert (table_of(form).thickness, field.edit.text()) == (16.0, "16 mm")
    form.redo_button.click()
    assert (table_of(form).thickness, field.edit.text()) == (20.0, "20 mm")
    assert not form.redo_button.isEnabled()


def test_filling_the_plate_keeps_a_first_hole_that_was_typed(form: TableForm) -> None:
    type_in(form.numbers.fields["first_x"], "25")
    form.numbers.fill.click()
    assert (table_of(form).first_x, table_of(form).columns) == (25.0, 24)
    assert (table_of(form).first_y, table_of(form).rows) == (25.0, 20)


def test_a_first_hole_still_being_typed_counts_when_the_plate_is_filled(form: TableForm) -> None:
    edit = form.numbers.fields["first_y"].edit
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "40")
    form.numbers.fill.click()
    assert (table_of(form).first_y, table_of(form).rows) == (40.0, 19)


def test_filling_the_plate_takes_the_holes_that_fit(form: TableForm) -> None:
    form.numbers.fill.click()
    assert (table_of(form).columns, table_of(form).rows) == (24, 20)
    assert table_of(form).first_x == 25.0


def test_a_ready_table_is_taken_and_its_name_goes_when_its_numbers_do(form: TableForm) -> None:
    ready = form.numbers.ready
    ready.setCurrentIndex(2)
    ready.activated.emit(2)
    assert table_of(form) == list(ready_tables().values())[2]
    assert ready.currentIndex() == 2
    type_in(form.numbers.fields["thickness"], "25")
    assert ready.currentIndex() == -1
    assert "other numbers" in form.numbers.name.note.words()


def test_a_tolerance_in_inches_is_shown_in_thousandths(qtbot: QtBot) -> None:
    table = next(iter(ready_tables().values()))
    form = form_over(qtbot, structs.replace(EMPTY, table=table, display=Display()), TableForm)
    assert form.numbers.fields["hole_tolerance"].edit.text() == '.005"'
    assert "lb" in form.numbers.about.text()


# -- tables of one's own ---------------------------------------------------------------------------


def test_a_table_is_kept_for_new_jobs_and_forgotten(form: TableForm) -> None:
    type_in(form.numbers.name, "Bench by the door")
    form.numbers.keep.click()
    assert [t.name for t in user_library.load().tables] == ["Bench by the door"]
    assert form.numbers.ready.currentText() == "own: Bench by the door"
    form.numbers.forget.click()
    assert user_library.load().tables == ()
    assert not form.numbers.forget.isEnabled()


def test_a_table_is_not_kept_under_the_name_of_a_ready_one_or_while_it_contradicts(
    form: TableForm,
) -> None:
    type_in(form.numbers.name, next(iter(ready_tables().values())).name)
    form.numbers.keep.click()
    assert "another." in form.numbers.name.complaint.text()
    type_in(form.numbers.name, "Mine")
    type_in(form.numbers.fields["columns"], "99")
    form.numbers.keep.click()
    assert user_library.load().tables == ()


def test_a_damaged_file_of_own_tables_is_said(form: TableForm) -> None:
    user_library_file().parent.mkdir(parents=True, exist_ok=True)
    user_library_file().write_text("{}")
    type_in(form.numbers.name, "Mine")
    form.numbers.keep.click()
    assert "cannot be read" in form.said.text()
    form.numbers.forget_table()
    assert "cannot be read" in form.said.text()
    assert user_library_file().read_text() == "{}"


# -- addresses -------------------------------------------------------------------------------------


def test_another_scheme_of_addresses_is_shown_at_once_and_changes_no_hole(qtbot: QtBot) -> None:
    form = form_over(qtbot, laid(pin("a", 2, 2)), TableForm)
    form.tabs.setCurrentIndex(1)
    labels = form.labels
    for field, value in (("along_x", "numbers"), ("zero", "back right"), ("operator", "left")):
        labels.boxes[field].chosen.emit(value)
    assert table_of(form).labels.operator == "left"
    front, back = (address(table_of(form), h) for h in (Hole(0, 0), Hole(22, 18)))
    assert labels.example.text() == f"Front left is {front}, back right is {back}."
    assert not labels.skip.isEnabled()
    form.apply_button.click()
    assert form.document.job.placements == laid(pin("a", 2, 2)).placements
    assert form.document.undo_name == "Change the table"


def test_letters_are_left_out_by_a_tick(form: TableForm) -> None:
    form.labels.skip.click()
    assert table_of(form).labels.skip_i_o
    form.undo_button.click()
    assert not form.labels.skip.isChecked()


# -- marked holes ----------------------------------------------------------------------------------


def at_hole(form: TableForm, col: int, row: int) -> QPoint:
    view = form.picture.view().times(1 / form.picture.dots)
    x, y = view.to_screen(table_of(form).at(Hole(col, row)))
    return QPoint(round(x), round(y))


@pytest.fixture
def marking(form: TableForm) -> TableForm:
    form.tabs.setCurrentIndex(2)
    return form


def marked(form: TableForm) -> dict[Hole, str]:
    return {m.hole: m.state for m in table_of(form).marks}


def test_a_click_in_the_picture_marks_a_hole_and_takes_the_mark_off(marking: TableForm) -> None:
    place = at_hole(marking, 3, 4)
    QTest.mouseClick(marking.picture, LEFT, pos=place)
    assert marked(marking) == {Hole(3, 4): "blocked"}
    assert marking.holes.head.text() == "1 marked hole"
    QTest.mouseClick(marking.picture, LEFT, pos=place)
    assert marked(marking) == {}


def test_a_box_in_the_picture_marks_every_hole_in_it(marking: TableForm) -> None:
    marking.holes.buttons["damaged"].click()
    QTest.mousePress(marking.picture, LEFT, pos=at_hole(marking, 1, 1))
    QTest.mouseMove(marking.picture, at_hole(marking, 2, 2))
    QTest.mouseMove(marking.picture, at_hole(marking, 3, 4))
    assert marking.draft.previewing
    QTest.mouseRelease(marking.picture, LEFT, pos=at_hole(marking, 3, 4))
    assert len(marked(marking)) == 12
    assert set(marked(marking).values()) == {"damaged"}


@pytest.mark.expectation(61)
def test_holes_are_marked_by_keys_alone(marking: TableForm) -> None:
    marking.picture.setFocus()
    QTest.keyClick(marking.picture, Qt.Key.Key_Right)
    QTest.keyClick(marking.picture, Qt.Key.Key_Return)
    assert marked(marking) == {Hole(12, 9): "blocked"}
    assert "blocked" in marking.said.text() or marking.said.text()


def test_a_pattern_marks_with_state_and_size(marking: TableForm) -> None:
    holes = marking.holes
    holes.buttons["shallow"].click()
    assert holes.measure.isVisible()
    type_in(holes.measure, "6")
    type_in(holes.pattern, "every 5th column from C")
    columns = {hole.col for hole in marked(marking)}
    assert columns == {2, 7, 12, 17, 22}
    assert {(m.state, m.size) for m in table_of(marking).marks} == {("shallow", 6.0)}
    assert "95 holes are marked shallow." in marking.said.text()
    holes.buttons["free"].click()
    assert not holes.measure.isVisible()
    type_in(holes.pattern, "C, H, M")
    assert {hole.col for hole in marked(marking)} == {17, 22}


def test_an_oversize_hole_must_be_wider_than_the_others(marking: TableForm) -> None:
    marking.holes.buttons["oversize"].click()
    type_in(marking.holes.measure, "10")
    assert marking.holes.measure.has_complaint()
    type_in(marking.holes.measure, "17")
    type_in(marking.holes.pattern, "A1")
    assert [(m.state, m.size) for m in table_of(marking).marks] == [("oversize", 17.0)]


@pytest.mark.expectation(31)
def test_the_patterns_named_as_examples_are_taken(marking: TableForm) -> None:
    for scheme in (LabelScheme(), LabelScheme(along_x="numbers", zero="back right", first="y")):
        marking.draft.do(set_labels(marking.draft.job, scheme), "Change the addresses")
        examples = marking.holes.pattern.note.words().split(" · ")
        assert len(examples) == 3
        for example in examples:
            type_in(marking.holes.pattern, example)
            assert not marking.holes.pattern.has_complaint(), example


@pytest.mark.expectation(30)
def test_a_pattern_that_means_nothing_stays_and_is_explained(marking: TableForm) -> None:
    type_in(marking.holes.pattern, "the middle")
    assert marking.holes.pattern.edit.text() == "the middle"
    assert "such as" in marking.holes.pattern.complaint.text()
    assert marked(marking) == {}


def test_chosen_marks_are_cleared_from_the_list(qtbot: QtBot) -> None:
    job = mark_holes(EMPTY, {Hole(0, 0), Hole(1, 1)}, "reserved")
    job = mark_holes(job, {Hole(5, 5)}, "shallow", 4.0)
    form = form_over(qtbot, job, TableForm)
    form.tabs.setCurrentIndex(2)
    rows = [e.text for e in form.holes.list.lines.entries]
    assert rows == [
        "Shallow, 1",
        "F6, shallow 4 mm deep",
        "Reserved, 2",
        "A1, reserved",
        "B2, reserved",
    ]
    form.holes.list.setCurrentIndex(form.holes.list.lines.index(3))
    QTest.keyClick(form.holes.list, Qt.Key.Key_Delete)
    assert set(marked(form)) == {Hole(1, 1), Hole(5, 5)}
    form.holes.clear_all.click()
    assert marked(form) == {}
    form.holes.clear_all.click()
    assert form.draft.undo_count == 2


def test_marks_beyond_a_smaller_table_go_and_come_back_with_undo(qtbot: QtBot) -> None:
    job = mark_holes(EMPTY, {Hole(0, 0), Hole(22, 18)}, "blocked")
    form = form_over(qtbot, job, TableForm)
    type_in(form.numbers.fields["columns"], "10")
    assert set(marked(form)) == {Hole(0, 0)}
    form.undo_button.click()
    assert len(marked(form)) == 2


def test_the_picture_zooms_moves_and_follows_the_keys(marking: TableForm) -> None:
    picture = marking.picture
    whole = picture.view().scale
    picture.setFocus()
    for _ in range(6):
        QTest.keyClicks(picture, "+")
    assert picture.view().scale > 3 * whole
    for _ in range(12):
        QTest.keyClick(picture, Qt.Key.Key_Right)
    x = picture.view().to_screen(table_of(marking).at(Hole(22, 9)))[0]
    assert 0 < x < picture.size_in_dots()[0]
    QTest.mousePress(picture, Qt.MouseButton.MiddleButton, pos=QPoint(200, 200))
    before = picture.view().left
    QTest.mouseMove(picture, QPoint(230, 200))
    assert picture.view().left == pytest.approx(before + 30 * picture.dots)
    QTest.mouseRelease(picture, Qt.MouseButton.MiddleButton, pos=QPoint(230, 200))
    QTest.keyClicks(picture, "0")
    assert picture.view().scale == pytest.approx(whole)
    QTest.keyClicks(picture, "-")
    assert picture.view().scale == pytest.approx(whole)
    turned = QWheelEvent(
        QPointF(100, 100), picture.mapToGlobal(QPointF(100, 100)), QPoint(), QPoint(0, 120),
        Qt.MouseButton.NoButton, NONE, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(picture, turned)
    assert picture.view().scale > whole


# -- applying --------------------------------------------------------------------------------------


def test_pieces_that_would_lose_their_holes_are_named_before_applying(qtbot: QtBot) -> None:
    job = laid(structs.replace(pin("a", 20, 2), name="End pin"), stop("b", 2, 2))
    form = form_over(qtbot, job, TableForm)
    type_in(form.numbers.fields["columns"], "10")
    assert "1 placed piece no longer fits. End pin: " in form.lost.text()
    form.apply_button.click()
    assert form.isVisible()
    assert form.document.job is job
    assert form.apply_button.text() == "Change it anyway"
    form.apply_button.click()
    assert form.document.job.table.columns == 10
    assert form.document.job.placements == job.placements
    assert form.document.undo() is not None
    assert form.document.job is job


def answer_with(monkeypatch: pytest.MonkeyPatch, answer: str) -> list[str]:
    asked: list[str] = []

    def ask(question: questions.QuestionDialog) -> int:
        asked.append(question.accessibleName())
        question.answer = answer
        return 1

    monkeypatch.setattr(questions.QuestionDialog, "exec", ask)
    return asked


@pytest.mark.parametrize(
    ("answer", "open_still", "thickness"),
    [("stay", True, 16), ("throw", False, 16), ("apply", False, 20)],
)
def test_closing_asks_only_about_what_was_not_applied(
    form: TableForm,
    monkeypatch: pytest.MonkeyPatch,
    answer: str,
    open_still: bool,
    thickness: float,
) -> None:
    asked = answer_with(monkeypatch, answer)
    type_in(form.numbers.fields["thickness"], "20")
    form.cancel_button.click()
    assert asked == ["The table has not been changed yet"]
    assert form.isVisible() is open_still
    assert form.document.job.table.thickness == thickness


@pytest.mark.expectation(44)
def test_closing_asks_nothing_when_nothing_changed(
    form: TableForm, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = answer_with(monkeypatch, "stay")
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert asked == []
    assert form.document.job is EMPTY


# -- the form as a whole ---------------------------------------------------------------------------


@pytest.mark.expectation(66)
def test_every_part_that_takes_the_focus_has_a_name(form: TableForm) -> None:
    for kind in (QLineEdit, QPushButton):
        for part in form.findChildren(kind):
            assert part.accessibleName() or (isinstance(part, QPushButton) and part.text())
    assert form.picture.accessibleName() == "Picture of the table"


@pytest.mark.expectation(74)
def test_the_form_fits_a_small_screen(form: TableForm) -> None:
    least: QWidget = form
    assert least.minimumSizeHint().width() <= 1240
    assert least.minimumSizeHint().height() <= 700


def test_the_menu_opens_it_over_the_window(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("table.form")
    form = window.findChild(TableForm)
    assert form is not None
    assert form.isVisible()
    form.reject()


def test_it_shows_the_job_as_it_is(form: TableForm) -> None:
    job: Job = form.draft.job
    assert form.numbers.fields["columns"].edit.text() == str(job.table.columns)
    assert "weighs" in form.numbers.about.text()
