"""The form that exports: what it says goes out is in the file; lists, pictures, cancelling."""

from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from gridjig.qt.forms.job.export_form import ExportForm
from gridjig.session.document import Document
from gridjig.sheets.lists.every_list import LISTS
from tests.qt.formhands import LOOK
from tests.qt.windows import Answers
from tests.stock import bar
from tests.workshop import laid, pin, stop

JOB = laid(bar(x=300.0, y=400.0), stop("s", 3, 3), pin("p", 6, 6))


@pytest.fixture
def said() -> list[str]:
    return []


@pytest.fixture
def form(qtbot: QtBot, tmp_path: Path, said: list[str]) -> ExportForm:
    under, asks = QLabel(), Answers()
    view = QImage(60, 40, QImage.Format.Format_RGB32)
    view.fill(Qt.GlobalColor.white)
    made = ExportForm(under, Document(JOB), asks, str(tmp_path), LOOK, said.append, lambda: view)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    made.under, made.asks = under, asks  # type: ignore[attr-defined]
    qtbot.addWidget(under)
    made.show()
    return made


def save(qtbot: QtBot, form: ExportForm, path: Path) -> None:
    form.asks.path = str(path)  # type: ignore[attr-defined]
    QTest.keyClick(form, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not form.isVisible())


def test_enter_saves_the_set_up_with_what_is_ticked(
    qtbot: QtBot, form: ExportForm, tmp_path: Path, said: list[str]
) -> None:
    assert form.save_button.isDefault()
    assert "on the layers table, holes, pieces" in form.told.text()
    form.ticks["pieces"].click()
    form.ticks["labels"].click()
    assert "pieces" not in form.told.text()
    save(qtbot, form, tmp_path / "out.dxf")
    layers = {one.dxf.layer for one in ezdxf.readfile(tmp_path / "out.dxf").modelspace()}  # type: ignore[attr-defined]
    assert layers == {"TABLE", "HOLES", "MEMBERS"}
    assert said == ["out.dxf is saved."]


def test_an_svg_has_no_unit_to_choose_and_nothing_ticked_cannot_be_saved(
    qtbot: QtBot, form: ExportForm, tmp_path: Path
) -> None:
    assert form.unit.isVisible()
    form.kind.set_value(".svg")
    form.tell()
    assert not form.unit.isVisible()
    for tick in form.ticks.values():
        tick.click()
    assert not form.save_button.isEnabled()
    assert "Everything is left out" in form.told.text()
    form.what.set_value("table")
    form.tell()
    assert form.save_button.isEnabled()
    save(qtbot, form, tmp_path / "top")
    root = ElementTree.parse(tmp_path / "top.svg").getroot()
    assert root.get("width") == "1200mm"


def test_a_list_is_copied_or_saved(qtbot: QtBot, form: ExportForm, tmp_path: Path) -> None:
    form.what.set_value("list")
    form.list.set_value(next(one for one in LISTS if one.name == "pieces"))
    form.tell()
    assert form.copy_button.isVisible()
    assert not form.contents.isVisible()
    form.copy_button.click()
    qtbot.waitUntil(lambda: "clipboard" in form.told.text())
    assert form.told.text() == "2 lines are on the clipboard as a table."
    text = QGuiApplication.clipboard().text()
    assert text.startswith("Name\tPiece")
    assert text.count("\n") == 3
    save(qtbot, form, tmp_path / "pieces.csv")
    assert (tmp_path / "pieces.csv").read_bytes().startswith(b"\xef\xbb\xbfName,Piece")


@pytest.mark.parametrize(("shows", "width"), [("view", 60), ("table", 2000)])
def test_a_picture_shows_the_table_or_the_view(
    qtbot: QtBot, form: ExportForm, tmp_path: Path, shows: str, width: int
) -> None:
    form.what.set_value("picture")
    form.shows.set_value(shows)
    form.tell()
    save(qtbot, form, tmp_path / "plan.png")
    assert QImage(str(tmp_path / "plan.png")).width() == width


def test_what_cannot_be_saved_is_said_and_the_form_stays(
    qtbot: QtBot, form: ExportForm, tmp_path: Path
) -> None:
    (tmp_path / "folder.dxf").mkdir()
    form.asks.path = str(tmp_path / "folder.dxf")  # type: ignore[attr-defined]
    form.save()
    asked: list[str] = form.asks.asked  # type: ignore[attr-defined]
    qtbot.waitUntil(lambda: any("was not saved" in one for one in asked))
    assert form.isVisible()
    form.asks.path = ""  # type: ignore[attr-defined]
    form.save()
    assert not form.tasks.busy
    form.reject()
    assert not form.isVisible()
