"""The form of the setup sheet: preview, choices, title block, saving, printing, stopping."""

from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.jobs.sheet_file import job_in_sheet
from gridjig.files.library.assets import samples
from gridjig.proof.report import prove
from gridjig.qt.forms.job import sheet_form
from gridjig.qt.forms.job.sheet_form import SheetForm
from gridjig.session.document import Document
from gridjig.solve.placed.cache import PlacedPieces
from tests.qt.formhands import type_in
from tests.qt.windows import Answers, make_window
from tests.workshop import EMPTY

GATE = load_job(samples()["2-harbour-gate"])
REPORT = prove(GATE, PlacedPieces().of(GATE))


@pytest.fixture
def asks() -> Answers:
    return Answers()


@pytest.fixture
def said() -> list[str]:
    return []


@pytest.fixture
def form(qtbot: QtBot, asks: Answers, said: list[str]) -> Iterator[SheetForm]:
    over = QWidget()
    qtbot.addWidget(over)
    made = SheetForm(over, Document(GATE), asks, "", said.append, lambda: REPORT)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    made.show()
    qtbot.waitUntil(lambda: made.made is not None)
    yield made
    made.done(0)


def test_the_preview_turns_through_the_pages_that_are_printed(form: SheetForm) -> None:
    assert form.made is not None
    pages = form.made.sheet.pages
    assert form.told.text() == f"{len(pages)} pages, plan at SCALE 1:10."
    assert form.number.text() == f"Page 1 of {len(pages)}"
    assert not form.before.isEnabled()
    form.activateWindow()
    form.held.setFocus()
    QTest.keyClick(form.held, Qt.Key.Key_PageDown)
    assert form.held.value() is None, "the choice that has the focus stays"
    assert form.number.text() == f"Page 2 of {len(pages)}"
    assert "Pull list" in form.view.accessibleDescription()
    assert form.save_button.isDefault()


def test_what_the_window_has_found_out_is_not_found_out_again(
    form: SheetForm, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = form.made
    assert first is not None
    assert first.known.findings == REPORT.findings

    def never(*_: object) -> None:
        raise AssertionError("the check was done again")

    monkeypatch.setattr(sheet_form, "find_out", never)
    type_in(form.title_block.fields["owner"], "Another shop")
    qtbot.waitUntil(lambda: form.made is not first and form.made is not None)
    assert form.made is not None
    assert form.made.known is first.known


def test_both_units_are_in_the_findings_too(form: SheetForm, qtbot: QtBot) -> None:
    first = form.made
    assert first is not None
    told = next(one.what for one in first.known.findings if " mm" in one.what)
    form.units.set_value("both")
    form.units.chosen.emit("both")
    qtbot.waitUntil(lambda: form.made is not first and form.made is not None)
    assert form.made is not None
    assert form.made.job is first.job
    both = [one.what for one in form.made.known.findings]
    assert told not in both
    assert any(" mm (" in one and '")' in one for one in both)


@pytest.mark.expectation(103, 104)
def test_choices_make_the_pages_anew(form: SheetForm, qtbot: QtBot) -> None:
    first = form.made
    form.paper.set_value("A3")
    form.paper.chosen.emit("A3")
    qtbot.waitUntil(lambda: form.made is not first)
    assert form.made is not None
    assert form.made.sheet.pages[0].width == 420.0  # A3 across, as the table lies
    form.scale.set_value(2.0)
    form.scale.chosen.emit(2.0)
    qtbot.waitUntil(lambda: form.made is None and "choose" in form.told.text())
    assert "does not fit this page at 1:2; choose 1:10" in form.told.text()
    assert not form.save_button.isEnabled()


def test_the_title_block_belongs_to_the_job(form: SheetForm, qtbot: QtBot) -> None:
    first = form.made
    type_in(form.title_block.fields["owner"], "Our shop")
    assert form._document.job.title_block.owner == "Our shop"
    assert form._document.undo_name == "Set the legal owner"
    qtbot.waitUntil(lambda: form.made is not first and form.made is not None)
    assert form.made is not None
    assert "Our shop" in {text.words for text in form.made.sheet.pages[0].texts}


def test_saving_puts_the_job_inside(
    form: SheetForm, asks: Answers, said: list[str], tmp_path: Path, qtbot: QtBot
) -> None:
    asks.path = str(tmp_path / "gate")
    form.save_pdf()
    qtbot.waitUntil(lambda: bool(said))
    assert said == ["gate.pdf is saved, with the job inside."]
    assert job_in_sheet(tmp_path / "gate.pdf") == GATE
    assert not form.isVisible()


def test_a_save_that_fails_is_told_and_the_form_stays(
    form: SheetForm, asks: Answers, tmp_path: Path, qtbot: QtBot
) -> None:
    asks.path = str(tmp_path / "nowhere" / "gate.pdf")
    form.save_pdf()
    qtbot.waitUntil(lambda: any("was not saved" in one for one in asks.asked))
    assert form.isVisible()


def test_painting_can_be_stopped(
    form: SheetForm, asks: Answers, said: list[str], tmp_path: Path
) -> None:
    asks.path = str(tmp_path / "gate.pdf")
    form.save_pdf()
    assert form.stop.isEnabled()
    form.stop.click()
    assert form.told.text() == "Stopped; nothing was saved or printed."
    assert said == []
    assert list(tmp_path.iterdir()) == []
    assert form.save_button.isEnabled()


def test_a_form_that_is_on_its_way_out_saves_and_prints_nothing(
    form: SheetForm, asks: Answers, said: list[str], tmp_path: Path
) -> None:
    asks.path = str(tmp_path / "gate.pdf")
    form.reject()
    form.save_pdf()
    form.print_on(QPrinter(QPrinter.PrinterMode.ScreenResolution))
    assert not form.stop.isEnabled()
    assert not form.save_button.isEnabled()
    assert asks.asked == []
    assert said == []
    assert list(tmp_path.iterdir()) == []


def test_the_print_dialog_has_room_for_the_words_of_its_buttons(form: SheetForm) -> None:
    form.print_pages()
    [dialog] = form.findChildren(QPrintDialog)
    buttons = [one for one in dialog.findChildren(QPushButton) if one.text()]
    assert any("roperties" in one.text() for one in buttons)
    assert [one.text() for one in buttons if one.width() < one.sizeHint().width()] == []
    dialog.reject()


@pytest.mark.source("library", f"pypdf {pypdf.__version__}", "pages and text of what was printed")
@pytest.mark.expectation(103)
def test_what_is_printed_is_what_is_shown(
    form: SheetForm, said: list[str], tmp_path: Path, qtbot: QtBot
) -> None:
    out = tmp_path / "printed.pdf"
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(out))
    printer.setFromTo(2, 3)
    assert form.made is not None
    every = form.made.sheet.pages
    form.print_on(printer)
    qtbot.waitUntil(lambda: bool(said))
    pages = pypdf.PdfReader(out).pages
    assert len(pages) == 2
    assert float(pages[0].mediabox.width) == pytest.approx(297 / 25.4 * 72, abs=2)
    for page, shown in zip(pages, every[1:3], strict=True):
        printed = "".join(page.extract_text().split())
        told = ["".join(text.words.split()) for text in shown.texts]
        assert len(told) > 20
        assert [words for words in told if words not in printed] == []


