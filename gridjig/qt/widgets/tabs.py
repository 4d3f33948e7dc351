"""Tabs that the wheel does not change: scrolling past them leaves the page in front."""

from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QTabBar, QTabWidget, QWidget


class _TabBar(QTabBar):
    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ignore the wheel."""
        event.ignore()


class Tabs(QTabWidget):
    """Pages with tabs in document mode; `name` is for screen readers."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTabBar(_TabBar())
        self.setDocumentMode(True)
        self.tabBar().setAccessibleName(name)
