"""What a press anywhere in a cell does, and Enter on the start page."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.qt.forms.job.start_page import StartPage
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.combo_box import NoWheelComboBox

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.mark.expectation(71)
@pytest.mark.parametrize("able", [True, False])
def test_a_press_beside_the_words_of_a_choice_opens_it(qtbot: QtBot, able: bool) -> None:
    choice = NoWheelComboBox()
    choice.addItems(["one", "two"])
    choice.setEnabled(able)
    cell = boxed("Paper", choice)
    qtbot.addWidget(cell)
    cell.show()
    QTest.mousePress(cell, LEFT, NONE, QPoint(3, 3))
    assert choice.view().isVisible() == able
    choice.hidePopup()


@pytest.mark.expectation(61)
def test_enter_on_the_start_page_takes_the_way_that_has_the_focus(qtbot: QtBot) -> None:
    over = QWidget()
    qtbot.addWidget(over)
    over.resize(900, 700)
    page = StartPage(over)
    page.show_ways((), (), ())
    over.show()
    page.show()
    taken: list[str] = []
    page.learn.connect(lambda: taken.append("learn"))
    first = page.first
    assert first is not None
    first.setFocus()
    QTest.keyClick(first, Qt.Key.Key_Return)
    assert taken == ["learn"]
    page.setFocus()
    QTest.keyClick(page, Qt.Key.Key_Return)
    assert taken == ["learn"]
