"""The frame that the sheet lies in; what is laid over the sheet follows its size."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame


class SheetFrame(QFrame):
    """Holds the sheet, and says when its size has changed."""

    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tell whatever lies over the sheet."""
        super().resizeEvent(event)
        self.resized.emit()
