"""The form that says how exact the jig is, and tries random set-ups beside the window."""

from functools import partial

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.allowances import add_point
from gridjig.model import ChosenPoint
from gridjig.proof.exact.tries import tried
from gridjig.qt.forms.job.exact_form import ExactForm
from gridjig.session.document import Document
from tests.proof.frames import jigged
from tests.qt.formhands import LOOK
from tests.workshop import laid, pin


def heads(form: ExactForm) -> list[str]:
    return [entry.head for entry in form.list.lines.entries]


def test_measures_are_listed_and_tried_on_request(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = partial(tried, count=2_000)
    monkeypatch.setattr("gridjig.qt.forms.job.exact_form.tried", few)
    over = QWidget()
    qtbot.addWidget(over)
    form = ExactForm(over, Document(jigged()), LOOK)
    assert heads(form)[:3] == ["Measures", "Overall 510 mm", "Overall 410 mm"]
    assert form.list.current_key() == "reading 0"
    form.tries.click()
    assert form.tries.text() == "Stop"
    qtbot.waitUntil(lambda: not form.tasks.busy, timeout=20_000)
    assert form.tries.text() == "Try 200,000 set-ups"
    assert form.told.text() == ""
    assert "of 2,000 set-ups half are within" in form.list.lines.entries[1].under
    form.tries.click()
    form.tries.click()
    assert not form.tasks.busy
    form.reject()


def test_without_a_weldment_there_is_nothing_to_try(qtbot: QtBot) -> None:
    over = QWidget()
    qtbot.addWidget(over)
    form = ExactForm(over, Document(laid(pin("a", 4, 4))), LOOK)
    assert not form.tries.isEnabled()
    assert heads(form)[0] == "Reckoned with"
    form.reject()


def test_points_that_matter_are_listed_and_deleted(qtbot: QtBot) -> None:
    over = QWidget()
    qtbot.addWidget(over)
    job = add_point(jigged(), ChosenPoint("front", 20.0, 0.0, "hinge"))
    document = Document(job)
    form = ExactForm(over, document, LOOK)
    assert "Points that matter" in heads(form)
    line = next(entry for entry in form.list.lines.entries if entry.head == "Hinge")
    assert not form.delete.isVisibleTo(form)
    form.list.go_to(line.key)
    assert form.delete.isVisibleTo(form)
    form.delete.click()
    assert document.job.accuracy.points == ()
    assert "Points that matter" not in heads(form)
    assert not form.delete.isVisibleTo(form)
    form.delete_point()
    document.undo()
    assert document.job is job
    form.reject()
