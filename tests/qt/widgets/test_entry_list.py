"""Lists of entries: long names beside long values, and the current line kept in view."""

import gc
import weakref

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QItemSelectionModel, QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QStyleOptionViewItem
from pytestqt.qtbot import QtBot

from gridjig.qt.widgets.choice_list import ChoiceList
from gridjig.qt.widgets.list_entry import ListEntry
from tests.qt.formhands import LOOK


def shown(
    qtbot: QtBot, entries: list[ListEntry], width: int = 300, height: int = 200
) -> ChoiceList:
    made = ChoiceList("Lines", LOOK)
    qtbot.addWidget(made)
    made.resize(width, height)
    made.show_entries(entries, None)
    made.show()
    return made


def test_the_line_that_the_focus_falls_on_is_selected(qtbot: QtBot) -> None:
    made = shown(
        qtbot, [ListEntry("", "Faces", heading=True), ListEntry("a", "A"), ListEntry("b", "B")]
    )
    assert not made.selectionModel().hasSelection()
    index = made.lines.index(1)
    made.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
    assert [e.key for e in made.chosen_entries()] == ["a"]
    made.selectionModel().setCurrentIndex(
        made.lines.index(2), QItemSelectionModel.SelectionFlag.NoUpdate
    )
    assert [e.key for e in made.chosen_entries()] == ["a"]  # what is selected stays so


def high(made: ChoiceList, row: int) -> int:
    option = QStyleOptionViewItem()
    option.font = made.font()
    option.fontMetrics = QFontMetrics(made.font())
    option.rect = QRect(0, 0, made.width(), 40)
    return made.delegate.sizeHint(option, made.lines.index(row)).height()


def test_a_value_that_does_not_fit_beside_a_name_is_put_below_it(qtbot: QtBot) -> None:
    short = ListEntry("a", "Tie", "2x2x1/8, long and\nhigh", "5 in")
    long = ListEntry(
        "b", "Right rafter of the gable", "2x2x1/8, long and\nhigh", "37-13/16, 22-1/2"
    )
    made = shown(qtbot, [short, long])
    line = QFontMetrics(made.font()).height()
    assert high(made, 1) - high(made, 0) >= line
    wide = shown(qtbot, [short, long], 900)
    assert high(wide, 1) == high(wide, 0)


def test_the_current_line_stays_in_view_when_the_lines_above_it_grow(qtbot: QtBot) -> None:
    lines = [ListEntry(f"{k}", f"line {k}", "one") for k in range(12)]
    made = shown(qtbot, lines)
    made.activateWindow()
    made.setFocus()
    qtbot.waitUntil(made.hasFocus)
    assert made.go_to("3")
    taller = [
        ListEntry(f"{k}", f"line {k}", "one\ntwo\nthree\nfour" if k < 4 else "one")
        for k in range(12)
    ]
    made.show_entries(taller, None)
    assert made.current_key() == "3"
    place = made.visualRect(made.currentIndex())
    assert made.viewport().rect().contains(place)


def test_what_is_selected_stays_so_when_lines_come_late(qtbot: QtBot) -> None:
    """Lines with some of the same ids, such as the bars below a cut list, are not added to it."""
    first = [ListEntry("a", "A", ids=("p",)), ListEntry("b", "B", ids=("q",))]
    made = shown(qtbot, first)
    for row in (0, 1):
        flag = QItemSelectionModel.SelectionFlag.Select
        made.selectionModel().select(made.lines.index(row), flag)
    made.show_entries([*first, ListEntry("c", "C", ids=("p",))], None)
    assert [e.key for e in made.chosen_entries()] == ["a", "b"]
    made.show_entries(made.given, frozenset("pq"))
    assert [e.key for e in made.chosen_entries()] == ["a", "b"]


@pytest.mark.parametrize("listened", [False, True])
def test_no_key_keeps_a_list_for_good(qtbot: QtBot, listened: bool) -> None:
    """Qt's own way to find a signal did at each Enter, and with it whatever the list showed."""
    made, heard = ChoiceList("some lines", LOOK), list[str]()
    made.show_entries([ListEntry("a", "A"), ListEntry("b", "B")], None)
    if listened:
        made.setting.connect(lambda: heard.append("set"))
    made.show()
    made.go_first()
    keys = ("Return", "Enter", "Escape", "Delete", "Down", "Space", "F2", "Home", "End", "A")
    for key in keys:
        QTest.keyClick(made, getattr(Qt.Key, f"Key_{key}"))
    assert heard == (["set", "set"] if listened else [])
    there = weakref.ref(made)
    made.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    del made
    gc.collect()
    assert there() is None
