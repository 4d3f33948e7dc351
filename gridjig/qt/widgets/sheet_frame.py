"""The frame around the sheet; whatever lies over the sheet follows its size."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame


class SheetFrame(QFrame):
    """Holds the sheet, and signals when its size has changed."""

    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Notify whatever lies over the sheet."""
        super().resizeEvent(event)
        self.resized.emit()
