"""The page with the order of tacks and welds: keys, dragging, going back, marks on the plan."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.display import TextLabel
from gridjig.qt.panes.weldment.weld_order_page import WeldOrderPage
from gridjig.qt.window.window import Window
from gridjig.sheets.drawings.weld_order import draw_order
from gridjig.solve.weldment.weld_order import tack_order, tacks_of
from tests.qt.weldmenthands import opened_at

GATE = load_job(samples()["2-harbour-gate"])


def opened_page(qtbot: QtBot) -> tuple[Window, WeldOrderPage]:
    window, pane = opened_at(qtbot, GATE, "weldment.order")
    return window, pane.weld_order


def test_it_lists_the_joints_as_proposed_and_alt_down_moves_one(qtbot: QtBot) -> None:
    window, page = opened_page(qtbot)
    proposed = [one.joint.id for one in tack_order(GATE, GATE.weldments[0].id)]
    assert list(page.order.keys()) == proposed
    assert len(proposed) == 6
    assert not page.proposed.isEnabled()
    page.order.list.setCurrentRow(0)
    QTest.keyClick(page.order.list, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    moved = [proposed[1], proposed[0], *proposed[2:]]
    job = window.document.job
    assert [one.joint.id for one in tacks_of(job, job.weldments[0].id)] == moved
    window.workspace.refresh()
    assert list(page.order.keys()) == moved
    assert window.document.undo_name == "Change the order of tacks"
    window.workspace.refresh()
    page.proposed.click()
    window.workspace.refresh()
    assert list(page.order.keys()) == proposed
    window.document.undo()
    window.document.undo()
    assert window.document.job is GATE


def test_dragging_leaves_the_order_that_the_list_shows(qtbot: QtBot) -> None:
    window, page = opened_page(qtbot)
    before = list(page.order.keys())
    entries = page.order.list
    entries.insertItem(4, entries.takeItem(0))
    entries.dropped.emit()
    window.workspace.refresh()
    after = [*before[1:5], before[0], before[5]]
    assert list(page.order.keys()) == after
    job = window.document.job
    assert [one.joint.id for one in tacks_of(job, job.weldments[0].id)] == after
    assert entries.item(4).text().startswith("5 ")


def test_welds_have_an_order_of_their_own(qtbot: QtBot) -> None:
    window, page = opened_page(qtbot)
    page.turn_choice.set_value("welds")
    page.turn_choice.chosen.emit("welds")
    assert "balanced about the middle" in page.told.text()
    page.order.list.setCurrentRow(5)
    QTest.keyClick(page.order.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    window.workspace.refresh()
    plan = window.document.job.weld_plan
    assert len(plan.welds) == 6
    assert plan.tacks == ()
    assert "The shop's own order" in page.told.text()


def test_the_plan_numbers_the_joints_in_this_order() -> None:
    order = tack_order(GATE, GATE.weldments[0].id)
    drawn = draw_order(order, order[2].joint.id)
    labels = [shape for shape in drawn if isinstance(shape, TextLabel)]
    assert [label.text for label in labels] == ["1", "2", "3", "4", "5", "6"]
    assert [label.at for label in labels] == [one.joint.place for one in order]
    assert [label.role for label in labels].count("selected") == 1
