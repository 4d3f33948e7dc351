"""Typing into the box of sections, with the keys sent to where the window has its focus."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.model import Section
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.section_box import SectionCell, read_section, section_words


@pytest.fixture
def cell(qtbot: QtBot) -> SectionCell:
    """Return a shown cell that has 2x2x1/8 and the focus."""
    cell = SectionCell("Frame")
    qtbot.addWidget(cell)
    cell.box.offer("inch fractions")
    cell.set_value(next(s for s in cell.box._offered if section_words(s) == "2x2x1/8 square tube"))
    cell.show()
    qtbot.waitExposed(cell)
    cell.activateWindow()
    cell.box.setFocus(Qt.FocusReason.TabFocusReason)
    return cell


def _type(qtbot: QtBot, text: str) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    qtbot.keyClicks(focused, text)


def test_what_is_typed_replaces_the_section_and_finds_another(
    cell: SectionCell, qtbot: QtBot
) -> None:
    taken: list[Section] = []
    cell.chosen.connect(taken.append)
    _type(qtbot, "1-1/2x1-1/2x1/8")
    assert cell.box.currentText() == "1-1/2x1-1/2x1/8"
    completer = cell.box.completer()
    assert completer is not None
    popup = completer.popup()
    assert popup is not None
    popup.hide()
    qtbot.keyClick(cell.box, Qt.Key.Key_Return)
    assert [section.name for section in taken] == ["1-1/2x1-1/2x1/8"]


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("1-1/2x1-1/2x1/8", "1-1/2x1-1/2x1/8"),
        ("1.5x1.5x1/8", "1-1/2x1-1/2x1/8"),
        ("1 1/2 x 1 1/2 x .125", "1-1/2x1-1/2x1/8"),
        ("1.5x1.5x1/8 angle", "L1-1/2x1-1/2x1/8"),
        ("l 1.5x1.5x1/8", "L1-1/2x1-1/2x1/8"),
    ],
)
def test_sizes_alone_are_a_tube_however_they_are_written(
    cell: SectionCell, typed: str, name: str
) -> None:
    """As its listed name is: an angle of the same sizes is called by its L."""
    found = read_section(typed, cell.box._offered)
    assert isinstance(found, Section)
    assert found.name == name


def test_an_emptied_box_that_is_left_shows_its_section_again(
    cell: SectionCell, qtbot: QtBot
) -> None:
    said: list[str] = []
    cell.box.refused.connect(said.append)
    _type(qtbot, "5")
    qtbot.keyClick(cell.box, Qt.Key.Key_Backspace)
    assert cell.box.currentText() == ""
    qtbot.keyClick(cell.box, Qt.Key.Key_Return)
    assert cell.box.currentText() == "2x2x1/8 square tube"
    assert said == [], "nothing had been refused"


@pytest.mark.expectation(32)
def test_esc_gives_the_section_in_force_back(cell: SectionCell, qtbot: QtBot) -> None:
    taken: list[Section] = []
    cell.chosen.connect(taken.append)
    _type(qtbot, "3x3")
    completer = cell.box.completer()
    assert completer is not None
    popup = completer.popup()
    assert popup is not None
    popup.hide()  # the first Esc closes the list of what was found
    qtbot.keyClick(cell.box.lineEdit(), Qt.Key.Key_Escape)
    assert cell.box.currentText() == "2x2x1/8 square tube"
    cell.box.clearFocus()
    assert taken == []


def test_a_list_that_is_only_picked_from_leaves_letters_to_the_tools(qtbot: QtBot) -> None:
    box = NoWheelComboBox()
    qtbot.addWidget(box)
    box.addItems(["centred", "left", "right"])
    qtbot.keyClicks(box, "r")
    assert box.currentText() == "centred"
