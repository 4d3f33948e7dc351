"""The form of the repeat order: what no longer holds, and picking again as one step."""

from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from fuzzing.sheets import pdf_with
from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import fits, ready_tables
from gridjig.qt.forms.job.repeat_form import RepeatForm
from gridjig.rack import Rack
from gridjig.session.document import Document
from tests.qt.formhands import LOOK, drop_file
from tests.qt.windows import Answers
from tests.stock import bar
from tests.workshop import EMPTY, laid, pin, stop

JOB = laid(bar(x=300.0, y=400.0), stop("s", 12, 12), pin("p", 6, 6))


@pytest.fixture
def form(qtbot: QtBot) -> RepeatForm:
    under, asks = QLabel(), Answers()
    made = RepeatForm(under, Document(JOB), asks, "", LOOK)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    made.under, made.asks = under, asks  # type: ignore[attr-defined]
    qtbot.addWidget(under)
    made.show()
    qtbot.waitUntil(lambda: not made.tasks.busy)
    return made


def test_on_its_own_table_everything_holds_and_enter_closes(form: RepeatForm) -> None:
    assert "everything still holds" in form.told.text()
    assert len(form.list.lines.entries) == 0
    assert not form.pick_button.isEnabled()
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert not form.isVisible()


def test_another_jobs_table_and_rack_and_enter_picks_again(
    qtbot: QtBot, form: RepeatForm, tmp_path: Path
) -> None:
    other = structs.replace(
        EMPTY,
        table=structs.replace(EMPTY.table, name="Wide", width=1300.0, columns=25),
        rack=structs.replace(  # nothing is left that could stand in for the round pin
            EMPTY.rack,
            pieces=tuple(
                structs.replace(p, owned=1 if p.id == "stop" else p.owned)
                for p in EMPTY.rack.pieces
                if p.id in ("stop", "bolt")
            ),
        ),
    )
    path = tmp_path / "today.gridjig"
    path.write_bytes(write_job(other))
    form.asks.path = str(path)  # type: ignore[attr-defined]
    form.from_file()
    qtbot.waitUntil(lambda: form.looked is not None and form.table.value() != JOB.table)
    listed = [entry.text for entry in form.list.lines.entries]
    assert any("the rack no longer has it" in line for line in listed)
    assert any("was not kept: It is not on this rack." in line for line in listed)
    form.copy_button.click()
    assert "Picked again: " in QGuiApplication.clipboard().text()
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert not form.isVisible()
    job = form._document.job
    assert job.table.name == "Wide"
    assert [placement.id for placement in job.placements] == ["s"]
    assert form._document.undo_name == "Pick the set-up again on Wide"
    form._document.undo()
    assert form._document.job is JOB


def test_a_setup_sheet_gives_the_table_of_the_job_inside(
    qtbot: QtBot, form: RepeatForm, tmp_path: Path
) -> None:
    wide = structs.replace(EMPTY.table, name="Wide", width=1300.0, columns=25)
    path = tmp_path / "wide.pdf"
    path.write_bytes(pdf_with(("w.gridjig", write_job(structs.replace(EMPTY, table=wide)))))
    drop_file(form, path)
    qtbot.waitUntil(lambda: form.looked is not None and form.table.value() == wide)
    assert form.looked is not None
    assert form.looked.made.job.table == wide
    form.asks.path = str(path)  # type: ignore[attr-defined]
    form.from_file()
    assert "*.pdf" in form.asks.asked_kinds[-1]  # type: ignore[attr-defined]
    qtbot.waitUntil(lambda: not form.reading.busy)


def test_a_pdf_without_a_job_is_said_and_changes_nothing(
    qtbot: QtBot, form: RepeatForm, tmp_path: Path
) -> None:
    told, path = form.told.text(), tmp_path / "other.pdf"
    path.write_bytes(pdf_with())
    form.asks.path = str(path)  # type: ignore[attr-defined]
    form.from_file()
    assert form.told.text() == "Reading other.pdf…"
    qtbot.waitUntil(lambda: not form.reading.busy)
    said = form.asks.asked[-1]  # type: ignore[attr-defined]
    assert said.startswith("problem “other.pdf” cannot be read: ")
    assert "no job lies inside it" in said
    assert form.told.text() == told
    assert form.table.value() == JOB.table


def test_a_file_that_cannot_be_read_is_said(qtbot: QtBot, form: RepeatForm, tmp_path: Path) -> None:
    asked: list[str] = form.asks.asked  # type: ignore[attr-defined]
    form.asks.path = str(tmp_path / "none.gridjig")  # type: ignore[attr-defined]
    form.from_file()
    qtbot.waitUntil(lambda: not form.reading.busy)
    assert any("cannot be read" in one for one in asked)
    form.asks.path = ""  # type: ignore[attr-defined]
    form.from_file()
    assert form.table.value() == JOB.table


def test_with_another_table_comes_a_rack_whose_pins_fit_it(qtbot: QtBot, form: RepeatForm) -> None:
    coarse = ready_tables()["1200x1200-100"]
    assert not fits(JOB.rack, coarse)
    form.table.set_value(coarse)
    form.table.chosen.emit(coarse)
    rack = form.rack.value()
    assert isinstance(rack, Rack)
    assert fits(rack, coarse)
    qtbot.waitUntil(lambda: not form.tasks.busy)
    assert form.looked is not None
    assert form.looked.made.job.rack is rack
    form.table.set_value(JOB.table)  # on the job's own table its own rack is not given up
    form.rack.set_value(JOB.rack)
    form.table.chosen.emit(JOB.table)
    assert form.rack.value() is JOB.rack
