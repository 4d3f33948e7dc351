"""Text typed for a thing that is gone, and choices for one, change nothing and are said.

A field is told that it is left only after the click that took its thing away.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.members import between
from gridjig.edits.selection import remove
from gridjig.model import Job, Section
from gridjig.qt.panes.properties.properties_pane import PropertiesPane
from gridjig.qt.panes.weldment.joints_page import JointsPage
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.window.window import Window
from gridjig.session.document import Document
from gridjig.solve.weldment.welds import welded
from tests.qt.formhands import LOOK
from tests.qt.weldmenthands import opened_at
from tests.qt.windows import make_window, on_plan
from tests.workshop import laid, pin, plate, put, seat, stop

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ANGLE = Section(name="50x30x5", kind="angle", width=50, height=30, wall=5, radius=5, toe=2.5)
THINGS: dict[str, tuple[str, ...]] = {
    "stop": ("stop",),
    "slider": ("slider",),
    "arm": ("arm",),
    "hinge": ("hinge",),
    "clamp": ("clamp",),
    "member": ("rail",),
    "angle": ("lug",),
    "plate": ("sheet",),
    "pieces": ("stop", "clamp"),
    "parts": ("rail", "sheet"),
}
JOB = laid(
    stop("stop", 2, 2),
    put("slider", "slider", seat("s", 6, 2), slide=30.0),
    put("arm", "arm", seat("h", 10, 2), turn=0.0),
    put("hinge", "hinge", seat("h1", 2, 8), seat("h2", 4, 8)),
    put("clamp", "clamp", seat("p", 20, 14), reach=100.0),
    pin("other", 20, 2),
    between("rail", "rail", TUBE, (100, 700), (500, 700)),
    between("lug", "lug", ANGLE, (100, 850), (500, 850)),
    plate("sheet", 600, 600),
)


def selected(window: Window, ids: tuple[str, ...]) -> CellForm:
    window.document.select(ids)
    window.workspace.refresh()
    QApplication.processEvents()
    return window.workspace.properties.form()


def typed_in(field: TypedField, text: str) -> None:
    """Type a text and leave it there."""
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClicks(field.edit, text)
    assert field.edit.hasFocus()
    assert field.edit.isModified()


def fields_of(form: CellForm) -> list[TypedField]:
    return [field for field in form.typed() if field.isVisibleTo(form)]


class Bench:
    """The pane of forms over a document, and something else that can take the focus."""

    def __init__(self, qtbot: QtBot, job: Job = JOB) -> None:
        self.document = Document(job)
        self.over = QWidget()
        self.pane = PropertiesPane(self.document)
        self.elsewhere = QLineEdit()
        in_column(self.pane, self.elsewhere, over=self.over)
        qtbot.addWidget(self.over)
        self.over.resize(420, 1400)
        self.over.show()
        qtbot.waitExposed(self.over)
        self.over.activateWindow()
        qtbot.waitUntil(self.over.isActiveWindow)
        self.said: list[str] = []
        self.pane.message.connect(self.said.append)

    def select(self, ids: tuple[str, ...]) -> CellForm:
        self.document.select(ids)
        self.pane.refresh()
        return self.pane.form()

    def remove(self, ids: tuple[str, ...]) -> Job:
        job = remove(self.document.job, frozenset(ids))
        self.document.do(job, "Delete")
        return job

    def leave(self) -> None:
        self.elsewhere.setFocus()


@pytest.mark.parametrize("told_first", [True, False])
def test_every_field_of_a_thing_that_is_gone_changes_nothing(
    qtbot: QtBot, told_first: bool
) -> None:
    controller = Bench(qtbot)
    for ids in THINGS.values():
        every_field_is_refused(controller, ids, told_first)


def every_field_is_refused(controller: Bench, ids: tuple[str, ...], told_first: bool) -> None:
    """What is typed into a field of a thing that is removed meanwhile is ignored, and said so."""
    count = len(fields_of(controller.select(ids)))
    assert count >= 2
    for index in range(count):
        field = fields_of(controller.select(ids))[index]
        label = field.label.text()
        typed_in(field, "7")
        del controller.said[:]
        after = controller.remove(ids)
        if told_first:
            controller.pane.refresh()
        controller.leave()
        controller.pane.refresh()
        assert controller.document.job is after, label
        assert controller.said == ["“7” was ignored: what it was typed for is gone."], label
        controller.document.undo()
        assert controller.document.job is JOB, label
        controller.select(ids)
        assert not field.edit.isModified(), label


def test_what_was_refused_for_a_thing_that_is_gone_is_gone_too(qtbot: QtBot) -> None:
    """In every field that refuses anything; neither in its place nor when it comes back."""
    controller = Bench(qtbot)
    refused: set[str] = set()
    for name, ids in THINGS.items():
        for index in range(len(fields_of(controller.select(ids)))):
            field = fields_of(controller.select(ids))[index]
            before = field.edit.text()
            typed_in(field, "?!")  # no length, no angle, no hole, no count
            QTest.keyClick(field.edit, Qt.Key.Key_Return)
            if not field.has_complaint():
                QTest.keyClick(field.edit, Qt.Key.Key_Escape)  # a note, or a name
                while controller.document.can_undo:
                    controller.document.undo()
                continue
            refused.add(name)
            controller.remove(ids)
            controller.pane.refresh()
            assert not field.has_complaint(), field.label.text()
            controller.document.undo()
            assert controller.document.job is JOB
            assert field in fields_of(controller.select(ids))
            assert not field.has_complaint(), field.label.text()
            assert field.edit.text() == before
    assert refused == set(THINGS)


def test_what_was_refused_for_a_weldment_that_is_gone_is_gone_too(qtbot: QtBot) -> None:
    job = laid(plate("sheet", 200, 200), plate("other", 600, 600))
    window, pane = opened_at(qtbot, job, "weldment.list")
    window.document.select(["other"])
    window.port.do("weldment.split")
    two, field = window.document.job, pane.weldments.form.quantity
    QApplication.processEvents()
    assert len(two.weldments) == 2
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClicks(field.edit, "?!")
    QTest.keyClick(field.edit, Qt.Key.Key_Return)
    assert field.has_complaint()
    assert window.document.job is two
    for act, left in (("weldment.delete", 1), ("edit.undo", 2)):
        window.port.do(act)
        QApplication.processEvents()
        assert len(window.document.job.weldments) == left
        assert not field.has_complaint()
        assert field.edit.text() == "1"


@pytest.mark.parametrize("name", ["slider", "member", "plate", "parts"])
def test_delete_in_the_tool_row_drops_what_was_being_typed(qtbot: QtBot, name: str) -> None:
    window, ids = make_window(qtbot, JOB), THINGS[name]
    on_plan(qtbot, window)
    form = selected(window, ids)
    for index in (0, len(fields_of(form)) - 1):
        typed_in(fields_of(selected(window, ids))[index], "7")
        QTest.mouseClick(window.row.buttons["edit.delete"], Qt.MouseButton.LeftButton)
        after = window.document.job
        assert all(after.find(i) is None for i in ids)
        QApplication.processEvents()
        window.workspace.refresh()
        window.workspace.canvas.setFocus()
        assert window.document.job is after
        window.document.undo()
        assert window.document.job is JOB


def test_every_choice_and_button_of_a_thing_that_is_gone_changes_nothing(qtbot: QtBot) -> None:
    controller = Bench(qtbot)
    for ids in THINGS.values():
        every_choice_is_refused(controller, ids)
        controller.document.undo()
        assert controller.document.job is JOB


def every_choice_is_refused(controller: Bench, ids: tuple[str, ...]) -> None:
    form = controller.select(ids)
    after = controller.remove(ids)
    tried = 0
    for box in form.findChildren(QComboBox):
        for at in range(box.count()):
            box.activated.emit(at)
            tried += 1
    for button in form.findChildren(QAbstractButton):
        button.click()
        tried += 1
    for field in form.typed():
        field.applied.emit(field.value())
        tried += 1
    assert tried > 5
    assert controller.document.job is after


STEPS = st.lists(
    st.tuples(
        st.sampled_from(sorted(THINGS)),
        st.integers(0, 20),
        st.sampled_from(["7", "A1", "-3", "45", "x", ""]),
        st.sampled_from(["delete", "undo", "select", "esc", "enter", "redo"]),
    ),
    min_size=1,
    max_size=6,
)


def test_whatever_is_typed_and_left_undo_gives_the_first_job_back(qtbot: QtBot) -> None:
    controller = Bench(qtbot)

    @settings(max_examples=12)
    @given(STEPS)
    def undone(steps: list[tuple[str, int, str, str]]) -> None:
        typed_and_left(controller, steps)
        assert controller.document.job is JOB

    undone()


def typed_and_left(controller: Bench, steps: list[tuple[str, int, str, str]]) -> None:
    """Type and leave, and undo all of it."""
    for name, index, text, then in steps:
        ids = tuple(i for i in THINGS[name] if controller.document.job.find(i) is not None)
        fields = fields_of(controller.select(ids))
        assert fields
        field = fields[index % len(fields)]
        field.edit.setFocus()
        field.edit.selectAll()
        QTest.keyClicks(field.edit, text)
        if then == "enter":
            QTest.keyClick(field.edit, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
            QTest.keyClick(field.edit, Qt.Key.Key_Return)
        elif then == "esc":
            QTest.keyClick(field.edit, Qt.Key.Key_Escape)
        elif then == "select":
            controller.document.select(("other",))
        elif then == "delete":
            controller.remove(ids)
        elif then == "undo":
            controller.document.undo()
        else:
            controller.document.redo()
        controller.leave()
        controller.pane.refresh()
    while controller.document.can_undo:
        controller.document.undo()
    controller.pane.refresh()


def test_text_typed_for_one_thing_never_reaches_another(qtbot: QtBot) -> None:
    controller = Bench(qtbot)
    typed_in(controller.select(("stop",)).typed()[0], "datum")
    controller.select(("slider",))
    controller.leave()
    assert controller.document.job is JOB
    assert controller.said == ["“datum” was ignored: press Enter to use what you type."]


@pytest.mark.parametrize("told_first", [True, False])
def test_a_joint_that_is_gone_takes_no_name_and_no_leg(qtbot: QtBot, told_first: bool) -> None:
    ends = ((100, 700), (500, 700))
    job = laid(
        between("rail", "rail", TUBE, *ends),
        between("post", "post", TUBE, (125, 300), (125, 675)),
        between("brace", "brace", TUBE, (400, 300), (400, 675)),
    )
    document, over, elsewhere = Document(job), QWidget(), QLineEdit()
    page = JointsPage(document, LOOK)
    in_column(page, elsewhere, over=over)
    qtbot.addWidget(over)
    over.resize(420, 900)
    over.show()
    over.activateWindow()
    qtbot.waitUntil(over.isActiveWindow)
    page.refresh()
    joints = [one.joint.id for one in welded(job)]
    assert len(joints) >= 2
    said: list[str] = []
    page.message.connect(said.append)
    for field in (page.form.name, page.form.leg):
        page.list.go_to(joints[0])
        typed_in(field, "7")
        del said[:]
        gone = next(w for w in welded(job) if w.joint.id == joints[0]).joint
        after = remove(job, frozenset({"post" if "post" in str(gone) else "brace"}))
        assert joints[0] not in {one.joint.id for one in welded(after)}
        document.do(after, "Delete")
        after = document.job  # the joints that stay keep their names
        if told_first:
            page.refresh()
        elsewhere.setFocus()
        page.refresh()
        assert document.job is after
        assert [words for words in said if "“7” was ignored" in words]
        document.undo()
        page.refresh()
        assert document.job is job
