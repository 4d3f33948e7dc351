"""The window as a screen reader walks through it: every control with a role, a name and a value.

Asked through Qt's own interface, which its bridges hand on to the readers of each system.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import Struct
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QDialog, QWidget
from pytestqt.qtbot import QtBot

import gridjig.qt
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.qt.actions.action import is_letter
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.window.window import Window
from tests.qt.windows import FORMS, make_window

Role = QAccessible.Role
CONTROLS = frozenset(
    {
        *(Role.Button, Role.CheckBox, Role.RadioButton, Role.ComboBox, Role.EditableText),
        *(Role.List, Role.Tree, Role.Table, Role.PageTab, Role.MenuItem, Role.Slider),
        *(Role.ListItem, Role.SpinBox, Role.ButtonMenu, Role.ButtonDropDown),
    }
)
MOST = 60


class Node(Struct, frozen=True):
    """One thing that a reader meets."""

    role: Role
    name: str
    value: str
    description: str
    state: QAccessible.State
    path: str


def walked(top: QAccessibleInterface, path: str = "") -> Iterator[Node]:
    text = QAccessible.Text
    name = top.text(text.Name)
    here = f"{path}/{name or top.role().name}"
    yield Node(
        top.role(), name, top.text(text.Value), top.text(text.Description), top.state(), here
    )
    for k in range(min(top.childCount(), MOST)):
        child = top.child(k)
        if child is not None and child.isValid() and not child.state().invisible:
            yield from walked(child, here)


def met(widget: QWidget) -> list[Node]:
    top = QAccessible.queryAccessibleInterface(widget)
    assert top is not None
    return list(walked(top))


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    job = load_job(next(iter(samples().values())))
    made = make_window(qtbot, job)
    made.document.select([job.placements[0].id])
    made.workspace.refresh()
    return made


@pytest.mark.expectation(66)
def test_a_reader_meets_every_control_thing_field_and_line_with_its_name_and_state(
    window: Window,
) -> None:
    nodes = met(window)
    controls = [node for node in nodes if node.role in CONTROLS]
    assert len(controls) > 80
    assert unnamed(controls) == []
    plan = next(node for node in nodes if node.name == "Plan of the table")
    things = [node for node in nodes if node.path.startswith(f"{plan.path}/")]
    job = window.document.job
    assert len(things) == len(job.placements) + len(job.parts)
    assert sum(node.state.selected for node in things) == 1
    fields = {n.name: n for n in nodes if n.role == Role.EditableText}
    shown = window.workspace.properties.placement_form.holes[0].edit.text()
    assert fields["Hole"].value == shown != ""
    ticks = [n for n in nodes if n.role == Role.CheckBox]
    assert ticks
    assert all(tick.state.checkable for tick in ticks)
    lines = [n for n in met(window.workspace.placed) if n.role == Role.ListItem]
    assert len(lines) >= 5
    assert unnamed(lines) == []
    assert any("2 pins" in n.name for n in lines)  # how it is held is part of the line


@pytest.mark.expectation(66)
def test_every_control_of_every_form_has_a_name(window: Window) -> None:
    met_in_all = 0
    for action_id in [*FORMS, "settings"]:
        window.port.do(action_id)
        form = next(w for w in window.findChildren(QDialog) if w.isVisible())
        controls = [node for node in met(form) if node.role in CONTROLS]
        met_in_all += len(controls)
        assert unnamed(controls) == [], action_id
        form.reject()
    assert met_in_all > 80


def unnamed(nodes: list[Node]) -> list[str]:
    return [node.path for node in nodes if not (node.name or node.description)]


@pytest.mark.expectation(65)
def test_no_list_or_page_takes_a_letter_for_a_command() -> None:
    """Letters are keys on the plan alone, where a setting turns them off."""
    package = Path(gridjig.qt.__file__).parent
    letters = re.compile(r"Qt\.Key\.Key_[A-Z]\b")
    taken = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if letters.search(path.read_text(encoding="utf-8"))
    }
    assert letters.search("event.key() == Qt.Key.Key_C")
    assert taken <= {"canvas/input.py", "canvas/canvas.py"}
    alone = [one.id for one in ACTIONS for key in one.keys if is_letter(key) and not one.on_plan]
    assert alone == []
    assert sum(is_letter(key) for one in ACTIONS for key in one.keys) > 10
