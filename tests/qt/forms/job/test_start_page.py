"""The start page shows the names of its ways whole, in as many columns as have room for them."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QFrame, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from gridjig.qt.forms.job.start_page import StartChoice, StartPage, TableChoice
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window
from tests.workshop import EMPTY

LONG = "left leaf & right leaf of the garden gate with the round top, second revision"
SHORT = "garden gate"  # three columns hold it in letters of any size


def shown_page(qtbot: QtBot, size: tuple[int, int], glove: bool) -> tuple[Window, StartPage]:
    window = make_window(qtbot, EMPTY, Settings(glove=glove))
    window.resize(*size)
    QApplication.processEvents()
    page = window.start_pages.page
    assert page is not None
    return window, page


def laid_over(qtbot: QtBot, width: int, sample: str) -> tuple[QWidget, StartPage]:
    """A page with one sample and one table, over a widget of that width."""
    over = QWidget()
    qtbot.addWidget(over)
    over.resize(width, 900)
    page = StartPage(over)
    page.show_ways([StartChoice(sample, "", Path())], [TableChoice(EMPTY.table)], [])
    over.show()
    return over, page


def columns(page: StartPage) -> int:
    """In how many columns the three parts of the page stand."""
    headings = ("First job in ten steps", "New…", "Open…")
    buttons = [b for b in page.findChildren(QPushButton) if b.text() in headings]
    assert len(buttons) == 3
    return len({b.mapTo(page, -b.pos()).x() for b in buttons})


def ruled_off(page: StartPage) -> list[QFrame]:
    """The parts with a rule at their left."""
    return [frame for frame in page.findChildren(QFrame) if frame.objectName() == "cardPart"]


@pytest.mark.parametrize(
    ("size", "glove"),
    [((1000, 700), False), ((1280, 800), False), ((1280, 800), True), ((1920, 1200), True)],
)
def test_no_name_of_a_way_is_cut(qtbot: QtBot, size: tuple[int, int], glove: bool) -> None:
    _, page = shown_page(qtbot, size, glove)
    ways = [b for b in page.findChildren(QPushButton) if b.objectName() != "plain"]
    assert len(ways) >= 9
    assert [b.text() for b in ways if b.width() < b.sizeHint().width()] == []


def test_the_columns_are_as_many_as_have_room(qtbot: QtBot) -> None:
    over, page = laid_over(qtbot, 1200, SHORT)
    found = []
    for width in range(1200, 200, -40):
        over.resize(width, 900)
        page.place()
        QApplication.processEvents()
        count = columns(page)
        found.append(count)
        assert len(ruled_off(page)) == (2 if count > 1 else 0)
        page.place()
        assert columns(page) == count, "the rules do not change what has room"
    assert found == sorted(found, reverse=True)
    assert set(found) == {1, 2, 3}


def test_what_stands_in_one_column_begins_at_one_edge(qtbot: QtBot) -> None:
    _, page = laid_over(qtbot, 300, LONG)
    QApplication.processEvents()
    assert columns(page) == 1
    headings = [w for w in page.findChildren(QLabel) if w.text()[:2] in ("1 ", "2 ", "3 ")]
    assert len(headings) == 3
    assert len({w.mapTo(page, w.rect().topLeft()).x() for w in headings}) == 1


def cut_by_qt(button: QPushButton, letters: Callable[[str], int]) -> str:
    """The longest beginning of a name that fits beside an ellipsis, as measured here."""
    room = button.width() - (button.sizeHint().width() - letters(button.text()))
    text = button.text()
    return max(
        (text[:n].rstrip() + "…" for n in range(len(text)) if letters(text[:n] + "…") <= room),
        key=len,
    )


def test_the_long_name_of_a_recent_job_ends_in_an_ellipsis(qtbot: QtBot) -> None:
    _, page = shown_page(qtbot, (1280, 800), False)
    page.show_ways([], [], [StartChoice(LONG, "/jobs", Path("/jobs/a"))])
    QApplication.processEvents()
    (button,) = [b for b in page.findChildren(QPushButton) if b.text() == LONG]
    assert button.sizeHint().width() > button.width()
    long = button.grab().toImage()
    cut = cut_by_qt(button, button.fontMetrics().horizontalAdvance)
    assert 8 < len(cut) < len(LONG)
    button.setText(cut)
    assert button.grab().toImage() == long
    assert LONG in button.toolTip()
