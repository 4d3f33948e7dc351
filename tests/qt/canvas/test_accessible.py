"""The plan as a screen reader has it: each thing with its name, place, state and changes.

Asked through Qt's own interface, as a reader on any system does through its bridge.
"""

import pytest
import shiboken6
from msgspec import structs
from PySide6.QtCore import QPoint
from PySide6.QtGui import QAccessible, QAccessibleEvent, QAccessibleInterface
from pytestqt.qtbot import QtBot

from gridjig.edits.placements import rename
from gridjig.edits.selection import shift
from gridjig.qt.canvas.accessible import AccessiblePlan, AccessibleThing, plan_of
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.style.theme import THEMES
from gridjig.session.document import Document
from tests.qt.canvases import METRICS, shown
from tests.workshop import laid, pin, plate, stop

NAME, DESCRIPTION = QAccessible.Text.Name, QAccessible.Text.Description


JOB = laid(stop("s", 3, 3), pin("p", 6, 6), plate("part", 300, 300))


@pytest.fixture
def canvas(qtbot: QtBot) -> Canvas:
    return shown(qtbot, JOB)


@pytest.fixture
def document(canvas: Canvas) -> Document:
    return canvas.document


def asked(canvas: Canvas) -> AccessiblePlan:
    found = QAccessible.queryAccessibleInterface(canvas)
    assert isinstance(found, AccessiblePlan)
    return found


def child(plan: AccessiblePlan, index: int) -> QAccessibleInterface:
    found = plan.child(index)
    assert found is not None
    return found


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, int]]:
    """What the plan tells readers: the kind of change, and which thing."""
    told: list[tuple[str, int]] = []

    class Ear:
        Event, Text, Role, State = (
            QAccessible.Event,
            QAccessible.Text,
            QAccessible.Role,
            QAccessible.State,
        )

        @staticmethod
        def updateAccessibility(event: QAccessibleEvent) -> None:
            told.append((event.type().name, event.child()))

    monkeypatch.setattr("gridjig.qt.canvas.accessible.QAccessible", Ear)
    return told


@pytest.mark.expectation(66, 67)
def test_the_plan_is_a_list_of_what_is_on_the_table(canvas: Canvas, document: Document) -> None:
    plan = asked(canvas)
    assert plan.role() == QAccessible.Role.List
    assert plan.text(NAME) == "Plan of the table"
    things = [child(plan, k) for k in range(plan.childCount())]
    assert [thing.text(NAME) for thing in things] == [
        "part, 300 mm, 300 mm",
        "fixed stop, D4 + E4",
        "locating pin, G7",
    ]
    assert things[1].text(DESCRIPTION).startswith("Pinned by 2 pins")
    for k, thing in enumerate(things):
        assert thing.role() == QAccessible.Role.ListItem
        assert thing.isValid()
        assert thing.parent() is plan
        assert plan.indexOfChild(thing) == k
        assert thing.childCount() == 0
        assert thing.object() is None


@pytest.mark.expectation(66)
def test_each_thing_lies_where_it_is_painted(canvas: Canvas, document: Document) -> None:
    plan = asked(canvas)
    piece = child(plan, 1)
    x, y = canvas.view.to_screen(document.job.table.at(document.job.placements[0].seats[0].hole))
    on_screen = canvas.mapToGlobal(QPoint(round(x), round(y)))
    assert piece.rect().contains(on_screen)
    assert plan.childAt(on_screen.x(), on_screen.y()) is piece
    assert not piece.state().offscreen
    canvas.pan_by(100_000, 0)
    assert piece.rect().isEmpty()
    assert piece.state().offscreen
    assert plan.childAt(on_screen.x(), on_screen.y()) is None


@pytest.mark.expectation(66, 68)
def test_the_selection_is_a_state_and_its_changes_are_told(
    canvas: Canvas, document: Document, heard: list[tuple[str, int]]
) -> None:
    plan = asked(canvas)
    assert plan.childCount() == 3
    assert not child(plan, 1).state().selected
    document.select(["s"])
    assert child(plan, 1).state().selected
    assert not child(plan, 2).state().selected
    assert ("SelectionAdd", 1) in heard
    canvas.setFocus()
    document.select(["p"])
    assert heard[-3:] == [("SelectionAdd", 2), ("SelectionRemove", 1), ("Focus", 2)]
    assert plan.focusChild() is plan.child(2)
    assert child(plan, 2).state().focused


@pytest.mark.expectation(66, 68)
def test_moves_names_and_what_comes_and_goes_are_told(
    canvas: Canvas, document: Document, heard: list[tuple[str, int]]
) -> None:
    plan = asked(canvas)
    thing = child(plan, 2)
    document.do(shift(document.job, {"p"}, 1, 0), "Move")
    assert heard == [("NameChanged", 2)]
    assert thing.text(NAME) == "locating pin, H7"
    document.do(rename(document.job, "p", "corner pin"), "Name")
    assert heard[-1] == ("NameChanged", 2)
    assert thing.text(NAME) == "corner pin, H7"
    document.do(structs.replace(document.job, placements=document.job.placements[:1]), "Delete")
    assert heard[-1][0] == "ObjectReorder"
    assert plan.childCount() == 2
    assert not thing.isValid()
    assert thing.text(NAME) == ""
    assert thing.state().invalid
    document.undo()
    assert thing.isValid()  # it is back, and known again
    assert plan.child(2) is thing


@pytest.mark.expectation(66, 68, 78)
def test_what_the_check_has_found_is_told_with_the_thing(
    canvas: Canvas, heard: list[tuple[str, int]]
) -> None:
    plan = asked(canvas)
    assert plan.childCount() == 3
    canvas.set_findings({"s"}, {"p"})
    assert child(plan, 1).text(DESCRIPTION).startswith("clash: ")
    assert child(plan, 2).text(DESCRIPTION).startswith("look at it: ")
    assert heard == [("DescriptionChanged", 1), ("DescriptionChanged", 2)]
    canvas.set_findings((), ())
    assert not child(plan, 1).text(DESCRIPTION).startswith("clash")


def test_a_plan_that_is_gone_says_nothing(qtbot: QtBot) -> None:
    canvas = Canvas(Document(JOB), THEMES["light"], METRICS)
    plan = AccessiblePlan(canvas)
    thing = plan.child(0)
    assert isinstance(thing, AccessibleThing)
    assert thing.isValid()
    shiboken6.delete(canvas)
    assert plan.childCount() == 0
    assert plan.view is None
    assert not thing.isValid()
    assert thing.rect().isEmpty()


def test_without_a_reader_nothing_is_kept(canvas: Canvas) -> None:
    canvas.document.select(["s"])
    assert plan_of(canvas) is None
