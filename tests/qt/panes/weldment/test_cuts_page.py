"""The page of the cut list: the bars are looked for in the background and listed below it."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_sawing
from gridjig.model import Sawing, StockBar
from gridjig.qt.panes.properties.job_form import JobForm
from gridjig.qt.panes.weldment.cuts_page import CutsPage
from gridjig.session.document import Document
from gridjig.solve.cutting import process
from gridjig.solve.cutting.exact import cheapest
from tests.qt.formhands import LOOK, type_in
from tests.stock import bar
from tests.workshop import EMPTY, laid

JOB = laid(bar(x=300.0, y=400.0), structs.replace(bar(x=300.0, y=600.0), id="other"))


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(process, "cheapest_of_all", lambda tasks, _: tuple(map(cheapest, tasks)))


def test_the_bars_are_below_the_list_and_follow_the_job(qtbot: QtBot, qapp: QApplication) -> None:
    document = Document(JOB)
    page = CutsPage(document, LOOK)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page.bars is not None)
    heads = [entry.text for entry in page.list.given]
    assert any(head.startswith("Bars of 50x50x3") for head in heads)
    assert any(head.startswith("1 × 6000 mm to buy") for head in heads)
    assert "kerf 3 mm" in page.total.text()
    document.do(set_sawing(document.job, Sawing(bars=(StockBar(length=600.0),))), "Set the bars")
    page.refresh()
    qtbot.waitUntil(lambda: page.bars is not None)
    assert any(entry.text.startswith("2 × 600 mm to buy") for entry in page.list.given)
    document.do(EMPTY, "Empty")
    page.refresh()
    assert page.bars is None
    assert not page.tasks.busy


def test_what_no_bar_is_long_enough_for_is_listed_with_its_sign_in_any_order(
    qtbot: QtBot,
) -> None:
    short = set_sawing(JOB, Sawing(bars=(StockBar(length=100.0),)))
    page = CutsPage(Document(short), LOOK)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page.bars is not None)
    signs = [entry.level for entry in page.list.given if entry.key.endswith("uncut")]
    assert signs == ["look"]
    assert not page.list.grab().isNull(), "it is painted"
    page.list.sort("level")
    assert page.list.lines.entries[0].level == "look", "the worst comes first"


def test_bars_kerf_and_trim_are_typed_in_the_form_of_the_job(qtbot: QtBot) -> None:
    document = Document(JOB)
    form = JobForm(document)
    qtbot.addWidget(form)
    form.show()
    form.show_job()
    type_in(form.bars, "6000; 2 on hand of 1500 of 50x50x3")
    type_in(form.kerf, "2.5")
    type_in(form.trim, "10")
    assert document.job.sawing == Sawing(
        bars=(StockBar(length=6000.0), StockBar(length=1500.0, section="50x50x3", have=2)),
        kerf=2.5,
        trim=10.0,
    )
    assert document.undo_name == "Set the trim"
    type_in(form.bars, "six metres")
    assert len(document.job.sawing.bars) == 2
    job = document.job
    form.kerf.edit.selectAll()
    QTest.keyClicks(form.kerf.edit, "0, 0; 5")
    assert document.job is job  # not even for a moment: it could be kept and recovered
    QTest.keyClick(form.kerf.edit, Qt.Key.Key_Return)
    assert document.job is job
    assert form.kerf.has_complaint()
    form.kerf.edit.clear()
    type_in(form.kerf, " ")
    assert (document.job.sawing.kerf, document.undo_name) == (None, "Set the kerf")
