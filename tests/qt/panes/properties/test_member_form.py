"""The form of a member, its rows and mirrored copies, and the forms of a chain and of a section."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.edits import members
from gridjig.edits.members import between
from gridjig.files.library import user_library
from gridjig.geometry.part_mass import mass
from gridjig.model import EndCut, Job, Member, SawCut, Section
from gridjig.qt.forms.shop.chain_form import ChainForm, read_chain
from gridjig.qt.forms.shop.section_form import SectionForm
from gridjig.qt.panes.properties.member_form import MemberForm
from gridjig.qt.panes.properties.plate_form import PlateForm
from gridjig.qt.panes.properties.several_form import SeveralForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.plain import Button, Label
from gridjig.qt.widgets.section_box import ADD
from gridjig.qt.window.window import Window
from gridjig.session.document import Document
from gridjig.units import Display, ParseError
from tests.qt.formhands import LOOK
from tests.qt.windows import Answers, make_window, told
from tests.workshop import EMPTY, laid, pin, plate

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ANGLE = Section(name="50x30x5", kind="angle", width=50, height=30, wall=5, radius=5, toe=2.5)
A = between("a", "rail", TUBE, (100, 100), (500, 100))
L = between("l", "lug", ANGLE, (100, 300), (500, 300))
JOB = laid(A, L, plate("sheet", 600, 300), pin("p", 9, 9))


def selected(qtbot: QtBot, *ids: str, job: Job = JOB) -> Window:
    window = make_window(qtbot, job)
    window.document.select(ids)
    window.workspace.refresh()
    return window


def form(window: Window) -> MemberForm:
    shown = window.workspace.properties.form()
    assert isinstance(shown, MemberForm)
    return shown


def enter(field: TypedField, text: str) -> None:
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClick(field.edit, Qt.Key.Key_Delete)
    QTest.keyClicks(field.edit, text)
    QTest.keyClick(field.edit, Qt.Key.Key_Return)


def choose(cell: Choices, value: object) -> None:
    cell.set_value(value)
    cell.chosen.emit(value)
    QApplication.processEvents()


def member(window: Window, thing_id: str = "a") -> Member:
    found = window.document.job.find(thing_id)
    assert isinstance(found, Member)
    return found


@pytest.mark.expectation(28, 32, 36)
def test_every_size_and_place_is_typed_as_a_named_step(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    f = form(window)
    enter(f.name, "front rail")
    enter(f.length, "450")
    assert member(window).length == 450
    assert window.document.undo_name == "Change the length"
    choose(f.keep, "end")
    enter(f.long, "500")
    assert (member(window).long_point, member(window).x) == (500, 50)
    enter(f.short, "480")
    enter(f.at_x, "120")
    enter(f.at_y, "130")
    enter(f.turn, "4:12")
    enter(f.z_low, "6 1/4 in")
    enter(f.wide, "49.5")
    enter(f.high, "50.2")
    now = member(window)
    assert (now.name, now.length, now.x, now.y) == ("front rail", 480, 120, 130)
    assert (round(now.turn, 7), round(now.z_low, 6)) == (18.4349488, 158.75)
    assert now.measured == (49.5, 50.2)
    assert window.document.undo_count == 10


@pytest.mark.expectation(30, 85)
def test_what_cannot_be_is_said_at_the_field_and_the_old_value_stays(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    f = form(window)
    enter(f.length, "0")
    assert "more than 0" in f.length.complaint.text()
    enter(f.wide, "-3")
    assert "the measured size is −3 mm" in f.wide.complaint.text()
    assert window.document.job is JOB
    choose(f.end.kind, "mitre")
    enter(f.end.angle, "89")
    assert "at most 85° from square" in f.end.angle.complaint.text()
    choose(f.end.kind, "cope")
    enter(f.end.around, "20")
    assert "taller than the tube" in f.end.around.complaint.text()
    enter(f.end.around, "0")
    assert "more than 0" in f.end.around.complaint.text()


def test_both_ends_are_cut_by_choice_and_size(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    f = form(window)
    choose(f.end.kind, "mitre")
    assert member(window).end == EndCut("mitre", 45)
    enter(f.end.angle, "-30")
    assert member(window).end == EndCut("mitre", -30)
    assert member(window).long_point == pytest.approx(400 + 25 * 3**-0.5)
    choose(f.end.kind, "cope")
    enter(f.end.around, "60.3")
    assert member(window).end == EndCut("cope", -30, 60.3)
    choose(f.start.kind, "notch")
    assert member(window).start == EndCut("notch", 0, 0, 50, 25)
    enter(f.start.along, "30")
    enter(f.start.across, "10")
    choose(f.start.side, "right")
    assert member(window).start == EndCut("notch", 0, 0, 30, 10, "right")
    choose(f.start.kind, "square")
    assert member(window).start == EndCut()
    assert window.document.undo_name == "Cut the start"


def test_the_section_is_changed_by_list_and_by_typing(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    f = form(window)
    box = f.section.box
    edit = box.lineEdit()
    assert edit is not None
    choose(f.hold, "left")
    edit.setText("80 x 40 x 3")
    edit.returnPressed.emit()
    assert member(window).section.name == "80x40x3"
    assert member(window).y == 85
    edit.setText("frogs")
    edit.returnPressed.emit()
    assert "not on the list" in f.section.complaint.text()
    assert member(window).section.name == "80x40x3"
    at = box.findText("50x50x3 square tube")
    box.activated.emit(at)
    assert f.section.complaint.text() == ""
    assert member(window).width == 50
    edit.setText("2x2x1/8 square tube")
    edit.returnPressed.emit()
    edit.returnPressed.emit()
    assert member(window).width == pytest.approx(50.8)


def test_a_section_that_does_not_fit_the_ends_is_refused_in_words(qtbot: QtBot) -> None:
    job = members.set_cut(JOB, "a", "end", EndCut("cope", 0, 60.3))
    window = selected(qtbot, "a", job=job)
    said: list[str] = []
    form(window).message.connect(said.append)
    box = form(window).section.box
    box.activated.emit(box.findText("80x80x4 square tube"))
    assert "taller than the tube" in said[-1]
    assert box.currentText() == "50x50x3 square tube"


def test_way_up_and_hand_of_an_angle(qtbot: QtBot) -> None:
    window = selected(qtbot, "l")
    f = form(window)
    assert not f.hand.isHidden()
    words = f.way_up.box.currentText()
    assert words == "50 mm leg below, heel on the right"
    assert f.way_up.box.fontMetrics().horizontalAdvance(words) < f.way_up.box.width() - 24
    choose(f.way_up, 90)
    assert f.way_up.box.currentText() == "30 mm leg below, heel on the left"
    f.hand.click()
    assert (member(window, "l").way_up, member(window, "l").mirrored) == (90, True)
    window.document.select(["a"])
    window.workspace.refresh()
    assert f.hand.isHidden()
    assert f.way_up.isHidden()  # a square tube lies alike on every side


def test_a_flat_lies_flat_or_on_edge(qtbot: QtBot) -> None:
    flat = between("f", "bar", Section(name="x", kind="flat", width=50, height=8), (0, 0), (90, 0))
    window = selected(qtbot, "f", job=members.set_way_up(laid(flat), "f", 270))
    f = form(window)
    assert [f.way_up.box.itemText(k) for k in range(f.way_up.box.count())] == ["Flat", "On edge"]
    assert f.way_up.box.currentText() == "On edge"
    choose(f.way_up, 0)
    assert member(window, "f").way_up == 0


def test_a_way_up_that_does_not_fit_is_put_back(qtbot: QtBot) -> None:
    tall = between("t", "tall", Section(name="x", kind="flat", width=50, height=90), (0, 0), (9, 0))
    job = members.set_cut(laid(members.held(tall, tall, "centre")), "t", "end", EndCut())
    job = members.set_cut(members.set_way_up(job, "t", 90), "t", "end", EndCut("cope", 0, 60.3))
    window = selected(qtbot, "t", job=job)
    f = form(window)
    choose(f.way_up, 0)
    assert f.way_up.value() == 90
    assert window.document.job is job


@pytest.mark.source("method", "arithmetic: area of a 50x50x3 with 2T and 1T corners, 4.245 kg/m")
def test_mass_and_centre_of_gravity_are_told(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    assert mass(A) == pytest.approx(4.245 * 0.4, abs=1e-3)
    assert "1.7 kg" in form(window).weight.text()
    assert "300 mm, 100 mm, 25 mm high" in form(window).weight.text()
    told = form(window).weight.text()
    window.document.preview(members.set_length(window.document.job, "a", 900))
    window.workspace.refresh()
    assert form(window).weight.text() == told
    assert form(window).length.value() == 900


def test_a_row_of_copies_and_the_opposite_hand(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    repeat = form(window).repeat
    repeat.row.click()
    assert window.document.job is JOB
    enter(repeat.count, "3")
    enter(repeat.step_y, "75")
    repeat.row.click()
    assert [p.y for p in window.document.job.parts[-2:]] == [175, 250]
    assert len(window.document.selection) == 3
    several = window.workspace.properties
    several.refresh()
    shown = several.form()
    assert isinstance(shown, SeveralForm)
    assert "5.1 kg together" in shown.weight.text()
    choose(shown.repeat.axis, "y")
    enter(shown.repeat.about, "0")
    shown.repeat.keep.setChecked(True)
    shown.repeat.mirror.click()
    assert sorted(p.y for p in window.document.job.parts)[:3] == [-250, -175, -100]
    window.document.select(["l"])
    several.refresh()
    form(window).repeat.mirror.click()
    assert member(window, "l").mirrored
    enter(form(window).repeat.count, "1")
    form(window).repeat.row.click()
    enter(form(window).repeat.about, "frogs")
    form(window).repeat.mirror.click()
    assert member(window, "l").mirrored


def test_pieces_among_the_selected_have_no_rows(qtbot: QtBot) -> None:
    window = selected(qtbot, "a", "p")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    assert all(cell.isHidden() for cell in shown.repeat.cells())


def test_a_plate_has_a_thickness_and_a_mass(qtbot: QtBot) -> None:
    window = selected(qtbot, "sheet")
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlateForm)
    low = JOB.find("sheet").z_low  # type: ignore[union-attr]
    enter(shown.thick, "12")
    found = window.document.job.find("sheet")
    assert (found.z_low, found.z_high) == (low, low + 12)  # type: ignore[union-attr]
    window.workspace.refresh()
    assert "as plate" in shown.weight.text()


# -- drawing from the window -----------------------------------------------------------------------


def test_the_row_under_the_sheet_chooses_section_and_side(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    choices = window.entry.member
    assert choices.isVisible()
    assert choices.section.currentText() == "50x50x3 square tube"
    choices.section.activated.emit(choices.section.findText("60x40x3 rectangular tube"))
    choices.lies.setCurrentIndex(1)
    choices.lies.activated.emit(1)
    window.entry.typed.emit("C3")
    window.entry.typed.emit("200 at 0")
    drawn = window.document.job.parts[-1]
    assert isinstance(drawn, Member)
    assert (drawn.section.name, drawn.y) == ("60x40x3", 180)
    window.port.tools.key("s")
    assert choices.lies.currentIndex() == 2
    window.port.do("piece.turn")
    window.port.do("piece.flip")
    window.port.do("tool.select")
    assert not choices.isVisible()
    window.port.do("tool.member")
    assert choices.section.currentText() == "60x40x3 rectangular tube"
    assert window.settings.section == "60x40x3"
    choices.section.section = None
    window.port.do("tool.member")
    assert choices.section.currentText() == "60x40x3 rectangular tube"


@pytest.mark.expectation(94)
def test_two_selected_are_joined_from_the_menu_else_the_tool_is_taken(qtbot: QtBot) -> None:
    b = between("b", "post", TUBE, (500, 100), (500, 400))
    window = selected(qtbot, "a", "b", job=laid(A, b))
    window.port.do("join.mitre")
    assert window.document.undo_name == "Mitre rail and post"
    assert "mitred" in told(window)
    window.document.select([])
    for action, tool in (
        ("join.trim", "join"),
        ("join.butt", "join"),
        ("join.cope", "join"),
        ("tool.notch", "notch"),
        ("tool.dimension", "dimension"),
        ("tool.rectangle", "plate"),
        ("tool.polygon", "plate"),
    ):
        window.port.do(action)
        assert window.workspace.canvas.tool.name == tool
        assert window.actions_made.made[action].isChecked()
    window.port.do("help.topic")
    empty = make_window(qtbot, EMPTY)
    assert "no parts yet" in empty.actions_made.why_not("tool.dimension")
    assert "two parts" in empty.actions_made.why_not("join.mitre")


# -- a section of one's own ------------------------------------------------------------------------


def fill(f: SectionForm, **sizes: str) -> None:
    for name, text in sizes.items():
        enter(getattr(f, name), text)


@pytest.mark.source("method", "arithmetic: area of a 45x45x2 with 2T and 1T corners, 2.62 kg/m")
def test_an_own_section_is_kept_offered_and_drawn_next(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    box = window.entry.member.section
    box.activated.emit(box.findText(ADD))
    f = QApplication.activeModalWidget()
    assert isinstance(f, SectionForm)
    f.keep_button.click()
    assert "Type its sizes" in f.told.text()
    fill(f, width_="45", wall="2")
    assert "45x45x2" in f.told.text()
    assert "2.62 kg/m" in f.told.text()
    f.keep_button.click()
    assert user_library.user_library().sections[-1].name == "45x45x2"
    assert box.currentText() == "45x45x2 square tube"
    assert box.itemText(0) == "45x45x2 square tube"


def test_an_own_section_is_forgotten_where_it_is_added(qtbot: QtBot) -> None:
    for name in ("one", "two"):
        user_library.keep_section(Section(name=name, kind="flat", width=40, height=7))
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    box = window.entry.member.section
    assert [box.itemText(i) for i in (0, 1)] == ["one flat", "two flat"]
    box.activated.emit(box.findText(ADD))
    f = QApplication.activeModalWidget()
    assert isinstance(f, SectionForm)
    asked = Answers()
    f.questions = asked  # type: ignore[assignment]
    f.forget_button.click()
    assert asked.asked == ["forget section one"]
    assert len(user_library.user_library().sections) == 2
    asked.forgets = True
    f.forget_button.click()
    assert [section.name for section in user_library.user_library().sections] == ["two"]
    assert box.itemText(0) == "two flat"
    assert f.isVisible()
    f.forget_button.click()
    assert user_library.user_library().sections == ()
    assert not f.forget_button.isVisible()
    f.reject()


@pytest.mark.expectation(30, 85)
def test_an_own_section_that_cannot_be_is_not_kept(qtbot: QtBot) -> None:
    f = SectionForm(make_window(qtbot, EMPTY), Display(unit="inch fractions"))
    f.show()
    choose(f.kind, "channel")
    fill(f, width_="2", height_="4", wall="1/4", flange="3")
    assert "flanges do not fit" in f.told.text()
    f.keep_button.click()
    assert f.told.text().startswith("✕")
    fill(f, flange="3/8", radius="1/4")
    assert "lb/ft" in f.told.text()
    enter(f.wall, "frogs")
    f.keep_button.click()
    assert user_library.user_library().sections == ()
    choose(f.kind, "flat")
    assert f.wall.isHidden()
    fill(f, name="2x2x1/8", width_="2", height_="1/2")
    f.wall.restore()
    choose(f.kind, "square tube")
    fill(f, wall="1/4", name="2x2x1/8")
    f.keep_button.click()
    assert "already has" in f.told.text()
    choose(f.kind, "round bar")
    enter(f.name, "")
    assert "2:" in f.told.text()


# -- a chain of dimensions -------------------------------------------------------------------------


@pytest.mark.expectation(30, 85)
def test_a_chain_is_added_up_and_one_that_does_not_close_is_said(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    document = Document(EMPTY)
    f = ChainForm(window, document, LOOK)
    qtbot.addWidget(f)
    f.show()
    assert "Nothing typed" in f.told.text()
    f.edit.setPlainText("90 + 300 + 215 = 605")
    assert "closes" in f.told.text()
    cells = [f.table.item(row, 1) for row in range(f.table.rowCount())]
    shown = [cell.text() for cell in cells if cell is not None]
    assert shown == ["0 mm", "90 mm", "390 mm", "605 mm"]
    f.edit.setPlainText("90\n300\n215 = 600")
    assert "5 mm" in f.told.text()
    assert "over" in f.told.text()
    f.edit.setPlainText("90; 300")
    assert "no total" in f.told.text()
    f.copy()
    assert QApplication.clipboard().text() == "0 mm\n90 mm\n390 mm"
    f.edit.setPlainText("90 + frogs")
    assert f.told.text().startswith("✕")
    assert not f.copy_button.isEnabled()
    f.edit.setPlainText("= 5")
    assert "one after another" in f.told.text()


def test_a_chain_in_inch_fractions() -> None:
    display = Display(unit="inch fractions")
    values, total = read_chain("3-1/2 + 12 + 8-1/2 = 24", display)
    assert [v / 25.4 for v in values] == pytest.approx([3.5, 12, 8.5])
    assert total == pytest.approx(609.6)
    with pytest.raises(ParseError):
        read_chain(" ", display)


def test_the_chain_opens_from_the_menu(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("weldment.chain")
    f = QApplication.activeModalWidget()
    assert isinstance(f, ChainForm)
    f.close()


@pytest.mark.expectation(70, 74)
def test_where_one_line_has_no_room_the_choices_stand_on_their_own(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("tool.member")
    window.resize(2000, 800)
    row = window.entry
    qtbot.waitUntil(lambda: row.width() > 1500 and row.member.geometry().right() < row.out.x())
    top = row.member.y()
    window.resize(900, 800)
    qtbot.waitUntil(lambda: row.member.y() > row.out.geometry().bottom())
    assert row.member.x() < row.out.x()
    window.resize(2000, 800)
    qtbot.waitUntil(lambda: row.member.y() == top)


def test_a_wheel_over_a_choice_changes_nothing(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    for box in (form(window).start.kind.box, form(window).section.box):
        before = box.currentIndex()
        wheel = QWheelEvent(
            QPointF(5, 5),
            QPointF(5, 5),
            QPoint(0, 0),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(box, wheel)
        assert box.currentIndex() == before
    assert window.document.job is JOB


def button(shown: MemberForm, words: str) -> Button:
    (found,) = [b for b in shown.findChildren(Button) if words in b.text() and not b.isHidden()]
    return found


def cut_end(window: Window) -> EndCut:
    made = window.document.job.find("a")
    assert isinstance(made, Member)
    return made.end


def test_a_point_is_made_changed_and_taken_back_in_the_form(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    shown = form(window)
    choose(shown.end.kind, "mitre")
    enter(shown.end.angle, "30")
    button(shown, "Add a cut to the end").click()
    QApplication.processEvents()
    assert cut_end(window) == EndCut("mitre", 30, more=(SawCut(-30),))
    assert shown.end.said.text() == "End: point, 30° and 30°, tip in the middle."
    enter(shown.end.more[0].angle, "-70")
    QApplication.processEvents()
    assert "beyond the shop's saw: 60°" in shown.end.said.text()
    assert cut_end(window) == EndCut("mitre", 30, more=(SawCut(-70),))
    enter(shown.end.more[0].past, "30")
    enter(shown.end.angle, "20")
    assert cut_end(window) == EndCut("mitre", 20, more=(SawCut(-70, 30),))
    before = window.document.job
    enter(shown.end.more[0].past, "90")
    assert "takes nothing off" in shown.end.more[0].past.complaint.text()
    assert window.document.job is before
    shown.end.more[0].past.restore()
    button(shown, "Remove the 2nd cut of the end").click()
    assert cut_end(window) == EndCut("mitre", 20)
    QApplication.processEvents()
    assert shown.end.more[0].angle.isHidden()


def test_mitres_opposed_and_parallel_are_told_apart_in_the_form(qtbot: QtBot) -> None:
    window = selected(qtbot, "a")
    shown = form(window)
    for end, angle in ((shown.start, "45"), (shown.end, "45")):
        choose(end.kind, "mitre")
        enter(end.angle, angle)
        QApplication.processEvents()
    assert shown.both.text() == "On the cut list: mitres opposed, 45° both ends."
    enter(shown.end.angle, "-45")
    QApplication.processEvents()
    assert shown.both.text() == "On the cut list: mitres parallel, 45° both ends."
    assert "slopes through the thickness" in " ".join(
        label.text() for label in shown.findChildren(Label)
    )
