"""A list of choices that the wheel leaves alone: scrolling past it must change nothing unseen."""

from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox


class QuietBox(QComboBox):
    """Opened by a click, Enter or the arrow keys; the wheel goes to what it lies in."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the form scroll."""
        event.ignore()
