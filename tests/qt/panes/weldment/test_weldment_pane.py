"""The weldment's list in a real window: cuts, joints, getting there, by keys and clicks."""

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
from gridjig.edits.selection import shift
from gridjig.files.storage.settings import Settings
from gridjig.geometry.display import Symbol, Ticks
from gridjig.solve.weldment.welds import welded
from tests.qt.events import settle
from tests.qt.formhands import type_in
from tests.qt.weldmenthands import HAND, aside, heads, opened_at
from tests.qt.windows import Answers, make_window, told
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, empty, load

KEYS = {
    "weldment.cuts": (Qt.Key.Key_6, 0),
    "weldment.joints": (Qt.Key.Key_7, 1),
    "weldment.faces": (Qt.Key.Key_8, 2),
    "weldment.where": (Qt.Key.Key_9, 3),
}
CTRL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


# -- getting there ---------------------------------------------------------------------------------


@pytest.mark.expectation(61, 64)
def test_each_page_has_a_key_and_leaves_the_form_in_view(qtbot: QtBot) -> None:
    window = make_window(qtbot, KEYED["T01"]())
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    for key, page in KEYS.values():
        QTest.keyClick(window, key, CTRL)
        pane = window.workspace.weldment.pane
        assert pane.pages.currentIndex() == page
        assert window.workspace.properties.isVisible()
    qtbot.waitUntil(lambda: not window.workspace.weldment.pane.layout_page.tasks.busy)
    window.port.do("go.form")
    assert not window.workspace.properties.isHidden()


def test_the_other_hand_is_one_press_away_or_it_is_said_why_not(qtbot: QtBot) -> None:
    bracket = KEYED["T04"]()
    there = shift(bracket, {part.id for part in bracket.parts}, -4, 0)
    window, pane = opened_at(qtbot, there, "weldment.beside")
    button = pane.way_up.do
    assert button.text() == "Put its other hand beside it"
    assert window.focusWidget() is button
    assert button.visibleRegion().boundingRect().height() == button.height()
    QTest.keyClick(button, Qt.Key.Key_Space)
    assert len(window.document.job.parts) == 6
    window.document.undo()
    window.document.do(bracket, "Back in the middle")
    window.port.do("weldment.beside")
    assert not button.isEnabled()
    assert "fits on no side" in told(window)


@pytest.mark.expectation(97)
def test_help_opens_at_the_page_in_hand(qtbot: QtBot) -> None:
    window = make_window(qtbot, KEYED["T01"]())
    for action, topic in (
        ("weldment.cuts", "cuts"),
        ("weldment.joints", "joints"),
        ("weldment.faces", "where"),
        ("weldment.way", "where"),
        ("weldment.list", "weldments"),
    ):
        window.port.do(action)
        assert window.port.pages.topic() == topic
        window.port.do("help.topic")
        assert window.workspace.help.topic == topic


def test_an_empty_table_says_what_to_do_on_every_page(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, empty(load("T01")), "weldment.cuts")
    assert "draw a member" in pane.cuts.total.text()
    window.port.do("weldment.joints")
    assert "needs two parts" in pane.joints.total.text()
    window.port.do("weldment.faces")
    assert "There is no weldment" in pane.faces.summary.text()
    window.port.do("weldment.where")
    qtbot.waitUntil(lambda: not pane.layout_page.tasks.busy)
    assert pane.layout_page.statement.text() == (
        "There is no weldment to place; draw a member first."
    )
    pane.layout_page.form.move_button.click()
    pane.layout_page.set_up()
    window.port.do("weldment.way")
    assert "There is no weldment" in pane.way_up.advice.text()
    pane.way_up.carry_out()
    window.port.do("weldment.list")
    assert "There is no weldment" in pane.weldments.total.text()
    assert not window.document.can_undo


# -- cuts ------------------------------------------------------------------------------------------


