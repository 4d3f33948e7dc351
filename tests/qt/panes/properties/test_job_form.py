"""The form of the job: what clamps are reckoned with."""

import re

import pytest
from msgspec import structs
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from gridjig.checks.findings import findings
from gridjig.edits.details import set_display
from gridjig.edits.members import add
from gridjig.model import Display, EndCut
from gridjig.qt.panes.properties.job_form import JobForm
from gridjig.qt.widgets.fields import TypedField
from gridjig.session.document import Document
from gridjig.solve.placed.cache import PlacedPieces
from tests.stock import bar
from tests.workshop import EMPTY


def typed(field: TypedField, text: str) -> None:
    field.edit.setText(text)
    field.edit.setModified(True)
    field.apply()


def test_force_and_friction_are_typed_and_shown_in_the_units_of_the_job(qtbot: QtBot) -> None:
    document = Document(structs.replace(EMPTY, display=Display(unit="millimetres")))
    form = JobForm(document)
    qtbot.addWidget(form)
    form.show_job()
    assert (form.force.edit.text(), form.friction.edit.text()) == ("1000 N", "0.15")
    typed(form.force, "1.5 kN")
    typed(form.friction, "0.2")
    holding = document.job.holding
    assert (holding.clamp_force, holding.friction) == (1500.0, 0.2)
    document.do(set_display(document.job, Display()), "Change the unit")
    form.show_job()
    assert form.force.edit.text() == "337 lb"
    typed(form.force, "200")
    assert document.job.holding.clamp_force == pytest.approx(889.644, abs=0.001)


def test_what_is_no_force_is_refused_and_kept(qtbot: QtBot) -> None:
    document = Document(EMPTY)
    form = JobForm(document)
    qtbot.addWidget(form)
    form.show_job()
    typed(form.force, "hard")
    assert "type a force" in form.force.complaint.text()
    typed(form.friction, "2")
    assert "from 0 to 1" in form.friction.complaint.text()
    assert document.job == EMPTY


def test_classes_and_the_shops_limits_are_set_and_shown(qtbot: QtBot) -> None:
    document = Document(structs.replace(EMPTY, display=Display(unit="millimetres")))
    form = JobForm(document)
    qtbot.addWidget(form)
    form.show_job()
    assert (form.linear.value(), form.straight.value()) == ("B", "F")
    assert form.shop["face"].edit.text() == "0.02 mm"
    for cell, value in ((form.linear, "A"), (form.straight, "G")):
        cell.set_value(value)
        cell.chosen.emit(value)
    typed(form.shop["hole"], "0.25")
    accuracy = document.job.accuracy
    assert (accuracy.linear, accuracy.straight, accuracy.hole) == ("A", "G", 0.25)
    assert document.undo_name == "Set the error of hole position"
    typed(form.shop["face"], "-1")
    assert "the least is" in form.shop["face"].complaint.text()
    form.shop["face"].restore()
    document.do(set_display(document.job, Display(unit="inch decimals")), "Change the unit")
    form.show_job()
    assert form.shop["face"].edit.text() == ".0008 in"


def test_the_form_has_what_a_finding_about_the_saw_names(qtbot: QtBot) -> None:
    job = add(EMPTY, bar(end=EndCut("mitre", 65)))
    said = {f.id: f.do for f in findings(job, PlacedPieces().of(job))}["saw/bar/end"]
    named = re.findall("“(.+?)”", said)
    form = JobForm(Document(job))
    qtbot.addWidget(form)
    form.show_job()
    shown = {label.text() for label in form.findChildren(QLabel)}
    assert named == ["Saw cuts up to", "This job"]
    assert shown.issuperset(named)
