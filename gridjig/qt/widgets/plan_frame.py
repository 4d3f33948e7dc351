"""The frame around the plan; whatever lies over the plan follows its size."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame


class PlanFrame(QFrame):
    """Holds the plan, and signals when its size has changed."""

    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Notify whatever lies over the plan."""
        super().resizeEvent(event)
        self.resized.emit()
