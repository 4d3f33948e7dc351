"""A picture to choose has its words whole, in letters of any size."""

import pytest
from PySide6.QtGui import QFontMetrics
from pytestqt.qtbot import QtBot

from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.picture_card import PictureCard

LINES = ("1: nothing to add", "0 points, nothing missing", "The work stays where it is")


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_words_fit_in_large_letters(qtbot: QtBot, percent: int) -> None:
    card = PictureCard(Appearance(THEMES["light"], Metrics()))
    qtbot.addWidget(card)
    assert card.accessibleName() == "Nothing found yet"
    card.show_lines(LINES)
    font = card.font()
    font.setPointSizeF(9 * percent / 100)
    card.setFont(font)
    letters = QFontMetrics(card.font_in(290))
    assert all(letters.horizontalAdvance(line) <= 290 for line in LINES)
    assert card.font_in(2000) == card.font()
    assert card.accessibleName().startswith("1: nothing to add. 0 points")