@pytest.fixture
def saved(form: SheetForm, asks: Answers, said: list[str], tmp_path: Path, qtbot: QtBot) -> Path:
    """The sheet of the gate, saved by its form."""
    path = tmp_path / "gate.pdf"
    asks.path = str(path)
    form.save_pdf()
    qtbot.waitUntil(lambda: bool(said))
    return path


@pytest.mark.expectation(110)
def test_a_setup_sheet_opens_in_the_window_as_its_job(saved: Path, qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    assert window.open_path(saved)
    qtbot.waitUntil(lambda: window.document.job == GATE)
    assert window.file.path is None
    assert not window.document.modified
    other = Answers()
    window.file.answer_by(other)
    saved.write_bytes(b"%PDF-1.4 nothing")
    window.open_path(saved)
    qtbot.waitUntil(lambda: bool(other.asked))
    assert "cannot be read" in other.asked[0]
    assert window.document.job == GATE


def test_a_sheet_dropped_in_the_window_gives_the_job_and_saved_it_is_the_same_again(
    saved: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = make_window(qtbot, EMPTY)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(saved))])
    window.dropEvent(
        QDropEvent(
            QPointF(50, 50),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )
    qtbot.waitUntil(lambda: window.document.job == GATE)
    kept = Answers()
    kept.path = str(tmp_path / "kept.gridjig")
    window.file.answer_by(kept)
    assert window.file.save_as()
    assert load_job(tmp_path / "kept.gridjig") == GATE


def test_a_second_sheet_is_proposed_beside_the_first(
    qtbot: QtBot, asks: Answers, said: list[str], tmp_path: Path
) -> None:
    (tmp_path / f"{GATE.name} setup sheet.pdf").touch()
    over = QWidget()
    qtbot.addWidget(over)
    made = SheetForm(over, Document(GATE), asks, str(tmp_path), said.append, lambda: REPORT)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.waitUntil(lambda: made.made is not None)
    made.save_pdf()
    assert asks.asked == [f"save {GATE.name} setup sheet 2.pdf"]
    made.done(0)
