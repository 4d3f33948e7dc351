"""The form that shows what changed: since the last save, from a file, and into the notes."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fuzzing.sheets import pdf_with
from gridjig.edits import details, selection
from gridjig.files.jobs.job_file import write_job
from gridjig.qt.forms.job.changes_form import ChangesForm
from gridjig.qt.style.appearance import Appearance
from gridjig.session.document import Document
from tests.qt.formhands import drop_file
from tests.qt.windows import Answers, make_window
from tests.workshop import laid, pin, plate, stop

JOB = laid(stop("s", 3, 3), pin("p", 6, 6), plate("bar", 300, 300))
MOVED = selection.shift(JOB, {"s"}, 1, 0)


def form_for(qtbot: QtBot, document: Document, asks: Answers) -> ChangesForm:
    window = make_window(qtbot, JOB)
    appearance: Appearance = window.appearance
    form = ChangesForm(window, document, asks, "", appearance)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    form.show()
    return form


def choose(qtbot: QtBot, form: ChangesForm) -> None:
    """Choose the file that the answers name, and wait until it is read."""
    form.file_button.click()
    qtbot.waitUntil(lambda: not form.reading.busy)


def shown(form: ChangesForm) -> list[str]:
    return [entry.text for entry in form.list.lines.entries]


def test_it_opens_with_the_changes_since_the_last_save(qtbot: QtBot) -> None:
    document = Document(JOB)
    document.do(MOVED, "Move")
    form = form_for(qtbot, document, Answers())
    assert form.head.text() == "Changes since the last save"
    assert form.told.text() == "1 change."
    assert shown(form) == [
        "Pieces on the table",
        "fixed stop at D4 + E4, moved 1 hole to the right, to E4 + F4",
    ]
    assert form.add_button.isDefault()


def test_enter_adds_them_to_the_notes_as_one_step(qtbot: QtBot) -> None:
    document = Document(details.set_notes(JOB, "Two off"))
    document.do(selection.shift(document.job, {"s"}, 1, 0), "Move")
    form = form_for(qtbot, document, Answers())
    before = document.job
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert not form.isVisible()
    assert document.job.notes == (
        "Two off\n\nChanges since the last save:\n"
        "- fixed stop at D4 + E4: moved 1 hole to the right, to E4 + F4"
    )
    assert document.undo_name == "Add the changes to the notes"
    document.undo()
    assert document.job is before


def test_without_changes_it_says_so_and_enter_closes(qtbot: QtBot) -> None:
    document = Document(JOB)
    form = form_for(qtbot, document, Answers())
    assert form.told.text() == "Nothing changed."
    assert shown(form) == []
    assert not form.add_button.isEnabled()
    assert not form.copy_button.isEnabled()
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert not form.isVisible()
    assert document.job is JOB


def test_it_compares_with_a_file_and_back(qtbot: QtBot, tmp_path: Path) -> None:
    asks, document = Answers(), Document(MOVED)
    path = tmp_path / "gate.gridjig"
    path.write_bytes(write_job(details.set_drawing(JOB, "", "A")))
    asks.path = str(path)
    form = form_for(qtbot, document, asks)
    choose(qtbot, form)
    assert form.head.text() == "Changes since gate.gridjig, revision A"
    assert form.told.text() == "2 changes."
    assert "Job, revision A taken away" in shown(form)
    form.copy_button.click()
    assert QApplication.clipboard().text().splitlines()[0] == (
        "Changes since gate.gridjig, revision A:"
    )
    form.last_button.click()
    assert form.told.text() == "Nothing changed."


def test_a_file_that_cannot_be_read_leaves_what_is_shown(qtbot: QtBot, tmp_path: Path) -> None:
    asks, document = Answers(), Document(JOB)
    document.do(MOVED, "Move")
    form = form_for(qtbot, document, asks)
    form.file_button.click()
    assert not asks.asked[1:]
    path = tmp_path / "broken.gridjig"
    path.write_text("{")
    asks.path = str(path)
    choose(qtbot, form)
    assert asks.asked[-1].startswith("problem “broken.gridjig” cannot be compared: ")
    assert len(shown(form)) == 2
    assert form.told.text() == "1 change."


def form_with_sheet(qtbot: QtBot, path: Path) -> tuple[Answers, ChangesForm]:
    """The form over a moved job; the file that it will be given is a sheet of the job before."""
    path.write_bytes(pdf_with(("gate.gridjig", write_job(JOB))))
    asks = Answers()
    asks.path = str(path)
    return asks, form_for(qtbot, Document(MOVED), asks)


def test_a_setup_sheet_is_compared_with_by_the_job_inside(qtbot: QtBot, tmp_path: Path) -> None:
    asks, form = form_with_sheet(qtbot, tmp_path / "gate.PDF")
    choose(qtbot, form)
    assert " *.pdf)" in asks.asked_kinds[-1]
    assert form.head.text() == "Changes since gate.PDF"
    assert form.told.text() == "1 change."
    assert "moved 1 hole to the right" in shown(form)[1]


def test_what_is_asked_for_while_a_file_is_read_comes_instead(qtbot: QtBot, tmp_path: Path) -> None:
    _, form = form_with_sheet(qtbot, tmp_path / "gate.pdf")
    form.file_button.click()
    assert form.told.text() == "Reading gate.pdf…"
    form.last_button.click()
    assert not form.reading.busy
    assert form.told.text() == "Nothing changed."
    form.reading.close()
    QApplication.processEvents()
    assert form.head.text() == "Changes since the last save"


def test_a_file_that_is_dropped_is_compared_with(qtbot: QtBot, tmp_path: Path) -> None:
    form = form_for(qtbot, Document(MOVED), Answers())
    path = tmp_path / "gate.gridjig"
    path.write_bytes(write_job(JOB))
    drop_file(form, path)
    qtbot.waitUntil(lambda: form.head.text() == "Changes since gate.gridjig")
    assert form.told.text() == "1 change."


def test_a_recovered_job_asks_for_its_file(qtbot: QtBot) -> None:
    form = form_for(qtbot, Document(JOB, modified=True), Answers())
    assert "recovered" in form.told.text()
    assert not form.add_button.isEnabled()


def test_notes_that_are_full_stay_and_the_form_says_why(qtbot: QtBot) -> None:
    document = Document(details.set_notes(JOB, "n" * 3990))
    document.do(selection.shift(document.job, {"s"}, 1, 0), "Move")
    form = form_for(qtbot, document, Answers())
    before = document.job
    form.add_button.click()
    assert form.isVisible()
    assert "can hold 4,000 characters" in form.told.text()
    assert document.job is before


@pytest.mark.parametrize("modified", [False, True])
def test_the_menu_opens_it(qtbot: QtBot, modified: bool) -> None:
    window = make_window(qtbot, JOB)
    if modified:
        window.file.document.do(MOVED, "Move")
    window.port.do("file.changes")
    (form,) = window.findChildren(ChangesForm)
    assert len(form.lines) == modified
    if modified:
        form.add_button.click()
        assert "moved 1 hole to the right" in window.file.document.job.notes
    form.close()
