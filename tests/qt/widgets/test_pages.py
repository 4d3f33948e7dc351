"""Every page at the side can be reached by a click, however large letters and targets are."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from gridjig.qt.style import appearance
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.pages import Pages
from tests.qt.events import settle
from tests.qt.windows import make_window
from tests.workshop import EMPTY

SETTINGS = (
    Settings(),
    Settings(text_percent=150),
    Settings(text_percent=200),
    Settings(glove=True),
    Settings(glove=True, text_percent=200),
)


@pytest.mark.expectation(70, 72, 74)
@pytest.mark.parametrize("settings", SETTINGS)
def test_every_page_can_be_clicked_in_a_small_window(qtbot: QtBot, settings: Settings) -> None:
    window = make_window(qtbot, EMPTY, settings)
    window.resize(1280, 800)
    qtbot.waitUntil(lambda: window.width() == 1280)
    (pages,) = window.findChildren(Pages)
    bar = pages.tabs.tabBar()
    assert bar.isVisibleTo(window) != pages.chooser.isVisibleTo(window)
    for index in range(bar.count()):
        QApplication.processEvents()
        if bar.isVisibleTo(window):
            assert bar.rect().contains(bar.tabRect(index)), bar.tabText(index)
            QTest.mouseClick(bar, Qt.MouseButton.LeftButton, pos=bar.tabRect(index).center())
        else:
            pages.chooser.setFocus()
            away = index - pages.chooser.currentIndex()
            for _ in range(abs(away)):
                QTest.keyClick(pages.chooser, Qt.Key.Key_Down if away > 0 else Qt.Key.Key_Up)
            assert pages.chooser.currentText() == bar.tabText(index)
        assert pages.tabs.currentIndex() == index
    if settings.glove:
        assert pages.chooser.height() >= window.appearance.metrics.whole(20.0)


def test_the_box_takes_the_place_of_tabs_and_gives_it_back(
    qtbot: QtBot, qapp: QApplication
) -> None:
    appearance.apply(qapp, Appearance(THEMES["light"], Metrics()), 10.0)  # not that of another test
    pages = Pages("Lists")
    qtbot.addWidget(pages)
    for name in ("Placed", "Pull", "Check"):
        pages.add(QWidget(), name, "")
    pages.resize(400, 200)
    pages.show()
    assert pages.tabs.tabBar().isVisible()
    pages.resize(80, 200)
    assert pages.chooser.isVisible()
    pages.tabs.setCurrentIndex(2)
    assert pages.chooser.currentText() == "Check"
    pages.resize(400, 200)
    assert not pages.chooser.isVisible()
    font = pages.font()
    font.setPointSizeF(60)
    pages.tabs.tabBar().setFont(font)
    pages.setFont(font)
    assert pages.chooser.isVisible()


def test_tabs_that_fit_only_in_their_style_come_back(qtbot: QtBot) -> None:
    pages = Pages("Lists")
    qtbot.addWidget(pages)
    for name in ("Placed", "Check"):
        pages.add(QWidget(), name, name)
    pages.setStyleSheet("QTabBar::tab { min-width: 300px; }")
    pages.resize(400, 200)
    pages.show()
    settle()
    assert pages.chooser.isVisible()
    pages.setStyleSheet("")
    settle()
    assert pages.tabs.tabBar().isVisible()
    assert not pages.chooser.isVisible()