@pytest.mark.source("method", HAND)
@pytest.mark.expectation(98)
def test_a_line_of_the_cut_list_selects_and_shows_its_members(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    assert heads(pane) == ["2x2x1/8 square tube", "A bottom, B top", "C left, D right"]
    view = pane.cuts.list
    view.go_to("member-3/member-4")
    assert window.document.selection == {"member-3", "member-4"}
    QTest.keyClick(view, ENTER)
    place = view.visualRect(view.lines.index(1)).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.document.selection == {"member-1", "member-2"}


def test_the_cut_list_follows_the_selection_and_the_job(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    window.document.select({"member-1", "member-2"})
    window.workspace.refresh()
    assert pane.cuts.list.chosen_keys() == ("member-1/member-2",)
    window.port.do("edit.delete")
    window.workspace.refresh()
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


@pytest.mark.source("method", HAND)
@pytest.mark.expectation(78, 98)
def test_the_joints_are_drawn_while_their_list_is_open(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    assert len(heads(pane)) == 4
    assert sum(isinstance(s, Ticks) for s in aside(window)) == 4
    QTest.keyClick(pane.joints.list, Qt.Key.Key_Down)
    (ring,) = [s for s in aside(window) if isinstance(s, Symbol)]
    assert ring.at == welded(window.document.job)[1].joint.place
    window.port.do("go.placed")
    assert aside(window) == ()


def test_nothing_stays_behind_while_something_is_dragged(qtbot: QtBot) -> None:
    window, _ = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    job = window.document.job
    window.document.preview(empty(load("T01")))
    window.workspace.refresh()
    assert aside(window) == ()
    window.document.preview(None)
    window.workspace.refresh()
    assert aside(window)
    assert window.document.job is job


@pytest.mark.expectation(32, 36)
def test_weld_leg_and_name_of_one_joint(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    form = pane.joints.form
    form.kind.box.setCurrentIndex(2)
    form.kind.box.activated.emit(2)
    assert window.document.undo_name == "Change the weld of J1"
    type_in(form.leg, "3/16")
    assert window.document.undo_name == "Change the depth of J1"
    window.workspace.refresh()
    first = welded(window.document.job)[0]
    assert first.kind == "flare bevel"
    assert first.leg == pytest.approx(INCH * 3 / 16)
    type_in(form.name, "Corner 1")
    assert welded(window.document.job)[0].name == "Corner 1"
    window.workspace.refresh()
    assert "Corner 1   A bottom + C left" in heads(pane)
    pane.joints.list.go_to(welded(window.document.job)[1].joint.id)
    type_in(form.name, "Corner 1")
    assert "another joint" in form.name.complaint.text()
    form.name.restore()


def test_a_size_moves_nothing_under_the_pointer(qtbot: QtBot) -> None:
    """The sum grows by the deposit; a second click must meet the same tick again."""
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    window.resize(1280, 800)
    settle()
    form, joints = pane.joints.form, pane.joints
    at, before = form.every.mapTo(window, QPoint()), joints.total.text()
    form.every.click()
    type_in(form.leg, "1/4")
    window.workspace.refresh()
    settle()
    assert "deposit" in joints.total.text()
    assert len(joints.total.text()) > len(before)
    assert form.every.mapTo(window, QPoint()) == at


def test_all_joints_at_once_and_back_to_what_suits(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    form = pane.joints.form
    form.every.setChecked(True)
    assert not form.name.isEnabled()
    type_in(form.leg, "1/4")
    assert {one.leg for one in welded(window.document.job)} == {INCH / 4}
    assert window.document.undo_name == "Change the leg of 4 joints"
    window.workspace.refresh()
    assert "without a size" not in pane.joints.total.text()
    form.leg.edit.setFocus()
    form.leg.edit.selectAll()
    QTest.keyClick(form.leg.edit, Qt.Key.Key_Delete)
    QTest.keyClick(form.leg.edit, ENTER)
    assert {one.leg for one in welded(window.document.job)} == {0.0}
    form.suggest.click()
    form.every.setChecked(False)
    pane.joints.list.clearSelection()
    assert not form.kind.isEnabled()


def test_several_joints_are_sized_by_throat_and_by_sides_in_one_form(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    form = pane.joints.form
    first, second, *others = (one.joint.id for one in welded(window.document.job))
    pane.joints.list.selectAll()
    assert len(pane.joints.chosen()) == 4
    type_in(form.throat, "1/8")
    assert window.document.undo_name == "Change the throat of 4 joints"
    assert {(one.leg, one.throat) for one in welded(window.document.job)} == {(0.0, INCH / 8)}
    window.workspace.refresh()
    assert form.told.text().startswith('At 90°, throat .125" is leg .177"')
    assert "leg² / 2 × sin" in form.told.text()
    assert "of deposit" in pane.joints.total.text()
    form.sides.set_value("top and uprights")
    form.sides.chosen.emit("top and uprights")
    assert {one.sides for one in welded(window.document.job)} == {"top and uprights"}
    window.workspace.refresh()
    pane.joints.list.clearSelection()
    pane.joints.list.go_to(first)
    form.kind.set_value("butt")
    form.kind.chosen.emit("butt")
    window.workspace.refresh()
    pane.joints.list.go_to(first)
    assert form.leg.label.text() == "Depth (s)"
    assert not form.throat.isEnabled()
    pane.joints.list.go_to(second)
    assert form.leg.label.text() == "Leg (z)"
    assert form.throat.isEnabled()
    assert len(others) == 2
    said: list[str] = []
    form.message.connect(said.append)
    pane.joints.list.selectAll()
    type_in(form.throat, "1/4")
    assert said == [
        "The throat is set for 3 of 4 joints. The others have no throat: select them by themselves."
    ]
    sizes = {one.joint.id: (one.leg, one.throat) for one in welded(window.document.job)}
    assert sizes.pop(first) == (INCH / 8, 0.0)
    assert set(sizes.values()) == {(0.0, INCH / 4)}
    assert window.document.undo_name == "Change the throat of 3 joints"


def test_the_weld_list_is_copied_from_its_page(qtbot: QtBot) -> None:
    _, pane = opened_at(qtbot, KEYED["T01"](), "weldment.joints")
    pane.joints.copy.click()
    text = QGuiApplication.clipboard().text()
    assert text.startswith("Joint\tParts\tWeld")
    assert text.count("\n") == 5


def test_several_that_differ_say_so(qtbot: QtBot) -> None:
    job = KEYED["T01"]()
    job = set_welds(job, {welded(job)[0].joint.id}, leg=6.0)
    _, pane = opened_at(qtbot, job, "weldment.joints")
    pane.joints.list.selectAll()
    assert pane.joints.form.leg.edit.placeholderText() == "not all alike"
    assert pane.joints.form.leg.edit.text() == ""
    QTest.keyClick(pane.joints.list, ENTER)


# -- looks -----------------------------------------------------------------------------------------


@pytest.mark.expectation(66)
def test_every_control_has_a_name(qtbot: QtBot) -> None:
    _, pane = opened_at(qtbot, KEYED["T01"](), "weldment.where")
    texts = [w.text() for kind in (QPushButton, QCheckBox) for w in pane.findChildren(kind)]
    assert len(texts) >= 4
    assert "" not in texts
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
    least = window.appearance.metrics.target
    assert least >= 80
    for action in ("weldment.joints", "weldment.faces", "weldment.where", "weldment.way"):
        window.port.do(action)
        page = window.workspace.weldment.pane.page
        buttons = [*page.findChildren(QPushButton), *window.workspace.weldment.pane.buttons]
        assert all(b.height() >= least for b in buttons if b.isVisible())
    qtbot.waitUntil(lambda: not window.workspace.weldment.pane.layout_page.tasks.busy)


def test_another_look_reaches_every_page(qtbot: QtBot) -> None:
    window, pane = opened_at(qtbot, KEYED["T01"](), "weldment.cuts")
    window.change_settings(theme="dark")
    assert {page.appearance.theme.palette.name for page in pane.all} == {"dark"}
