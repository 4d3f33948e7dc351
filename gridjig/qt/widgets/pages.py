"""Pages of which one is shown: chosen by tabs, or with a combo box if the tabs do not fit.

With large letters or in glove mode a row of tabs can be wider than its pane, and a page whose tab
is cut off could not be reached.
"""

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from gridjig.qt.tasks.timers import due

from .combo_box import NoWheelComboBox
from .layout import in_column
from .plain import tip
from .tabs import Tabs


class Pages(QWidget):
    """`tabs` holds the pages; `chooser` replaces its tab bar if the tabs do not fit."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tabs = Tabs(name)
        self.chooser = NoWheelComboBox()
        self.chooser.setAccessibleName(name)
        self.chooser.hide()
        in_column(self.chooser, (self.tabs, 1), over=self, margins="none", gap=0)
        self._styled = due(self, self._share)
        self.tabs.currentChanged.connect(self.chooser.setCurrentIndex)
        self.chooser.activated.connect(self.tabs.setCurrentIndex)

    def add(self, page: QWidget, name: str, about: str) -> None:
        """Add a page; `about` is a line about what it shows."""
        index = self.tabs.addTab(page, name)
        self.tabs.setTabToolTip(index, tip(about))
        self.chooser.addItem(name)

    def add_first(self, page: QWidget, name: str, about: str) -> None:
        """Add a page before the others; the one in front stays there."""
        front = self.tabs.currentWidget()
        self.tabs.insertTab(0, page, name)
        self.tabs.setTabToolTip(0, tip(about))
        self.chooser.insertItem(0, name)
        self.tabs.setCurrentWidget(front)
        self.chooser.setCurrentIndex(self.tabs.currentIndex())
        self._share()

    def remove(self, page: QWidget) -> None:
        """Remove a page; it is hidden, and its owner may put it elsewhere."""
        index = self.tabs.indexOf(page)
        if index >= 0:
            self.tabs.removeTab(index)
            self.chooser.removeItem(index)
            self.chooser.setCurrentIndex(self.tabs.currentIndex())
            self._share()

    def _share(self) -> None:
        bar = self.tabs.tabBar()
        wide = sum(bar.tabRect(index).width() for index in range(bar.count()))
        fits = wide <= self.width()
        bar.setVisible(fits)
        self.chooser.setVisible(not fits)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Check whether the tabs fit the new width."""
        super().resizeEvent(event)
        self._share()

    def changeEvent(self, event: QEvent) -> None:
        """Check whether the tabs fit after a change of font or style, which they hear of later."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._share()
            self._styled.start()
